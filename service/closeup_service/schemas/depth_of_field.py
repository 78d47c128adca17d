"""`/v1/depth-of-field`: what is sharp, by a named model."""

from collections.abc import Mapping
from typing import Any

from marshmallow import ValidationError, fields, validate, validates_schema

from closeup_service.schemas.answers import AnswerSchema, OpenSchema
from closeup_service.schemas.effective_f_number import EffectiveFNumberRequest
from closeup_service.schemas.fields import Text, quantity, result
from closeup_service.schemas.sensor import SensorFields

MODELS = ("geometric",)
EXTENTS = ("finite", "unlimited", "undetermined")

MODEL_META = {"description": "Model of the depth of field; assumed geometric."}


class DepthOfFieldRequest(EffectiveFNumberRequest, SensorFields):
    """One lens at a marked f-number and a magnification, with a blur criterion or the sensor."""

    circle_of_confusion_mm = quantity("circle_of_confusion_mm")
    focal_length_mm = quantity("focal_length_mm")
    model = Text(MODELS, metadata=MODEL_META)
    wavelength_nm = quantity("wavelength_nm")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def blur_or_sensor(self, data: Mapping[str, Any], original: Mapping[str, Any], **kwargs: Any) -> None:
        """The blur criterion, or the sensor that one is assumed from."""
        del kwargs
        if not any(name in original for name in ("circle_of_confusion_mm", "sensor", "sensor_width_mm")):
            raise ValidationError(
                "Give the blur you accept on the sensor, or the sensor to assume its diagonal / 1500.",
                "circle_of_confusion_mm",
            )


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
    circle_of_confusion_mm = result("circle_of_confusion_mm", nullable=False)
