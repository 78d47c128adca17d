"""What is answered of `set up`, as frozen records; None where the request does not determine it.

Written by `python -m closeup_service.published` from the service's schemas; not to be edited.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from closeup_client.raw import Told
from closeup_client.records.shared_answers import (
    Answer,
    ClearOpening,
    DepthOfField,
    EstimatedDatum,
    Exposure,
    Range,
    WorkedAnswer,
)


@dataclass(frozen=True, kw_only=True, repr=False)
class WorkingDistanceAnswer(WorkedAnswer):
    """The distances of the subject.

    Attributes
    ----------
    assumed : Mapping
        Value used for each datum that was not given: a number or a word, by name or by JSON pointer.
    remarks : tuple of Remark
        What is worth knowing about this answer.
    cautions : tuple of Caution
        The usual cautions that apply here, people first.
    working_distance_mm : number or None
        Front joining face of the set-up to the subject. [mm]
    subject_distance_mm : number
        Subject to the first principal plane. [mm]
    subject_to_sensor_mm : number or None
        Subject to sensor. [mm]
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

    working_distance_mm: float | None
    subject_distance_mm: float
    subject_to_sensor_mm: float | None
    coverage: float | None = None
    estimated: Mapping[str, EstimatedDatum] | None = field(default=None, hash=False)
    ranges: Mapping[str, Range] | None = field(default=None, hash=False)
    measure_first: tuple[str, ...] | None = None


@dataclass(frozen=True, kw_only=True, repr=False)
class EffectiveFNumberAnswer(WorkedAnswer):
    """The effective aperture and the light it costs.

    Attributes
    ----------
    assumed : Mapping
        Value used for each datum that was not given: a number or a word, by name or by JSON pointer.
    remarks : tuple of Remark
        What is worth knowing about this answer.
    cautions : tuple of Caution
        The usual cautions that apply here, people first.
    effective_f_number : number
        f-number that the sensor really sees, 1/(2 sin u').
    light_loss_stops : number
        Light lost against the marked f-number; negative is a gain. [stops]
    exposure_factor : number
        Factor on the exposure time against the marked f-number.
    numerical_aperture : number
        Sine of the half angle of the light from the subject.
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

    effective_f_number: float
    light_loss_stops: float
    exposure_factor: float
    numerical_aperture: float
    coverage: float | None = None
    estimated: Mapping[str, EstimatedDatum] | None = field(default=None, hash=False)
    ranges: Mapping[str, Range] | None = field(default=None, hash=False)
    measure_first: tuple[str, ...] | None = None


@dataclass(frozen=True, kw_only=True, repr=False)
class DepthOfFieldAnswer(DepthOfField, WorkedAnswer):
    """Depth of field, with the effective f-number and the blur criterion it stands on.

    Attributes
    ----------
    assumed : Mapping
        Value used for each datum that was not given: a number or a word, by name or by JSON pointer.
    remarks : tuple of Remark
        What is worth knowing about this answer.
    cautions : tuple of Caution
        The usual cautions that apply here, people first.
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
    effective_f_number : number
        f-number that the sensor really sees, 1/(2 sin u').
    circle_of_confusion_mm : number or None
        Blur accepted on the sensor, as a diameter. [mm]
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

    effective_f_number: float
    circle_of_confusion_mm: float | None
    coverage: float | None = None
    estimated: Mapping[str, EstimatedDatum] | None = field(default=None, hash=False)
    ranges: Mapping[str, Range] | None = field(default=None, hash=False)
    measure_first: tuple[str, ...] | None = None


@dataclass(frozen=True, kw_only=True)
class Diffraction:
    """What diffraction leaves in the plane of focus.

    Attributes
    ----------
    wavelength_nm : number
        Wavelength of the light. [nm]
    airy_diameter_um : number or None
        Diameter of the first dark ring on the sensor. [um]
    subject_airy_diameter_um : number or None
        Diameter of the first dark ring, on the subject. [um]
    sensor_resolution_um : number or None
        Least distance resolved on the sensor by Rayleigh's criterion. [um]
    subject_resolution_um : number or None
        Least distance resolved on the subject by Rayleigh's criterion. [um]
    sensor_cutoff_lp_per_mm : number or None
        Detail on the sensor beyond which nothing is left. [lp/mm]
    subject_cutoff_lp_per_mm : number or None
        Detail on the subject beyond which nothing is left. [lp/mm]
    nyquist_lp_per_mm : number or None
        Finest detail that the pixels can carry. [lp/mm]
    nyquist_contrast : number or None
        Contrast that diffraction leaves of that detail.
    filled_share : number or None
        Share of the sensor's pixels that the image really fills.
    sampling : text or None
        Whether the pixels or diffraction limit the detail. One of: pixels-limit, matched, diffraction-limits.
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
class DetailContrast:
    """Contrast of one detail in the plane of focus.

    Attributes
    ----------
    sensor_detail_lp_per_mm : number
        Fineness of the detail, in line pairs per mm on the sensor. [lp/mm]
    subject_detail_lp_per_mm : number
        Fineness of the detail, in line pairs per mm on the subject. [lp/mm]
    contrast : number
        Contrast that diffraction leaves.
    contrast_with_pixels : number or None
        Contrast that diffraction and the pixels leave.
    """

    sensor_detail_lp_per_mm: float
    subject_detail_lp_per_mm: float
    contrast: float
    contrast_with_pixels: float | None


@dataclass(frozen=True, kw_only=True, repr=False)
class DiffractionAnswer(Diffraction, WorkedAnswer):
    """What diffraction costs here, and from which marked aperture on it costs more than it gives.

    Attributes
    ----------
    assumed : Mapping
        Value used for each datum that was not given: a number or a word, by name or by JSON pointer.
    remarks : tuple of Remark
        What is worth knowing about this answer.
    cautions : tuple of Caution
        The usual cautions that apply here, people first.
    wavelength_nm : number
        Wavelength of the light. [nm]
    airy_diameter_um : number or None
        Diameter of the first dark ring on the sensor. [um]
    subject_airy_diameter_um : number or None
        Diameter of the first dark ring, on the subject. [um]
    sensor_resolution_um : number or None
        Least distance resolved on the sensor by Rayleigh's criterion. [um]
    subject_resolution_um : number or None
        Least distance resolved on the subject by Rayleigh's criterion. [um]
    sensor_cutoff_lp_per_mm : number or None
        Detail on the sensor beyond which nothing is left. [lp/mm]
    subject_cutoff_lp_per_mm : number or None
        Detail on the subject beyond which nothing is left. [lp/mm]
    nyquist_lp_per_mm : number or None
        Finest detail that the pixels can carry. [lp/mm]
    nyquist_contrast : number or None
        Contrast that diffraction leaves of that detail.
    filled_share : number or None
        Share of the sensor's pixels that the image really fills.
    sampling : text or None
        Whether the pixels or diffraction limit the detail. One of: pixels-limit, matched, diffraction-limits.
    effective_f_number : number
        f-number that the sensor really sees, 1/(2 sin u').
    numerical_aperture : number
        Sine of the half angle of the light from the subject.
    details : tuple of DetailContrast
        Contrast of each detail asked for, coarsest first.
    filled_megapixels : number or None
        Pixels that the image really fills, in millions.
    largest_useful_f_number : number or None
        Marked f-number at which the Airy disk alone fills the blur criterion; beyond it none is met.
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

    effective_f_number: float
    numerical_aperture: float
    details: tuple[DetailContrast, ...]
    filled_megapixels: float | None
    largest_useful_f_number: float | None
    coverage: float | None = None
    estimated: Mapping[str, EstimatedDatum] | None = field(default=None, hash=False)
    ranges: Mapping[str, Range] | None = field(default=None, hash=False)
    measure_first: tuple[str, ...] | None = None


@dataclass(frozen=True, kw_only=True)
class ApertureContrast:
    """One mark of the ring, and what it leaves of the detail; as best, the one with the most left at the ends, if any.

    Attributes
    ----------
    nominal_f_number : number
        f-number as engraved on the ring.
    f_number : number
        Exact f-number that the engraved one stands for.
    effective_f_number : number
        f-number that the sensor really sees, 1/(2 sin u').
    middle_contrast : number
        Contrast of the detail in the middle of the depth.
    ends_resolved : True or False
        Whether the detail is still there at the ends: its contrast has not yet fallen to zero.
    end_contrast : number
        Contrast of the detail at both ends of the depth; negative where light and dark are swapped.
    """

    nominal_f_number: float
    f_number: float
    effective_f_number: float
    middle_contrast: float
    ends_resolved: bool
    end_contrast: float


@dataclass(frozen=True, kw_only=True, repr=False)
class OptimumApertureAnswer(WorkedAnswer):
    """The best aperture by the closed form, and the contrast-best of the ring for the detail.

    Attributes
    ----------
    assumed : Mapping
        Value used for each datum that was not given: a number or a word, by name or by JSON pointer.
    remarks : tuple of Remark
        What is worth knowing about this answer.
    cautions : tuple of Caution
        The usual cautions that apply here, people first.
    effective_f_number : number
        f-number that the sensor really sees, 1/(2 sin u').
    f_number : number
        Marked f-number that gives it.
    nominal_f_number : number
        Mark of the ring nearest to that.
    covering_f_number : number or None
        Marked f-number whose depth of field is as deep as the subject.
    sensor_detail_lp_per_mm : number or None
        Fineness of the detail, in line pairs per mm on the sensor. [lp/mm]
    best : ApertureContrast or None
        One mark of the ring, and what it leaves of the detail; as best, the one with the most left at the ends, if any.
    curve : tuple of ApertureContrast
        Contrast against aperture, one row a mark; empty without a detail.
    advice : text or None
        Whether one frame reaches the contrast asked for, a stack does, or neither. One of: one-frame, stack, coarser-
        detail.
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

    effective_f_number: float
    f_number: float
    nominal_f_number: float
    covering_f_number: float | None = None
    sensor_detail_lp_per_mm: float | None
    best: ApertureContrast | None = None
    curve: tuple[ApertureContrast, ...]
    advice: str | None
    coverage: float | None = None
    estimated: Mapping[str, EstimatedDatum] | None = field(default=None, hash=False)
    ranges: Mapping[str, Range] | None = field(default=None, hash=False)
    measure_first: tuple[str, ...] | None = None


@dataclass(frozen=True, kw_only=True, repr=False)
class FormatEquivalenceAnswer(WorkedAnswer):
    """What to set on the other camera, and what stays as it is.

    Attributes
    ----------
    assumed : Mapping
        Value used for each datum that was not given: a number or a word, by name or by JSON pointer.
    remarks : tuple of Remark
        What is worth knowing about this answer.
    cautions : tuple of Caution
        The usual cautions that apply here, people first.
    format_ratio : number
        Size of the other sensor over this one's, by the measure that the framing keeps.
    other_magnification : number
        Magnification that gives the same framing on the other sensor.
    other_f_number : number
        f-number to set on the other camera's lens, as marked.
    other_nominal_f_number : number or None
        Nearest engraved f-number in thirds of a stop; None where no ring has one.
    other_extension_mm : number or None
        Extension that gives the magnification on the other camera. [mm]
    same_perspective_focal_length_mm : number or None
        Focal length on the other camera that sees the subject from the same distance. [mm]
    effective_f_number : number
        Effective f-number on this sensor.
    other_effective_f_number : number
        Effective f-number that gives the same depth on the other sensor.
    numerical_aperture : number
        Sine of the half angle of the light from the subject, the same on both.
    circle_of_confusion_mm : number
        Blur accepted on this sensor, as a diameter. [mm]
    other_circle_of_confusion_mm : number
        Blur that looks the same in the finished picture, as a diameter on the other sensor. [mm]
    other_exposure_factor : number
        Factor on the exposure time or on the ISO speed for the same brightness on the other sensor.
    other_exposure_stops : number
        Exposure that the other sensor needs more for the same brightness; negative is less. [stops]
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
    coverage: float | None = None
    estimated: Mapping[str, EstimatedDatum] | None = field(default=None, hash=False)
    ranges: Mapping[str, Range] | None = field(default=None, hash=False)
    measure_first: tuple[str, ...] | None = None


@dataclass(frozen=True, kw_only=True)
class SetUpResults:
    """What a set-up comes to, or the uncertainty of that.

    Attributes
    ----------
    subject_width_mm : number or None
        Width of the subject that fills the sensor. [mm]
    subject_height_mm : number or None
        Height of the subject that fills the sensor. [mm]
    working_distance_mm : number or None
        Front joining face of the set-up to the subject. [mm]
    clearance_mm : number or None
        What is left between the subject and what stands out in front. [mm]
    subject_to_sensor_mm : number or None
        Subject to sensor. [mm]
    rig_length_mm : number or None
        Front joining face of the set-up to the sensor. [mm]
    effective_f_number : number or None
        f-number that the sensor really sees, 1/(2 sin u').
    numerical_aperture : number or None
        Sine of the half angle of the light from the subject.
    light_loss_stops : number or None
        Light lost against the marked f-number; negative is a gain. [stops]
    optimum_effective_f_number : number or None
        Effective f-number that blurs the ends of subject_depth_mm least.
    optimum_f_number : number or None
        The same as marked on the part whose stop governs.
    """

    subject_width_mm: float | None
    subject_height_mm: float | None
    working_distance_mm: float | None
    clearance_mm: float | None
    subject_to_sensor_mm: float | None
    rig_length_mm: float | None
    effective_f_number: float | None
    numerical_aperture: float | None
    light_loss_stops: float | None
    optimum_effective_f_number: float | None
    optimum_f_number: float | None


@dataclass(frozen=True, kw_only=True)
class Solved:
    """The open length, solved; present when one was asked for.

    Attributes
    ----------
    pointer : text
        JSON pointer of the length solved, in mm.
    value : number or None
        The length found, in mm. [mm]
    """

    pointer: str
    value: Told


@dataclass(frozen=True, kw_only=True)
class SetUpUncertainty(SetUpResults):
    """Standard uncertainty of each result, from what the lenses state; null where it has none.

    Attributes
    ----------
    magnification : number or None
        Size on the sensor over size of the subject.
    subject_width_mm : number or None
        Width of the subject that fills the sensor. [mm]
    subject_height_mm : number or None
        Height of the subject that fills the sensor. [mm]
    working_distance_mm : number or None
        Front joining face of the set-up to the subject. [mm]
    clearance_mm : number or None
        What is left between the subject and what stands out in front. [mm]
    subject_to_sensor_mm : number or None
        Subject to sensor. [mm]
    rig_length_mm : number or None
        Front joining face of the set-up to the sensor. [mm]
    effective_f_number : number or None
        f-number that the sensor really sees, 1/(2 sin u').
    numerical_aperture : number or None
        Sine of the half angle of the light from the subject.
    light_loss_stops : number or None
        Light lost against the marked f-number; negative is a gain. [stops]
    front_depth_mm : number or None
        Depth of field before the subject plane, towards the lens. [mm]
    rear_depth_mm : number or None
        Depth of field behind the subject plane. [mm]
    total_mm : number or None
        Depth of field in all. [mm]
    depth_of_focus_mm : number or None
        How far the sensor may move in all, either way. [mm]
    optimum_effective_f_number : number or None
        Effective f-number that blurs the ends of subject_depth_mm least.
    optimum_f_number : number or None
        The same as marked on the part whose stop governs.
    """

    magnification: float | None
    front_depth_mm: float | None
    rear_depth_mm: float | None
    total_mm: float | None
    depth_of_focus_mm: float | None


@dataclass(frozen=True, kw_only=True, repr=False)
class SetUpAnswer(WorkedAnswer, SetUpResults):
    """Everything about one set-up; null where the document does not determine it.

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
    magnification : number or None
        Size on the sensor over size of the subject.
    subject_width_mm : number or None
        Width of the subject that fills the sensor. [mm]
    subject_height_mm : number or None
        Height of the subject that fills the sensor. [mm]
    working_distance_mm : number or None
        Front joining face of the set-up to the subject. [mm]
    clearance_mm : number or None
        What is left between the subject and what stands out in front. [mm]
    subject_to_sensor_mm : number or None
        Subject to sensor. [mm]
    rig_length_mm : number or None
        Front joining face of the set-up to the sensor. [mm]
    effective_f_number : number or None
        f-number that the sensor really sees, 1/(2 sin u').
    numerical_aperture : number or None
        Sine of the half angle of the light from the subject.
    light_loss_stops : number or None
        Light lost against the marked f-number; negative is a gain. [stops]
    aperture_stop : whole number or None
        Index in the train of the part whose stop governs.
    depth_of_field : DepthOfField
        Depth of field by one model.
    diffraction : Diffraction
        What diffraction leaves in the plane of focus.
    optimum_effective_f_number : number or None
        Effective f-number that blurs the ends of subject_depth_mm least.
    optimum_f_number : number or None
        The same as marked on the part whose stop governs.
    stack_frames : whole number or None
        Frames of a stack on a rail over the subject's depth.
    stack_step_mm : number or None
        Step of a stack on a rail over the subject's depth. [mm]
    allowed_movement_um : number or None
        How far the subject may move while light falls, for the blur criterion. [um]
    solved : Solved or None
        The open length, solved; present when one was asked for.
    exposure : Exposure or None
        The new setting, and what each change does to the light.
    clear_opening : ClearOpening or None
        What the picture's rays need in one plane; what a given opening takes there is None without it.
    uncertainty : SetUpUncertainty or None
        Standard uncertainty of each result, from what the lenses state; None where it has none.
    expanded_uncertainty : SetUpUncertainty or None
        Half the 95 % interval of each result, which reaches from the result less this to the result and this.
    kit_revision : text or None
        Revision of the kit that was used: a hash that changes with what the kit says.
    steps : tuple of Step
        The steps of the sum, in their order; present where show_steps is true.
    raw : Mapping
        The object as the service sent it, with members that this client does not know.
    """

    coverage: float | None = None
    estimated: Mapping[str, EstimatedDatum] | None = field(default=None, hash=False)
    ranges: Mapping[str, Range] | None = field(default=None, hash=False)
    measure_first: tuple[str, ...] | None = None
    magnification: Told
    aperture_stop: int | None
    depth_of_field: DepthOfField
    diffraction: Diffraction
    stack_frames: int | None
    stack_step_mm: float | None
    allowed_movement_um: float | None
    solved: Solved | None = None
    exposure: Exposure | None = None
    clear_opening: ClearOpening | None = None
    uncertainty: SetUpUncertainty | None = None
    expanded_uncertainty: SetUpUncertainty | None = None
    kit_revision: str | None = None


@dataclass(frozen=True, kw_only=True)
class DrawnPart:
    """One part of the side view, subject first.

    Attributes
    ----------
    pointer : text
        JSON pointer of the part in the document.
    kind : text
        What it is drawn as. One of: lens, tube, ring, bellows, close-up-lens, teleconverter, objective.
    name : text
        Its name in words.
    settings : text
        What is set on it, or how it stands, in words; empty where nothing is.
    start_mm : number
        Subject plane to its front joining face. [mm]
    end_mm : number
        Subject plane to its rear joining face. [mm]
    length_known : True or False
        Whether its length is known, not chosen for the drawing.
    diameter_mm : number
        Outer diameter as drawn. [mm]
    diameter_known : True or False
        Whether the outer diameter is known, not chosen for the drawing.
    clear_diameter_mm : number or None
        Inner diameter that light passes. [mm]
    """

    pointer: str
    kind: str
    name: str
    settings: str
    start_mm: float
    end_mm: float
    length_known: bool
    diameter_mm: float
    diameter_known: bool
    clear_diameter_mm: float | None


@dataclass(frozen=True, kw_only=True, repr=False)
class PlacesAnswer(Answer):
    """Where everything stands along the axis; null where the document does not determine it.

    Where lens data are estimated, parts, flange, sensor and entrance pupil stand as a lens in the middle of them puts them.

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
    magnification : number or None
        Size on the sensor over size of the subject.
    subject_width_mm : number or None
        Width of the subject that fills the sensor. [mm]
    subject_height_mm : number or None
        Height of the subject that fills the sensor. [mm]
    working_distance_mm : number or None
        Front joining face of the set-up to the subject. [mm]
    clearance_mm : number or None
        What is left between the subject and what stands out in front. [mm]
    rig_length_mm : number or None
        Front joining face of the set-up to the sensor. [mm]
    subject_to_sensor_mm : number or None
        Subject to sensor. [mm]
    flange_mm : number
        Subject plane to the camera's flange, as drawn. [mm]
    sensor_mm : number
        Subject plane to the sensor, as drawn. [mm]
    entrance_pupil_mm : number or None
        Subject plane to the entrance pupil; None where it is not determined, or at infinity. [mm]
    entrance_pupil_diameter_mm : number or None
        Diameter of the entrance pupil. [mm]
    parts : tuple of DrawnPart
        The parts, subject first.
    solved : Solved or None
        The open length, solved; present when one was asked for.
    kit_revision : text or None
        Revision of the kit that was used: a hash that changes with what the kit says.
    raw : Mapping
        The object as the service sent it, with members that this client does not know.
    """

    coverage: float | None = None
    estimated: Mapping[str, EstimatedDatum] | None = field(default=None, hash=False)
    ranges: Mapping[str, Range] | None = field(default=None, hash=False)
    measure_first: tuple[str, ...] | None = None
    magnification: Told
    subject_width_mm: float | None
    subject_height_mm: float | None
    working_distance_mm: float | None
    clearance_mm: float | None
    rig_length_mm: float | None
    subject_to_sensor_mm: float | None
    flange_mm: float
    sensor_mm: float
    entrance_pupil_mm: float | None
    entrance_pupil_diameter_mm: float | None
    parts: tuple[DrawnPart, ...]
    solved: Solved | None = None
    kit_revision: str | None = None


@dataclass(frozen=True, kw_only=True, repr=False)
class DrawingAnswer(PlacesAnswer):
    """The data beside the drawing of a set-up.

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
    magnification : number or None
        Size on the sensor over size of the subject.
    subject_width_mm : number or None
        Width of the subject that fills the sensor. [mm]
    subject_height_mm : number or None
        Height of the subject that fills the sensor. [mm]
    working_distance_mm : number or None
        Front joining face of the set-up to the subject. [mm]
    clearance_mm : number or None
        What is left between the subject and what stands out in front. [mm]
    rig_length_mm : number or None
        Front joining face of the set-up to the sensor. [mm]
    subject_to_sensor_mm : number or None
        Subject to sensor. [mm]
    flange_mm : number
        Subject plane to the camera's flange, as drawn. [mm]
    sensor_mm : number
        Subject plane to the sensor, as drawn. [mm]
    entrance_pupil_mm : number or None
        Subject plane to the entrance pupil; None where it is not determined, or at infinity. [mm]
    entrance_pupil_diameter_mm : number or None
        Diameter of the entrance pupil. [mm]
    parts : tuple of DrawnPart
        The parts, subject first.
    solved : Solved or None
        The open length, solved; present when one was asked for.
    kit_revision : text or None
        Revision of the kit that was used: a hash that changes with what the kit says.
    scale_broken : True or False
        Whether a piece of the way to the subject is left out of the drawing.
    raw : Mapping
        The object as the service sent it, with members that this client does not know.
    """

    scale_broken: bool


@dataclass(frozen=True, kw_only=True, repr=False)
class FrameDrawingAnswer(Answer):
    """How the subject fills the frame, and how much of its depth is sharp.

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
    magnification : number or None
        Size on the sensor over size of the subject.
    frame_width_mm : number or None
        Width of the frame on the subject. [mm]
    frame_height_mm : number or None
        Height of the frame on the subject. [mm]
    subject_width_mm : number
        Width of the subject itself. [mm]
    subject_height_mm : number
        Height of the subject itself. [mm]
    filled_width_share : number or None
        Width of the subject over that of the frame.
    filled_height_share : number or None
        Height of the subject over that of the frame.
    filled_area_share : number or None
        What the rectangle around the subject fills of the frame's area, at most all.
    overflows : True or False or None
        Whether the subject is wider or higher than the frame.
    depth_of_field : DepthOfField
        Depth of field by one model.
    sharp_depth_share : number or None
        Total depth of field over the subject's depth; None where either is open.
    solved : Solved or None
        The open length, solved; present when one was asked for.
    kit_revision : text or None
        Revision of the kit that was used: a hash that changes with what the kit says.
    raw : Mapping
        The object as the service sent it, with members that this client does not know.
    """

    coverage: float | None = None
    estimated: Mapping[str, EstimatedDatum] | None = field(default=None, hash=False)
    ranges: Mapping[str, Range] | None = field(default=None, hash=False)
    measure_first: tuple[str, ...] | None = None
    magnification: Told
    frame_width_mm: Told
    frame_height_mm: Told
    subject_width_mm: float
    subject_height_mm: float
    filled_width_share: Told
    filled_height_share: Told
    filled_area_share: Told
    overflows: bool | None
    depth_of_field: DepthOfField
    sharp_depth_share: float | None
    solved: Solved | None = None
    kit_revision: str | None = None


@dataclass(frozen=True, kw_only=True, repr=False)
class SheetAnswer(PlacesAnswer):
    """What the sheet tells; the sheet itself is the same answer as text/html.

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
    magnification : number or None
        Size on the sensor over size of the subject.
    subject_width_mm : number or None
        Width of the subject that fills the sensor. [mm]
    subject_height_mm : number or None
        Height of the subject that fills the sensor. [mm]
    working_distance_mm : number or None
        Front joining face of the set-up to the subject. [mm]
    clearance_mm : number or None
        What is left between the subject and what stands out in front. [mm]
    rig_length_mm : number or None
        Front joining face of the set-up to the sensor. [mm]
    subject_to_sensor_mm : number or None
        Subject to sensor. [mm]
    flange_mm : number
        Subject plane to the camera's flange, as drawn. [mm]
    sensor_mm : number
        Subject plane to the sensor, as drawn. [mm]
    entrance_pupil_mm : number or None
        Subject plane to the entrance pupil; None where it is not determined, or at infinity. [mm]
    entrance_pupil_diameter_mm : number or None
        Diameter of the entrance pupil. [mm]
    parts : tuple of DrawnPart
        The parts, subject first.
    solved : Solved or None
        The open length, solved; present when one was asked for.
    kit_revision : text or None
        Revision of the kit that was used: a hash that changes with what the kit says.
    heading : text
        What stands above the sheet.
    effective_f_number : number or None
        f-number that the sensor really sees, 1/(2 sin u').
    light_loss_stops : number or None
        Light lost against the marked f-number; negative is a gain. [stops]
    optimum_f_number : number or None
        The same as marked on the part whose stop governs.
    depth_of_field : DepthOfField
        Depth of field by one model.
    stack_frames : whole number or None
        Frames of a stack on a rail over the subject's depth.
    stack_step_mm : number or None
        Step of a stack on a rail over the subject's depth. [mm]
    exposure : Exposure or None
        The new setting, and what each change does to the light.
    link : text or None
        Address, from the service's own, that asks for this sheet again; None where it would be too long, or a kit was
        sent with the request.
    raw : Mapping
        The object as the service sent it, with members that this client does not know.
    """

    heading: str
    effective_f_number: float | None
    light_loss_stops: float | None
    optimum_f_number: float | None
    depth_of_field: DepthOfField
    stack_frames: int | None
    stack_step_mm: float | None
    exposure: Exposure | None = None
    link: str | None


@dataclass(frozen=True, kw_only=True)
class RangeColumns:
    """Ends between which a result lies with the coverage stated, row by row; null where a row's result has no range.

    Attributes
    ----------
    low : tuple of number or None
        Lower ends, in the unit of the result.
    high : tuple of number or None
        Upper ends, in the unit of the result.
    """

    low: tuple[float | None, ...]
    high: tuple[float | None, ...]


@dataclass(frozen=True, kw_only=True, repr=False)
class TableAnswer(Answer):
    """Results by columns; null where a row is impossible, or the set-up does not determine them.

    Attributes
    ----------
    assumed : Mapping
        Value used for each datum that was not given: a number or a word, by name or by JSON pointer.
    remarks : tuple of Remark
        What is worth knowing about this answer.
    cautions : tuple of Caution
        The usual cautions that apply here, people first.
    rows : whole number
        How many rows there are.
    columns : Mapping
        What was asked, row by row, by the names asked for.
    problem : tuple of text or None
        Code of what makes each row impossible; None where it is possible.
    coverage : number or None
        Share of the lenses of the class for which a figure lies within its range; present with ranges.
    estimated : Mapping of EstimatedDatum or None
        Each datum of a lens that was estimated, by its JSON pointer, with its range.
    measure_first : tuple of text or None
        Dotted names of figures that are None because lenses of the class differ too much to tell one.
    ranges : Mapping of RangeColumns or None
        Range of each result that depends on estimated data, by its name, row by row; the result itself is the median. A
        result without a range does not depend on them.
    kit_revision : text or None
        Revision of the kit that was used: a hash that changes with what the kit says.
    raw : Mapping
        The object as the service sent it, with members that this client does not know.
    """

    rows: int
    columns: Mapping[str, Any] = field(hash=False)
    problem: tuple[str | None, ...]
    coverage: float | None = None
    estimated: Mapping[str, EstimatedDatum] | None = field(default=None, hash=False)
    measure_first: tuple[str, ...] | None = None
    ranges: Mapping[str, RangeColumns] | None = field(default=None, hash=False)
    kit_revision: str | None = None
