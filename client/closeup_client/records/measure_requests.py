"""What `measure` can be asked with: keyword arguments of the client's methods, and what they hold.

Written by `python -m closeup_service.published` from the service's schemas; not to be edited.
"""

from collections.abc import Sequence
from typing import Literal, Required, TypeAlias

from closeup_client.records.shared_requests import (
    KnownLensFields,
    MeasuredFrames,
    MeasuredMagnification,
    Mounting,
    SensorFields,
    StepsFields,
)

ScaleBasis: TypeAlias = Literal["measured", "computed"]
MarksAre: TypeAlias = Literal["lines", "blocks"]
Leg: TypeAlias = Literal["level", "upright"]
ImageType: TypeAlias = Literal["image/svg+xml", "image/png"]


class UsedSensorFields(SensorFields, total=False):
    """The sensor, or the part of it that the picture uses, and its pixel pitch.

    Members
    -------
    sensor : text
        Sensor format by its id in /v1/catalogue/sensors, width x height in mm; zeros at the end of a measure may be
        left out or added.
    sensor_width_mm : number
        Used width of the sensor. [mm]
    sensor_height_mm : number
        Used height of the sensor. [mm]
    crop_factor : number
        Width of the whole sensor over the width that the picture uses, as in a video or crop mode.
    used_width_mm : number
        Width of the sensor that the picture uses. [mm]
    pixel_pitch_um : number
        Centre to centre of the sensor's pixels. [um]
    """

    crop_factor: float
    used_width_mm: float
    pixel_pitch_um: float


class ScaleReadingFields(UsedSensorFields, StepsFields, total=False):
    """Two marks of a ruler: read at both edges of the frame, or with their places in the picture in pixels.

    Members
    -------
    sensor : text
        Sensor format by its id in /v1/catalogue/sensors, width x height in mm; zeros at the end of a measure may be
        left out or added.
    sensor_width_mm : number
        Used width of the sensor. [mm]
    sensor_height_mm : number
        Used height of the sensor. [mm]
    crop_factor : number
        Width of the whole sensor over the width that the picture uses, as in a video or crop mode.
    used_width_mm : number
        Width of the sensor that the picture uses. [mm]
    pixel_pitch_um : number
        Centre to centre of the sensor's pixels. [um]
    image_width_px : number
        Width of the picture in its own pixels. [px]
    first_mark_mm : number, needed
        Reading of the ruler at the first mark: at one edge of the frame, or at the place given. [mm]
    last_mark_mm : number, needed
        Reading of the ruler at the last mark: at the other edge of the frame, or at the place given. [mm]
    first_mark_x_px : number
        Place of the first mark in the picture, from its left edge. [px]
    first_mark_y_px : number
        Place of the first mark in the picture, from its top edge. [px]
    last_mark_x_px : number
        Place of the last mark in the picture, from its left edge. [px]
    last_mark_y_px : number
        Place of the last mark in the picture, from its top edge. [px]
    distance_px : number
        Distance between the two marks in the picture, along the ruler. [px]
    image_height_px : number
        Height of the picture in its own pixels. [px]
    reading_error_mm : number
        Standard uncertainty of the reading of each mark, on the ruler. [mm]
    reading_error_px : number
        Standard uncertainty of the place of each mark in the picture, along the ruler. [px]
    finest_division_mm : number
        Finest division of the ruler, to the nearest of which the marks were read; assumed 1 mm. [mm]
    scale_error : number
        Relative standard uncertainty of the ruler's division.
    pitch_error : number
        Relative standard uncertainty of the pixel pitch, or of the sensor's used width.
    tilt_deg : number or None
        Tilt of the ruler, along its length, against the plane of the sensor. [deg]
    tilt_error_deg : number
        Standard uncertainty of the tilt; alone, of a ruler meant to lie square. [deg]
    show_steps : True or False
        Whether the answer tells its steps, each with formula, numbers put in, result and source; assumed false.
    """

    image_width_px: float
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
    tilt_deg: float | None
    tilt_error_deg: float


class ScalePhotoFields(UsedSensorFields, total=False):
    """A photograph of a ruler, and the pitch of its finest marks.

    Members
    -------
    sensor : text
        Sensor format by its id in /v1/catalogue/sensors, width x height in mm; zeros at the end of a measure may be
        left out or added.
    sensor_width_mm : number
        Used width of the sensor. [mm]
    sensor_height_mm : number
        Used height of the sensor. [mm]
    crop_factor : number
        Width of the whole sensor over the width that the picture uses, as in a video or crop mode.
    used_width_mm : number
        Width of the sensor that the picture uses. [mm]
    pixel_pitch_um : number
        Centre to centre of the sensor's pixels. [um]
    tick_pitch_mm : number, needed
        Distance between neighbouring marks of the ruler, the finest ones. [mm]
    perspective_distance_mm : number
        Entrance pupil to the subject's plane, in which the scale holds. [mm]
    largest_tilt_deg : number
        Largest tilt that the ruler may have along its length, either way; assumed where the photograph does not show
        the tilt. [deg]
    scale_error : number
        Relative standard uncertainty of the ruler's division.
    pitch_error : number
        Relative standard uncertainty of the pixel pitch, or of the sensor's used width.
    accept_plain_marks : True or False
        Whether even marks of one length are read although nothing else shows that they are a scale: no longer marks in
        order, no numerals, not 12 or more thin lines with straight ends on a blank ground; assumed false.
    accept_pitch : True or False
        Whether tick_pitch_mm is right although the longer marks speak for another pitch; assumed false.
    marks_are : 'lines' | 'blocks'
        What the marks are where the picture does not tell: lines, each a mark; or blocks, alternately dark and light,
        each as long as tick_pitch_mm.
    leg : 'level' | 'upright'
        Which leg of an L-shaped ruler is read: the one nearer to the rows of the picture, or upright.
    overlay : True or False
        the photograph with what was found drawn over it; given in base64 where true, assumed false.
    """

    tick_pitch_mm: Required[float]
    perspective_distance_mm: float
    largest_tilt_deg: float
    scale_error: float
    pitch_error: float
    accept_plain_marks: bool
    accept_pitch: bool
    marks_are: MarksAre
    leg: Leg
    overlay: bool


class ScaleComparisonFields(UsedSensorFields, total=False):
    """Two to six photographs of the same ruler at the same magnification, in order, and the pitch of its finest marks.

    Members
    -------
    sensor : text
        Sensor format by its id in /v1/catalogue/sensors, width x height in mm; zeros at the end of a measure may be
        left out or added.
    sensor_width_mm : number
        Used width of the sensor. [mm]
    sensor_height_mm : number
        Used height of the sensor. [mm]
    crop_factor : number
        Width of the whole sensor over the width that the picture uses, as in a video or crop mode.
    used_width_mm : number
        Width of the sensor that the picture uses. [mm]
    pixel_pitch_um : number
        Centre to centre of the sensor's pixels. [um]
    tick_pitch_mm : number, needed
        Distance between neighbouring marks of the ruler, the finest ones. [mm]
    perspective_distance_mm : number
        Entrance pupil to the subject's plane, in which the scale holds. [mm]
    largest_tilt_deg : number
        Largest tilt that the ruler may have along its length, either way; assumed where the photograph does not show
        the tilt. [deg]
    scale_error : number
        Relative standard uncertainty of the ruler's division.
    pitch_error : number
        Relative standard uncertainty of the pixel pitch, or of the sensor's used width.
    accept_plain_marks : True or False
        Whether even marks of one length are read although nothing else shows that they are a scale: no longer marks in
        order, no numerals, not 12 or more thin lines with straight ends on a blank ground; assumed false.
    accept_pitch : True or False
        Whether tick_pitch_mm is right although the longer marks speak for another pitch; assumed false.
    marks_are : 'lines' | 'blocks'
        What the marks are where the picture does not tell: lines, each a mark; or blocks, alternately dark and light,
        each as long as tick_pitch_mm.
    leg : 'level' | 'upright'
        Which leg of an L-shaped ruler is read: the one nearer to the rows of the picture, or upright.
    """

    tick_pitch_mm: Required[float]
    perspective_distance_mm: float
    largest_tilt_deg: float
    scale_error: float
    pitch_error: float
    accept_plain_marks: bool
    accept_pitch: bool
    marks_are: MarksAre
    leg: Leg


class ScaleBarFields(UsedSensorFields, StepsFields, total=False):
    """The scale by one of three routes, what became of the picture since, and how the bar is to look.

    Members
    -------
    sensor : text
        Sensor format by its id in /v1/catalogue/sensors, width x height in mm; zeros at the end of a measure may be
        left out or added.
    sensor_width_mm : number
        Used width of the sensor. [mm]
    sensor_height_mm : number
        Used height of the sensor. [mm]
    crop_factor : number
        Width of the whole sensor over the width that the picture uses, as in a video or crop mode.
    used_width_mm : number
        Width of the sensor that the picture uses. [mm]
    pixel_pitch_um : number
        Centre to centre of the sensor's pixels. [um]
    image_width_px : number, needed
        Width of the picture in which the scale holds. [px]
    magnification : number or None
        Size on the sensor over size of the subject.
    scale_px_per_mm : number or None
        Pixels of the picture that draw one mm of the subject. [px/mm]
    subject_width_mm : number or None
        Width of the subject that fills the sensor. [mm]
    cropped_width_px : number
        Pixels of the picture's width that cropping left, before any resizing; assumed all. [px]
    finished_width_px : number
        Width of the finished picture in pixels, cropped and resized; assumed not resized. [px]
    relative_uncertainty : number
        Relative standard uncertainty of the scale, as /v1/scale-reading gives it.
    scale_basis : 'measured' | 'computed'
        Whether the scale was measured on a ruler or computed from the set-up; the label says so of a computed one.
        Assumed computed.
    share : number
        Share of the picture's width that the bar fills at most; assumed 0.2.
    bar_length_um : number
        Length that the bar stands for, in place of a round one. [um]
    subject_depth_mm : number
        How far the subject stands out towards the lens. [mm]
    perspective_distance_mm : number
        Entrance pupil to the subject's plane, in which the scale holds. [mm]
    print_width_mm : number
        Width of the print of the whole finished picture. [mm]
    colour : text
        Colour of bar and label, assumed white. One of black, white, grey, red, yellow, lime, cyan, blue, magenta, or
        #rrggbb.
    outline_colour : text
        Colour of the outline, assumed black. One of black, white, grey, red, yellow, lime, cyan, blue, magenta, or
        #rrggbb; none for no outline.
    show_label : True or False
        Whether the length is written above the bar; assumed true.
    bar_height_px : number
        Thickness of the bar; assumed a two-hundredth of the finished picture's width. [px]
    font_size_px : number
        Size of the label's letters; assumed four times the bar's thickness, at least 12. [px]
    show_steps : True or False
        Whether the answer tells its steps, each with formula, numbers put in, result and source; assumed false.
    """

    image_width_px: Required[float]
    magnification: float | None
    scale_px_per_mm: float | None
    subject_width_mm: float | None
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


class LensCalibrationFields(MeasuredFrames, StepsFields, total=False):
    """Frames of one lens, or of a zoom at several settings; or one frame, and what is known of the lens.

    Members
    -------
    mounting : 'normal' | 'reversed'
        Which way round the lens stands; assumed normal.
    frames : Sequence of CalibrationFrame
        Frames of a ruler at different extensions; three or more tell their own scatter.
    focal_length_mm : number or None
        Focal length, known beforehand; one frame alone needs it, more frames find it. [mm]
    focal_length_uncertainty_mm : number
        Standard uncertainty of the focal length; if not given, it is taken as exact. [mm]
    entrance_pupil_diameter_uncertainty_mm : number
        Standard uncertainty of the entrance pupil's diameter. [mm]
    exit_pupil_diameter_uncertainty_mm : number
        Standard uncertainty of the exit pupil's diameter. [mm]
    reference_f_number : number
        An f-number of this lens that is known, to compare an unknown one with by its light at equal magnification.
    reference_light_loss_stops : number
        Stops by which the unknown f-number gives less light than the known one at equal magnification. [stops]
    reference_light_loss_uncertainty_stops : number
        Standard uncertainty of those stops. [stops]
    camera_register_mm : number
        Register of the camera: mount flange to sensor. [mm]
    lens_register_mm : number
        Register of the mount that the lens was made for; held against the frames, with the play of the infinity stop as
        its standard uncertainty. [mm]
    infinity_stop_play_mm : number
        Standard uncertainty of where the infinity stop puts the lens, against its register; assumed 0.2 mm. [mm]
    error_model : 'constant' | 'relative'
        Where no uncertainties are given: whether all magnifications err alike, or in proportion to their size. Assumed
        constant.
    least_extension_mm : number
        Least extension that further frames can have; assumed the least of the present ones. [mm]
    greatest_extension_mm : number
        Greatest extension that further frames can have; assumed the greatest of the present ones. [mm]
    settings : Sequence of ZoomSetting
        Settings of a zoom, instead of frames.
    interpolate_at : number
        Setting within those measured whose lens is wanted.
    estimate_unknown : True or False
        Whether lens data that are not given are estimated from published designs of the lens's class, so that answers
        give ranges; assumed false.
    show_steps : True or False
        Whether the answer tells its steps, each with formula, numbers put in, result and source; assumed false.
    lens_class : text
        Class of the lens, of /v1/catalogue/lens-classes; assumed by its register and whether it is a zoom.
    widest_f_number : number
        Widest f-number, as engraved on the lens; of a zoom that at this focal length. Assumed the usual one of its
        class.
    zoom_from_mm : number
        Shortest focal length of a zoom, as engraved. [mm]
    zoom_to_mm : number
        Longest focal length of a zoom, as engraved. [mm]
    barrel_length_mm : number
        Front rim to mount flange, focused on infinity. [mm]
    barrel_length_uncertainty_mm : number
        Standard uncertainty of the barrel's length; assumed 1 mm. [mm]
    entrance_pupil_depth_mm : number
        How deep the iris seems to lie behind the front rim, seen from the front. [mm]
    entrance_pupil_depth_uncertainty_mm : number
        Standard uncertainty of how deep the iris seems to lie; assumed 3 mm. [mm]
    entrance_pupil_diameter_mm : number or None
        Diameter of the aperture as seen from far off through the lens's front. [mm]
    exit_pupil_diameter_mm : number
        Diameter of the aperture as seen from far off through the lens's rear. [mm]
    pupil_ratio_uncertainty : number
        Relative standard uncertainty of exit over entrance pupil; assumed 0.05.
    measured : Sequence of MeasuredMagnification
        Photographs of a ruler taken with this lens at its infinity stop, each with its magnification.
    """

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


class LensEstimateFields(KnownLensFields, total=False):
    """What is known of one lens; and where wanted the set-up it is for, and the figure that matters there.

    Members
    -------
    focal_length_mm : number, needed
        Focal length as engraved; of a zoom the one it is set to. With front_principal_plane_mm the true one. [mm]
    lens_register_mm : number
        Register of the mount that the lens was made for. [mm]
    front_principal_plane_mm : number or None
        Front joining face to front principal plane, positive inwards. [mm]
    principal_plane_separation_mm : number or None
        Front to rear principal plane, signed; negative when they are crossed. For total lengths only. [mm]
    pupil_magnification : number or None
        Exit pupil over entrance pupil diameter, of the lens mounted normally.
    mounting : 'normal' | 'reversed'
        Which way round the lens is to stand; assumed reversed.
    camera_register_mm : number
        Register of the camera; assumed 44 mm, for a lens on its mount the lens's own. [mm]
    extension_mm : number or None
        Rings, adapters and bellows behind the lens; assumed none. [mm]
    f_number : number or None
        f-number marked on the lens; needed for the effective f-number.
    figure : text
        Figure of the set-up that matters; assumed magnification.
    lens_class : text
        Class of the lens, of /v1/catalogue/lens-classes; assumed by its register and whether it is a zoom.
    widest_f_number : number
        Widest f-number, as engraved on the lens; of a zoom that at this focal length. Assumed the usual one of its
        class.
    zoom_from_mm : number
        Shortest focal length of a zoom, as engraved. [mm]
    zoom_to_mm : number
        Longest focal length of a zoom, as engraved. [mm]
    barrel_length_mm : number
        Front rim to mount flange, focused on infinity. [mm]
    barrel_length_uncertainty_mm : number
        Standard uncertainty of the barrel's length; assumed 1 mm. [mm]
    entrance_pupil_depth_mm : number
        How deep the iris seems to lie behind the front rim, seen from the front. [mm]
    entrance_pupil_depth_uncertainty_mm : number
        Standard uncertainty of how deep the iris seems to lie; assumed 3 mm. [mm]
    entrance_pupil_diameter_mm : number or None
        Diameter of the aperture as seen from far off through the lens's front. [mm]
    exit_pupil_diameter_mm : number
        Diameter of the aperture as seen from far off through the lens's rear; with entrance_pupil_diameter_mm, or wide
        open with widest_f_number. [mm]
    pupil_ratio_uncertainty : number
        Relative standard uncertainty of exit over entrance pupil; assumed 0.05.
    measured : Sequence of MeasuredMagnification
        Photographs of a ruler taken with this lens at its infinity stop, each with its magnification.
    """

    focal_length_mm: Required[float]
    lens_register_mm: float
    front_principal_plane_mm: float | None
    principal_plane_separation_mm: float | None
    pupil_magnification: float | None
    mounting: Mounting
    camera_register_mm: float
    extension_mm: float | None
    f_number: float | None
    figure: str
