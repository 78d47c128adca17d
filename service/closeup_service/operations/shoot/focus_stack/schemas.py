"""`/v1/focus-stack`: frames and step of a focus stack, on a rail or by the focus ring."""

from collections.abc import Mapping
from typing import Final

from marshmallow import ValidationError, fields, validate, validates_schema

from closeup_service.language import tr
from closeup_service.operations.set_up.depth_of_field.schemas import DepthOfFieldRequest, DepthSchema
from closeup_service.optics.stack import MOST_FRAMES
from closeup_service.optics.vocabulary import VOCABULARY
from closeup_service.schemas.answers import AnswerSchema
from closeup_service.schemas.fields import Text, quantity, result
from closeup_service.schemas.surroundings import SurroundingsFields

METHODS: Final = ("rail", "ring")
RING_MOVES: Final = ("lens", "rear-standard")
OF_ONE_METHOD = {"rail_step_um": "rail", "ring_moves": "ring"}
"""Members that count for one method only, and which."""


class FocusStackRequest(DepthOfFieldRequest, SurroundingsFields):
    """One lens at a marked f-number and a magnification, what counts as sharp, and how deep the subject is."""

    subject_depth_mm = quantity("subject_depth_mm", required=True)
    method = Text(
        METHODS,
        metadata={
            "description": "What moves: a rail under camera and lens together (assumed), or the focus ring or a standard of "
            "the bellows."
        },
    )
    overlap = quantity(
        "overlap",
        meaning="Least share of the depth between two neighbouring frames that both are sharp over; assumed 0.2.",
    )
    ring_moves = Text(
        RING_MOVES,
        metadata={
            "description": "What focusing moves, for method ring: the whole lens before a camera that stands still (assumed), "
            "by its focus ring or by the front standard of a bellows, which carries a reversed lens too; or the rear standard "
            "with the sensor behind a lens that stands still."
        },
    )
    rail_step_um = quantity("rail_step_um")
    clearance_mm = quantity(
        "clearance_mm",
        meaning="What is left between the subject's nearest point and what stands out in front, focused on that point.",
    )
    settle_s = quantity("settle_s")
    exposure_time_s = quantity("exposure_time_s")
    flash_recycle_s = quantity("flash_recycle_s")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_a_depth_at_all(
        self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object
    ) -> None:
        """A flat subject needs no stack."""
        del original, kwargs
        if data.get("subject_depth_mm") == 0:
            raise ValidationError(tr("A flat subject needs no stack: one frame does it."), "subject_depth_mm")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def members_of_one_method(
        self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object
    ) -> None:
        """Refuse what counts for the other method only."""
        del kwargs
        method = data.get("method", METHODS[0])
        if "method" in original and "method" not in data:
            return
        wrong = {
            name: [tr("Counts for method {only} only: leave it out, or give that method.", only=only)]
            for name, only in OF_ONE_METHOD.items()
            if name in original and only != method
        }
        if wrong:
            raise ValidationError(wrong)

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_what_a_ring_needs(
        self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object
    ) -> None:
        """Focusing changes the magnification by the focal length."""
        del kwargs
        if data.get("method") == "ring" and "focal_length_mm" not in original:
            text = tr("Needed with method ring: the magnification changes by the travel over it.")
            raise ValidationError(text, "focal_length_mm")


def count(name: str, most: int = MOST_FRAMES) -> fields.Integer:
    """Field of an answer for a number of frames."""
    return fields.Integer(
        required=True,
        validate=validate.Range(1, most),
        metadata={"description": VOCABULARY[name].meaning, "format": "int32"},
    )


class FocusStackAnswer(AnswerSchema):
    """The frames of the stack, the step, and what changes along it."""

    frames = count("frames")
    frames_end_to_end = count("frames_end_to_end", 2 * MOST_FRAMES)
    frames_varying_step = count("frames_varying_step")
    step_mm = result(
        "step_mm",
        meaning="Step between frames, of what moves: the rail, the lens or the rear standard; null with a single frame.",
    )
    travel_mm = result("travel_mm", nullable=False)
    overlap = result(
        "overlap",
        meaning="Least share of the depth between neighbours that both are sharp over, with this step; null with a single "
        "frame.",
    )
    positions_mm = fields.List(
        result("positions_mm", nullable=False),
        required=True,
        validate=validate.Length(1, MOST_FRAMES),
        metadata={"description": "Plane of focus of each frame, from the subject's nearest point away from the lens."},
    )
    magnification_nearest = result("magnification_nearest", nullable=False)
    magnification_farthest = result("magnification_farthest", nullable=False)
    magnification_change = result("magnification_change", nullable=False)
    image_travel_mm = result("image_travel_mm", nullable=False)
    perspective_change = result("perspective_change")
    least_clearance_mm = result("least_clearance_mm")
    total_time_s = result("total_time_s")
    depth_of_field = fields.Nested(DepthSchema, required=True)
    effective_f_number = result("effective_f_number", nullable=False)
    circle_of_confusion_mm = result("circle_of_confusion_mm")
