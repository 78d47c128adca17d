"""The sums that can be embedded: what each asks for first, what it asks for on demand, and what it shows."""

from collections.abc import Mapping

from marshmallow import Schema
from msgspec import Struct

from closeup_service.operations.light.flash.schemas import FlashRequest
from closeup_service.operations.plan.magnification.schemas import MagnificationRequest
from closeup_service.operations.set_up.depth_of_field.schemas import DepthOfFieldRequest
from closeup_service.operations.set_up.diffraction.schemas import DiffractionRequest
from closeup_service.operations.set_up.effective_f_number.schemas import EffectiveFNumberRequest
from closeup_service.operations.set_up.working_distance.schemas import WorkingDistanceRequest
from closeup_service.operations.shoot.motion_blur.schemas import MotionBlurRequest


class Sum(Struct, frozen=True):
    """One sum as it is embedded; `name` is the last part of its address in the API."""

    name: str
    operation_id: str
    request: type[Schema]
    fields: tuple[str, ...]
    more: tuple[str, ...]
    results: tuple[str, ...]
    example: Mapping[str, str]
    """An example as people type it, from the invented kit."""

    @property
    def path(self) -> str:
        """Address in the API."""
        return f"/v1/{self.name}"

    @property
    def members(self) -> tuple[str, ...]:
        """Every field, in its order."""
        return (*self.fields, *self.more)


LENS = ("mounting", "pupil_magnification")
SUMS: Mapping[str, Sum] = {
    each.name: each
    for each in (
        Sum(
            "effective-f-number",
            "findEffectiveFNumber",
            EffectiveFNumberRequest,
            ("f_number", "magnification", "mounting"),
            ("pupil_magnification",),
            ("effective_f_number", "light_loss_stops", "exposure_factor"),
            {"f_number": "f/8", "magnification": "1.5:1", "mounting": "reversed", "pupil_magnification": "1.3"},
        ),
        Sum(
            "depth-of-field",
            "findDepthOfField",
            DepthOfFieldRequest,
            ("f_number", "magnification", "sensor", "mounting"),
            ("circle_of_confusion_mm", "focal_length_mm", "pupil_magnification"),
            ("total_mm", "front_depth_mm", "rear_depth_mm", "effective_f_number"),
            {"f_number": "f/5.6", "magnification": "2:1", "sensor": "23.5x15.6", "mounting": "reversed"},
        ),
        Sum(
            "magnification",
            "findMagnification",
            MagnificationRequest,
            ("subject_width_mm", "sensor"),
            ("extension_mm", "focal_length_mm"),
            ("magnification", "subject_width_mm", "subject_height_mm", "extension_mm"),
            {"subject_width_mm": "15", "sensor": "23.5x15.6"},
        ),
        Sum(
            "working-distance",
            "findWorkingDistance",
            WorkingDistanceRequest,
            ("focal_length_mm", "magnification", "mounting"),
            ("lens_register_mm", "front_principal_plane_mm", "principal_plane_separation_mm"),
            ("working_distance_mm", "subject_distance_mm", "subject_to_sensor_mm"),
            {"focal_length_mm": "35", "magnification": "1.57:1", "mounting": "reversed", "lens_register_mm": "45.46"},
        ),
        Sum(
            "motion-blur",
            "findMotionBlur",
            MotionBlurRequest,
            ("magnification", "sideways_speed_mm_s", "exposure_time_s"),
            ("flash_t05_s", "pixel_pitch_um", "allowed_blur_um"),
            ("sensor_blur_um", "subject_blur_um", "sensor_blur_px", "longest_time_s"),
            {"magnification": "1:1", "sideways_speed_mm_s": "2", "exposure_time_s": "1/125", "pixel_pitch_um": "3.9"},
        ),
        Sum(
            "flash",
            "findFlash",
            FlashRequest,
            ("guide_number_m", "f_number", "magnification", "flash_distance_mm"),
            ("iso", "flash_power_fraction", "transmission", *LENS),
            ("flash_power_fraction", "f_number", "flash_distance_mm", "pops", "exposure_difference_stops"),
            {"guide_number_m": "28", "f_number": "f/8", "magnification": "2:1", "flash_distance_mm": "150"},
        ),
        Sum(
            "diffraction",
            "findDiffraction",
            DiffractionRequest,
            ("f_number", "magnification", "mounting"),
            ("sensor", "pixel_pitch_um", "pupil_magnification"),
            ("effective_f_number", "airy_diameter_um", "subject_resolution_um", "largest_useful_f_number"),
            {"f_number": "f/8", "magnification": "2:1", "sensor": "23.5x15.6"},
        ),
    )
}
