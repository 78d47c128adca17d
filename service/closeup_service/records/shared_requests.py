"""Requests of operations of several kinds, as they are loaded.

Written by `python -m closeup_service.published.record_types` from the service's schemas; not to be edited.
"""

from collections.abc import Sequence
from typing import Literal, Required, TypeAlias, TypedDict


class SensorFields(TypedDict, total=False):
    """`sensor`, or `sensor_width_mm` and `sensor_height_mm`; loading turns the id into the measures."""

    sensor_width_mm: float
    sensor_height_mm: float


class MountingField(TypedDict, total=False):
    """`mounting`, assumed normal."""

    mounting: Literal["normal", "reversed"]


class EffectiveFNumberRequest(MountingField, total=False):
    """One lens at a marked f-number and a magnification."""

    f_number: Required[float]
    magnification: Required[float]
    pupil_magnification: float


class LightFields(TypedDict, total=False):
    """Light of the sums, and the pixels' part in the contrast."""

    wavelength_nm: float
    light: Literal["one-wavelength", "white"]
    pixel_fill: float


class DetailFields(LightFields, total=False):
    """The detail whose contrast counts."""

    sensor_detail_lp_per_mm: float
    subject_detail_lp_per_mm: float
    contrast: float


class PrintFields(TypedDict, total=False):
    """The finished print, as a way to the blur criterion."""

    print_width_mm: float
    viewing_distance_mm: float
    acuity_arcmin: float


class SharpnessFields(DetailFields, PrintFields, SensorFields, total=False):
    """Everything that a model of sharpness can be measured by, for the flat resources."""

    circle_of_confusion_mm: float
    pixel_pitch_um: float
    model: Literal["combined", "geometric", "wave", "contrast"]


class DepthOfFieldRequest(EffectiveFNumberRequest, SharpnessFields, total=False):
    """One lens at a marked f-number and a magnification, with what its model of sharpness is measured by."""

    focal_length_mm: float


class RingFields(TypedDict, total=False):
    """Marks of the aperture ring: a list, or a series between two ends."""

    aperture_series: Literal["full", "half", "third"]
    least_f_number: float
    greatest_f_number: float
    f_numbers: Sequence[float]


class SurroundingsFields(TypedDict, total=False):
    """All optional, and none changes a number: they decide which cautions the answer carries."""

    subject_kind: Literal["still", "living", "person", "wet-specimen", "fluid-specimen"]
    light_source: Literal["sun", "lamp", "ultraviolet-lamp", "laser"]
    mains_powered: bool
    modelling_lamp_distance_mm: float
    least_lamp_distance_mm: float
    duty_limit_pops: int
    old_flash: bool
    trigger_voltage_v: float
    trigger_limit_v: float


class SettingsFields(TypedDict, total=False):
    """What is set beside the lens; in the planned frame, what is left out stays as in the reference."""

    exposure_time_s: float
    iso: float
    flash_power: float
    flash_distance_mm: float
    source_diameter_mm: float
    pops: int
    transmission: float
    flash_transmission: float
    filter_stops: float


class Reference(SettingsFields, MountingField, total=False):
    """The frame that was right: its settings, and its aperture unless a set-up gives it."""

    effective_f_number: float
    f_number: float
    magnification: float
    pupil_magnification: float


class FlashScale(TypedDict, total=False):
    """The scale of the head's power setting, and its range; a dial needs all but the step."""

    kind: Literal["fraction", "joules", "stops-below-full", "dial"]
    least: float
    greatest: float
    unit_stops: float
    step_stops: float


class Ambient(TypedDict, total=False):
    """Ambient light: a meter's exposure value, or a test frame without flash, at the planned settings unless it says else."""

    exposure_value: float
    below_mid_grey_stops: float
    exposure_time_s: float
    iso: float
    effective_f_number: float
    black_stops: float
    sideways_speed_mm_s: float


class Finder(TypedDict, total=False):
    """The lens's widest mark, and the mark at which one looks and focuses."""

    least_f_number: Required[float]
    focusing_f_number: float


class ExposureFields(TypedDict, total=False):
    """What every exposure is reckoned from, beside the planned frame."""

    reference: Required[Reference]
    unknown: Required[Literal["exposure_time_s", "iso", "flash_power", "flash_distance_mm", "f_number"]]
    light: Literal["continuous", "flash"]
    flash_scale: FlashScale
    sync_time_s: float
    ambient: Ambient
    finder: Finder
    magnifications: Sequence[float]


class Camera(SensorFields, total=False):
    """The camera: one of the kit's, or its register and what is known of its sensor."""

    use: str
    register_mm: float
    pixel_pitch_um: float
    circle_of_confusion_mm: float


class LensUncertainty(TypedDict, total=False):
    """What of a lens is uncertain, and the covariance, such as /v1/lens-calibration gives them."""

    parameters: Required[Sequence[str]]
    covariance: Required[Sequence[Sequence[float]]]
    degrees_of_freedom: float
    scatter_covariance: Sequence[Sequence[float]]


class Lens(TypedDict, total=False):
    """Camera, enlarger or any other thick lens."""

    element: Required[Literal["lens"]]
    focal_length_mm: Required[float]
    f_number: float
    pupil_magnification: float
    front_principal_plane_mm: float
    register_mm: float
    rear_principal_plane_mm: float
    principal_plane_separation_mm: float
    focusing_extension_mm: float
    reversed: bool
    front_diameter_mm: float
    front_protrusion_mm: float
    image_circle_mm: float
    uncertainty: LensUncertainty


class Spacer(TypedDict, total=False):
    """Any tube, ring, bellows, helicoid or adapter."""

    element: Required[Literal["spacer"]]
    length_mm: float
    clear_diameter_mm: float


class CloseUpLens(TypedDict, total=False):
    """Supplementary lens screwed to the front; power or focal length."""

    element: Required[Literal["close-up-lens"]]
    power_dpt: float
    focal_length_mm: float
    length_mm: float
    front_principal_plane_mm: float
    rear_principal_plane_mm: float


class Teleconverter(TypedDict, total=False):
    """Negative lens between lens and camera."""

    element: Required[Literal["teleconverter"]]
    factor: Required[float]
    added_length_mm: float
    focal_length_mm: float
    register_mm: float


class Objective(TypedDict, total=False):
    """Microscope objective, infinity-corrected or of finite conjugates, as engraved."""

    element: Required[Literal["objective"]]
    magnification: Required[float]
    numerical_aperture: Required[float]
    tube_lens_focal_length_mm: float
    tube_length_mm: float
    focal_length_mm: float
    working_distance_mm: float
    parfocal_distance_mm: float
    field_number_mm: float


class KitPart(TypedDict, total=False):
    """A part of the kit; what is said of its use depends on the part."""

    element: Required[Literal["kit-part"]]
    use: Required[str]
    reversed: bool
    f_number: float
    setting: str
    length_mm: float
    focusing_extension_mm: float


class Target(TypedDict, total=False):
    """What the open length is to reach: exactly one member."""

    magnification: float
    working_distance_mm: float
    subject_width_mm: float


class Solve(TypedDict, total=False):
    """Solve one open length of the train, left out there, for a target."""

    unknown: Required[str]
    minimum: float
    maximum: float
    target: Required[Target]


class FocusStackRequest(DepthOfFieldRequest, SurroundingsFields, total=False):
    """One lens at a marked f-number and a magnification, what counts as sharp, and how deep the subject is."""

    subject_depth_mm: Required[float]
    method: Literal["rail", "ring"]
    overlap: float
    ring_moves: Literal["lens", "rear-standard"]
    rail_step_um: float
    clearance_mm: float
    settle_s: float
    exposure_time_s: float
    flash_recycle_s: float


class CalibrationFrame(TypedDict, total=False):
    """One frame of a ruler: how far the lens was extended, and what was read."""

    extension_mm: float
    focusing_extension_mm: float
    magnification: Required[float]
    magnification_uncertainty: float
    working_distance_mm: float
    working_distance_uncertainty_mm: float
    subject_to_sensor_mm: float
    subject_to_sensor_uncertainty_mm: float


class MeasuredLensFields(TypedDict, total=False):
    """Frames and pupils of one lens at one setting."""

    frames: Sequence[CalibrationFrame]
    focal_length_mm: float
    focal_length_uncertainty_mm: float
    entrance_pupil_diameter_mm: float
    entrance_pupil_diameter_uncertainty_mm: float
    exit_pupil_diameter_mm: float
    exit_pupil_diameter_uncertainty_mm: float
    reference_f_number: float
    reference_light_loss_stops: float
    reference_light_loss_uncertainty_stops: float


class ZoomSetting(TypedDict, total=False):
    """One setting of a zoom: a lens of its own."""

    frames: Required[Sequence[CalibrationFrame]]
    focal_length_mm: float
    focal_length_uncertainty_mm: float
    entrance_pupil_diameter_mm: float
    entrance_pupil_diameter_uncertainty_mm: float
    exit_pupil_diameter_mm: float
    exit_pupil_diameter_uncertainty_mm: float
    reference_f_number: float
    reference_light_loss_stops: float
    reference_light_loss_uncertainty_stops: float
    setting: Required[float]


class LensCalibrationRequest(MeasuredLensFields, MountingField, total=False):
    """Frames of one lens, or of a zoom at several settings."""

    camera_register_mm: float
    lens_register_mm: float
    infinity_stop_play_mm: float
    error_model: Literal["constant", "relative"]
    least_extension_mm: float
    greatest_extension_mm: float
    settings: Sequence[ZoomSetting]
    interpolate_at: float


class DrawnFields(TypedDict, total=False):
    """How it is drawn; it changes no number."""

    width_px: int


Element: TypeAlias = Lens | Spacer | CloseUpLens | Teleconverter | Objective | KitPart
