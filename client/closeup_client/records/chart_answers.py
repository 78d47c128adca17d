"""What is answered of `chart`, as frozen records; None where the request does not determine it.

Written by `python -m closeup_service.published` from the service's schemas; not to be edited.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from closeup_client.records.shared_answers import Answer, EstimatedDatum, FrameResidual, Range, Remark


@dataclass(frozen=True, kw_only=True, repr=False)
class ChartAnswer(Answer):
    """A chart's data are its rows; what they show is said in words.

    Attributes
    ----------
    assumed : Mapping
        Value used for each datum that was not given: a number or a word, by name or by JSON pointer.
    remarks : tuple of Remark
        What is worth knowing about this answer.
    cautions : tuple of Caution
        The usual cautions that apply here, people first.
    title : text
        What the chart shows, as its drawing is called.
    finding : text
        What is to be seen in it, as its drawing is described.
    raw : Mapping
        The object as the service sent it, with members that this client does not know.
    """

    title: str
    finding: str


@dataclass(frozen=True, kw_only=True)
class ApertureChartRow:
    """One mark of the ring; null where the set-up does not determine it, or cannot be.

    Attributes
    ----------
    nominal_f_number : number
        f-number as engraved on the ring.
    f_number : number
        Exact f-number that the engraved one stands for.
    effective_f_number : number or None
        f-number that the sensor really sees, 1/(2 sin u').
    middle_contrast : number or None
        Contrast of the detail in focus.
    end_contrast : number or None
        Contrast of the detail at both ends of the depth; negative where light and dark are swapped.
    ends_resolved : True or False or None
        Whether the detail is still there at the ends: its contrast has not yet fallen to zero.
    total_mm : number or None
        Depth of field in all. [mm]
    subject_resolution_um : number or None
        Least distance resolved on the subject by Rayleigh's criterion. [um]
    problem : text or None
        Code with which /v1/set-ups/evaluate would refuse this row; None where it is possible.
    """

    nominal_f_number: float
    f_number: float
    effective_f_number: float | None
    middle_contrast: float | None
    end_contrast: float | None
    ends_resolved: bool | None
    total_mm: float | None
    subject_resolution_um: float | None
    problem: str | None


@dataclass(frozen=True, kw_only=True, repr=False)
class ApertureChartAnswer(ChartAnswer):
    """What each mark of the ring gives, and the best of them for the subject's depth.

    Attributes
    ----------
    assumed : Mapping
        Value used for each datum that was not given: a number or a word, by name or by JSON pointer.
    remarks : tuple of Remark
        What is worth knowing about this answer.
    cautions : tuple of Caution
        The usual cautions that apply here, people first.
    title : text
        What the chart shows, as its drawing is called.
    finding : text
        What is to be seen in it, as its drawing is described.
    coverage : number or None
        Share of the lenses of the class for which a figure lies within its range; present with ranges.
    estimated : Mapping of EstimatedDatum or None
        Each datum of a lens that was estimated, by its JSON pointer, with its range.
    ranges : Mapping of Range or None
        Range of each figure that depends on estimated data, by its dotted name; the figure itself is the median. A
        figure without a range does not depend on them.
    measure_first : tuple of text or None
        Dotted names of figures that are None because lenses of the class differ too much to tell one.
    along : text
        JSON pointer of the f_number that is turned through the ring.
    rows : tuple of ApertureChartRow
        One row a mark of the ring, the widest first.
    best_nominal_f_number : number or None
        Mark that is best for the subject's depth; None without one, or for a flat subject.
    best_by : text or None
        Whether it leaves the detail the most contrast at the ends, or is the mark nearest to the closed form's, where
        no detail is given. One of: contrast, closed-form.
    optimum_f_number : number or None
        The same as marked on the part whose stop governs.
    kit_revision : text or None
        Revision of the kit that was used: a hash that changes with what the kit says.
    raw : Mapping
        The object as the service sent it, with members that this client does not know.
    """

    coverage: float | None = None
    estimated: Mapping[str, EstimatedDatum] | None = field(default=None, hash=False)
    ranges: Mapping[str, Range] | None = field(default=None, hash=False)
    measure_first: tuple[str, ...] | None = None
    along: str
    rows: tuple[ApertureChartRow, ...]
    best_nominal_f_number: float | None
    best_by: str | None
    optimum_f_number: float | None
    kit_revision: str | None = None


@dataclass(frozen=True, kw_only=True)
class MagnificationChartRow:
    """One length; null where the set-up does not determine it, or cannot be.

    Attributes
    ----------
    length_mm : number
        Length of the member that varies. [mm]
    magnification : number or None
        Size on the sensor over size of the subject.
    working_distance_mm : number or None
        Front joining face of the set-up to the subject. [mm]
    problem : text or None
        Code with which /v1/set-ups/evaluate would refuse this row; None where it is possible.
    """

    length_mm: float
    magnification: float | None
    working_distance_mm: float | None
    problem: str | None


@dataclass(frozen=True, kw_only=True, repr=False)
class MagnificationChartAnswer(ChartAnswer):
    """What each length gives.

    Attributes
    ----------
    assumed : Mapping
        Value used for each datum that was not given: a number or a word, by name or by JSON pointer.
    remarks : tuple of Remark
        What is worth knowing about this answer.
    cautions : tuple of Caution
        The usual cautions that apply here, people first.
    title : text
        What the chart shows, as its drawing is called.
    finding : text
        What is to be seen in it, as its drawing is described.
    coverage : number or None
        Share of the lenses of the class for which a figure lies within its range; present with ranges.
    estimated : Mapping of EstimatedDatum or None
        Each datum of a lens that was estimated, by its JSON pointer, with its range.
    ranges : Mapping of Range or None
        Range of each figure that depends on estimated data, by its dotted name; the figure itself is the median. A
        figure without a range does not depend on them.
    measure_first : tuple of text or None
        Dotted names of figures that are None because lenses of the class differ too much to tell one.
    along : text
        JSON pointer of the length that varies.
    rows : tuple of MagnificationChartRow
        One row a length, the shortest first.
    kit_revision : text or None
        Revision of the kit that was used: a hash that changes with what the kit says.
    raw : Mapping
        The object as the service sent it, with members that this client does not know.
    """

    coverage: float | None = None
    estimated: Mapping[str, EstimatedDatum] | None = field(default=None, hash=False)
    ranges: Mapping[str, Range] | None = field(default=None, hash=False)
    measure_first: tuple[str, ...] | None = None
    along: str
    rows: tuple[MagnificationChartRow, ...]
    kit_revision: str | None = None


@dataclass(frozen=True, kw_only=True)
class StackChartRow:
    """One frame; where its depth is unlimited on one side, the end there is null.

    Attributes
    ----------
    position_mm : number
        Plane of focus, from the subject's nearest point away from the lens. [mm]
    sharp_from_mm : number or None
        Where the sharp depth of a frame begins, from the subject's nearest point away from the lens. [mm]
    sharp_to_mm : number or None
        Where the sharp depth of a frame ends, from the subject's nearest point away from the lens. [mm]
    front_extent : text
        Whether the depth before the subject plane is finite. One of: finite, unlimited, undetermined.
    rear_extent : text
        Whether the depth behind the subject plane is finite. One of: finite, unlimited, undetermined.
    overlap_with_next : number or None
        Share of the depth that it has in common with the next frame.
    """

    position_mm: float
    sharp_from_mm: float | None
    sharp_to_mm: float | None
    front_extent: str
    rear_extent: str
    overlap_with_next: float | None


@dataclass(frozen=True, kw_only=True, repr=False)
class StackChartAnswer(ChartAnswer):
    """Every frame of the stack with what is sharp in it.

    Attributes
    ----------
    assumed : Mapping
        Value used for each datum that was not given: a number or a word, by name or by JSON pointer.
    remarks : tuple of Remark
        What is worth knowing about this answer.
    cautions : tuple of Caution
        The usual cautions that apply here, people first.
    title : text
        What the chart shows, as its drawing is called.
    finding : text
        What is to be seen in it, as its drawing is described.
    coverage : number or None
        Share of the lenses of the class for which a figure lies within its range; present with ranges.
    estimated : Mapping of EstimatedDatum or None
        Each datum of a lens that was estimated, by its JSON pointer, with its range.
    ranges : Mapping of Range or None
        Range of each figure that depends on estimated data, by its dotted name; the figure itself is the median. A
        figure without a range does not depend on them.
    measure_first : tuple of text or None
        Dotted names of figures that are None because lenses of the class differ too much to tell one.
    frames : whole number
        Frames that cover the subject's depth without a gap.
    subject_depth_mm : number
        How far the subject stands out towards the lens. [mm]
    step_mm : number or None
        Step between frames, of what moves; None with a single frame. [mm]
    rows : tuple of StackChartRow
        One row a frame, that of the nearest plane first.
    raw : Mapping
        The object as the service sent it, with members that this client does not know.
    """

    coverage: float | None = None
    estimated: Mapping[str, EstimatedDatum] | None = field(default=None, hash=False)
    ranges: Mapping[str, Range] | None = field(default=None, hash=False)
    measure_first: tuple[str, ...] | None = None
    frames: int
    subject_depth_mm: float
    step_mm: float | None
    rows: tuple[StackChartRow, ...]


@dataclass(frozen=True, kw_only=True)
class CalibrationChartRow(FrameResidual):
    """One frame, and the fitted lens at its extension.

    Attributes
    ----------
    extension_mm : number
        Extension in all, as it counts for the magnification. [mm]
    magnification : number
        Size on the sensor over size of the subject.
    magnification_residual : number
        Magnification as read, less that of the fitted lens.
    magnification_uncertainty : number or None
        Its standard uncertainty, as stated or from the scatter.
    standardised_residual : number or None
        The residual over its own standard deviation.
    outlier : True or False
        Whether the frame lies beyond what the others admit, by its studentised deleted residual.
    working_distance_residual_mm : number or None
        Working distance as read, less that of the fitted lens. [mm]
    subject_to_sensor_residual_mm : number or None
        Distance from subject to sensor as read, less that of the fitted lens. [mm]
    fitted_magnification : number
        Magnification that the fitted lens has at this extension.
    """

    fitted_magnification: float


@dataclass(frozen=True, kw_only=True)
class CalibrationChartLens:
    """One lens: its frames in the order of their extensions, and the focal length fitted to them.

    Attributes
    ----------
    setting : number or None
        Setting of the zoom; None for a single lens.
    focal_length_mm : number or None
        Focal length at the focus setting in use. [mm]
    rows : tuple of CalibrationChartRow
        One row a frame, the shortest extension first.
    remarks : tuple of Remark
        What is worth knowing about this setting of a zoom.
    """

    setting: float | None
    focal_length_mm: float | None
    rows: tuple[CalibrationChartRow, ...]
    remarks: tuple[Remark, ...]


@dataclass(frozen=True, kw_only=True, repr=False)
class CalibrationChartAnswer(ChartAnswer):
    """Every frame against the lens fitted; of a zoom at every setting.

    Attributes
    ----------
    assumed : Mapping
        Value used for each datum that was not given: a number or a word, by name or by JSON pointer.
    remarks : tuple of Remark
        What is worth knowing about this answer.
    cautions : tuple of Caution
        The usual cautions that apply here, people first.
    title : text
        What the chart shows, as its drawing is called.
    finding : text
        What is to be seen in it, as its drawing is described.
    lenses : tuple of CalibrationChartLens
        The one lens, or the lens at each setting of the zoom, in the order given.
    raw : Mapping
        The object as the service sent it, with members that this client does not know.
    """

    lenses: tuple[CalibrationChartLens, ...]
