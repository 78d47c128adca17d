"""What is answered of `measure`, as frozen records; None where the request does not determine it.

Written by `python -m closeup_service.published` from the service's schemas; not to be edited.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from closeup_client.raw import RawLens
from closeup_client.records.shared_answers import Answer, EstimatedDatum, FrameResidual, Range, Remark, WorkedAnswer


@dataclass(frozen=True, kw_only=True)
class Contribution:
    """What one source of error adds: its relative standard uncertainty, and its share of the combined variance.

    Attributes
    ----------
    source : text
        Source of the error. One of: reading, ruler, sensor, tilt.
    relative_uncertainty : number
        Relative standard uncertainty.
    variance_share : number
        Share of the combined variance, from 0 to 1.
    """

    source: str
    relative_uncertainty: float
    variance_share: float


@dataclass(frozen=True, kw_only=True, repr=False)
class ScaleReadingAnswer(WorkedAnswer):
    """The magnification that the ruler shows, its uncertainty, and where that comes from.

    Attributes
    ----------
    assumed : Mapping
        Value used for each datum that was not given: a number or a word, by name or by JSON pointer.
    remarks : tuple of Remark
        What is worth knowing about this answer.
    cautions : tuple of Caution
        The usual cautions that apply here, people first.
    magnification : number
        Size on the sensor over size of the subject.
    ratio : text
        The magnification as a ratio, sensor to subject, such as 1:1.57.
    magnification_uncertainty : number
        Combined standard uncertainty of the magnification.
    relative_uncertainty : number
        Relative standard uncertainty.
    magnification_low : number or None
        Low end of the interval that holds the magnification with 95 % coverage.
    magnification_high : number
        High end of the interval that holds the magnification with 95 % coverage.
    ruler_length_mm : number
        Length between the two marks on the ruler. [mm]
    scale_px_per_mm : number or None
        Pixels of the picture that draw one mm of the subject. [px/mm]
    subject_width_mm : number or None
        Width of the subject that fills the sensor. [mm]
    subject_height_mm : number or None
        Height of the subject that fills the sensor. [mm]
    subject_width_uncertainty_mm : number or None
        Combined standard uncertainty of the subject width. [mm]
    dominant : text or None
        Source that adds most to the uncertainty; None where there is none. One of: reading, ruler, sensor, tilt.
    contributions : tuple of Contribution
        What each source adds: reading of the marks, ruler, sensor, tilt.
    steps : tuple of Step
        The steps of the sum, in their order; present where show_steps is true.
    raw : Mapping
        The object as the service sent it, with members that this client does not know.
    """

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


@dataclass(frozen=True, kw_only=True)
class ZoneSharpness:
    """Sharpness in one zone; null where it shows too few marks.

    Attributes
    ----------
    zone : text
        Zone of the frame, three rows of three. One of: top-left, top-middle, top-right, middle-left, middle, middle-
        right, bottom-left, bottom-middle, bottom-right.
    edge_width_um : number or None
        Width of the marks' edges, from 10 to 90 % of their height, on the subject, along the ruler; as the lens blurs
        an edge, without what the width of a mark or of a pixel does. [um]
    edge_width_px : number or None
        The same width in pixels of the picture. [px]
    edges : whole number
        Edges of marks that this is the middle value of.
    """

    zone: str
    edge_width_um: float | None
    edge_width_px: float | None
    edges: int


@dataclass(frozen=True, kw_only=True)
class ColourShift:
    """Lateral colour at one end of the visible scale.

    Attributes
    ----------
    x_px : number
        Place in the picture, from the middle of its leftmost pixel to the right. [px]
    y_px : number
        Place in the picture, from the middle of its uppermost pixel down. [px]
    red_shift_px : number
        How far red stands from green along the ruler, positive away from the middle. [px]
    blue_shift_px : number
        How far blue stands from green along the ruler, positive away from the middle. [px]
    """

    x_px: float
    y_px: float
    red_shift_px: float
    blue_shift_px: float


@dataclass(frozen=True, kw_only=True)
class OtherLeg:
    """The leg of an L-shaped ruler at right angles to the one read.

    Attributes
    ----------
    scale_px_per_mm : number
        Pixels that draw one mm of the subject, in the middle of the picture, along this leg, as seen. [px/mm]
    scale_uncertainty_px_per_mm : number
        Combined standard uncertainty of the scale. [px/mm]
    direction_deg : number
        Direction of the ruler in the picture, from the horizontal, anticlockwise as seen. [deg]
    marks_used : whole number
        Marks of this leg that its reading is based on.
    """

    scale_px_per_mm: float
    scale_uncertainty_px_per_mm: float
    direction_deg: float
    marks_used: int


@dataclass(frozen=True, kw_only=True, repr=False)
class ScalePhotoAnswer(Answer):
    """What the photograph of a ruler tells: scale, magnification, their uncertainty, and the lens's faults.

    Attributes
    ----------
    assumed : Mapping
        Value used for each datum that was not given: a number or a word, by name or by JSON pointer.
    remarks : tuple of Remark
        What is worth knowing about this answer.
    cautions : tuple of Caution
        The usual cautions that apply here, people first.
    scale_px_per_mm : number
        Pixels that draw one mm of the subject, in the middle of the picture, along the ruler; freed of the tilt where
        that is known. [px/mm]
    scale_uncertainty_px_per_mm : number
        Combined standard uncertainty of the scale. [px/mm]
    scale_low_px_per_mm : number or None
        Low end of the interval that holds the scale with 95 % coverage. [px/mm]
    scale_high_px_per_mm : number
        High end of the interval that holds the scale with 95 % coverage. [px/mm]
    mean_scale_px_per_mm : number
        Pixels of the picture that draw one mm, as seen, from the first mark found to the last. [px/mm]
    magnification : number or None
        Size on the sensor over size of the subject.
    ratio : text or None
        The magnification as a ratio, sensor to subject, such as 1:1.57.
    magnification_uncertainty : number or None
        Combined standard uncertainty of the magnification.
    relative_uncertainty : number
        Relative uncertainty of the scale.
    assumed_tilt_uncertainty : number or None
        Part of the scale's relative uncertainty that comes from tilts taken as possible, up to largest_tilt_deg; 0
        where the photograph shows the tilt.
    magnification_low : number or None
        Low end of the interval that holds the magnification with 95 % coverage.
    magnification_high : number or None
        High end of the interval that holds the magnification with 95 % coverage.
    subject_width_mm : number
        Width of the subject that fills the sensor. [mm]
    subject_height_mm : number
        Height of the subject that fills the sensor. [mm]
    contributions : tuple of Contribution
        What each source adds: reading of the marks, ruler, sensor, tilt.
    tilt_deg : number or None
        Tilt of the ruler along itself, positive where its last mark is nearer. [deg]
    tilt_uncertainty_deg : number or None
        Standard uncertainty of the tilt. [deg]
    keystone : number
        Change of the scale by perspective from the first mark found to the last, over the scale in the middle.
    distortion : number
        Radial distortion where the visible scale ends, the end farther from the middle; barrel is negative.
    distortion_uncertainty : number
        Standard uncertainty of the radial distortion.
    lateral_colour_um : number or None
        Greatest distance of red or blue from green at the two ends of the visible scale, on the subject. [um]
    red_scale_difference : number or None
        How much larger red is drawn than green (lateral colour).
    blue_scale_difference : number or None
        How much larger blue is drawn than green (lateral colour).
    fall_off_stops : number or None
        How much darker the ruler's ground is where the visible scale ends than in the middle. [stops]
    zones : tuple of ZoneSharpness
        Sharpness zone by zone, row by row from the top left.
    colour_shifts : tuple of ColourShift
        Lateral colour at both ends of the visible scale; none for a grey photograph.
    marks_used : whole number
        Marks of the ruler that the reading stands on.
    direction_deg : number
        Direction of the ruler in the picture, from the horizontal, anticlockwise as seen. [deg]
    other_leg : OtherLeg or None
        The leg of an L-shaped ruler at right angles to the one read.
    dark_marks : True or False
        Whether the marks are dark on light.
    suggested_tick_pitch_mm : number or None
        Pitch of the finest marks that the longer marks suggest: the one given, or another; None where they tell
        nothing. [mm]
    image_width_px : number
        Width of the picture in its own pixels. [px]
    image_height_px : number
        Height of the picture in its own pixels. [px]
    bits_in_file : whole number
        Bits of each colour as stored in the file.
    bits_used : whole number
        Bits of each colour that the reading was made from: 8 in colour, up to 16 in grey.
    overlay : bytes or None
        The photograph with what was found drawn over it, as PNG in base64; None unless asked for.
    raw : Mapping
        The object as the service sent it, with members that this client does not know.
    """

    scale_px_per_mm: float
    scale_uncertainty_px_per_mm: float
    scale_low_px_per_mm: float | None
    scale_high_px_per_mm: float
    mean_scale_px_per_mm: float
    magnification: float | None
    ratio: str | None
    magnification_uncertainty: float | None
    relative_uncertainty: float
    assumed_tilt_uncertainty: float | None = None
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
    other_leg: OtherLeg | None = None
    dark_marks: bool
    suggested_tick_pitch_mm: float | None
    image_width_px: float
    image_height_px: float
    bits_in_file: int
    bits_used: int
    overlay: bytes | None = field(repr=False)


@dataclass(frozen=True, kw_only=True)
class ComparedFrame:
    """One photograph of a comparison.

    Attributes
    ----------
    frame : whole number
        Number of the photograph, in the order sent, from 1.
    sharpness_score : number or None
        Mean, over the zones that every photograph shows, of the narrowest edge there over this photograph's own: 1 is
        best.
    scale_px_per_mm : number
        Pixels of the picture that draw one mm of the subject. [px/mm]
    scale_difference : number
        Scale of this photograph over that of the first, less 1.
    magnification : number or None
        Size on the sensor over size of the subject.
    relative_uncertainty : number
        Relative uncertainty of the scale.
    tilt_deg : number or None
        Tilt of the ruler along itself, positive where its last mark is nearer. [deg]
    distortion : number
        Radial distortion where the visible scale ends, the end farther from the middle; barrel is negative.
    lateral_colour_um : number or None
        Greatest distance of red or blue from green at the two ends of the visible scale, on the subject. [um]
    fall_off_stops : number or None
        How much darker the ruler's ground is where the visible scale ends than in the middle. [stops]
    marks_used : whole number
        Marks of the ruler that the reading stands on.
    """

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


@dataclass(frozen=True, kw_only=True)
class ComparedZone:
    """One zone of a comparison.

    Attributes
    ----------
    zone : text
        Zone of the frame, three rows of three. One of: top-left, top-middle, top-right, middle-left, middle, middle-
        right, bottom-left, bottom-middle, bottom-right.
    best_frame : whole number or None
        Photograph that is sharpest here; None where fewer than two show enough marks.
    edge_widths_um : tuple of number or None
        Width of the edges in each photograph; None where it shows too few marks here.
    """

    zone: str
    best_frame: int | None
    edge_widths_um: tuple[float | None, ...]


@dataclass(frozen=True, kw_only=True, repr=False)
class ScaleComparisonAnswer(Answer):
    """Which of several photographs of a ruler is sharpest, zone by zone and over all, and how else they differ.

    Attributes
    ----------
    assumed : Mapping
        Value used for each datum that was not given: a number or a word, by name or by JSON pointer.
    remarks : tuple of Remark
        What is worth knowing about this answer.
    cautions : tuple of Caution
        The usual cautions that apply here, people first.
    best_frame : whole number or None
        Photograph with the highest sharpness_score; None where no zone is in all of them.
    frames : tuple of ComparedFrame
        Each photograph, in the order sent.
    zones : tuple of ComparedZone
        Sharpness zone by zone, row by row from the top left.
    raw : Mapping
        The object as the service sent it, with members that this client does not know.
    """

    best_frame: int | None
    frames: tuple[ComparedFrame, ...]
    zones: tuple[ComparedZone, ...]


@dataclass(frozen=True, kw_only=True, repr=False)
class ScaleBarAnswer(WorkedAnswer):
    """The bar's length on the subject, in the finished picture and on the print, and the bar itself as SVG.

    Attributes
    ----------
    assumed : Mapping
        Value used for each datum that was not given: a number or a word, by name or by JSON pointer.
    remarks : tuple of Remark
        What is worth knowing about this answer.
    cautions : tuple of Caution
        The usual cautions that apply here, people first.
    bar_length_um : number
        Length on the subject that the bar stands for. [um]
    bar_px : number
        Length of the bar in pixels of the finished picture, exact. [px]
    drawn_px : number
        Length of the bar as PNG draws it, in whole pixels. [px]
    bar_share : number
        Share of the finished picture's width that the bar fills.
    label : text
        Length with its unit, and whether the scale was computed.
    caption : text
        Sentence to set below the picture.
    scale_px_per_mm : number
        Pixels of the finished picture that draw one mm of the subject. [px/mm]
    subject_width_mm : number
        Width of the subject in the finished picture. [mm]
    bar_uncertainty_um : number or None
        Standard uncertainty of the length that the bar stands for. [um]
    depth_scale_change : number or None
        Scale of the subject's nearest point over that of its plane, less 1.
    print_bar_mm : number or None
        Length of the bar on the print. [mm]
    print_magnification : number or None
        Size on the print over size of the subject.
    svg : text
        The bar as SVG on a transparent ground; the same as with Accept: image/svg+xml.
    steps : tuple of Step
        The steps of the sum, in their order; present where show_steps is true.
    raw : Mapping
        The object as the service sent it, with members that this client does not know.
    """

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
    """One number for each quantity of a measured lens; null where it is not determined.

    Attributes
    ----------
    focal_length_mm : number or None
        Focal length at the focus setting in use. [mm]
    front_principal_plane_mm : number or None
        Front joining face to front principal plane, positive inwards. [mm]
    rear_principal_plane_mm : number or None
        Rear joining face to rear principal plane, positive towards the camera. [mm]
    extension_at_infinity_mm : number or None
        Extension that remains at the infinity stop without rings; negative where the lens goes past infinity. [mm]
    pupil_magnification : number or None
        Exit pupil over entrance pupil diameter, of the lens mounted normally.
    principal_plane_separation_mm : number or None
        Front to rear principal plane, signed; negative when they are crossed. For total lengths only. [mm]
    f_number_estimate : number or None
        f-number from the entrance pupil, or from the light against a known one.
    """

    focal_length_mm: float | None
    front_principal_plane_mm: float | None
    rear_principal_plane_mm: float | None
    extension_at_infinity_mm: float | None
    pupil_magnification: float | None
    principal_plane_separation_mm: float | None
    f_number_estimate: float | None


@dataclass(frozen=True, kw_only=True)
class AddedFrames:
    """So many further frames at one extension.

    Attributes
    ----------
    extension_mm : number
        Extension in all. [mm]
    frames : whole number
        Number of frames.
    """

    extension_mm: float
    frames: int


@dataclass(frozen=True, kw_only=True)
class MeasuredUncertainty:
    """Standard uncertainties of a lens and how they go together.

    Attributes
    ----------
    parameters : tuple of text
        What the covariance is of, in its order. One of: focal_length_mm, front_principal_plane_mm,
        rear_principal_plane_mm, pupil_magnification, principal_plane_separation_mm, f_number.
    covariance : tuple of tuple of number
        Covariance of the parameters, row by row, in the units of both.
    degrees_of_freedom : number or None
        Degrees of freedom of the frames' scatter; left out where all uncertainties were stated.
    scatter_covariance : tuple of tuple of number or None
        Part of the covariance that rests on the frames' scatter and so has those degrees of freedom; the rest was
        stated.
    """

    parameters: tuple[str, ...]
    covariance: tuple[tuple[float, ...], ...]
    degrees_of_freedom: float | None = None
    scatter_covariance: tuple[tuple[float, ...], ...] | None = None


@dataclass(frozen=True, kw_only=True)
class MeasuredLens(RawLens):
    """The lens as an element of a train: it can be pasted as it is.

    Attributes
    ----------
    element : text
        Kind of element.
    focal_length_mm : number
        Focal length at the focus setting in use. [mm]
    front_principal_plane_mm : number or None
        Front joining face to front principal plane, positive inwards. [mm]
    register_mm : number or None
        Register: mount flange to sensor, of the camera or of the mount that the part was made for. [mm]
    rear_principal_plane_mm : number or None
        Rear joining face to rear principal plane, positive towards the camera. [mm]
    principal_plane_separation_mm : number or None
        Front to rear principal plane, signed; negative when they are crossed. For total lengths only. [mm]
    pupil_magnification : number or None
        Exit pupil over entrance pupil diameter, of the lens mounted normally.
    f_number : number or None
        f-number as marked and set on the lens.
    reversed : True or False or None
        Present and true where the frames were taken with it reversed.
    uncertainty : MeasuredUncertainty or None
        Standard uncertainties of a lens and how they go together.
    raw : Mapping
        The object as the service sent it, with members that this client does not know.
    """

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


@dataclass(frozen=True, kw_only=True)
class LensMembers(LensEstimate):
    """A lens measured, with standard uncertainties, intervals, and what the frames say of themselves.

    Attributes
    ----------
    focal_length_mm : number or None
        Focal length at the focus setting in use. [mm]
    front_principal_plane_mm : number or None
        Front joining face to front principal plane, positive inwards. [mm]
    rear_principal_plane_mm : number or None
        Rear joining face to rear principal plane, positive towards the camera. [mm]
    extension_at_infinity_mm : number or None
        Extension that remains at the infinity stop without rings; negative where the lens goes past infinity. [mm]
    pupil_magnification : number or None
        Exit pupil over entrance pupil diameter, of the lens mounted normally.
    principal_plane_separation_mm : number or None
        Front to rear principal plane, signed; negative when they are crossed. For total lengths only. [mm]
    f_number_estimate : number or None
        f-number from the entrance pupil, or from the light against a known one.
    uncertainty : LensEstimate
        One number for each quantity of a measured lens; None where it is not determined.
    lower_95 : LensEstimate
        One number for each quantity of a measured lens; None where it is not determined.
    upper_95 : LensEstimate
        One number for each quantity of a measured lens; None where it is not determined.
    parameters : tuple of text
        What the covariance is of, in its order. One of: focal_length_mm, front_principal_plane_mm,
        rear_principal_plane_mm, extension_at_infinity_mm, pupil_magnification, principal_plane_separation_mm,
        f_number_estimate.
    covariance : tuple of tuple of number
        Covariance of the parameters, row by row, in the units of both.
    degrees_of_freedom : whole number or None
        Degrees of freedom: of the frames' scatter where that was taken, rounded down, else of chi_square. The intervals
        take the scatter's for what rests on it, and more or no limit for what rests on stated uncertainties too.
    chi_square : number or None
        Sum of the squared residuals over the uncertainties stated.
    residuals : tuple of FrameResidual
        Every frame, in the order given; empty where no lens is fitted to them.
    repeats_to_halve : whole number or None
        How often all present frames would have to be taken again to halve the 95 % interval of the focal length (where
        that was known, of the plane); None where no uncertainty is known, or where no number of them does.
    frames_to_halve : tuple of AddedFrames
        Or fewer frames, at the extensions where they tell most; empty where none helps or no uncertainty is known.
    lens : MeasuredLens or None
        The lens as an element of a train: it can be pasted as it is.
    """

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
class KnownFrame:
    """A frame of a ruler, as a lens that is to be estimated takes it.

    Attributes
    ----------
    mounting : text
        Which way round the lens stood. One of: normal, reversed.
    extension_mm : number
        Extension in all, with that of the focus ring. [mm]
    camera_register_mm : number
        Register of the camera: mount flange to sensor. [mm]
    magnification : number
        Size on the sensor over size of the subject.
    magnification_uncertainty : number or None
        Combined standard uncertainty of the magnification.
    """

    mounting: str
    extension_mm: float
    camera_register_mm: float
    magnification: float
    magnification_uncertainty: float | None = None


@dataclass(frozen=True, kw_only=True)
class KnownLensElement:
    """What is known of the lens, as an element of a train: with estimate_unknown it gives ranges there too.

    Attributes
    ----------
    element : text
        Kind of element.
    reversed : True or False or None
        Present and true where the frames were taken with it reversed.
    focal_length_mm : number
        Focal length at the focus setting in use. [mm]
    register_mm : number or None
        Register: mount flange to sensor, of the camera or of the mount that the part was made for. [mm]
    f_number : number or None
        f-number as marked and set on the lens.
    front_principal_plane_mm : number or None
        Front joining face to front principal plane, positive inwards. [mm]
    principal_plane_separation_mm : number or None
        Front to rear principal plane, signed; negative when they are crossed. For total lengths only. [mm]
    uncertainty : MeasuredUncertainty or None
        Standard uncertainties of a lens and how they go together.
    lens_class : text
        Class of the lens, of /v1/catalogue/lens-classes. One of: slr-prime, slr-zoom, mirrorless-prime, mirrorless-
        zoom, rangefinder, macro, medium-slr, view-enlarging.
    widest_f_number : number or None
        Widest f-number, as engraved on the lens; of a zoom that at this focal length. Assumed the usual one of its
        class.
    zoom_from_mm : number or None
        Shortest focal length of a zoom, as engraved. [mm]
    zoom_to_mm : number or None
        Longest focal length of a zoom, as engraved. [mm]
    barrel_length_mm : number or None
        Front rim to mount flange, focused on infinity. [mm]
    barrel_length_uncertainty_mm : number or None
        Standard uncertainty of the barrel's length; assumed 1 mm. [mm]
    entrance_pupil_depth_mm : number or None
        How deep the iris seems to lie behind the front rim, seen from the front. [mm]
    entrance_pupil_depth_uncertainty_mm : number or None
        Standard uncertainty of how deep the iris seems to lie; assumed 3 mm. [mm]
    entrance_pupil_diameter_mm : number or None
        Diameter of the aperture as seen from far off through the lens's front. [mm]
    exit_pupil_diameter_mm : number or None
        Diameter of the aperture as seen from far off through the lens's rear. [mm]
    pupil_ratio_uncertainty : number or None
        Relative standard uncertainty of exit over entrance pupil; assumed 0.05.
    measured : tuple of KnownFrame
        Frames that count as readings; left out where the lens fitted to them stands for them.
    """

    element: str
    reversed: bool | None = None
    focal_length_mm: float
    register_mm: float | None = None
    f_number: float | None = None
    front_principal_plane_mm: float | None = None
    principal_plane_separation_mm: float | None = None
    uncertainty: MeasuredUncertainty | None = None
    lens_class: str
    widest_f_number: float | None = None
    zoom_from_mm: float | None = None
    zoom_to_mm: float | None = None
    barrel_length_mm: float | None = None
    barrel_length_uncertainty_mm: float | None = None
    entrance_pupil_depth_mm: float | None = None
    entrance_pupil_depth_uncertainty_mm: float | None = None
    entrance_pupil_diameter_mm: float | None = None
    exit_pupil_diameter_mm: float | None = None
    pupil_ratio_uncertainty: float | None = None
    measured: tuple[KnownFrame, ...] = ()


@dataclass(frozen=True, kw_only=True)
class SettingLens(LensMembers):
    """The lens at one setting of a zoom.

    Attributes
    ----------
    focal_length_mm : number or None
        Focal length at the focus setting in use. [mm]
    front_principal_plane_mm : number or None
        Front joining face to front principal plane, positive inwards. [mm]
    rear_principal_plane_mm : number or None
        Rear joining face to rear principal plane, positive towards the camera. [mm]
    extension_at_infinity_mm : number or None
        Extension that remains at the infinity stop without rings; negative where the lens goes past infinity. [mm]
    pupil_magnification : number or None
        Exit pupil over entrance pupil diameter, of the lens mounted normally.
    principal_plane_separation_mm : number or None
        Front to rear principal plane, signed; negative when they are crossed. For total lengths only. [mm]
    f_number_estimate : number or None
        f-number from the entrance pupil, or from the light against a known one.
    uncertainty : LensEstimate
        One number for each quantity of a measured lens; None where it is not determined.
    lower_95 : LensEstimate
        One number for each quantity of a measured lens; None where it is not determined.
    upper_95 : LensEstimate
        One number for each quantity of a measured lens; None where it is not determined.
    parameters : tuple of text
        What the covariance is of, in its order. One of: focal_length_mm, front_principal_plane_mm,
        rear_principal_plane_mm, extension_at_infinity_mm, pupil_magnification, principal_plane_separation_mm,
        f_number_estimate.
    covariance : tuple of tuple of number
        Covariance of the parameters, row by row, in the units of both.
    degrees_of_freedom : whole number or None
        Degrees of freedom: of the frames' scatter where that was taken, rounded down, else of chi_square. The intervals
        take the scatter's for what rests on it, and more or no limit for what rests on stated uncertainties too.
    chi_square : number or None
        Sum of the squared residuals over the uncertainties stated.
    residuals : tuple of FrameResidual
        Every frame, in the order given; empty where no lens is fitted to them.
    repeats_to_halve : whole number or None
        How often all present frames would have to be taken again to halve the 95 % interval of the focal length (where
        that was known, of the plane); None where no uncertainty is known, or where no number of them does.
    frames_to_halve : tuple of AddedFrames
        Or fewer frames, at the extensions where they tell most; empty where none helps or no uncertainty is known.
    lens : MeasuredLens or None
        The lens as an element of a train: it can be pasted as it is.
    setting : number
        Setting of a zoom as a number: the focal length marked, or any scale of its ring.
    remarks : tuple of Remark
        What is worth knowing about this setting.
    """

    setting: float
    remarks: tuple[Remark, ...]


@dataclass(frozen=True, kw_only=True, repr=False)
class LensCalibrationAnswer(LensMembers, WorkedAnswer):
    """The lens measured; of a zoom the one at interpolate_at, and every setting for itself.

    With estimate_unknown what the frames leave open is a median over the lenses that it may be, and stands under estimated.

    Attributes
    ----------
    assumed : Mapping
        Value used for each datum that was not given: a number or a word, by name or by JSON pointer.
    remarks : tuple of Remark
        What is worth knowing about this answer.
    cautions : tuple of Caution
        The usual cautions that apply here, people first.
    coverage : number or None
        Share of the lenses of the class for which a figure lies within its range; present with ranges.
    estimated : Mapping of EstimatedDatum or None
        Each datum of a lens that was estimated, by its JSON pointer, with its range.
    ranges : Mapping of Range or None
        Range of each figure that depends on estimated data, by its dotted name; the figure itself is the median. A
        figure without a range does not depend on them.
    measure_first : tuple of text or None
        Dotted names of figures that are None because lenses of the class differ too much to tell one.
    focal_length_mm : number or None
        Focal length at the focus setting in use. [mm]
    front_principal_plane_mm : number or None
        Front joining face to front principal plane, positive inwards. [mm]
    rear_principal_plane_mm : number or None
        Rear joining face to rear principal plane, positive towards the camera. [mm]
    extension_at_infinity_mm : number or None
        Extension that remains at the infinity stop without rings; negative where the lens goes past infinity. [mm]
    pupil_magnification : number or None
        Exit pupil over entrance pupil diameter, of the lens mounted normally.
    principal_plane_separation_mm : number or None
        Front to rear principal plane, signed; negative when they are crossed. For total lengths only. [mm]
    f_number_estimate : number or None
        f-number from the entrance pupil, or from the light against a known one.
    uncertainty : LensEstimate
        One number for each quantity of a measured lens; None where it is not determined.
    lower_95 : LensEstimate
        One number for each quantity of a measured lens; None where it is not determined.
    upper_95 : LensEstimate
        One number for each quantity of a measured lens; None where it is not determined.
    parameters : tuple of text
        What the covariance is of, in its order. One of: focal_length_mm, front_principal_plane_mm,
        rear_principal_plane_mm, extension_at_infinity_mm, pupil_magnification, principal_plane_separation_mm,
        f_number_estimate.
    covariance : tuple of tuple of number
        Covariance of the parameters, row by row, in the units of both.
    degrees_of_freedom : whole number or None
        Degrees of freedom: of the frames' scatter where that was taken, rounded down, else of chi_square. The intervals
        take the scatter's for what rests on it, and more or no limit for what rests on stated uncertainties too.
    chi_square : number or None
        Sum of the squared residuals over the uncertainties stated.
    residuals : tuple of FrameResidual
        Every frame, in the order given; empty where no lens is fitted to them.
    repeats_to_halve : whole number or None
        How often all present frames would have to be taken again to halve the 95 % interval of the focal length (where
        that was known, of the plane); None where no uncertainty is known, or where no number of them does.
    frames_to_halve : tuple of AddedFrames
        Or fewer frames, at the extensions where they tell most; empty where none helps or no uncertainty is known.
    lens : MeasuredLens or None
        The lens as an element of a train: it can be pasted as it is.
    known_lens : KnownLensElement or None
        What is known of the lens, as an element of a train: with estimate_unknown it gives ranges there too.
    settings : tuple of SettingLens
        Every setting of a zoom, in the order given; empty for a single lens.
    steps : tuple of Step
        The steps of the sum, in their order; present where show_steps is true.
    raw : Mapping
        The object as the service sent it, with members that this client does not know.
    """

    coverage: float | None = None
    estimated: Mapping[str, EstimatedDatum] | None = field(default=None, hash=False)
    ranges: Mapping[str, Range] | None = field(default=None, hash=False)
    measure_first: tuple[str, ...] | None = None
    known_lens: KnownLensElement | None = None
    settings: tuple[SettingLens, ...]


@dataclass(frozen=True, kw_only=True)
class LensDatum(EstimatedDatum):
    """A datum of a lens as far as it is known: its median, and its range; both ends are the value where it was stated.

    Attributes
    ----------
    low : number
        Lower end, in the unit of the figure.
    high : number
        Upper end, in the unit of the figure.
    value : number
        Median of the estimate.
    based_on : text
        What it is based on: published designs of the lens's class alone, those narrowed by what was measured of this
        lens, or what was stated as its datum. One of: lens-class, measured, stated.
    """


@dataclass(frozen=True, kw_only=True)
class KnownData:
    """Everything that is known of a lens, measured or not.

    Attributes
    ----------
    focal_length_mm : LensDatum
        A datum of a lens as far as it is known: its median, and its range; both ends are the value where it was stated.
    front_principal_plane_mm : LensDatum
        A datum of a lens as far as it is known: its median, and its range; both ends are the value where it was stated.
    principal_plane_separation_mm : LensDatum
        A datum of a lens as far as it is known: its median, and its range; both ends are the value where it was stated.
    pupil_magnification : LensDatum
        A datum of a lens as far as it is known: its median, and its range; both ends are the value where it was stated.
    entrance_pupil_depth_mm : LensDatum
        A datum of a lens as far as it is known: its median, and its range; both ends are the value where it was stated.
    barrel_length_mm : LensDatum
        A datum of a lens as far as it is known: its median, and its range; both ends are the value where it was stated.
    """

    focal_length_mm: LensDatum
    front_principal_plane_mm: LensDatum
    principal_plane_separation_mm: LensDatum
    pupil_magnification: LensDatum
    entrance_pupil_depth_mm: LensDatum
    barrel_length_mm: LensDatum


@dataclass(frozen=True, kw_only=True)
class EstimatedFigure:
    """The figure that matters, with its range; null where such lenses differ too much to tell it.

    Attributes
    ----------
    name : text
        Which figure it is. One of: magnification, effective_f_number, working_distance_mm, subject_to_sensor_mm.
    value : number or None
        Median.
    low : number or None
        Lower end of the range; None where the range has none.
    high : number or None
        Upper end of the range; None where the range has none.
    """

    name: str
    value: float | None
    low: float | None
    high: float | None


@dataclass(frozen=True, kw_only=True)
class NextMeasurement:
    """Something that could be measured, and what it would bring.

    Attributes
    ----------
    kind : text
        What would be measured. One of: barrel, iris-depth, pupils, iris-depth-and-pupils, frame-reversed, frame-normal.
    members : tuple of text
        Members of the request that take what was read.
    how : text
        How it is done.
    minutes : whole number
        About how long it takes.
    mounting : text or None
        Of a frame of a ruler: which way round the lens stands; present with measured. One of: normal, reversed.
    extension_mm : number or None
        Of a frame of a ruler: the extension [mm]; present with measured. [mm]
    camera_register_mm : number or None
        Of a frame of a ruler: register of the camera [mm]; present with measured. [mm]
    expected_width : number or None
        Width of the range that can be expected after it, in the unit of the figure; None where the range stays open.
    remaining_share : number
        That width over the present one, at most 1: the less the better.
    """

    kind: str
    members: tuple[str, ...]
    how: str
    minutes: int
    mounting: str | None = None
    extension_mm: float | None = None
    camera_register_mm: float | None = None
    expected_width: float | None
    remaining_share: float


@dataclass(frozen=True, kw_only=True, repr=False)
class LensEstimateAnswer(Answer):
    """One lens as far as it is known, and what to measure next, best first.

    Attributes
    ----------
    assumed : Mapping
        Value used for each datum that was not given: a number or a word, by name or by JSON pointer.
    remarks : tuple of Remark
        What is worth knowing about this answer.
    cautions : tuple of Caution
        The usual cautions that apply here, people first.
    lens_class : text
        Class of the lens, of /v1/catalogue/lens-classes. One of: slr-prime, slr-zoom, mirrorless-prime, mirrorless-
        zoom, rangefinder, macro, medium-slr, view-enlarging.
    members : whole number
        Possible lenses that the ranges are over.
    designs : whole number
        Patents that they come from.
    coverage : number
        Share of the lenses of the class for which a figure lies within its range.
    lens : KnownData
        Everything that is known of a lens, measured or not.
    figure : EstimatedFigure
        The figure that matters, with its range; None where such lenses differ too much to tell it.
    narrows : text
        Figure by which next_measurements are ranked: the one that matters, or the magnification where that one is open
        at an end. One of: magnification, effective_f_number, working_distance_mm, subject_to_sensor_mm.
    next_measurements : tuple of NextMeasurement
        What could be measured and is not yet, best first; empty where the figure is certain.
    raw : Mapping
        The object as the service sent it, with members that this client does not know.
    """

    lens_class: str
    members: int
    designs: int
    coverage: float
    lens: KnownData
    figure: EstimatedFigure
    narrows: str
    next_measurements: tuple[NextMeasurement, ...]
