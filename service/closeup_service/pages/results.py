"""Results as rows: label, number as people say it, and what it is based on."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypedDict

from marshmallow import Schema, fields
from msgspec import Struct
from msgspec.structs import replace

from closeup_service.advice import figures
from closeup_service.advice.figures import decimal
from closeup_service.language import mark, tr
from closeup_service.pages.basis import ASSUMED, GIVEN, Stand, WentIn, assumptions_of
from closeup_service.pages.task import Members, value_at
from closeup_service.schemas.describing import choice_words, label, unit, without_unit, write_in_words
from closeup_service.schemas.fields import AnyField, Number

CALCULATED = mark("calculated")
ESTIMATED = mark("estimated")
MEASURE = mark("measure first")
TOO_WIDE = mark("range too wide to tell")
NOTHING = "–"
NOTHING_WENT_IN = WentIn()
LABELS: Mapping[str, str] = {
    "solved/value": mark("length found"),
    "marked_as": mark("new setting, as marked"),
    "best/nominal_f_number": mark("mark with most contrast at both ends"),
    "best/end_contrast": mark("contrast that it leaves at both ends"),
    "planned/effective_f_number": mark("effective f-number of the new frame"),
    "reference/effective_f_number": mark("effective f-number of the earlier frame"),
    "nominal_f_number": mark("mark with the sharpest ends of the depth"),
    "sampling": mark("what limits the detail"),
    "total_mm": mark("total depth of field"),
    "front_depth_mm": mark("front depth of field"),
    "rear_depth_mm": mark("rear depth of field"),
    "subject_resolution_um": mark("finest detail resolved"),
    "clearance_mm": mark("free space in front of the lens"),
    "subject_to_sensor_mm": mark("distance from subject to sensor"),
    "rig_length_mm": mark("length of the set-up"),
    "stack_frames": mark("frames of a focus stack"),
    "stack_step_mm": mark("step between the frames"),
    "frames": mark("frames of the focus stack"),
    "step_mm": mark("step between the frames"),
    "numerical_aperture": mark("numerical aperture"),
    "magnification_low": mark("magnification, low end (95 %)"),
    "magnification_high": mark("magnification, high end (95 %)"),
    "edge_width_um": mark("width of an edge"),
    "nearest": mark("nearest that can be had"),
    "asked": mark("wished for"),
    "miss": mark("misses by"),
    "parts": mark("parts, subject first"),
    "chains/0/extension_mm": mark("thickness of the rings, the first way"),
    "chains/0/narrowest_mm": mark("narrowest opening, the first way"),
    "infinity_extension_mm": mark("thickness that keeps infinity focus"),
    "openings/0/full_diameter_mm": mark("least hole for the whole frame"),
    "openings/0/axial_diameter_mm": mark("least hole for the middle of the frame"),
    "openings/0/clips": mark("what your hole cuts off"),
    "other_nominal_f_number": mark("mark to set on the other camera"),
}
MEANINGS: Mapping[str, str] = {
    "solved/value": mark("Of the part without a length, between its two faces: it reaches the target."),
    "total_mm": mark("From the nearest to the farthest plane that is sharp enough."),
    "depth_of_field/total_mm": mark("From the nearest to the farthest plane that is sharp enough."),
    "clearance_mm": mark("Between the subject and the part that stands out farthest in front."),
    "subject_to_sensor_mm": "",
}
AS_THEY_STAND = ("marked_as", "ratio", "parts", "name")
"""Texts that are no codes of the API."""


class Row(Struct, frozen=True):
    """One number with its words: as people say it, more exactly, in inches, and what it is based on."""

    name: str
    label: str
    value: str
    number: float | None = None
    """The number itself, in the unit that its name ends with; None for words and for what cannot be told."""
    unit: str = ""
    exact: str = ""
    nearest: str = ""
    """Where an f-number lies on an aperture ring."""
    inches: str = ""
    spread: str = ""
    between: str = ""
    """Range in which it lies, where it rests on estimates."""
    origin: str = ""
    """What it is based on, in words that `basis` says."""
    assumed: tuple[Stand, ...] = ()
    """What was assumed and makes a difference to it."""
    meaning: str = ""
    place: int | None = None
    """Place among the results that are shown first, if it is one of them."""

    @property
    def basis(self) -> str:
        """What it is based on, in the language that is spoken."""
        return tr(self.origin)


class WorkedStep(Struct, frozen=True):
    """One step of a sum as it is written on the board; `numbers` is empty where the formula stands in words."""

    label: str
    formula: str
    numbers: str
    source: str


class StepMembers(TypedDict):
    """Step of an answer."""

    quantity: str
    formula: str
    numbers: str | None
    source: str


def worked_step(step: StepMembers) -> WorkedStep:
    """Write a step of an answer for people."""
    return WorkedStep(label_of(step["quantity"]), step["formula"], step["numbers"] or "", step["source"])


def field_at(schema: Schema, path: str) -> AnyField | None:
    """Field of an answer's schema at a path; of a list, that of its items."""
    name, _, rest = path.partition("/")
    if name.isdigit():
        return field_at(schema, rest)
    found = schema.fields.get(name)
    inner = found.inner if isinstance(found, fields.List) else found
    if rest and isinstance(inner, fields.Nested):
        return field_at(inner.schema, rest)
    return inner


def label_of(path: str) -> str:
    """Words for a result."""
    own = LABELS.get(path) or LABELS.get(path.rpartition("/")[2])
    return tr(own) if own else label(path.rpartition("/")[2])


def write_value(value: object, name: str, unit_of_it: str) -> str:
    """Write a value of an answer for people."""
    if value is None:
        return NOTHING
    if isinstance(value, bool):
        return tr("yes") if value else tr("no")
    if isinstance(value, int):
        return str(value)
    if isinstance(value, float):
        return figures.figure(value, name, unit_of_it)
    if isinstance(value, list):
        return " + ".join(write_value(each, name, unit_of_it) for each in value)
    return str(value) if name in AS_THEY_STAND else choice_words(str(value))


def row(
    schema: Schema,
    answer: Members,
    path: str,
    went_in: WentIn = NOTHING_WENT_IN,
    first: tuple[str, ...] = (),
) -> Row | None:
    """Row of the result at a path; None where the answer leaves it out, or does not determine it."""
    value, described = value_at(answer, path), field_at(schema, path)
    if described is None or (value is None and not is_untold(answer, path)):
        return None
    name, unit_of_it = path.rpartition("/")[2], unit(described)
    number = float(value) if isinstance(described, Number) and isinstance(value, float | int) else None
    own = origin(name, value, answer, went_in.given)
    plain = Row(
        name=name,
        label=label_of(path),
        value=write_value(value if number is None else number, name, unit_of_it),
        number=number,
        unit=unit_of_it,
        nearest="" if number is None else figures.words_of_mark(number, name),
        exact="" if number is None else figures.format_exact(number, name, unit_of_it),
        inches=figures.inches(number) if number is not None and unit_of_it == "mm" else "",
        spread=spread(answer, name, unit_of_it),
        origin=own,
        assumed=assumptions_of(answer, path, went_in) if own == CALCULATED else (),
        meaning=meaning_of(path, described),
        place=first.index(path) if path in first else None,
    )
    ends = range_at(answer, path)
    if value is None:
        return replace(plain, value=tr(MEASURE), spread="", origin=TOO_WIDE, assumed=())
    return plain if ends is None else row_in_range(plain, value, ends, unit_of_it)


def meaning_of(path: str, described: AnyField) -> str:
    """What a result means, in a sentence."""
    own = MEANINGS.get(path)
    return write_in_words(without_unit(described.metadata.get("description", "")) if own is None else tr(own))


def range_at(answer: Members, path: str) -> tuple[float, float] | None:
    """Ends of the range of a result; None where it does not rest on estimates."""
    ranges = answer.get("ranges")
    ends = ranges.get(path.replace("/", ".")) if isinstance(ranges, Mapping) else None
    return None if ends is None else (ends["low"], ends["high"])


def row_in_range(plain: Row, value: object, ends: tuple[float, float], unit_of_it: str) -> Row:
    """Row of a result that is known within a range."""
    assert isinstance(value, float | int)
    told = figures.figure_in_range(value, *ends, plain.name, unit_of_it)
    inches = inches_between(*ends) if plain.inches else ""
    return replace(
        plain, value=told.about, exact="", nearest="", inches=inches, spread="", between=told.between, origin=ESTIMATED
    )


def inches_between(low_mm: float, high_mm: float) -> str:
    """Write both ends of a length in inches."""
    return tr("{low} to {high}", low=figures.inches(low_mm), high=figures.inches(high_mm))


def is_untold(answer: Members, path: str) -> bool:
    """Whether a result is not told because lenses of the class differ too much."""
    untold = answer.get("measure_first")
    return isinstance(untold, list) and path.replace("/", ".") in untold


def spread(answer: Members, name: str, unit_of_it: str) -> str:
    """Half the 95 % interval of a result where the answer tells it, else its standard uncertainty."""
    known = value_at(answer, f"expanded_uncertainty/{name}")
    if isinstance(known, float):
        return f"± {figures.add_unit(decimal(known, 2), unit_of_it)} (95 %)"
    known = value_at(answer, f"uncertainty/{name}")
    if name == "magnification" and isinstance(answer.get("magnification_uncertainty"), float):
        known = answer["magnification_uncertainty"]
    return f"± {figures.add_unit(decimal(known, 2), unit_of_it)}" if isinstance(known, float) else ""


def origin(name: str, value: object, answer: Members, given: Members) -> str:
    """Whether a result was given or assumed itself; else it was calculated."""
    if given.get(name) == value:
        return GIVEN
    assumed = answer.get("assumed")
    return ASSUMED if isinstance(assumed, Mapping) and assumed.get(name) == value else CALCULATED
