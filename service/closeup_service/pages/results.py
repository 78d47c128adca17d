"""Results as rows: label, number as people say it, and what it stands on."""

from collections.abc import Mapping
from typing import TypedDict

from marshmallow import Schema, fields
from msgspec import Struct

from closeup_service.advice import figures
from closeup_service.advice.figures import decimal
from closeup_service.pages.task import Members, Table, value_at
from closeup_service.pages.words import choice_words, write_in_words
from closeup_service.schemas.describing import label, unit, without_unit
from closeup_service.schemas.fields import AnyField, Number

GIVEN = "given"
ASSUMED = "assumed"
RECKONED = "reckoned"
PARTLY_ASSUMED = "reckoned, partly assumed"
NOTHING = "–"
LABELS: Mapping[str, str] = {
    "solved/value": "length found",
    "marked_as": "new setting, as marked",
    "best/nominal_f_number": "mark with most contrast at both ends",
    "best/end_contrast": "contrast that it leaves at both ends",
    "planned/effective_f_number": "effective f-number planned",
    "reference/effective_f_number": "effective f-number then",
    "nominal_f_number": "mark to set",
    "sampling": "what limits the detail",
    "total_mm": "depth of field",
    "magnification_low": "magnification, low end (95 %)",
    "magnification_high": "magnification, high end (95 %)",
    "edge_width_um": "width of an edge",
    "nearest": "nearest that can be had",
    "asked": "wished for",
    "miss": "misses by",
    "parts": "parts, subject first",
}
MEANINGS: Mapping[str, str] = {"solved/value": "Of what was left open, between its two faces; it reaches the target."}
AS_THEY_STAND = ("marked_as", "ratio", "parts", "name")
"""Texts that are no codes of the API."""
OWN_UNIT = ("asked", "nearest", "miss")
"""Columns whose unit is that of the wish in their row."""


class Row(Struct, frozen=True):
    """One number with its words: as people say it, more exactly, in inches, and what it stands on."""

    name: str
    label: str
    value: str
    exact: str = ""
    inches: str = ""
    spread: str = ""
    basis: str = ""
    meaning: str = ""
    place: int | None = None
    """Place among the results that are shown first, if it is one of them."""


class Cell(Struct, frozen=True):
    """One cell of a table; the first of a row may lead on."""

    text: str
    is_number: bool = False
    inches: str = ""


class Grid(Struct, frozen=True):
    """A table of an answer."""

    title: str
    headings: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    links: tuple[str, ...] = ()
    link: str = ""


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
    found = schema.fields.get(name)
    inner = found.inner if isinstance(found, fields.List) else found
    if rest and isinstance(inner, fields.Nested):
        return field_at(inner.schema, rest)
    return inner


def label_of(path: str) -> str:
    """Words for a result."""
    return LABELS.get(path) or LABELS.get(path.rpartition("/")[2]) or label(path.rpartition("/")[2])


def write_value(value: object, name: str, unit_of_it: str) -> str:
    """Write a value of an answer for people."""
    if value is None:
        return NOTHING
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int):
        return str(value)
    if isinstance(value, float):
        return figures.figure(value, name, unit_of_it)
    if isinstance(value, list):
        return " + ".join(write_value(each, name, unit_of_it) for each in value)
    return str(value) if name in AS_THEY_STAND else choice_words(str(value))


def row(schema: Schema, answer: Members, path: str, given: Members, first: tuple[str, ...]) -> Row | None:
    """Row of the result at a path; None where the answer leaves it out, or does not determine it."""
    value, described = value_at(answer, path), field_at(schema, path)
    if value is None or described is None:
        return None
    name, unit_of_it = path.rpartition("/")[2], unit(described)
    number = float(value) if isinstance(described, Number) and isinstance(value, float | int) else None
    return Row(
        name=name,
        label=label_of(path),
        value=write_value(value if number is None else number, name, unit_of_it),
        exact="" if number is None else figures.format_exact(number, name, unit_of_it),
        inches=figures.inches(number) if number is not None and unit_of_it == "mm" else "",
        spread=spread(answer, name, unit_of_it),
        basis=basis(name, value, answer, given),
        meaning=write_in_words(MEANINGS.get(path) or without_unit(described.metadata.get("description", ""))),
        place=first.index(path) if path in first else None,
    )


def spread(answer: Members, name: str, unit_of_it: str) -> str:
    """Half the 95 % interval of a result where the answer tells it, else its standard uncertainty."""
    known = value_at(answer, f"expanded_uncertainty/{name}")
    if isinstance(known, float):
        return f"± {figures.add_unit(decimal(known, 2), unit_of_it)} (95 %)"
    known = value_at(answer, f"uncertainty/{name}")
    if name == "magnification" and isinstance(answer.get("magnification_uncertainty"), float):
        known = answer["magnification_uncertainty"]
    return f"± {figures.add_unit(decimal(known, 2), unit_of_it)}" if isinstance(known, float) else ""


def basis(name: str, value: object, answer: Members, given: Members) -> str:
    """What a result stands on: given, assumed, or reckoned, perhaps with something assumed."""
    if given.get(name) == value:
        return GIVEN
    assumed = answer.get("assumed")
    if isinstance(assumed, Mapping) and assumed.get(name) == value:
        return ASSUMED
    return PARTLY_ASSUMED if assumed else RECKONED


def grid(schema: Schema, answer: Members, table: Table) -> Grid | None:
    """Table of a list in the answer; None where the list is empty."""
    found = value_at(answer, table.path)
    if not isinstance(found, list | tuple) or not found:
        return None
    return Grid(
        table.title,
        tuple(label_of(column) for column in table.columns),
        tuple(tuple(cell(schema, table.path, each, column) for column in table.columns) for each in found),
        tuple(table.leads_to(each) for each in found) if table.leads_to else (),
        table.link,
    )


def cell(schema: Schema, path: str, each: Members, column: str) -> Cell:
    """One cell of such a table."""
    described, value = field_at(schema, f"{path}/{column}"), each.get(column)
    name = str(each["wish"]) if column in OWN_UNIT else column
    unit_of_it = unit_in_name(name) if column in OWN_UNIT else unit(described) if described else ""
    if column == "wish":
        return Cell(label(name_of_wish(str(value))))
    number = isinstance(value, float | int) and not isinstance(value, bool)
    beside = figures.inches(value) if unit_of_it == "mm" and isinstance(value, float) else ""
    return Cell(write_value(value, name, unit_of_it), number, beside)


def name_of_wish(wish: str) -> str:
    """Quantity behind a wish."""
    return {"least_clearance_mm": "clearance_mm"}.get(wish, wish)


def unit_in_name(name: str) -> str:
    """Unit that ends a name of the vocabulary."""
    end = name.rpartition("_")[2]
    return end if end in ("mm", "um", "stops") else ""
