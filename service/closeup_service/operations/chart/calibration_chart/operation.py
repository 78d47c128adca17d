"""`/v1/charts/calibration`."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from closeup_service.advice import chart_findings
from closeup_service.drawing.charts import calibration as drawing
from closeup_service.drawing.svg import as_file
from closeup_service.language import tr
from closeup_service.operations.asking.media_types import SVG
from closeup_service.operations.chart.calibration_chart.schemas import CalibrationChartAnswer, CalibrationChartRequest
from closeup_service.operations.measure.lens_calibration import operation as lens_calibration
from closeup_service.operations.measure.lens_calibration.examples import EXAMPLES
from closeup_service.operations.operation import Example, Operation

if TYPE_CHECKING:
    from closeup_service.records import answers, requests


def answer(asked: requests.CalibrationChartRequest) -> answers.CalibrationChartAnswer:
    """Every frame against the lens fitted to it."""
    told = lens_calibration.answer_by_frames(asked)
    lenses = [lens_members(each, each["setting"], each["remarks"]) for each in told["settings"]] or [lens_members(told)]
    return {
        "title": tr(chart_findings.CALIBRATION_TITLE),
        "finding": chart_findings.describe_calibration(lenses),
        "lenses": lenses,
        "assumed": told["assumed"],
        "remarks": told["remarks"],
        "cautions": told["cautions"],
    }


def lens_members(
    lens: answers.LensMembers, setting: float | None = None, remarks: Sequence[answers.Remark] = ()
) -> answers.CalibrationChartLens:
    """One lens with its frames; of a zoom its setting, and what is said of it alone."""
    rows: list[answers.CalibrationChartRow] = [
        {**row, "fitted_magnification": row["magnification"] - row["magnification_residual"]}
        for row in lens["residuals"]
    ]
    return {
        "setting": setting,
        "focal_length_mm": lens["focal_length_mm"],
        "rows": sorted(rows, key=lambda row: float(row["extension_mm"])),
        "remarks": [*remarks],
    }


def as_svg(asked: requests.CalibrationChartRequest, told: answers.CalibrationChartAnswer) -> bytes:
    """Return the drawing alone."""
    return as_file(drawing.svg(asked, told))


OPERATION = Operation(
    operation_id="chartCalibration",
    path="/v1/charts/calibration",
    tag="chart",
    summary="Chart of what was read of a lens against the lens fitted to it, with residuals",
    description=(
        "Takes the frames that /v1/lens-calibration takes, and estimates nothing; of a zoom it shows every setting. Each row "
        "is a frame: the magnification read with its uncertainty, that of the fitted lens, and the residual. The answer is "
        "JSON, or the chart itself with Accept: image/svg+xml."
    ),
    answer=answer,
    answer_type=CalibrationChartAnswer,
    request_type=CalibrationChartRequest,
    by_query="document",
    renderers={SVG: as_svg},
    examples=tuple(Example(f"{name}-drawn", summary, request) for name, summary, request in EXAMPLES[::4]),
)
