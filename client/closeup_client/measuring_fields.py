"""What rulers, photographs of them, scale bars and lens calibrations can be asked with: lengths in mm, pixels in um or px."""

from collections.abc import Sequence
from typing import Literal, Required, TypeAlias, TypedDict

from closeup_client.shared_fields import MountingFields, SensorFields, StepsFields

ErrorModel: TypeAlias = Literal["constant", "relative"]
ScaleBasis: TypeAlias = Literal["measured", "computed"]
MarksAre: TypeAlias = Literal["lines", "blocks"]
Leg: TypeAlias = Literal["level", "upright"]
ImageType: TypeAlias = Literal["image/svg+xml", "image/png"]


class UsedSensorFields(SensorFields, total=False):
    """The sensor, or the part of it that the picture uses, and its pixel pitch."""

    crop_factor: float
    used_width_mm: float
    pixel_pitch_um: float


class ScaleReadingFields(UsedSensorFields, StepsFields, total=False):
    """Two marks of a ruler at the frame's edges, or with both their places or their distance in pixels."""

    first_mark_mm: Required[float]
    last_mark_mm: Required[float]
    first_mark_x_px: float
    first_mark_y_px: float
    last_mark_x_px: float
    last_mark_y_px: float
    distance_px: float
    image_width_px: float
    image_height_px: float
    reading_error_mm: float
    reading_error_px: float
    finest_division_mm: float
    scale_error: float
    pitch_error: float
    tilt_deg: float
    tilt_error_deg: float


class ScaleComparisonFields(UsedSensorFields, total=False):
    """The ruler, by the pitch of its finest marks, and the sensor where the magnification is wanted."""

    tick_pitch_mm: Required[float]
    perspective_distance_mm: float
    largest_tilt_deg: float
    scale_error: float
    pitch_error: float
    accept_plain_marks: bool
    accept_pitch: bool
    marks_are: MarksAre
    leg: Leg


class ScalePhotoFields(ScaleComparisonFields, total=False):
    """The same for one photograph, and whether the overlay is wanted."""

    overlay: bool


class ScaleBarFields(UsedSensorFields, StepsFields, total=False):
    """Exactly one of the first three, the picture's width and what became of it, and how the bar is to look."""

    magnification: float
    scale_px_per_mm: float
    subject_width_mm: float
    image_width_px: Required[float]
    cropped_width_px: float
    finished_width_px: float
    relative_uncertainty: float
    scale_basis: ScaleBasis
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
    """One frame of a ruler: its extension by rings, by the focus ring or by both, and what was read.

    A distance needs its standard uncertainty beside it.
    """

    extension_mm: float
    focusing_extension_mm: float
    magnification: Required[float]
    magnification_uncertainty: float
    working_distance_mm: float
    working_distance_uncertainty_mm: float
    subject_to_sensor_mm: float
    subject_to_sensor_uncertainty_mm: float


class MeasuredLensFields(TypedDict, total=False):
    """What was measured of one lens beside its frames; one frame alone needs `focal_length_mm`."""

    focal_length_mm: float
    focal_length_uncertainty_mm: float
    entrance_pupil_diameter_mm: float
    entrance_pupil_diameter_uncertainty_mm: float
    exit_pupil_diameter_mm: float
    exit_pupil_diameter_uncertainty_mm: float
    reference_f_number: float
    reference_light_loss_stops: float
    reference_light_loss_uncertainty_stops: float


class ZoomSetting(MeasuredLensFields, total=False):
    """One setting of a zoom, told apart by a number, with its frames."""

    setting: Required[float]
    frames: Required[Sequence[CalibrationFrame]]


class MeasuredFrames(MeasuredLensFields, MountingFields, total=False):
    """Frames of one lens, or of a zoom at several settings; `camera_register_mm` is needed where the lens is reversed."""

    frames: Sequence[CalibrationFrame]
    camera_register_mm: float
    lens_register_mm: float
    infinity_stop_play_mm: float
    error_model: ErrorModel
    least_extension_mm: float
    greatest_extension_mm: float
    settings: Sequence[ZoomSetting]
    interpolate_at: float


class LensCalibrationFields(MeasuredFrames, StepsFields, total=False):
    """Frames of one lens, or of a zoom, from which it is calibrated."""
