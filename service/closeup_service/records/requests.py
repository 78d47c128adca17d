"""Requests, as they are loaded.

Written by `python -m closeup_service.published` from the service's schemas; not to be edited.
"""

from collections.abc import Mapping, Sequence
from typing import Generic, Literal, Required, TypeAlias, TypedDict

from closeup_service.gear.kit import Kit
from closeup_service.operations.set_up.table.schemas import AnyColumn
from closeup_service.optics.arithmetic import R, Real
from closeup_service.schemas.upload import Upload


class SensorFields(TypedDict, Generic[R], total=False):
    """`sensor`, or `sensor_width_mm` and `sensor_height_mm`; loading turns the id into the measures."""

    sensor_width_mm: R
    sensor_height_mm: R


class MountingField(TypedDict, total=False):
    """`mounting`, assumed normal."""

    mounting: Literal["normal", "reversed"]


class MeasuredMagnification(TypedDict, total=False):
    """A photograph of a ruler: the magnification it shows, and how the lens stood, focused on infinity."""

    mounting: Required[Literal["normal", "reversed"]]
    extension_mm: Required[float]
    camera_register_mm: Required[float]
    magnification: float
    subject_width_mm: float
    sensor_width_mm: float
    magnification_uncertainty: float


class KnownLensFields(TypedDict, total=False):
    """What stands on the barrel, and what was measured; it counts where lens data are estimated."""

    lens_class: str
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
    measured: Sequence[MeasuredMagnification]


class EstimatedLensFields(KnownLensFields, total=False):
    """The one lens of a quantity, whose unknown data may be estimated."""

    estimate_unknown: bool
    focal_length_mm: float
    lens_register_mm: float


class MagnificationRequest(SensorFields, MountingField, EstimatedLensFields, total=False):
    """Exactly one of the four routes, with what that route needs."""

    subject_width_mm: float
    subject_height_mm: float
    extension_mm: float
    working_distance_mm: float
    focusing_extension_mm: float
    camera_register_mm: float
    front_principal_plane_mm: float


class WorkingDistanceRequest(MountingField, KnownLensFields, total=False):
    """One lens at a magnification."""

    focal_length_mm: Required[float]
    magnification: Required[float]
    front_principal_plane_mm: float
    lens_register_mm: float
    focusing_extension_mm: float
    principal_plane_separation_mm: float
    estimate_unknown: bool


class EffectiveFNumberRequest(MountingField, EstimatedLensFields, total=False):
    """One lens at a marked f-number and a magnification."""

    f_number: Required[float]
    magnification: Required[float]
    pupil_magnification: float


class LightFields(TypedDict, Generic[R], total=False):
    """Light of the sums, and the pixels' part in the contrast."""

    wavelength_nm: R
    light: Literal["one-wavelength", "white"]
    pixel_fill: R


class DetailFields(LightFields[R], Generic[R], total=False):
    """The detail whose contrast counts."""

    sensor_detail_lp_per_mm: R
    subject_detail_lp_per_mm: R
    contrast: R


class PrintFields(TypedDict, Generic[R], total=False):
    """The finished print, as a way to the blur criterion."""

    print_width_mm: R
    viewing_distance_mm: R
    acuity_arcmin: R


class SharpnessFields(DetailFields[R], PrintFields[R], SensorFields[R], Generic[R], total=False):
    """Everything that a model of sharpness can be measured by, for the flat resources."""

    circle_of_confusion_mm: R
    pixel_pitch_um: R
    model: Literal["combined", "geometric", "wave", "contrast"]


class DepthOfFieldRequest(EffectiveFNumberRequest, SharpnessFields, total=False):
    """One lens at a marked f-number and a magnification, with what its model of sharpness is measured by."""


class DiffractionRequest(EffectiveFNumberRequest, LightFields, PrintFields, SensorFields, total=False):
    """One lens at a marked f-number and a magnification, and what is known of the sensor."""

    circle_of_confusion_mm: float
    pixel_pitch_um: float
    sensor_details_lp_per_mm: Sequence[float]
    subject_details_lp_per_mm: Sequence[float]


class RingFields(TypedDict, total=False):
    """Marks of the aperture ring: a list, or a series between two ends."""

    aperture_series: Literal["full", "half", "third"]
    least_f_number: float
    greatest_f_number: float
    f_numbers: Sequence[float]


class BlurFields(PrintFields, SensorFields, total=False):
    """The blur that is accepted, for the aperture whose depth of field covers the subject."""

    circle_of_confusion_mm: float
    model: Literal["combined", "geometric", "wave"]


class OptimumApertureRequest(MountingField, DetailFields, RingFields, BlurFields, EstimatedLensFields, total=False):
    """A subject's depth at a magnification, the detail and the blur that count, and the ring's own apertures."""

    subject_depth_mm: Required[float]
    magnification: Required[float]
    pupil_magnification: float
    pixel_pitch_um: float


class OtherSensorFields(TypedDict, total=False):
    """`other_sensor`, or `other_sensor_width_mm` and `other_sensor_height_mm`; loading turns the id into the measures."""

    other_sensor_width_mm: float
    other_sensor_height_mm: float


class OtherLensFields(TypedDict, total=False):
    """The other camera, and the lens on it; each datum is that of this one's lens where nothing is said."""

    other_mounting: Literal["normal", "reversed"]
    other_pupil_magnification: float
    other_focal_length_mm: float
    other_lens_register_mm: float
    other_front_principal_plane_mm: float
    other_focusing_extension_mm: float
    other_camera_register_mm: float


class FormatEquivalenceRequest(EffectiveFNumberRequest, SensorFields, OtherSensorFields, OtherLensFields, total=False):
    """One lens on this sensor at a marked f-number and a magnification, the other sensor, and what is known of the lenses."""

    framing_by: Literal["width", "height", "diagonal"]
    circle_of_confusion_mm: float
    front_principal_plane_mm: float


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


class Planned(SettingsFields, MountingField, total=False):
    """What changes in the planned frame; the unknown is left out."""

    effective_f_number: float
    f_number: float
    magnification: float
    pupil_magnification: float


class Camera(SensorFields[R], Generic[R], total=False):
    """The camera: one of the kit's, or its register and what is known of its sensor."""

    use: str
    register_mm: R
    pixel_pitch_um: R
    circle_of_confusion_mm: R


class LensUncertainty(TypedDict, total=False):
    """What of a lens is uncertain, and the covariance, such as /v1/lens-calibration gives them."""

    parameters: Required[Sequence[str]]
    covariance: Required[Sequence[Sequence[float]]]
    degrees_of_freedom: float
    scatter_covariance: Sequence[Sequence[float]]


class Lens(KnownLensFields, Generic[R], total=False):
    """Camera, enlarger or any other thick lens."""

    element: Required[Literal["lens"]]
    focal_length_mm: Required[R]
    f_number: R
    pupil_magnification: R
    front_principal_plane_mm: R
    register_mm: R
    rear_principal_plane_mm: R
    principal_plane_separation_mm: R
    focusing_extension_mm: R
    reversed: bool
    front_diameter_mm: R
    front_protrusion_mm: R
    image_circle_mm: R
    uncertainty: LensUncertainty


class Spacer(TypedDict, Generic[R], total=False):
    """Any tube, ring, bellows, helicoid or adapter."""

    element: Required[Literal["spacer"]]
    length_mm: R
    clear_diameter_mm: R


class CloseUpLens(TypedDict, Generic[R], total=False):
    """Supplementary lens screwed to the front; power or focal length."""

    element: Required[Literal["close-up-lens"]]
    power_dpt: R
    focal_length_mm: R
    length_mm: R
    front_principal_plane_mm: R
    rear_principal_plane_mm: R


class Teleconverter(TypedDict, Generic[R], total=False):
    """Negative lens between lens and camera."""

    element: Required[Literal["teleconverter"]]
    factor: Required[R]
    added_length_mm: R
    focal_length_mm: R
    register_mm: R


class Objective(TypedDict, Generic[R], total=False):
    """Microscope objective, infinity-corrected or of finite conjugates, as engraved."""

    element: Required[Literal["objective"]]
    magnification: Required[R]
    numerical_aperture: Required[R]
    tube_lens_focal_length_mm: R
    tube_length_mm: R
    focal_length_mm: R
    working_distance_mm: R
    parfocal_distance_mm: R
    field_number_mm: R


class KitPart(TypedDict, Generic[R], total=False):
    """A part of the kit; what is said of its use depends on the part."""

    element: Required[Literal["kit-part"]]
    use: Required[str]
    reversed: bool
    f_number: R
    setting: str
    length_mm: R
    focusing_extension_mm: R


Element: TypeAlias = Lens[R] | Spacer[R] | CloseUpLens[R] | Teleconverter[R] | Objective[R] | KitPart[R]


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


class FrameSetUp(DetailFields[R], PrintFields[R], Generic[R], total=False):
    """A set-up that a frame is taken with."""

    camera: Required[Camera[R]]
    train: Required[Sequence[Element[R]]]
    depth_of_field_model: Literal["combined", "geometric", "wave", "contrast"]
    subject_depth_mm: R
    solve: Solve


class ExposureRequest(SurroundingsFields, ExposureFields, EstimatedLensFields, total=False):
    """A frame that was right, what changes in the next, and which setting is to be found."""

    planned: Planned
    reference_set_up: FrameSetUp
    planned_set_up: FrameSetUp
    kit: Kit


class PlannedSettings(SettingsFields, total=False):
    """What changes in the planned frame beside the set-up; the unknown is left out."""


class ExposureOfSetUp(ExposureFields, total=False):
    """An exposure whose planned frame is taken with the set-up of the document."""

    planned: PlannedSettings


class OpeningOfSetUp(TypedDict, total=False):
    """Where an opening stands before the front of the set-up, and how wide it is."""

    distance_mm: Required[float]
    opening_diameter_mm: float


class SetUpRequest(SurroundingsFields, DetailFields, PrintFields, total=False):
    """An optical train, from the subject to the camera."""

    camera: Required[Camera]
    train: Required[Sequence[Element]]
    depth_of_field_model: Literal["combined", "geometric", "wave", "contrast"]
    subject_depth_mm: float
    solve: Solve
    exposure: ExposureOfSetUp
    clear_opening: OpeningOfSetUp
    estimate_unknown: bool
    kit: Kit


class FlashRequest(SurroundingsFields, MountingField, EstimatedLensFields, total=False):
    """The flash's guide number, and what is known of aperture, distance, power and number of flashes."""

    guide_number_m: float
    guide_numbers_m: Sequence[float]
    heads: int
    iso: float
    f_number: float
    effective_f_number: float
    flash_distance_mm: float
    flash_distances_mm: Sequence[float]
    flash_power_fraction: float
    pops: int
    transmission: float
    source_diameter_mm: float
    magnification: float
    pupil_magnification: float


class ClearOpeningRequest(MountingField, KnownLensFields, SensorFields, total=False):
    """One lens at a magnification, what the frame shows, and where the opening stands."""

    f_number: Required[float]
    magnification: Required[float]
    pupil_magnification: float
    focal_length_mm: Required[float]
    front_principal_plane_mm: float
    lens_register_mm: float
    focusing_extension_mm: float
    subject_diagonal_mm: float
    distance_mm: float
    distances_mm: Sequence[float]
    distance_from_subject_mm: float
    opening_diameter_mm: float
    estimate_unknown: bool


class MotionBlurRequest(SensorFields, MountingField, SurroundingsFields, EstimatedLensFields, total=False):
    """At least one motion, how long light falls, and the blur that is allowed where the reverse is wanted."""

    magnification: Required[float]
    sideways_speed_mm_s: float
    axial_speed_mm_s: float
    rotation_rad_s: float
    rotation_distance_mm: float
    vibration_amplitude_um: float
    vibration_frequency_hz: float
    pupil_magnification: float
    exposure_time_s: float
    flash_t01_s: float
    flash_t05_s: float
    flash_shape: Literal["exponential", "cut"]
    ambient_share: float
    pixel_pitch_um: float
    depth_mm: float
    allowed_blur_um: float
    allowed_blur_px: float
    circle_of_confusion_mm: float


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


class UsedSensorFields(SensorFields, total=False):
    """The sensor as `SensorFields`, all of it or a part; the pixel pitch; and the picture's width in pixels."""

    crop_factor: float
    used_width_mm: float
    pixel_pitch_um: float
    image_width_px: float


class ScaleReadingRequest(UsedSensorFields, total=False):
    """Two marks of a ruler: read at both edges of the frame, or with their places in the picture in pixels."""

    first_mark_mm: Required[float]
    last_mark_mm: Required[float]
    first_mark_x_px: float
    first_mark_y_px: float
    last_mark_x_px: float
    last_mark_y_px: float
    distance_px: float
    image_height_px: float
    reading_error_mm: float
    reading_error_px: float
    finest_division_mm: float
    scale_error: float
    pitch_error: float
    tilt_deg: float
    tilt_error_deg: float


class ScalePhotoRequest(SensorFields, total=False):
    """A photograph of a ruler, and the pitch of its finest marks."""

    crop_factor: float
    used_width_mm: float
    pixel_pitch_um: float
    tick_pitch_mm: Required[float]
    perspective_distance_mm: float
    largest_tilt_deg: float
    scale_error: float
    pitch_error: float
    accept_plain_marks: bool
    accept_pitch: bool
    marks_are: Literal["lines", "blocks"]
    leg: Literal["level", "upright"]
    photo: Required[Upload]
    overlay: bool


class ScaleComparisonRequest(SensorFields, total=False):
    """Two to six photographs of the same ruler at the same magnification, in order, and the pitch of its finest marks."""

    crop_factor: float
    used_width_mm: float
    pixel_pitch_um: float
    tick_pitch_mm: Required[float]
    perspective_distance_mm: float
    largest_tilt_deg: float
    scale_error: float
    pitch_error: float
    accept_plain_marks: bool
    accept_pitch: bool
    marks_are: Literal["lines", "blocks"]
    leg: Literal["level", "upright"]
    photo: Required[Sequence[Upload]]


class ScaleBarRequest(SensorFields, total=False):
    """The scale by one of three routes, what became of the picture since, and how the bar is to look."""

    crop_factor: float
    used_width_mm: float
    pixel_pitch_um: float
    image_width_px: Required[float]
    magnification: float
    scale_px_per_mm: float
    subject_width_mm: float
    cropped_width_px: float
    finished_width_px: float
    relative_uncertainty: float
    scale_basis: Literal["measured", "computed"]
    share: float
    bar_length_um: float
    subject_depth_mm: float
    perspective_distance_mm: float
    print_width_mm: float
    colour: str
    outline_colour: str
    show_label: bool
    bar_height_px: float
    font_size_px: float


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


class CalibrationFields(MeasuredLensFields, MountingField, total=False):
    """Frames of one lens, or of a zoom at several settings."""

    camera_register_mm: float
    lens_register_mm: float
    infinity_stop_play_mm: float
    error_model: Literal["constant", "relative"]
    least_extension_mm: float
    greatest_extension_mm: float
    settings: Sequence[ZoomSetting]
    interpolate_at: float


class LensCalibrationRequest(CalibrationFields, total=False):
    """Frames of one lens, or of a zoom at several settings; or one frame, and what is known of the lens."""

    estimate_unknown: bool
    lens_class: str
    widest_f_number: float
    zoom_from_mm: float
    zoom_to_mm: float
    barrel_length_mm: float
    barrel_length_uncertainty_mm: float
    entrance_pupil_depth_mm: float
    entrance_pupil_depth_uncertainty_mm: float
    pupil_ratio_uncertainty: float
    measured: Sequence[MeasuredMagnification]


class LensEstimateRequest(KnownLensFields, total=False):
    """What is known of one lens; and where wanted the set-up it is for, and the figure that matters there."""

    focal_length_mm: Required[float]
    lens_register_mm: float
    front_principal_plane_mm: float
    principal_plane_separation_mm: float
    pupil_magnification: float
    mounting: Literal["normal", "reversed"]
    camera_register_mm: float
    extension_mm: float
    f_number: float
    figure: Literal["magnification", "effective_f_number", "working_distance_mm", "subject_to_sensor_mm"]


class RingChainsRequest(TypedDict, total=False):
    """The two ends: each a thread with its gender, or a mount with its side."""

    from_thread: str
    from_gender: Literal["external", "internal"]
    from_mount: str
    from_side: Literal["lens", "body"]
    to_thread: str
    to_gender: Literal["external", "internal"]
    to_mount: str
    to_side: Literal["lens", "body"]
    front_diameter_mm: float
    most: int
    kit: Kit


class DrawnFields(TypedDict, total=False):
    """How it is drawn; it changes no number."""

    width_px: int


class SetUpDrawingRequest(SetUpRequest, DrawnFields, total=False):
    """The set-up document of /v1/set-ups/evaluate, and how wide it is to be drawn."""


class FrameDrawingRequest(SetUpRequest, DrawnFields, total=False):
    """The set-up document of /v1/set-ups/evaluate, the subject's measures, and how wide it is to be drawn."""

    subject_width_mm: Required[float]
    subject_height_mm: float


class SheetRequest(SetUpRequest, total=False):
    """The set-up document of /v1/set-ups/evaluate, and what stands above the sheet."""

    heading: str
    sent: Required[Mapping[str, object]]


class SearchCamera(SensorFields, total=False):
    """The camera: one of the kit's, or its mount and its sensor."""

    use: str
    mount: str
    pixel_pitch_um: float
    circle_of_confusion_mm: float


class SearchRequest(TypedDict, total=False):
    """The subject, the camera, what is wished for, and what may be used."""

    subject_width_mm: float
    subject_height_mm: float
    magnification: float
    subject_depth_mm: float
    camera: Required[SearchCamera]
    least_working_distance_mm: float
    least_clearance_mm: float
    largest_subject_resolution_um: float
    most_stack_frames: int
    largest_light_loss_stops: float
    longest_rig_mm: float
    arrangements: Sequence[str]
    tolerance: float
    best: int
    apertures_per_set_up: int
    budget: float
    depth_of_field_model: Literal["combined", "geometric", "wave"]
    wavelength_nm: float
    estimate_unknown: bool
    kit: Kit


class TableRequest(TypedDict, total=False):
    """A set-up, the columns of its members that vary, and what is asked of every row."""

    kit: Kit
    columns: Required[Mapping[str, AnyColumn]]
    fields: Required[Sequence[str]]
    document: Required[FrameSetUp[Real]]


class SetUpChartRequest(DrawnFields, total=False):
    """A set-up, one member of which varies."""

    kit: Kit
    document: Required[FrameSetUp]
    given: Required[float | str | None]


class ApertureChartRequest(SetUpChartRequest, RingFields, total=False):
    """A set-up, and the marks of the ring that is turned."""

    along: str


class MagnificationChartRequest(SetUpChartRequest, total=False):
    """A set-up, and the length that varies."""

    along: Required[str]
    minimum: float
    maximum: float
    points: int


class StackChartRequest(FocusStackRequest, DrawnFields, total=False):
    """A focus stack as /v1/focus-stack takes it."""


class CalibrationChartRequest(CalibrationFields, DrawnFields, total=False):
    """Frames of one lens, or of a zoom, as /v1/lens-calibration takes them."""


class KitRequest(TypedDict, total=False):
    """A kit to check; without one, this studio's is listed. What lenses lack is told at one set-up."""

    camera: str
    mounting: Literal["normal", "reversed"]
    extension_mm: float
    kit: Kit
