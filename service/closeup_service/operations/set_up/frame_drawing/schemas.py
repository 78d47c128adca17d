"""`/v1/set-ups/frame-drawing`: the frame as it lies on the subject, and how the subject fills it."""

from collections.abc import Mapping

from marshmallow import ValidationError, fields, validates_schema

from closeup_service.language import tr
from closeup_service.operations.set_up.depth_of_field.schemas import DepthSchema
from closeup_service.operations.set_up.evaluate.schemas import SetUpRequest, SolvedSchema
from closeup_service.schemas.drawn import DrawnFields
from closeup_service.schemas.estimated import EstimatedAnswerSchema
from closeup_service.schemas.fields import NULL_WITH, open_result, quantity, result
from closeup_service.schemas.kit import kit_revision
from closeup_service.schemas.known_lens import ESTIMATE_UNKNOWN
from closeup_service.schemas.sensor import states_sensor


class FrameDrawingRequest(SetUpRequest, DrawnFields):
    """The set-up document of /v1/set-ups/evaluate, the subject's measures, and how wide it is to be drawn."""

    subject_width_mm = quantity("subject_width_mm", required=True, meaning="Width of the subject itself.")
    subject_height_mm = quantity("subject_height_mm", meaning="Height of the subject itself; assumed its width.")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_some_sensor(self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object) -> None:
        """Without a sensor there is no frame."""
        del data, kwargs
        camera = original.get("camera")
        if isinstance(camera, Mapping) and "use" not in camera and not states_sensor(camera):
            raise ValidationError({"camera": {"sensor": [tr("Needed to draw the frame.")]}})


class FrameDrawingAnswer(EstimatedAnswerSchema):
    """How the subject fills the frame, and how much of its depth is sharp."""

    magnification = open_result("magnification", ESTIMATE_UNKNOWN)
    frame_width_mm = open_result("subject_width_mm", ESTIMATE_UNKNOWN, meaning="Width of the frame on the subject.")
    frame_height_mm = open_result("subject_height_mm", ESTIMATE_UNKNOWN, meaning="Height of the frame on the subject.")
    subject_width_mm = result("subject_width_mm", meaning="Width of the subject itself.", nullable=False)
    subject_height_mm = result("subject_height_mm", meaning="Height of the subject itself.", nullable=False)
    filled_width_share = open_result("share", ESTIMATE_UNKNOWN, meaning="Width of the subject over that of the frame.")
    filled_height_share = open_result(
        "share", ESTIMATE_UNKNOWN, meaning="Height of the subject over that of the frame."
    )
    filled_area_share = open_result(
        "share",
        ESTIMATE_UNKNOWN,
        meaning="What the rectangle around the subject fills of the frame's area, at most all.",
    )
    overflows = fields.Boolean(
        required=True,
        allow_none=True,
        metadata={"description": "Whether the subject is wider or higher than the frame.", NULL_WITH: ESTIMATE_UNKNOWN},
    )
    depth_of_field = fields.Nested(DepthSchema, required=True)
    sharp_depth_share = result(
        "share", meaning="Total depth of field over the subject's depth; null where either is open."
    )
    solved = fields.Nested(SolvedSchema)
    kit_revision = kit_revision(required=False)
