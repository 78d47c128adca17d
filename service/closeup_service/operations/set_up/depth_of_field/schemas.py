"""`/v1/depth-of-field`: what is sharp, by a named model."""

from marshmallow import fields, validate

from closeup_service.operations.set_up.effective_f_number.schemas import EffectiveFNumberRequest
from closeup_service.optics.sharpness import MODELS
from closeup_service.schemas.answers import AnswerSchema, OpenSchema
from closeup_service.schemas.fields import quantity, result
from closeup_service.schemas.sharpness import SharpnessFields

EXTENTS = ("finite", "unlimited", "undetermined")


class DepthOfFieldRequest(EffectiveFNumberRequest, SharpnessFields):
    """One lens at a marked f-number and a magnification, with what its model of sharpness is measured by."""

    focal_length_mm = quantity("focal_length_mm")


def extent_field(side: str) -> fields.String:
    """Say whether the depth on one side is finite, unlimited or undetermined."""
    return fields.String(
        required=True,
        validate=validate.OneOf(EXTENTS),
        metadata={"description": f"Whether the depth {side} the subject plane is finite."},
    )


class DepthSchema(OpenSchema):
    """Depth of field by one model."""

    model = fields.String(
        required=True, validate=validate.OneOf(MODELS), metadata={"description": "Model of the depth."}
    )
    front_depth_mm = result("front_depth_mm")
    rear_depth_mm = result("rear_depth_mm")
    front_extent = extent_field("before")
    rear_extent = extent_field("behind")
    total_mm = result("total_mm")
    depth_of_focus_mm = result("depth_of_focus_mm")


class DepthOfFieldAnswer(DepthSchema, AnswerSchema):
    """Depth of field, with the effective f-number and the blur criterion it stands on."""

    effective_f_number = result("effective_f_number", nullable=False)
    circle_of_confusion_mm = result("circle_of_confusion_mm")
