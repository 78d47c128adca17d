"""What is answered of `light`, as frozen records; None where the request does not determine it.

Written by `python -m closeup_service.published` from the service's schemas; not to be edited.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from closeup_client.records.shared_answers import ClearOpening, EstimatedDatum, Exposure, Range, WorkedAnswer


@dataclass(frozen=True, kw_only=True, repr=False)
class ExposureAnswer(Exposure, WorkedAnswer):
    """The new setting, with what was assumed and what is worth knowing.

    Attributes
    ----------
    assumed : Mapping
        Value used for each datum that was not given: a number or a word, by name or by JSON pointer.
    remarks : tuple of Remark
        What is worth knowing about this answer.
    cautions : tuple of Caution
        The usual cautions that apply here, people first.
    unknown : text
        Setting that was solved. One of: exposure_time_s, iso, flash_power, flash_distance_mm, f_number.
    value : number
        Exact value of the unknown that makes the planned frame as bright as the reference.
    nominal_value : number or None
        Nearest marked value, in thirds of a stop; None where there is no series or the value lies beyond it.
    marked_as : text or None
        The nearest marked value as it is engraved or shown, such as 1/60 or f/16.
    nominal_difference_stops : number or None
        How much brighter than the reference the planned frame is at the nearest mark. [stops]
    difference_stops : number or None
        Light of the planned frame, with the reference's value of the unknown, against the reference; negative is
        darker. [stops]
    light : text
        Light that exposes the frames. One of: continuous, flash.
    stops : StopsBySetting
        Light gained by each setting that a frame states.
    reference : FrameLight
        The aperture of a frame.
    planned : PlannedFrame
        The planned frame with the setting that was solved; settings that no frame states are left out.
    within_sync_time : True or False or None
        Whether the planned shutter is open long enough for a flash, where both times are known.
    flash_power : FlashPower or None
        The power against the head's range; present when power is the unknown.
    ambient : AmbientLight or None
        Ambient light under the flash; present when asked for.
    finder : FinderLight or None
        How dim the finder is; present when asked for.
    rows : tuple of ExposureRow
        The planned frame at each of the magnifications; empty when none are given.
    kit_revision : text or None
        Revision of the kit that was used: a hash that changes with what the kit says.
    coverage : number or None
        Share of the lenses of the class for which a figure lies within its range; present with ranges.
    estimated : Mapping of EstimatedDatum or None
        Each datum of a lens that was estimated, by its JSON pointer, with its range.
    ranges : Mapping of Range or None
        Range of each figure that depends on estimated data, by its dotted name; the figure itself is the median. A
        figure without a range does not depend on them.
    measure_first : tuple of text or None
        Dotted names of figures that are None because lenses of the class differ too much to tell one.
    steps : tuple of Step
        The steps of the sum, in their order; present where show_steps is true.
    raw : Mapping
        The object as the service sent it, with members that this client does not know.
    """

    kit_revision: str | None = None
    coverage: float | None = None
    estimated: Mapping[str, EstimatedDatum] | None = field(default=None, hash=False)
    ranges: Mapping[str, Range] | None = field(default=None, hash=False)
    measure_first: tuple[str, ...] | None = None


@dataclass(frozen=True, kw_only=True, repr=False)
class FlashAnswer(WorkedAnswer):
    """What to set, and how far off the exposure is with it.

    Attributes
    ----------
    assumed : Mapping
        Value used for each datum that was not given: a number or a word, by name or by JSON pointer.
    remarks : tuple of Remark
        What is worth knowing about this answer.
    cautions : tuple of Caution
        The usual cautions that apply here, people first.
    f_number : number or None
        Marked f-number to set; None without magnification.
    nominal_f_number : number or None
        Engraved f-number nearest to it, in thirds of a stop; None beyond every ring.
    effective_f_number : number
        f-number that the sensor really sees, 1/(2 sin u').
    light_loss_stops : number or None
        Light lost against the marked f-number; negative is a gain. [stops]
    flash_distance_mm : number or None
        Flash to the subject; None where each head has its own. [mm]
    flash_power_fraction : number
        Share of the flash's full energy; above 1 it is needed and not to be had.
    flash_power_stops : number
        How far below full power that is; negative where more than full power is needed. [stops]
    pops : whole number
        Flashes fired while the shutter is open.
    pops_exact : number
        Flashes that would be just right, before rounding up.
    exposure_difference_stops : number
        Light on the sensor against the right amount, with whole flashes and no more than full power; positive is too
        much. [stops]
    guide_number_at_iso_m : number
        Guide number of all heads together at this ISO: full power, one flash, no filter, equal distances. [m]
    inverse_square_error : number or None
        Light that a source without size would give at this distance, over that of the disc, less 1.
    inverse_square_error_stops : number or None
        The same in stops. [stops]
    coverage : number or None
        Share of the lenses of the class for which a figure lies within its range; present with ranges.
    estimated : Mapping of EstimatedDatum or None
        Each datum of a lens that was estimated, by its JSON pointer, with its range.
    ranges : Mapping of Range or None
        Range of each figure that depends on estimated data, by its dotted name; the figure itself is the median. A
        figure without a range does not depend on them.
    measure_first : tuple of text or None
        Dotted names of figures that are None because lenses of the class differ too much to tell one.
    steps : tuple of Step
        The steps of the sum, in their order; present where show_steps is true.
    raw : Mapping
        The object as the service sent it, with members that this client does not know.
    """

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
    coverage: float | None = None
    estimated: Mapping[str, EstimatedDatum] | None = field(default=None, hash=False)
    ranges: Mapping[str, Range] | None = field(default=None, hash=False)
    measure_first: tuple[str, ...] | None = None


@dataclass(frozen=True, kw_only=True, repr=False)
class ClearOpeningAnswer(WorkedAnswer):
    """The openings, and the field and the pupil that they stand between.

    Attributes
    ----------
    assumed : Mapping
        Value used for each datum that was not given: a number or a word, by name or by JSON pointer.
    remarks : tuple of Remark
        What is worth knowing about this answer.
    cautions : tuple of Caution
        The usual cautions that apply here, people first.
    subject_diagonal_mm : number
        Diagonal of what the frame shows of the subject. [mm]
    working_distance_mm : number or None
        Front joining face of the set-up to the subject. [mm]
    entrance_pupil_distance_mm : number
        Subject plane to the entrance pupil. [mm]
    entrance_pupil_diameter_mm : number
        Diameter of the entrance pupil, as seen from the subject. [mm]
    effective_f_number : number
        f-number that the sensor really sees, 1/(2 sin u').
    numerical_aperture : number
        Sine of the half angle of the light from the subject.
    openings : tuple of ClearOpening
        One row for each distance, in the order given.
    coverage : number or None
        Share of the lenses of the class for which a figure lies within its range; present with ranges.
    estimated : Mapping of EstimatedDatum or None
        Each datum of a lens that was estimated, by its JSON pointer, with its range.
    ranges : Mapping of Range or None
        Range of each figure that depends on estimated data, by its dotted name; the figure itself is the median. A
        figure without a range does not depend on them.
    measure_first : tuple of text or None
        Dotted names of figures that are None because lenses of the class differ too much to tell one.
    steps : tuple of Step
        The steps of the sum, in their order; present where show_steps is true.
    raw : Mapping
        The object as the service sent it, with members that this client does not know.
    """

    subject_diagonal_mm: float
    working_distance_mm: float | None
    entrance_pupil_distance_mm: float
    entrance_pupil_diameter_mm: float
    effective_f_number: float
    numerical_aperture: float
    openings: tuple[ClearOpening, ...]
    coverage: float | None = None
    estimated: Mapping[str, EstimatedDatum] | None = field(default=None, hash=False)
    ranges: Mapping[str, Range] | None = field(default=None, hash=False)
    measure_first: tuple[str, ...] | None = None
