"""What the service answers, as frozen records: lengths in mm, blur in um, ratios without a unit, light in stops.

A member is None where the request does not determine it; a remark then names what is missing. Members that a newer
service adds are found in `raw`.
"""

from dataclasses import dataclass

from closeup_client.answer import WorkedAnswer


@dataclass(frozen=True, kw_only=True)
class MagnificationAnswer(WorkedAnswer):
    """The magnification (sensor over subject), the extension that gives it, and what fills the frame."""

    magnification: float
    extension_mm: float | None
    subject_width_mm: float | None
    subject_height_mm: float | None


@dataclass(frozen=True, kw_only=True)
class WorkingDistanceAnswer(WorkedAnswer):
    """Distances of the subject: from the front joining face, the front principal plane, and the sensor."""

    working_distance_mm: float | None
    subject_distance_mm: float
    subject_to_sensor_mm: float | None


@dataclass(frozen=True, kw_only=True)
class EffectiveFNumberAnswer(WorkedAnswer):
    """The effective aperture, and the light it costs against the marked one."""

    effective_f_number: float
    light_loss_stops: float
    exposure_factor: float
    numerical_aperture: float


@dataclass(frozen=True, kw_only=True)
class DepthOfField:
    """Depth by one model; each extent is `finite`, `unlimited` or `undetermined`, and its depth None unless finite."""

    model: str
    front_depth_mm: float | None
    rear_depth_mm: float | None
    front_extent: str
    rear_extent: str
    total_mm: float | None
    depth_of_focus_mm: float | None


@dataclass(frozen=True, kw_only=True)
class DepthOfFieldAnswer(DepthOfField, WorkedAnswer):
    """The depth of field, with the effective f-number and the blur criterion that it stands on."""

    effective_f_number: float
    circle_of_confusion_mm: float | None


@dataclass(frozen=True, kw_only=True)
class DetailContrast:
    """Contrast in focus of one detail, in line pairs per mm, by diffraction alone and with the pixels."""

    sensor_detail_lp_per_mm: float
    subject_detail_lp_per_mm: float
    contrast: float
    contrast_with_pixels: float | None


@dataclass(frozen=True, kw_only=True)
class Diffraction:
    """What diffraction alone leaves in focus: Airy disk, resolution, cut-off, and what the pixels can carry.

    `sampling` is `pixels-limit`, `matched` or `diffraction-limits`.
    """

    wavelength_nm: float
    airy_diameter_um: float | None
    subject_airy_diameter_um: float | None
    sensor_resolution_um: float | None
    subject_resolution_um: float | None
    sensor_cutoff_lp_per_mm: float | None
    subject_cutoff_lp_per_mm: float | None
    nyquist_lp_per_mm: float | None
    nyquist_contrast: float | None
    filled_share: float | None
    sampling: str | None


@dataclass(frozen=True, kw_only=True)
class DiffractionAnswer(Diffraction, WorkedAnswer):
    """Diffraction, the contrast of each detail, coarsest first, and the aperture beyond which blur wins."""

    effective_f_number: float
    numerical_aperture: float
    details: tuple[DetailContrast, ...]
    filled_megapixels: float | None
    largest_useful_f_number: float | None


@dataclass(frozen=True, kw_only=True)
class ApertureContrast:
    """One mark of the ring, and the contrast of the detail in the middle and at both ends of the depth."""

    nominal_f_number: float
    f_number: float
    effective_f_number: float
    middle_contrast: float
    ends_resolved: bool
    end_contrast: float


@dataclass(frozen=True, kw_only=True)
class OptimumApertureAnswer(WorkedAnswer):
    """The best aperture by the closed form and, with a detail, the ring's best; `advice` is one word."""

    effective_f_number: float
    f_number: float
    nominal_f_number: float
    sensor_detail_lp_per_mm: float | None
    curve: tuple[ApertureContrast, ...]
    advice: str | None
    best: ApertureContrast | None = None


@dataclass(frozen=True, kw_only=True)
class FormatEquivalenceAnswer(WorkedAnswer):
    """What to set on the other camera; `numerical_aperture`, and with it the depth, is the same on both.

    `other_exposure_factor` counts on exposure time or ISO speed, against this sensor.
    """

    format_ratio: float
    other_magnification: float
    other_f_number: float
    other_nominal_f_number: float | None
    other_extension_mm: float | None
    same_perspective_focal_length_mm: float | None
    effective_f_number: float
    other_effective_f_number: float
    numerical_aperture: float
    circle_of_confusion_mm: float
    other_circle_of_confusion_mm: float
    other_exposure_factor: float
    other_exposure_stops: float


@dataclass(frozen=True, kw_only=True)
class FlashAnswer(WorkedAnswer):
    """What to set; `flash_power_fraction` above 1 is needed and not to be had, and the difference is then at full power."""

    f_number: float | None
    nominal_f_number: float | None
    effective_f_number: float
    light_loss_stops: float | None
    flash_distance_mm: float | None
    flash_power_fraction: float
    flash_power_stops: float
    pops: int
    pops_exact: float
    exposure_difference_stops: float
    guide_number_at_iso_m: float
    inverse_square_error: float | None
    inverse_square_error_stops: float | None


@dataclass(frozen=True, kw_only=True)
class ClearOpening:
    """Diameters that the picture's rays need in one plane; `clips` is `nothing`, `corners` or `axis`."""

    distance_mm: float | None
    distance_from_subject_mm: float
    full_diameter_mm: float
    axial_diameter_mm: float
    chief_diameter_mm: float
    clears: bool | None
    clips: str | None
    lit_field_share: float | None
    axial_loss_stops: float | None


@dataclass(frozen=True, kw_only=True)
class ClearOpeningAnswer(WorkedAnswer):
    """The openings, one for each distance, and the field and the pupil that they stand between."""

    subject_diagonal_mm: float
    working_distance_mm: float | None
    entrance_pupil_distance_mm: float
    entrance_pupil_diameter_mm: float
    effective_f_number: float
    numerical_aperture: float
    openings: tuple[ClearOpening, ...]


@dataclass(frozen=True, kw_only=True)
class MotionBlurAnswer(WorkedAnswer):
    """Blur by each motion and together, in um, and what stays within the allowed blur.

    What belongs to a motion that was not given is None. `axial_verdict` is `within-depth`, `beyond-depth` or
    `undetermined`.
    """

    blur_time_s: float
    sensor_blur_um: float
    subject_blur_um: float
    sensor_blur_pixels: float | None
    sideways_blur_um: float | None
    rotation_blur_um: float | None
    vibration_blur_um: float | None
    axial_movement_um: float | None
    axial_verdict: str
    flash_share: float | None
    ambient_share: float | None
    ambient_blur_um: float | None
    allowed_blur_um: float | None
    longest_time_s: float | None
    largest_sideways_speed_mm_s: float | None
    largest_rotation_rad_s: float | None
    largest_amplitude_um: float | None
    longest_axial_time_s: float | None
    largest_axial_speed_mm_s: float | None


@dataclass(frozen=True, kw_only=True)
class FocusStackAnswer(WorkedAnswer):
    """Frames and step of a stack, and what changes along it; `positions_mm` run from the subject's nearest point away.

    `step_mm` and `overlap` are None where one frame is enough.
    """

    frames: int
    frames_end_to_end: int
    frames_varying_step: int
    step_mm: float | None
    travel_mm: float
    overlap: float | None
    positions_mm: tuple[float, ...]
    magnification_nearest: float
    magnification_farthest: float
    magnification_change: float
    image_travel_mm: float
    perspective_change: float | None
    least_clearance_mm: float | None
    total_time_s: float | None
    depth_of_field: DepthOfField
    effective_f_number: float
    circle_of_confusion_mm: float | None
