"""`/v1/charts/stack`: the frames of a focus stack, one by one."""

from marshmallow import fields, validate

from closeup_service.operations.chart.chart_schemas import EstimatedChartAnswer
from closeup_service.operations.set_up.depth_of_field.schemas import extent_field
from closeup_service.operations.shoot.focus_stack.schemas import FocusStackRequest, count
from closeup_service.optics.stack import MOST_FRAMES
from closeup_service.schemas.answers import OpenSchema
from closeup_service.schemas.drawn import DrawnFields
from closeup_service.schemas.fields import result


class StackChartRequest(FocusStackRequest, DrawnFields):
    """A focus stack as /v1/focus-stack takes it."""


class StackChartRow(OpenSchema):
    """One frame; where its depth is unlimited on one side, the end there is null."""

    position_mm = result(
        "positions_mm", meaning="Plane of focus, from the subject's nearest point away from the lens.", nullable=False
    )
    sharp_from_mm = result("sharp_from_mm")
    sharp_to_mm = result("sharp_to_mm")
    front_extent = extent_field("before")
    rear_extent = extent_field("behind")
    overlap_with_next = result(
        "overlap_with_next", meaning="Share of the depth that it has in common with the next frame."
    )


class StackChartAnswer(EstimatedChartAnswer):
    """Every frame of the stack with what is sharp in it."""

    frames = count("frames")
    subject_depth_mm = result("subject_depth_mm", nullable=False)
    step_mm = result("step_mm", meaning="Step between frames, of what moves; null with a single frame.")
    rows = fields.List(
        fields.Nested(StackChartRow),
        required=True,
        validate=validate.Length(1, MOST_FRAMES),
        metadata={"description": "One row a frame, that of the nearest plane first."},
    )
