"""Answers, as they are made.

Written by `python -m closeup_service.published` from the service's schemas; not to be edited.
"""

from collections.abc import Mapping, Sequence
from typing import Any, Required, TypedDict

from closeup_service.operations.set_up.table.schemas import AnyColumn


class Remark(TypedDict, total=False):
    """Something worth knowing about an answer."""

    code: Required[str]
    text: Required[str]


class Caution(Remark, total=False):
    """A usual caution, deferring to makers' instructions, local rules and qualified people."""

    concerns: Required[str]


class Answer(TypedDict, total=False):
    """Answers name what they assumed and carry remarks and cautions."""

    assumed: Required[Mapping[str, float | str]]
    remarks: Required[Sequence[Remark]]
    cautions: Required[Sequence[Caution]]


class MagnificationAnswer(Answer, total=False):
    """The magnification and what goes with it."""

    magnification: Required[float | None]
    extension_mm: Required[float | None]
    subject_width_mm: Required[float | None]
    subject_height_mm: Required[float | None]


class WorkingDistanceAnswer(Answer, total=False):
    """The distances of the subject."""

    working_distance_mm: Required[float | None]
    subject_distance_mm: Required[float]
    subject_to_sensor_mm: Required[float | None]


class EffectiveFNumberAnswer(Answer, total=False):
    """The effective aperture and the light it costs."""

    effective_f_number: Required[float]
    light_loss_stops: Required[float]
    exposure_factor: Required[float]
    numerical_aperture: Required[float]


class Depth(TypedDict, total=False):
    """Depth of field by one model."""

    model: Required[str]
    front_depth_mm: Required[float | None]
    rear_depth_mm: Required[float | None]
    front_extent: Required[str]
    rear_extent: Required[str]
    total_mm: Required[float | None]
    depth_of_focus_mm: Required[float | None]


class DepthOfFieldAnswer(Depth, Answer, total=False):
    """Depth of field, with the effective f-number and the blur criterion it stands on."""

    effective_f_number: Required[float]
    circle_of_confusion_mm: Required[float | None]


class DiffractionMembers(TypedDict, total=False):
    """What diffraction leaves in the plane of focus."""

    wavelength_nm: Required[float]
    airy_diameter_um: Required[float | None]
    subject_airy_diameter_um: Required[float | None]
    sensor_resolution_um: Required[float | None]
    subject_resolution_um: Required[float | None]
    sensor_cutoff_lp_per_mm: Required[float | None]
    subject_cutoff_lp_per_mm: Required[float | None]
    nyquist_lp_per_mm: Required[float | None]
    nyquist_contrast: Required[float | None]
    filled_share: Required[float | None]
    sampling: Required[str | None]


class DetailContrast(TypedDict, total=False):
    """Contrast of one detail in the plane of focus."""

    sensor_detail_lp_per_mm: Required[float]
    subject_detail_lp_per_mm: Required[float]
    contrast: Required[float]
    contrast_with_pixels: Required[float | None]


class DiffractionAnswer(DiffractionMembers, Answer, total=False):
    """What diffraction costs here, and from which marked aperture on it costs more than it gives."""

    effective_f_number: Required[float]
    numerical_aperture: Required[float]
    details: Required[Sequence[DetailContrast]]
    filled_megapixels: Required[float | None]
    largest_useful_f_number: Required[float | None]


class ApertureContrast(TypedDict, total=False):
    """One mark of the ring, and what it leaves of the detail; as best, the one with the most left at the ends, if any."""

    nominal_f_number: Required[float]
    f_number: Required[float]
    effective_f_number: Required[float]
    middle_contrast: Required[float]
    ends_resolved: Required[bool]
    end_contrast: Required[float]


class OptimumApertureAnswer(Answer, total=False):
    """The best aperture by the closed form, and the contrast-best of the ring for the detail."""

    effective_f_number: Required[float]
    f_number: Required[float]
    nominal_f_number: Required[float]
    covering_f_number: float
    sensor_detail_lp_per_mm: Required[float | None]
    best: ApertureContrast
    curve: Required[Sequence[ApertureContrast]]
    advice: Required[str | None]


class FormatEquivalenceAnswer(Answer, total=False):
    """What to set on the other camera, and what stays as it is."""

    format_ratio: Required[float]
    other_magnification: Required[float]
    other_f_number: Required[float]
    other_nominal_f_number: Required[float | None]
    other_extension_mm: Required[float | None]
    same_perspective_focal_length_mm: Required[float | None]
    effective_f_number: Required[float]
    other_effective_f_number: Required[float]
    numerical_aperture: Required[float]
    circle_of_confusion_mm: Required[float]
    other_circle_of_confusion_mm: Required[float]
    other_exposure_factor: Required[float]
    other_exposure_stops: Required[float]


class Stops(TypedDict, total=False):
    """Light gained by each setting that a frame states."""

    aperture_stops: Required[float]
    transmission_stops: Required[float]
    iso_stops: float
    exposure_time_stops: float
    power_stops: float
    flash_distance_stops: float
    pops_stops: float


class FrameLight(TypedDict, total=False):
    """The aperture of a frame."""

    effective_f_number: Required[float]
    light_loss_stops: Required[float | None]


class PlannedFrame(FrameLight, total=False):
    """The planned frame with the setting that was solved; settings that no frame states are left out."""

    f_number: float
    exposure_time_s: float
    iso: float
    flash_power: float
    flash_distance_mm: float


class PowerWay(TypedDict, total=False):
    """One way to close the gap, with the power at the end of its range."""

    setting: Required[str]
    value: Required[float]
    nominal_value: Required[float | None]


class FlashPower(TypedDict, total=False):
    """The power against the head's range; present when power is the unknown."""

    nearest_power: Required[float]
    missing_stops: Required[float]
    below_full_stops: Required[float | None]
    ways: Required[Sequence[PowerWay]]


class AmbientLight(TypedDict, total=False):
    """Ambient light under the flash; present when asked for."""

    under_flash_stops: Required[float | None]
    black_without_flash: Required[bool | None]
    ambient_share: Required[float | None]
    flash_share: Required[float | None]
    ambient_blur_um: float | None


class FinderLight(TypedDict, total=False):
    """How dim the finder is; present when asked for."""

    focusing_loss_stops: Required[float | None]
    taking_loss_stops: Required[float | None]
    modelling_light_factor: Required[float | None]


class ExposureRow(TypedDict, total=False):
    """The planned frame at one magnification; nulls, and a code, where it cannot be."""

    magnification: Required[float]
    length_mm: Required[float | None]
    effective_f_number: Required[float | None]
    light_loss_stops: Required[float | None]
    difference_stops: Required[float | None]
    value: Required[float | None]
    nominal_value: Required[float | None]
    missing_stops: Required[float | None]
    problem: Required[str | None]


class ExposureMembers(TypedDict, total=False):
    """The new setting, and what each change does to the light."""

    unknown: Required[str]
    value: Required[float]
    nominal_value: Required[float | None]
    marked_as: Required[str | None]
    nominal_difference_stops: Required[float | None]
    difference_stops: Required[float | None]
    light: Required[str]
    stops: Required[Stops]
    reference: Required[FrameLight]
    planned: Required[PlannedFrame]
    within_sync_time: bool
    flash_power: FlashPower
    ambient: AmbientLight
    finder: FinderLight
    rows: Required[Sequence[ExposureRow]]


class ExposureAnswer(ExposureMembers, Answer, total=False):
    """The new setting, with what was assumed and what is worth knowing."""

    kit_revision: str


class FlashAnswer(Answer, total=False):
    """What to set, and how far off the exposure is with it."""

    f_number: Required[float | None]
    nominal_f_number: Required[float | None]
    effective_f_number: Required[float]
    light_loss_stops: Required[float | None]
    flash_distance_mm: Required[float | None]
    flash_power_fraction: Required[float]
    flash_power_stops: Required[float]
    pops: Required[int]
    pops_exact: Required[float]
    exposure_difference_stops: Required[float]
    guide_number_at_iso_m: Required[float]
    inverse_square_error: Required[float | None]
    inverse_square_error_stops: Required[float | None]


class Opening(TypedDict, total=False):
    """What the picture's rays need in one plane; what a given opening takes there is null without it."""

    distance_mm: Required[float | None]
    distance_from_subject_mm: Required[float]
    full_diameter_mm: Required[float]
    axial_diameter_mm: Required[float]
    chief_diameter_mm: Required[float]
    clears: Required[bool | None]
    clips: Required[str | None]
    lit_field_share: Required[float | None]
    axial_loss_stops: Required[float | None]


class ClearOpeningAnswer(Answer, total=False):
    """The openings, and the field and the pupil that they stand between."""

    subject_diagonal_mm: Required[float]
    working_distance_mm: Required[float | None]
    entrance_pupil_distance_mm: Required[float]
    entrance_pupil_diameter_mm: Required[float]
    effective_f_number: Required[float]
    numerical_aperture: Required[float]
    openings: Required[Sequence[Opening]]


class MotionBlurAnswer(Answer, total=False):
    """Blur by each motion and together, and the longest time and the largest motions within the allowed blur."""

    blur_time_s: Required[float]
    sensor_blur_um: Required[float]
    subject_blur_um: Required[float]
    sensor_blur_px: float | None
    sensor_blur_pixels: Required[float | None]
    sideways_blur_um: Required[float | None]
    rotation_blur_um: Required[float | None]
    vibration_blur_um: Required[float | None]
    axial_movement_um: Required[float | None]
    axial_verdict: Required[str]
    flash_share: Required[float | None]
    ambient_share: Required[float | None]
    ambient_blur_um: Required[float | None]
    allowed_blur_um: Required[float | None]
    longest_time_s: Required[float | None]
    largest_sideways_speed_mm_s: Required[float | None]
    largest_rotation_rad_s: Required[float | None]
    largest_amplitude_um: Required[float | None]
    longest_axial_time_s: Required[float | None]
    largest_axial_speed_mm_s: Required[float | None]


class FocusStackAnswer(Answer, total=False):
    """The frames of the stack, the step, and what changes along it."""

    frames: Required[int]
    frames_end_to_end: Required[int]
    frames_varying_step: Required[int]
    step_mm: Required[float | None]
    travel_mm: Required[float]
    overlap: Required[float | None]
    positions_mm: Required[Sequence[float]]
    magnification_nearest: Required[float]
    magnification_farthest: Required[float]
    magnification_change: Required[float]
    image_travel_mm: Required[float]
    perspective_change: Required[float | None]
    least_clearance_mm: Required[float | None]
    total_time_s: Required[float | None]
    depth_of_field: Required[Depth]
    effective_f_number: Required[float]
    circle_of_confusion_mm: Required[float | None]


class Contribution(TypedDict, total=False):
    """What one source of error adds: its relative standard uncertainty, and its share of the combined variance."""

    source: Required[str]
    relative_uncertainty: Required[float]
    variance_share: Required[float]


class ScaleReadingAnswer(Answer, total=False):
    """The magnification that the ruler shows, its uncertainty, and where that comes from."""

    magnification: Required[float]
    ratio: Required[str]
    magnification_uncertainty: Required[float]
    relative_uncertainty: Required[float]
    magnification_low: Required[float | None]
    magnification_high: Required[float]
    ruler_length_mm: Required[float]
    scale_px_per_mm: Required[float | None]
    subject_width_mm: Required[float | None]
    subject_height_mm: Required[float | None]
    subject_width_uncertainty_mm: Required[float | None]
    dominant: Required[str | None]
    contributions: Required[Sequence[Contribution]]


class ZoneSharpness(TypedDict, total=False):
    """Sharpness in one zone; null where it shows too few marks."""

    zone: Required[str]
    edge_width_um: Required[float | None]
    edge_width_px: Required[float | None]
    edges: Required[int]


class ColourShift(TypedDict, total=False):
    """Lateral colour at one end of the visible scale."""

    x_px: Required[float]
    y_px: Required[float]
    red_shift_px: Required[float]
    blue_shift_px: Required[float]


class OtherLeg(TypedDict, total=False):
    """The leg of an L-shaped ruler at right angles to the one read."""

    scale_px_per_mm: Required[float]
    scale_uncertainty_px_per_mm: Required[float]
    direction_deg: Required[float]
    marks_used: Required[int]


class ScalePhotoAnswer(Answer, total=False):
    """What the photograph of a ruler tells: scale, magnification, their uncertainty, and the lens's faults."""

    scale_px_per_mm: Required[float]
    scale_uncertainty_px_per_mm: Required[float]
    scale_low_px_per_mm: Required[float | None]
    scale_high_px_per_mm: Required[float]
    mean_scale_px_per_mm: Required[float]
    magnification: Required[float | None]
    ratio: Required[str | None]
    magnification_uncertainty: Required[float | None]
    relative_uncertainty: Required[float]
    assumed_tilt_uncertainty: float
    magnification_low: Required[float | None]
    magnification_high: Required[float | None]
    subject_width_mm: Required[float]
    subject_height_mm: Required[float]
    contributions: Required[Sequence[Contribution]]
    tilt_deg: Required[float | None]
    tilt_uncertainty_deg: Required[float | None]
    keystone: Required[float]
    distortion: Required[float]
    distortion_uncertainty: Required[float]
    lateral_colour_um: Required[float | None]
    red_scale_difference: Required[float | None]
    blue_scale_difference: Required[float | None]
    fall_off_stops: Required[float | None]
    zones: Required[Sequence[ZoneSharpness]]
    colour_shifts: Required[Sequence[ColourShift]]
    marks_used: Required[int]
    direction_deg: Required[float]
    other_leg: OtherLeg
    dark_marks: Required[bool]
    suggested_tick_pitch_mm: Required[float | None]
    image_width_px: Required[float]
    image_height_px: Required[float]
    bits_in_file: Required[int]
    bits_used: Required[int]
    overlay: Required[str | None]


class ComparedFrame(TypedDict, total=False):
    """One photograph of a comparison."""

    frame: Required[int]
    sharpness_score: Required[float | None]
    scale_px_per_mm: Required[float]
    scale_difference: Required[float]
    magnification: Required[float | None]
    relative_uncertainty: Required[float]
    tilt_deg: Required[float | None]
    distortion: Required[float]
    lateral_colour_um: Required[float | None]
    fall_off_stops: Required[float | None]
    marks_used: Required[int]


class ComparedZone(TypedDict, total=False):
    """One zone of a comparison."""

    zone: Required[str]
    best_frame: Required[int | None]
    edge_widths_um: Required[Sequence[float | None]]


class ScaleComparisonAnswer(Answer, total=False):
    """Which of several photographs of a ruler is sharpest, zone by zone and over all, and how else they differ."""

    best_frame: Required[int | None]
    frames: Required[Sequence[ComparedFrame]]
    zones: Required[Sequence[ComparedZone]]


class ScaleBarAnswer(Answer, total=False):
    """The bar's length on the subject, in the finished picture and on the print, and the bar itself as SVG."""

    bar_length_um: Required[float]
    bar_px: Required[float]
    drawn_px: Required[float]
    bar_share: Required[float]
    label: Required[str]
    caption: Required[str]
    scale_px_per_mm: Required[float]
    subject_width_mm: Required[float]
    bar_uncertainty_um: Required[float | None]
    depth_scale_change: Required[float | None]
    print_bar_mm: Required[float | None]
    print_magnification: Required[float | None]
    svg: Required[str]


class LensEstimate(TypedDict, total=False):
    """One number for each quantity of a measured lens; null where it is not determined."""

    focal_length_mm: Required[float | None]
    front_principal_plane_mm: Required[float | None]
    rear_principal_plane_mm: Required[float | None]
    extension_at_infinity_mm: Required[float | None]
    pupil_magnification: Required[float | None]
    principal_plane_separation_mm: Required[float | None]
    f_number_estimate: Required[float | None]


class FrameResidual(TypedDict, total=False):
    """One frame against the fitted lens."""

    extension_mm: Required[float]
    magnification: Required[float]
    magnification_residual: Required[float]
    magnification_uncertainty: Required[float | None]
    standardised_residual: Required[float | None]
    outlier: Required[bool]
    working_distance_residual_mm: Required[float | None]
    subject_to_sensor_residual_mm: Required[float | None]


class AddedFrames(TypedDict, total=False):
    """So many further frames at one extension."""

    extension_mm: Required[float]
    frames: Required[int]


class MeasuredUncertainty(TypedDict, total=False):
    """Standard uncertainties of a lens and how they go together."""

    parameters: Required[Sequence[str]]
    covariance: Required[Sequence[Sequence[float]]]
    degrees_of_freedom: float
    scatter_covariance: Sequence[Sequence[float]]


class MeasuredLens(TypedDict, total=False):
    """The lens as an element of a train: it can be pasted as it is."""

    element: Required[str]
    focal_length_mm: Required[float]
    front_principal_plane_mm: float
    register_mm: float
    rear_principal_plane_mm: float
    principal_plane_separation_mm: float
    pupil_magnification: float
    f_number: float
    reversed: bool
    uncertainty: MeasuredUncertainty


class LensMembers(LensEstimate, total=False):
    """A lens measured, with standard uncertainties, intervals, and what the frames say of themselves."""

    uncertainty: Required[LensEstimate]
    lower_95: Required[LensEstimate]
    upper_95: Required[LensEstimate]
    parameters: Required[Sequence[str]]
    covariance: Required[Sequence[Sequence[float]]]
    degrees_of_freedom: Required[int | None]
    chi_square: Required[float | None]
    residuals: Required[Sequence[FrameResidual]]
    repeats_to_halve: Required[int | None]
    frames_to_halve: Required[Sequence[AddedFrames]]
    lens: MeasuredLens


class Range(TypedDict, total=False):
    """Ends between which a figure lies with the coverage stated."""

    low: Required[float]
    high: Required[float]


class EstimatedDatum(Range, total=False):
    """A datum of a lens that was estimated: its median, and its range."""

    value: Required[float]
    based_on: Required[str]


class EstimatedMembers(TypedDict, total=False):
    """Ranges, where `estimate_unknown` was asked for and anything was estimated."""

    coverage: float
    estimated: Mapping[str, EstimatedDatum]
    ranges: Mapping[str, Range]
    measure_first: Sequence[str]


class EstimatedAnswer(EstimatedMembers, Answer, total=False):
    """An answer that tells ranges where anything was estimated."""


class KnownFrame(TypedDict, total=False):
    """A frame of a ruler, as a lens that is to be estimated takes it."""

    mounting: Required[str]
    extension_mm: Required[float]
    camera_register_mm: Required[float]
    magnification: Required[float]
    magnification_uncertainty: float


class KnownLensElement(TypedDict, total=False):
    """What is known of the lens, as an element of a train: with estimate_unknown it gives ranges there too."""

    element: Required[str]
    reversed: bool
    focal_length_mm: Required[float]
    register_mm: float
    f_number: float
    front_principal_plane_mm: float
    principal_plane_separation_mm: float
    uncertainty: MeasuredUncertainty
    lens_class: Required[str]
    widest_f_number: float
    zoom_from_mm: float
    zoom_to_mm: float
    barrel_length_mm: float
    barrel_length_uncertainty_mm: float
    entrance_pupil_depth_mm: float
    entrance_pupil_depth_uncertainty_mm: float
    entrance_pupil_diameter_mm: float
    exit_pupil_diameter_mm: float
    pupil_ratio_uncertainty: float
    measured: Sequence[KnownFrame]


class SettingLens(LensMembers, total=False):
    """The lens at one setting of a zoom."""

    setting: Required[float]
    remarks: Required[Sequence[Remark]]


class LensCalibrationAnswer(LensMembers, EstimatedAnswer, total=False):
    """The lens measured; of a zoom the one at interpolate_at, and every setting for itself."""

    known_lens: KnownLensElement
    settings: Required[Sequence[SettingLens]]


class LensDatum(EstimatedDatum, total=False):
    """A datum of a lens as far as it is known: its median, and its range; both ends are the value where it was stated."""


class KnownData(TypedDict, total=False):
    """Everything that is known of a lens, measured or not."""

    focal_length_mm: Required[LensDatum]
    front_principal_plane_mm: Required[LensDatum]
    principal_plane_separation_mm: Required[LensDatum]
    pupil_magnification: Required[LensDatum]
    entrance_pupil_depth_mm: Required[LensDatum]
    barrel_length_mm: Required[LensDatum]


class EstimatedFigure(TypedDict, total=False):
    """The figure that matters, with its range; null where such lenses differ too much to tell it."""

    name: Required[str]
    value: Required[float | None]
    low: Required[float | None]
    high: Required[float | None]


class NextMeasurement(TypedDict, total=False):
    """Something that could be measured, and what it would bring."""

    kind: Required[str]
    members: Required[Sequence[str]]
    how: Required[str]
    minutes: Required[int]
    mounting: str
    extension_mm: float
    camera_register_mm: float
    expected_width: Required[float | None]
    remaining_share: Required[float]


class LensEstimateAnswer(Answer, total=False):
    """One lens as far as it is known, and what to measure next, best first."""

    lens_class: Required[str]
    members: Required[int]
    designs: Required[int]
    coverage: Required[float]
    lens: Required[KnownData]
    figure: Required[EstimatedFigure]
    narrows: Required[str]
    next_measurements: Required[Sequence[NextMeasurement]]


class RingChain(TypedDict, total=False):
    """One chain, from the start to the end."""

    rings: Required[Sequence[str]]
    buy: Required[Sequence[str]]
    extension_mm: Required[float | None]
    steps_below: Required[int]
    narrowest_mm: Required[float | None]
    infinity_focus: Required[str | None]


class RingChainsAnswer(Answer, total=False):
    """The chains that join the two ends, best first; none where nothing does."""

    chains: Required[Sequence[RingChain]]
    infinity_extension_mm: Required[float | None]
    kit_revision: Required[str]


class RigFields(TypedDict, total=False):
    """What a set-up is as a whole."""

    magnification: Required[float | None]
    subject_width_mm: Required[float | None]
    subject_height_mm: Required[float | None]
    working_distance_mm: Required[float | None]
    clearance_mm: Required[float | None]
    subject_to_sensor_mm: Required[float | None]
    rig_length_mm: Required[float | None]
    effective_f_number: Required[float | None]
    numerical_aperture: Required[float | None]
    light_loss_stops: Required[float | None]


class Solved(TypedDict, total=False):
    """The open length, solved; present when one was asked for."""

    pointer: Required[str]
    value: Required[float | None]


class UncertainFields(RigFields, total=False):
    """One number for each result that can be uncertain; the depths are those of depth_of_field."""

    front_depth_mm: Required[float | None]
    rear_depth_mm: Required[float | None]
    total_mm: Required[float | None]
    depth_of_focus_mm: Required[float | None]
    optimum_effective_f_number: Required[float | None]
    optimum_f_number: Required[float | None]


class SetUpUncertainty(UncertainFields, total=False):
    """Standard uncertainty of each result, from what the lenses state; null where it has none."""


class SetUpExpandedUncertainty(UncertainFields, total=False):
    """Half the 95 % interval of each result, which reaches from the result less this to the result and this."""


class SetUpAnswer(RigFields, EstimatedAnswer, total=False):
    """Everything about one set-up; null where the document does not determine it."""

    aperture_stop: Required[int | None]
    depth_of_field: Required[Depth]
    diffraction: Required[DiffractionMembers]
    optimum_effective_f_number: Required[float | None]
    optimum_f_number: Required[float | None]
    stack_frames: Required[int | None]
    stack_step_mm: Required[float | None]
    allowed_movement_um: Required[float | None]
    solved: Solved
    exposure: ExposureMembers
    clear_opening: Opening
    uncertainty: SetUpUncertainty
    expanded_uncertainty: SetUpExpandedUncertainty
    kit_revision: str


class DrawnPart(TypedDict, total=False):
    """One part of the side view, subject first."""

    pointer: Required[str]
    kind: Required[str]
    name: Required[str]
    settings: Required[str]
    start_mm: Required[float]
    end_mm: Required[float]
    length_known: Required[bool]
    diameter_mm: Required[float]
    diameter_known: Required[bool]
    clear_diameter_mm: Required[float | None]


class PlacesMembers(EstimatedAnswer, total=False):
    """Where everything stands along the axis; null where the document does not determine it."""

    magnification: Required[float | None]
    subject_width_mm: Required[float | None]
    subject_height_mm: Required[float | None]
    working_distance_mm: Required[float | None]
    clearance_mm: Required[float | None]
    rig_length_mm: Required[float | None]
    subject_to_sensor_mm: Required[float | None]
    flange_mm: Required[float]
    sensor_mm: Required[float]
    entrance_pupil_mm: Required[float | None]
    entrance_pupil_diameter_mm: Required[float | None]
    parts: Required[Sequence[DrawnPart]]
    solved: Solved
    kit_revision: str


class SetUpDrawingAnswer(PlacesMembers, total=False):
    """The data beside the drawing of a set-up."""

    scale_broken: Required[bool]


class FrameDrawingAnswer(EstimatedAnswer, total=False):
    """How the subject fills the frame, and how much of its depth is sharp."""

    magnification: Required[float | None]
    frame_width_mm: Required[float | None]
    frame_height_mm: Required[float | None]
    subject_width_mm: Required[float]
    subject_height_mm: Required[float]
    filled_width_share: Required[float | None]
    filled_height_share: Required[float | None]
    filled_area_share: Required[float | None]
    overflows: Required[bool | None]
    depth_of_field: Required[Depth]
    sharp_depth_share: Required[float | None]
    solved: Solved
    kit_revision: str


class SheetAnswer(PlacesMembers, total=False):
    """What the sheet tells; the sheet itself is the same answer as text/html."""

    heading: Required[str]
    effective_f_number: Required[float | None]
    light_loss_stops: Required[float | None]
    optimum_f_number: Required[float | None]
    depth_of_field: Required[Depth]
    stack_frames: Required[int | None]
    stack_step_mm: Required[float | None]
    exposure: ExposureMembers
    link: Required[str | None]


class Criteria(TypedDict, total=False):
    """What makes up a score; less is better."""

    framing: Required[float]
    aperture: Required[float]
    detail: Required[float]
    working_distance: Required[float]
    light: Required[float]
    frames: Required[float]
    parts: Required[float]


class SearchHit(EstimatedMembers, total=False):
    """One set-up that fills the frame, with its figures as /v1/set-ups/evaluate gives them."""

    parts: Required[Sequence[str]]
    score: Required[float]
    criteria: Required[Criteria]
    magnification: Required[float | None]
    subject_width_mm: Required[float | None]
    subject_height_mm: Required[float | None]
    working_distance_mm: Required[float | None]
    clearance_mm: Required[float | None]
    rig_length_mm: Required[float | None]
    effective_f_number: Required[float | None]
    light_loss_stops: Required[float | None]
    subject_resolution_um: Required[float | None]
    total_mm: Required[float | None]
    stack_frames: Required[int | None]
    document: Required[Mapping[str, Any]]
    kit_document: Mapping[str, Any]
    chance: float


class Relaxation(TypedDict, total=False):
    """A wish that nothing meets, and what comes nearest to it."""

    wish: Required[str]
    asked: Required[float]
    nearest: Required[float | None]
    miss: Required[float | None]
    hit: Required[SearchHit]


class Purchase(TypedDict, total=False):
    """One part that closes the gap when it is bought."""

    part: Required[str]
    in_kit: Required[bool]
    price: Required[float | None]
    hit: Required[SearchHit]


class SearchAnswer(Answer, total=False):
    """What was found, best first; the Pareto front; and, where nothing meets the wishes, what would."""

    magnification: Required[float]
    arrangements: Required[int]
    framed: Required[int]
    meeting: Required[int]
    hits: Required[Sequence[SearchHit]]
    pareto: Required[Sequence[SearchHit]]
    relaxations: Required[Sequence[Relaxation]]
    purchase: Purchase
    kit_revision: Required[str]


class RangeColumns(TypedDict, total=False):
    """Ends between which a result lies with the coverage stated, row by row; null where a row's result has no range."""

    low: Required[Sequence[float | None]]
    high: Required[Sequence[float | None]]


class TableAnswer(Answer, total=False):
    """Results by columns; null where a row is impossible, or the set-up does not determine them."""

    rows: Required[int]
    columns: Required[Mapping[str, AnyColumn | Sequence[float | str | None]]]
    problem: Required[Sequence[str | None]]
    coverage: float
    estimated: Mapping[str, EstimatedDatum]
    measure_first: Sequence[str]
    ranges: Mapping[str, RangeColumns]
    kit_revision: str


class ChartAnswer(Answer, total=False):
    """A chart's data are its rows; what they show is said in words."""

    title: Required[str]
    finding: Required[str]


class EstimatedChartAnswer(EstimatedMembers, ChartAnswer, total=False):
    """A chart of a set-up whose lens data may be estimated; ranges are named such as `rows.0.magnification`."""


class ApertureChartRow(TypedDict, total=False):
    """One mark of the ring; null where the set-up does not determine it, or cannot be."""

    nominal_f_number: Required[float]
    f_number: Required[float]
    effective_f_number: Required[float | None]
    middle_contrast: Required[float | None]
    end_contrast: Required[float | None]
    ends_resolved: Required[bool | None]
    total_mm: Required[float | None]
    subject_resolution_um: Required[float | None]
    problem: Required[str | None]


class ApertureChartAnswer(EstimatedChartAnswer, total=False):
    """What each mark of the ring gives, and the best of them for the subject's depth."""

    along: Required[str]
    rows: Required[Sequence[ApertureChartRow]]
    best_nominal_f_number: Required[float | None]
    best_by: Required[str | None]
    optimum_f_number: Required[float | None]
    kit_revision: str


class MagnificationChartRow(TypedDict, total=False):
    """One length; null where the set-up does not determine it, or cannot be."""

    length_mm: Required[float]
    magnification: Required[float | None]
    working_distance_mm: Required[float | None]
    problem: Required[str | None]


class MagnificationChartAnswer(EstimatedChartAnswer, total=False):
    """What each length gives."""

    along: Required[str]
    rows: Required[Sequence[MagnificationChartRow]]
    kit_revision: str


class StackChartRow(TypedDict, total=False):
    """One frame; where its depth is unlimited on one side, the end there is null."""

    position_mm: Required[float]
    sharp_from_mm: Required[float | None]
    sharp_to_mm: Required[float | None]
    front_extent: Required[str]
    rear_extent: Required[str]
    overlap_with_next: Required[float | None]


class StackChartAnswer(EstimatedChartAnswer, total=False):
    """Every frame of the stack with what is sharp in it."""

    frames: Required[int]
    subject_depth_mm: Required[float]
    step_mm: Required[float | None]
    rows: Required[Sequence[StackChartRow]]


class CalibrationChartRow(FrameResidual, total=False):
    """One frame, and the fitted lens at its extension."""

    fitted_magnification: Required[float]


class CalibrationChartLens(TypedDict, total=False):
    """One lens: its frames in the order of their extensions, and the focal length fitted to them."""

    setting: Required[float | None]
    focal_length_mm: Required[float | None]
    rows: Required[Sequence[CalibrationChartRow]]
    remarks: Required[Sequence[Remark]]


class CalibrationChartAnswer(ChartAnswer, total=False):
    """Every frame against the lens fitted; of a zoom at every setting."""

    lenses: Required[Sequence[CalibrationChartLens]]


class Record(TypedDict, total=False):
    """What every record of the catalogue says of itself."""

    id: Required[str]
    names: Required[Sequence[str]]
    source: Required[str]
    source_status: Required[str]


class SensorRecord(Record, total=False):
    """Sensor or film format."""

    width_mm: Required[float]
    height_mm: Required[float]
    diagonal_mm: Required[float]


class SensorsAnswer(TypedDict, total=False):
    """All sensor formats."""

    records: Required[Sequence[SensorRecord]]


class MountRecord(Record, total=False):
    """Lens mount."""

    register_mm: Required[float]
    kind: Required[str]
    throat_mm: Required[float | None]
    thread: Required[str | None]


class MountsAnswer(TypedDict, total=False):
    """All mounts."""

    records: Required[Sequence[MountRecord]]


class ThreadRecord(Record, total=False):
    """Thread of a filter, mount or objective."""

    diameter_mm: Required[float]
    pitch_mm: Required[float]
    use: Required[str]


class ThreadsAnswer(TypedDict, total=False):
    """All threads."""

    records: Required[Sequence[ThreadRecord]]


class BlendedClass(TypedDict, total=False):
    """A class of statistics within a family, and over which focal lengths it blends with its neighbours."""

    id: Required[str]
    records: Required[int]
    patents: Required[int]
    blends_in_from_mm: Required[float | None]
    blends_in_to_mm: Required[float | None]
    blends_out_from_mm: Required[float | None]
    blends_out_to_mm: Required[float | None]


class StatisticsOrigin(TypedDict, total=False):
    """Where the statistics of all classes come from."""

    what: Required[str]
    method: Required[str]
    date: Required[str]
    records: Required[int]
    patents: Required[int]
    records_held_back: Required[int]
    patents_held_back: Required[int]
    limits: Required[str]


class LensClassRecord(Record, total=False):
    """Family of lenses whose unknown data can be estimated; its id is the value of lens_class."""

    register_mm: Required[float]
    focal_length_from_mm: Required[float]
    focal_length_to_mm: Required[float]
    usual_f_number: Required[float]
    taken_from_register_mm: Required[float | None]
    taken_below_register_mm: Required[float | None]
    zoom: Required[bool | None]
    classes: Required[Sequence[BlendedClass]]
    statistics: Required[StatisticsOrigin]


class LensClassesAnswer(TypedDict, total=False):
    """All families of lenses."""

    records: Required[Sequence[LensClassRecord]]


class CautionRecord(Caution, total=False):
    """A caution in general words, and when it applies."""

    applies_to: Required[str]


class CautionsAnswer(TypedDict, total=False):
    """All cautions, people first."""

    records: Required[Sequence[CautionRecord]]


class IncompleteLens(TypedDict, total=False):
    """A lens at a setting that lacks data, and what that costs at one set-up."""

    id: Required[str]
    setting: Required[str]
    missing: Required[Sequence[str]]
    lens_class: Required[str]
    magnification: Required[float | None]
    low: Required[float | None]
    high: Required[float | None]
    next_measurement: Required[str]


class KitAnswer(Answer, total=False):
    """A kit as it was read, its defaults filled in, and its revision."""

    revision: Required[str]
    origin: Required[str]
    parts: Required[int]
    kit: Required[Mapping[str, Any]]
    whole_kit: Mapping[str, Any]
    incomplete_lenses: Sequence[IncompleteLens]
