"""`/v1/motion-blur`: what movement draws while light falls, and how still or how short is still enough."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, ClassVar

from marshmallow import ValidationError, fields, post_load, validate, validates_schema

from closeup_service.language import mark, tr
from closeup_service.schemas.answers import AnswerSchema
from closeup_service.schemas.fields import Loaded, Text, deprecated, quantity, result
from closeup_service.schemas.known_lens import EstimatedLensFields
from closeup_service.schemas.lens_mounting import MountingField
from closeup_service.schemas.sensor import SensorFields
from closeup_service.schemas.surroundings import NEEDED_WITH, SurroundingsFields

if TYPE_CHECKING:
    from closeup_service.records import requests

FLASH_SHAPES = ("exponential", "cut")
AXIAL_VERDICTS = ("within-depth", "beyond-depth", "undetermined")
MOTIONS = ("sideways_speed_mm_s", "axial_speed_mm_s", "rotation_rad_s", "vibration_amplitude_um")
FLASH_TIMES = ("flash_t01_s", "flash_t05_s")
ALLOWANCES = ("allowed_blur_um", "allowed_blur_px", "circle_of_confusion_mm")
FORMER_NAMES = {"allowed_blur_pixels": "allowed_blur_px"}
"""Members that are read under a former name too."""

COMPANIONS = {
    **NEEDED_WITH,
    "vibration_amplitude_um": ("vibration_frequency_hz", mark("how much of the stroke is drawn depends on it")),
    "vibration_frequency_hz": ("vibration_amplitude_um", mark("without it there is no vibration to count")),
    "rotation_rad_s": ("focal_length_mm", mark("the blur by rotation depends on it")),
    "rotation_distance_mm": ("rotation_rad_s", mark("without it nothing turns")),
    "depth_mm": ("axial_speed_mm_s", mark("the depth is held against axial movement")),
    "flash_shape": ("flash_t05_s", mark("the shape turns t0.5 into t0.1; with flash_t01_s leave it out")),
    "allowed_blur_px": ("pixel_pitch_um", mark("it turns pixels into um")),
    "allowed_blur_pixels": ("pixel_pitch_um", mark("it turns pixels into um")),
}
"""Each member that counts for nothing without another: that other, and why."""

SHAPE_META = {
    "description": "How the light of the flash dies: exponential, t0.1 = 3.32 t0.5; or cut short electronically, "
    "t0.1 = t0.5. Assumed exponential."
}


class MotionBlurRequest(SensorFields, MountingField, SurroundingsFields, EstimatedLensFields):
    """At least one motion, how long light falls, and the blur that is allowed where the reverse is wanted."""

    companions = COMPANIONS
    loaded: ClassVar[Loaded] = {**SensorFields.loaded, "allowed_blur_pixels": None}

    magnification = quantity("magnification", required=True)
    sideways_speed_mm_s = quantity("sideways_speed_mm_s")
    axial_speed_mm_s = quantity("axial_speed_mm_s")
    rotation_rad_s = quantity("rotation_rad_s")
    rotation_distance_mm = quantity("rotation_distance_mm")
    vibration_amplitude_um = quantity("vibration_amplitude_um")
    vibration_frequency_hz = quantity("vibration_frequency_hz")
    focal_length_mm = quantity("focal_length_mm", meaning="Focal length at the focus in use; counts for rotation only.")
    pupil_magnification = quantity("pupil_magnification")
    exposure_time_s = quantity("exposure_time_s")
    flash_t01_s = quantity("flash_t01_s")
    flash_t05_s = quantity("flash_t05_s")
    flash_shape = Text(FLASH_SHAPES, metadata=SHAPE_META)
    ambient_share = quantity("ambient_share")
    pixel_pitch_um = quantity("pixel_pitch_um")
    depth_mm = quantity("depth_mm")
    allowed_blur_um = quantity("allowed_blur_um")
    allowed_blur_px = quantity("allowed_blur_px")
    allowed_blur_pixels = deprecated(quantity("allowed_blur_pixels"))
    circle_of_confusion_mm = quantity("circle_of_confusion_mm")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_some_motion(self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object) -> None:
        """Refuse a request in which nothing moves."""
        del data, kwargs
        if not any(name in original for name in MOTIONS):
            text = tr("Give at least one motion: {motions}.", motions=", ".join(MOTIONS))
            raise ValidationError({name: [text] for name in MOTIONS})

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_one_statement_of_the_light(
        self, data: requests.MotionBlurRequest, original: Mapping[str, object], **kwargs: object
    ) -> None:
        """The shutter's time, a flash's duration in one form, or both with the share of each."""
        del kwargs
        flash = [name for name in FLASH_TIMES if name in original]
        if len(flash) > 1:
            text = tr("Give the flash's duration once, as t0.1 or as t0.5.")
            raise ValidationError({name: [text] for name in flash})
        if flash:
            refuse_ambient_light_without_time(data, original)
            return
        if "exposure_time_s" not in original:
            text = tr(
                "Give how long light falls: exposure_time_s, or a flash's duration as flash_t01_s or flash_t05_s.",
            )
            raise ValidationError(text, "exposure_time_s")
        if "ambient_share" in original:
            text = tr(
                "Without a flash all light is ambient: leave it out, or give flash_t01_s or flash_t05_s.",
            )
            raise ValidationError(text, "ambient_share")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_one_allowance(
        self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object
    ) -> None:
        """Refuse two statements of the allowed blur."""
        del data, kwargs
        given = [name for name in (*ALLOWANCES, *FORMER_NAMES) if name in original]
        if len(given) > 1:
            text = tr("Give the allowed blur once: {allowances}.", allowances=", ".join(ALLOWANCES))
            raise ValidationError({name: [text] for name in given})

    @post_load
    def under_present_names(self, data: dict[str, object], **kwargs: object) -> dict[str, object]:
        """Take what was given under a former name under its present one."""
        del kwargs
        return {FORMER_NAMES.get(name, name): value for name, value in data.items()}


def refuse_ambient_light_without_time(data: requests.MotionBlurRequest, original: Mapping[str, object]) -> None:
    """Ambient light falls while the shutter is open: for how long must be known."""
    if data.get("ambient_share") == 1:
        raise ValidationError(tr("With no light from the flash leave the flash out."), "ambient_share")
    if data.get("ambient_share", 0.0) > 0 and "exposure_time_s" not in original:
        raise ValidationError(tr("Needed with ambient_share: ambient light falls for that time."), "exposure_time_s")


AXIAL_META = {
    "description": "Whether the axial movement is no longer than the depth; undetermined where either was not given."
}


class MotionBlurAnswer(AnswerSchema):
    """Blur by each motion and together, and the longest time and the largest motions within the allowed blur.

    What belongs to a motion that was not given is null.
    """

    blur_time_s = result("blur_time_s", nullable=False)
    sensor_blur_um = result("sensor_blur_um", nullable=False)
    subject_blur_um = result("subject_blur_um", nullable=False)
    sensor_blur_px = result("sensor_blur_px", required=False)
    sensor_blur_pixels = deprecated(result("sensor_blur_pixels"))
    sideways_blur_um = result("sideways_blur_um")
    rotation_blur_um = result("rotation_blur_um")
    vibration_blur_um = result("vibration_blur_um")
    axial_movement_um = result("axial_movement_um")
    axial_verdict = fields.String(required=True, validate=validate.OneOf(AXIAL_VERDICTS), metadata=AXIAL_META)
    flash_share = result("flash_share")
    ambient_share = result("ambient_share")
    ambient_blur_um = result("ambient_blur_um")
    allowed_blur_um = result("allowed_blur_um")
    longest_time_s = result(
        "longest_time_s", meaning="Longest time within the allowed blur; null where none is too long."
    )
    largest_sideways_speed_mm_s = result("largest_sideways_speed_mm_s")
    largest_rotation_rad_s = result("largest_rotation_rad_s")
    largest_amplitude_um = result("largest_amplitude_um")
    longest_axial_time_s = result("longest_axial_time_s")
    largest_axial_speed_mm_s = result("largest_axial_speed_mm_s")
