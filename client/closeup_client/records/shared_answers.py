"""What is answered of operations of several kinds, as frozen records; None where the request does not determine it.

Written by `python -m closeup_service.published` from the service's schemas; not to be edited.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from closeup_client.raw import RawAnswer


@dataclass(frozen=True, kw_only=True)
class Remark:
    """Something worth knowing about an answer.

    Attributes
    ----------
    code : text
        Stable name of the remark.
    text : text
        The remark in plain words.
    """

    code: str
    text: str


@dataclass(frozen=True, kw_only=True)
class Caution(Remark):
    """A usual caution, deferring to makers' instructions, local rules and qualified people.

    Attributes
    ----------
    code : text
        Stable name of the remark.
    text : text
        The remark in plain words.
    concerns : text
        Whom it concerns. One of: people, animals, gear.
    """

    concerns: str


@dataclass(frozen=True, kw_only=True, repr=False)
class Answer(RawAnswer):
    """Answers name what they assumed and carry remarks and cautions.

    Attributes
    ----------
    assumed : Mapping
        Value used for each datum that was not given: a number or a word, by name or by JSON pointer.
    remarks : tuple of Remark
        What is worth knowing about this answer.
    cautions : tuple of Caution
        The usual cautions that apply here, people first.
    raw : Mapping
        The object as the service sent it, with members that this client does not know.
    """

    assumed: Mapping[str, Any] = field(hash=False)
    remarks: tuple[Remark, ...]
    cautions: tuple[Caution, ...]


@dataclass(frozen=True, kw_only=True)
class StepInput:
    """One number that is put into a formula.

    Attributes
    ----------
    symbol : text
        Symbol in the formula.
    quantity : text
        What it stands for: a name of the vocabulary, or words.
    value : number
        Its value, in full.
    unit : text
        Its unit; empty for a ratio or a count.
    """

    symbol: str
    quantity: str
    value: float
    unit: str


@dataclass(frozen=True, kw_only=True)
class Step:
    """One step of a worked sum, as a teacher writes it on the board.

    Attributes
    ----------
    quantity : text
        What is found: a name of the vocabulary, or words.
    symbol : text
        Its symbol; an underscore begins an index.
    formula : text
        The formula that was used, or in words how the value is found where no closed formula gives it.
    numbers : text or None
        The formula with numbers put in and its result, rounded so that a pocket calculator comes to it; None beside
        words.
    result : number
        The result, in full.
    unit : text
        Its unit; empty for a ratio or a count.
    source : text
        Where the formula is from.
    inputs : tuple of StepInput
        The numbers put in, in the order of the formula.
    """

    quantity: str
    symbol: str
    formula: str
    numbers: str | None
    result: float
    unit: str
    source: str
    inputs: tuple[StepInput, ...]


@dataclass(frozen=True, kw_only=True, repr=False)
class WorkedAnswer(Answer):
    """An answer that tells its steps where `show_steps` was asked for; else there are none.

    Attributes
    ----------
    assumed : Mapping
        Value used for each datum that was not given: a number or a word, by name or by JSON pointer.
    remarks : tuple of Remark
        What is worth knowing about this answer.
    cautions : tuple of Caution
        The usual cautions that apply here, people first.
    steps : tuple of Step
        The steps of the sum, in their order; present where show_steps is true.
    raw : Mapping
        The object as the service sent it, with members that this client does not know.
    """

    steps: tuple[Step, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Range:
    """Ends between which a figure lies with the coverage stated.

    Attributes
    ----------
    low : number
        Lower end, in the unit of the figure.
    high : number
        Upper end, in the unit of the figure.
    """

    low: float
    high: float


@dataclass(frozen=True, kw_only=True)
class EstimatedDatum(Range):
    """A datum of a lens that was estimated: its median, and its range.

    Attributes
    ----------
    low : number
        Lower end, in the unit of the figure.
    high : number
        Upper end, in the unit of the figure.
    value : number
        Median of the estimate.
    based_on : text
        What the estimate is based on: published designs of the lens's class alone, or those narrowed by what was
        measured of this lens. One of: lens-class, measured.
    """

    value: float
    based_on: str


@dataclass(frozen=True, kw_only=True)
class DepthOfField:
    """Depth of field by one model.

    Attributes
    ----------
    model : text
        Model of the depth. One of: combined, geometric, wave, contrast.
    front_depth_mm : number or None
        Depth of field before the subject plane, towards the lens. [mm]
    rear_depth_mm : number or None
        Depth of field behind the subject plane. [mm]
    front_extent : text
        Whether the depth before the subject plane is finite. One of: finite, unlimited, undetermined.
    rear_extent : text
        Whether the depth behind the subject plane is finite. One of: finite, unlimited, undetermined.
    total_mm : number or None
        Depth of field in all. [mm]
    depth_of_focus_mm : number or None
        How far the sensor may move in all, either way. [mm]
    """

    model: str
    front_depth_mm: float | None
    rear_depth_mm: float | None
    front_extent: str
    rear_extent: str
    total_mm: float | None
    depth_of_focus_mm: float | None


@dataclass(frozen=True, kw_only=True)
class StopsBySetting:
    """Light gained by each setting that a frame states.

    Attributes
    ----------
    aperture_stops : number
        Light gained by the effective f-number. [stops]
    transmission_stops : number
        Light gained by filters before the lens, and by diffusers and filters before the flash. [stops]
    iso_stops : number or None
        Light gained by the ISO speed. [stops]
    exposure_time_stops : number or None
        Light gained by the exposure time; no shutter changes a flash's. [stops]
    power_stops : number or None
        Light gained by the flash's power. [stops]
    flash_distance_stops : number or None
        Light gained by the flash's distance. [stops]
    pops_stops : number or None
        Light gained by the number of flashes. [stops]
    """

    aperture_stops: float
    transmission_stops: float
    iso_stops: float | None = None
    exposure_time_stops: float | None = None
    power_stops: float | None = None
    flash_distance_stops: float | None = None
    pops_stops: float | None = None


@dataclass(frozen=True, kw_only=True)
class FrameLight:
    """The aperture of a frame.

    Attributes
    ----------
    effective_f_number : number
        f-number that the sensor really sees, 1/(2 sin u').
    light_loss_stops : number or None
        Light lost against the marked f-number; negative is a gain. [stops]
    """

    effective_f_number: float
    light_loss_stops: float | None


@dataclass(frozen=True, kw_only=True)
class PlannedFrame(FrameLight):
    """The planned frame with the setting that was solved; settings that no frame states are left out.

    Attributes
    ----------
    effective_f_number : number
        f-number that the sensor really sees, 1/(2 sin u').
    light_loss_stops : number or None
        Light lost against the marked f-number; negative is a gain. [stops]
    f_number : number or None
        f-number as marked and set on the lens.
    exposure_time_s : number or None
        How long the shutter is open. [s]
    iso : number or None
        ISO speed set on the camera, or of the film.
    flash_power : number or None
        Power that the flash is set to, as the scale of its head counts it.
    flash_distance_mm : number or None
        Flash, or its diffuser, to the subject. [mm]
    """

    f_number: float | None = None
    exposure_time_s: float | None = None
    iso: float | None = None
    flash_power: float | None = None
    flash_distance_mm: float | None = None


@dataclass(frozen=True, kw_only=True)
class PowerWay:
    """One way to close the gap, with the power at the end of its range.

    Attributes
    ----------
    setting : text
        What to change instead. One of: iso, f_number, flash_distance_mm, pops, transmission.
    value : number
        Exact value of the unknown that makes the planned frame as bright as the reference.
    nominal_value : number or None
        Nearest marked value, in thirds of a stop; None where there is no series or the value lies beyond it.
    """

    setting: str
    value: float
    nominal_value: float | None


@dataclass(frozen=True, kw_only=True)
class FlashPower:
    """The power against the head's range; present when power is the unknown.

    Attributes
    ----------
    nearest_power : number
        Power nearest to the exact one that the head can be set to, in its scale.
    missing_stops : number
        Light that the head's range misses: positive where it is too weak, negative where its least is too strong.
        [stops]
    below_full_stops : number or None
        How far below full power the flash is set. [stops]
    ways : tuple of PowerWay
        Each alone closes the gap; empty where there is none.
    """

    nearest_power: float
    missing_stops: float
    below_full_stops: float | None
    ways: tuple[PowerWay, ...]


@dataclass(frozen=True, kw_only=True)
class AmbientLight:
    """Ambient light under the flash; present when asked for.

    Attributes
    ----------
    under_flash_stops : number or None
        How far the ambient light lies under the flash's, which is taken to expose mid-grey rightly. [stops]
    black_without_flash : True or False or None
        Whether the planned frame would be black without flash.
    ambient_share : number or None
        Share of the picture's light that falls through the whole exposure time, not from the flash.
    flash_share : number or None
        Share of the picture's light that comes from the flash.
    ambient_blur_um : number or None
        Blur on the sensor by light that falls through the whole exposure time: the ghost beside a flash. [um]
    """

    under_flash_stops: float | None
    black_without_flash: bool | None
    ambient_share: float | None
    flash_share: float | None
    ambient_blur_um: float | None = None


@dataclass(frozen=True, kw_only=True)
class FinderLight:
    """How dim the finder is; present when asked for.

    Attributes
    ----------
    focusing_loss_stops : number or None
        How much dimmer the finder is while focusing than through the same lens open, normal and at infinity. [stops]
    taking_loss_stops : number or None
        The same at the aperture of the picture. [stops]
    modelling_light_factor : number or None
        How many times more modelling light makes the finder as bright again while focusing.
    """

    focusing_loss_stops: float | None
    taking_loss_stops: float | None
    modelling_light_factor: float | None


@dataclass(frozen=True, kw_only=True)
class ExposureRow:
    """The planned frame at one magnification; nulls, and a code, where it cannot be.

    Attributes
    ----------
    magnification : number
        Size on the sensor over size of the subject.
    length_mm : number or None
        Length of the set-up that was solved for it; None for one lens. [mm]
    effective_f_number : number or None
        f-number that the sensor really sees, 1/(2 sin u').
    light_loss_stops : number or None
        Light lost against the marked f-number; negative is a gain. [stops]
    difference_stops : number or None
        Light of the planned frame, with the reference's value of the unknown, against the reference; negative is
        darker. [stops]
    value : number or None
        Exact value of the unknown that makes the planned frame as bright as the reference.
    nominal_value : number or None
        Nearest marked value, in thirds of a stop; None where there is no series or the value lies beyond it.
    missing_stops : number or None
        Light that the head's range misses at this power; None for others. [stops]
    problem : text or None
        Why there is no such frame; None where there is one.
    """

    magnification: float
    length_mm: float | None
    effective_f_number: float | None
    light_loss_stops: float | None
    difference_stops: float | None
    value: float | None
    nominal_value: float | None
    missing_stops: float | None
    problem: str | None


@dataclass(frozen=True, kw_only=True)
class Exposure:
    """The new setting, and what each change does to the light.

    Attributes
    ----------
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
    """

    unknown: str
    value: float
    nominal_value: float | None
    marked_as: str | None
    nominal_difference_stops: float | None
    difference_stops: float | None
    light: str
    stops: StopsBySetting
    reference: FrameLight
    planned: PlannedFrame
    within_sync_time: bool | None = None
    flash_power: FlashPower | None = None
    ambient: AmbientLight | None = None
    finder: FinderLight | None = None
    rows: tuple[ExposureRow, ...]


@dataclass(frozen=True, kw_only=True)
class ClearOpening:
    """What the picture's rays need in one plane; what a given opening takes there is null without it.

    Attributes
    ----------
    distance_mm : number or None
        Plane of the opening, before the front joining face of the lens. [mm]
    distance_from_subject_mm : number
        Plane of the opening, from the subject plane. [mm]
    full_diameter_mm : number
        Least diameter that loses no light anywhere in the frame. [mm]
    axial_diameter_mm : number
        Least diameter that loses no light in the middle of the frame. [mm]
    chief_diameter_mm : number
        Diameter through which the corners' middle rays just pass: a smaller opening takes about half of their light.
        [mm]
    clears : True or False or None
        Whether the opening given loses no light anywhere in the frame.
    clips : text or None
        What the opening given clips: nothing, the corners alone, or the axis too. One of: nothing, corners, axis.
    lit_field_share : number or None
        Share of the frame's diagonal, about its middle, that loses no light.
    axial_loss_stops : number or None
        Light that the opening takes from the middle of the frame. [stops]
    """

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
class FrameResidual:
    """One frame against the fitted lens.

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
    """

    extension_mm: float
    magnification: float
    magnification_residual: float
    magnification_uncertainty: float | None
    standardised_residual: float | None
    outlier: bool
    working_distance_residual_mm: float | None
    subject_to_sensor_residual_mm: float | None
