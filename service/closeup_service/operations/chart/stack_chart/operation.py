"""`/v1/charts/stack`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closeup_service.advice import chart_findings
from closeup_service.drawing.charts import stack as drawing
from closeup_service.drawing.svg import as_file
from closeup_service.estimates.joint import FEW_DRAWS
from closeup_service.language import tr
from closeup_service.operations.asking.media_types import SVG
from closeup_service.operations.chart.stack_chart.schemas import StackChartAnswer, StackChartRequest
from closeup_service.operations.operation import Example, Operation
from closeup_service.operations.set_up.depth_of_field.depth import extent, finite
from closeup_service.operations.shoot.focus_stack import operation as focus_stack
from closeup_service.optics.arithmetic import POINT
from closeup_service.optics.stack import Stack

if TYPE_CHECKING:
    from closeup_service.records import answers, requests


def answer(asked: requests.StackChartRequest) -> answers.StackChartAnswer:
    """Every frame of the stack."""
    stack, told = focus_stack.worked_out(asked)
    rows = rows_of(stack)
    return {
        "title": tr(chart_findings.STACK_TITLE),
        "finding": chart_findings.describe_stack(rows, asked["subject_depth_mm"], {}),
        "frames": stack.frames,
        "subject_depth_mm": asked["subject_depth_mm"],
        "step_mm": stack.step,
        "rows": rows,
        "assumed": told["assumed"],
        "remarks": told["remarks"],
        "cautions": told["cautions"],
    }


def rows_of(stack: Stack) -> list[answers.StackChartRow]:
    """One row a frame; the last has no next to overlap with."""
    columns = (stack.positions.tolist(), stack.front.tolist(), stack.rear.tolist(), [*stack.overlaps.tolist(), None])
    return [
        {
            "position_mm": position,
            "sharp_from_mm": finite(position - front),
            "sharp_to_mm": finite(position + rear),
            "front_extent": str(extent(front, POINT)),
            "rear_extent": str(extent(rear, POINT)),
            "overlap_with_next": overlap,
        }
        for position, front, rear, overlap in zip(*columns, strict=True)
    ]


def describe_medians(told: answers.StackChartAnswer) -> dict[str, object]:
    """What is to be seen, said anew where figures are medians."""
    rows, ranges = told["rows"], told.get("ranges", {})
    return {"finding": chart_findings.describe_stack(rows, told["subject_depth_mm"], ranges)}


def as_svg(asked: requests.StackChartRequest, told: answers.StackChartAnswer) -> bytes:
    """Return the drawing alone."""
    return as_file(drawing.svg(asked, told))


OPERATION = Operation(
    operation_id="chartFocusStack",
    path="/v1/charts/stack",
    tag="chart",
    summary="The frames of a focus stack and what is sharp in each, as a chart and as rows",
    description=(
        "Takes what /v1/focus-stack takes. Each row is a frame: its plane of focus, from where to where it is sharp, and what "
        "it has in common with the next. The answer is JSON, or the chart itself with Accept: image/svg+xml."
    ),
    answer=answer,
    answer_type=StackChartAnswer,
    request_type=StackChartRequest,
    renderers={SVG: as_svg},
    most_members=FEW_DRAWS,
    words=describe_medians,
    examples=(
        Example(
            "lichen-frame-by-frame",
            "The frames of a lichen 1.5 mm deep at 2:1, reversed 35 mm lens on a rail (invented kit)",
            {
                "mounting": "reversed",
                "focal_length_mm": 35,
                "f_number": 5.6,
                "pupil_magnification": 1.3,
                "magnification": 2,
                "sensor": "23.5x15.6",
                "subject_depth_mm": 1.5,
            },
        ),
    ),
)
