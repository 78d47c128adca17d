"""Tables of an answer: headings and cells in people's words."""

from __future__ import annotations

import re

from marshmallow import Schema
from msgspec import Struct

from closeup_service.advice import figures
from closeup_service.gear.kit import Kit
from closeup_service.language import tr
from closeup_service.pages import results
from closeup_service.pages.task import Members, Table, WriteOut, WrittenTable, value_at
from closeup_service.schemas.describing import label, unit

UNIT_JOINED = re.compile(r"(?<=\d)mm$")
OWN_UNIT = ("asked", "nearest", "miss")
"""Columns whose unit is that of the wish in their row."""


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


def grid(schema: Schema, answer: Members, table: Table, kit: Kit, write_out: WriteOut) -> Grid | None:
    """Table of a list in the answer; None where the list is empty."""
    found = value_at(answer, table.path)
    if not isinstance(found, list | tuple) or not found:
        return None
    return Grid(
        tr(table.title),
        tuple(results.label_of(column) for column in table.columns),
        tuple(tuple(cell(schema, table.path, each, column, kit) for column in table.columns) for each in found),
        tuple(table.leads_to(each, write_out) for each in found) if table.leads_to else (),
        tr(table.link),
    )


def written_grid(answer: Members, table: WrittenTable, kit: Kit) -> Grid | None:
    """Table that the task writes itself; None where it has no row."""
    rows = tuple(tuple(Cell(text) for text in row) for row in table.write(answer, kit))
    return Grid(tr(table.title), tuple(map(tr, table.headings)), rows) if rows else None


def cell(schema: Schema, path: str, each: Members, column: str, kit: Kit) -> Cell:
    """One cell of such a table."""
    described, value = results.field_at(schema, f"{path}/{column}"), each.get(column)
    name = str(each["wish"]) if column in OWN_UNIT else column
    unit_of_it = unit_in_name(name) if column in OWN_UNIT else unit(described) if described else ""
    if column == "wish":
        return Cell(label(name_of_wish(str(value))))
    if column == "parts" and isinstance(value, list):
        return Cell(" + ".join(name_found(str(part), kit) for part in value))
    number = isinstance(value, float | int) and not isinstance(value, bool)
    if results.range_at(each, column) is not None or is_untold_hit(each, value):
        return cell_in_range(each, column, unit_of_it)
    beside = figures.inches(value) if unit_of_it == "mm" and isinstance(value, float) else ""
    return Cell(results.write_value(value, name, unit_of_it), number, beside)


def name_found(part: str, kit: Kit) -> str:
    """Part of a set-up that was found: its name in place of its id where the kit has it, and what is chosen of it."""
    use, *chosen = part.split(" ")
    found = kit.by_id.get(use)
    return part if found is None else ", ".join((found.name, *(UNIT_JOINED.sub(" mm", each) for each in chosen)))


def is_untold_hit(each: Members, value: object) -> bool:
    """Whether a set-up that was found does not tell a figure, since it tells not even its magnification."""
    return value is None and "ranges" in each and each.get("magnification") is None


def cell_in_range(each: Members, column: str, unit_of_it: str) -> Cell:
    """Cell of a figure that is known within a range, or not at all."""
    value, ends = each.get(column), results.range_at(each, column)
    if ends is None or not isinstance(value, float | int):
        return Cell(tr(results.MEASURE))
    told = figures.figure_in_range(value, *ends, column, unit_of_it)
    return Cell(", ".join(filter(None, (told.about, told.between))))


def name_of_wish(wish: str) -> str:
    """Quantity behind a wish."""
    return {"least_clearance_mm": "clearance_mm"}.get(wish, wish)


def unit_in_name(name: str) -> str:
    """Unit that ends a name of the vocabulary."""
    end = name.rpartition("_")[2]
    return end if end in ("mm", "um", "stops") else ""
