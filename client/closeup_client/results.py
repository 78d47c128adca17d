"""What the service answers, as frozen records: lengths in mm, blur in um, ratios without a unit, light in stops.

A member is None where the request does not determine it; a remark then names what is missing. Members that a newer
service adds are found in `raw`.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, cast

from closeup_client.answer import Answer, Caution, Remark
from closeup_client.elements import Lens
from closeup_client.exposure_results import Exposure


@dataclass(frozen=True, slots=True, kw_only=True)
class CautionRecord(Caution):
    """A caution of the whole list, in general words, and what it applies to."""

    applies_to: str
    raw: Mapping[str, Any] = field(repr=False, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class MagnificationAnswer(Answer):
    """The magnification (sensor over subject), the extension that gives it, and what fills the frame."""

    magnification: float
    extension_mm: float | None
    subject_width_mm: float | None
    subject_height_mm: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkingDistanceAnswer(Answer):
    """Distances of the subject: from the front joining face, the front principal plane, and the sensor."""

    working_distance_mm: float | None
    subject_distance_mm: float
    subject_to_sensor_mm: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class EffectiveFNumberAnswer(Answer):
    """The effective aperture, and the light it costs against the marked one."""

    effective_f_number: float
    light_loss_stops: float
    exposure_factor: float
    numerical_aperture: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DepthOfField:
    """Depth by one model; each extent is `finite`, `unlimited` or `undetermined`, and its depth None unless finite."""

    model: str
    front_depth_mm: float | None
    rear_depth_mm: float | None
    front_extent: str
    rear_extent: str
    total_mm: float | None
    depth_of_focus_mm: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class DepthOfFieldAnswer(Answer):
    """Members of `DepthOfField`, with the effective f-number and the blur criterion that they stand on."""

    model: str
    front_depth_mm: float | None
    rear_depth_mm: float | None
    front_extent: str
    rear_extent: str
    total_mm: float | None
    depth_of_focus_mm: float | None
    effective_f_number: float
    circle_of_confusion_mm: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class DetailContrast:
    """Contrast in focus of one detail, in line pairs per mm, by diffraction alone and with the pixels."""

    sensor_detail_lp_per_mm: float
    subject_detail_lp_per_mm: float
    contrast: float
    contrast_with_pixels: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class DiffractionAnswer(Answer):
    """Members of `Diffraction`, the contrast of each detail, coarsest first, and the aperture beyond which blur wins."""

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
    effective_f_number: float
    numerical_aperture: float
    details: tuple[DetailContrast, ...]
    filled_megapixels: float | None
    largest_useful_f_number: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ApertureContrast:
    """One mark of the ring, and the contrast of the detail in the middle and at both ends of the depth."""

    nominal_f_number: float
    f_number: float
    effective_f_number: float
    middle_contrast: float
    ends_resolved: bool
    end_contrast: float


@dataclass(frozen=True, slots=True, kw_only=True)
class OptimumApertureAnswer(Answer):
    """The best aperture by the closed form and, with a detail, the ring's best; `advice` is one word."""

    effective_f_number: float
    f_number: float
    nominal_f_number: float
    sensor_detail_lp_per_mm: float | None
    curve: tuple[ApertureContrast, ...]
    advice: str | None
    best: ApertureContrast | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FlashAnswer(Answer):
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


@dataclass(frozen=True, slots=True, kw_only=True)
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


@dataclass(frozen=True, slots=True, kw_only=True)
class ClearOpeningAnswer(Answer):
    """The openings, one for each distance, and the field and the pupil that they stand between."""

    subject_diagonal_mm: float
    working_distance_mm: float | None
    entrance_pupil_distance_mm: float
    entrance_pupil_diameter_mm: float
    effective_f_number: float
    numerical_aperture: float
    openings: tuple[ClearOpening, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MotionBlurAnswer(Answer):
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


@dataclass(frozen=True, slots=True, kw_only=True)
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


@dataclass(frozen=True, slots=True, kw_only=True)
class FocusStackAnswer(Answer):
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Contribution:
    """What one source of error adds: `reading`, `ruler`, `sensor` or `tilt`."""

    source: str
    relative_uncertainty: float
    variance_share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ScaleReadingAnswer(Answer):
    """The magnification that a ruler shows, with its standard uncertainty and the interval that holds it at 95 %."""

    magnification: float
    ratio: str
    magnification_uncertainty: float
    relative_uncertainty: float
    magnification_low: float | None
    magnification_high: float
    ruler_length_mm: float
    scale_px_per_mm: float | None
    subject_width_mm: float | None
    subject_height_mm: float | None
    subject_width_uncertainty_mm: float | None
    dominant: str | None
    contributions: tuple[Contribution, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneSharpness:
    """Sharpness in one zone of the frame, such as `top-left`: the width of the marks' edges from 10 to 90 %."""

    zone: str
    edge_width_um: float | None
    edge_width_px: float | None
    edges: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ColourShift:
    """How far red and blue stand from green at one end of the visible scale, positive away from the middle."""

    x_px: float
    y_px: float
    red_shift_px: float
    blue_shift_px: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ScalePhotoAnswer(Answer):
    """What a photograph of a ruler tells; `overlay` is a PNG file of the photograph with what was found drawn over it."""

    scale_px_per_mm: float
    scale_uncertainty_px_per_mm: float
    scale_low_px_per_mm: float | None
    scale_high_px_per_mm: float
    mean_scale_px_per_mm: float
    magnification: float | None
    ratio: str | None
    magnification_uncertainty: float | None
    relative_uncertainty: float
    magnification_low: float | None
    magnification_high: float | None
    subject_width_mm: float
    subject_height_mm: float
    contributions: tuple[Contribution, ...]
    tilt_deg: float | None
    tilt_uncertainty_deg: float | None
    keystone: float
    distortion: float
    distortion_uncertainty: float
    lateral_colour_um: float | None
    red_scale_difference: float | None
    blue_scale_difference: float | None
    fall_off_stops: float | None
    zones: tuple[ZoneSharpness, ...]
    colour_shifts: tuple[ColourShift, ...]
    marks_used: int
    direction_deg: float
    dark_marks: bool
    suggested_tick_pitch_mm: float | None
    image_width_px: float
    image_height_px: float
    bits_in_file: int
    bits_used: int
    overlay: bytes | None = field(repr=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparedFrame:
    """One photograph of a comparison; `sharpness_score` is 1 for the sharpest in every zone."""

    frame: int
    sharpness_score: float | None
    scale_px_per_mm: float
    scale_difference: float
    magnification: float | None
    relative_uncertainty: float
    tilt_deg: float | None
    distortion: float
    lateral_colour_um: float | None
    fall_off_stops: float | None
    marks_used: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparedZone:
    """One zone of a comparison: the sharpest photograph there, by number from 1, and the edges of all."""

    zone: str
    best_frame: int | None
    edge_widths_um: tuple[float | None, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ScaleComparisonAnswer(Answer):
    """Which of several photographs of a ruler is sharpest, by number from 1, zone by zone and over all."""

    best_frame: int | None
    frames: tuple[ComparedFrame, ...]
    zones: tuple[ComparedZone, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ScaleBarAnswer(Answer):
    """The bar's length on the subject, in the finished picture and on the print; `svg` is the bar itself."""

    bar_length_um: float
    bar_px: float
    drawn_px: float
    bar_share: float
    label: str
    caption: str
    scale_px_per_mm: float
    subject_width_mm: float
    bar_uncertainty_um: float | None
    depth_scale_change: float | None
    print_bar_mm: float | None
    print_magnification: float | None
    svg: str


@dataclass(frozen=True, kw_only=True)
class LensEstimate:
    """One number for each quantity of a measured lens; None where it is not determined."""

    focal_length_mm: float | None
    front_principal_plane_mm: float | None
    rear_principal_plane_mm: float | None
    extension_at_infinity_mm: float | None
    pupil_magnification: float | None
    principal_plane_separation_mm: float | None
    f_number_estimate: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class FrameResidual:
    """One frame against the fitted lens."""

    extension_mm: float
    magnification: float
    magnification_residual: float
    magnification_uncertainty: float | None
    standardised_residual: float | None
    outlier: bool
    working_distance_residual_mm: float | None
    subject_to_sensor_residual_mm: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class AddedFrames:
    """So many further frames at one extension."""

    extension_mm: float
    frames: int


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredUncertainty:
    """Covariance of what a measured lens is uncertain in, row by row."""

    parameters: tuple[str, ...]
    covariance: tuple[tuple[float, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredLens:
    """The lens as an element of a train; `part` is that element."""

    element: str
    focal_length_mm: float
    front_principal_plane_mm: float | None = None
    register_mm: float | None = None
    rear_principal_plane_mm: float | None = None
    principal_plane_separation_mm: float | None = None
    pupil_magnification: float | None = None
    f_number: float | None = None
    reversed: bool | None = None
    uncertainty: MeasuredUncertainty | None = None
    raw: Mapping[str, Any] = field(repr=False, compare=False)

    @property
    def part(self) -> Lens:
        """Part of a train, ready for `evaluate`."""
        return cast(Lens, dict(self.raw))


@dataclass(frozen=True, kw_only=True)
class LensMembers(LensEstimate):
    """A lens measured, with its standard uncertainties, 95 % intervals and what the frames say of themselves."""

    uncertainty: LensEstimate
    lower_95: LensEstimate
    upper_95: LensEstimate
    parameters: tuple[str, ...]
    covariance: tuple[tuple[float, ...], ...]
    degrees_of_freedom: int | None
    chi_square: float | None
    residuals: tuple[FrameResidual, ...]
    repeats_to_halve: int | None
    frames_to_halve: tuple[AddedFrames, ...]
    lens: MeasuredLens | None = None


@dataclass(frozen=True, kw_only=True)
class SettingLens(LensMembers):
    """The lens at one setting of a zoom."""

    setting: float
    remarks: tuple[Remark, ...]


@dataclass(frozen=True, kw_only=True)
class LensCalibrationAnswer(LensMembers, Answer):
    """The lens measured; of a zoom the one interpolated, and under `settings` every one that was measured."""

    settings: tuple[SettingLens, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SetUpUncertainty:
    """Standard uncertainty of each result of a set-up; None where it has none. The depths are of the depth of field."""

    magnification: float | None
    subject_width_mm: float | None
    subject_height_mm: float | None
    working_distance_mm: float | None
    clearance_mm: float | None
    subject_to_sensor_mm: float | None
    rig_length_mm: float | None
    effective_f_number: float | None
    numerical_aperture: float | None
    light_loss_stops: float | None
    front_depth_mm: float | None
    rear_depth_mm: float | None
    total_mm: float | None
    depth_of_focus_mm: float | None
    optimum_effective_f_number: float | None
    optimum_f_number: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Solved:
    """The open length: its JSON pointer in the document, and its value in mm."""

    pointer: str
    value: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SetUpAnswer(Answer):
    """Everything about one set-up; `aperture_stop` is the index in the train of the part whose stop governs."""

    magnification: float
    subject_width_mm: float | None
    subject_height_mm: float | None
    working_distance_mm: float | None
    clearance_mm: float | None
    subject_to_sensor_mm: float | None
    rig_length_mm: float | None
    effective_f_number: float | None
    numerical_aperture: float | None
    light_loss_stops: float | None
    aperture_stop: int | None
    depth_of_field: DepthOfField
    diffraction: Diffraction
    optimum_effective_f_number: float | None
    optimum_f_number: float | None
    stack_frames: int | None
    stack_step_mm: float | None
    allowed_movement_um: float | None
    solved: Solved | None = None
    exposure: Exposure | None = None
    clear_opening: ClearOpening | None = None
    uncertainty: SetUpUncertainty | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """What every record of the catalogue says of itself, its source included."""

    id: str
    names: tuple[str, ...]
    source: str
    source_status: str
    raw: Mapping[str, Any] = field(repr=False, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class SensorRecord(Record):
    """A sensor or film format by its picture area, in mm."""

    width_mm: float
    height_mm: float
    diagonal_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MountRecord(Record):
    """A lens mount: its register and throat in mm, and its thread in the catalogue where it is one."""

    register_mm: float
    kind: str
    throat_mm: float | None
    thread: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadRecord(Record):
    """A thread of a filter, mount or objective: major diameter and pitch in mm."""

    diameter_mm: float
    pitch_mm: float
    use: str
