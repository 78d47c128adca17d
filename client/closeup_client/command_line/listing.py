"""Listings as aligned tables; long texts, such as sources, are numbered and stand below."""

from collections.abc import Mapping, Sequence
from typing import Any

from closeup_client.command_line.columns import Column, laid_out
from closeup_client.command_line.figures import SHORT_DIGITS, SIGNS, figure, measured
from closeup_client.command_line.notes import block
from closeup_client.command_line.operation import Field
from closeup_client.command_line.wording import Wording, quantity_of, unit_of

LONGEST_CELL = 48
KEY = "id"
RANGES, CHANCE = "ranges", "chance"
OF_ESTIMATES = (RANGES, "coverage", "estimated", "measure_first")
"""Members of a record that rests on estimates, which stand behind its figures, or which a remark says."""

DIGITS_OF_A_RECORD = 6


def listing(records: Sequence[Mapping[str, Any]], field: Field | None, wording: Wording, width: int) -> str:
    """Table of records, in the order of the service's own columns; lists, which are names, stand last."""
    known = {each.name: each for each in field.fields} if field else {}
    records = [with_words_within(record) for record in records]
    names = list(dict.fromkeys([*known, *(own for record in records for own in record)]))
    names = [own for own in names if is_column(own, records)]
    names.sort(key=lambda own: any(isinstance(record.get(own), list) for record in records))
    columns = {own: [cell(own, record, wording, known.get(own)) for record in records] for own in names}
    below = {own: list(dict.fromkeys(columns[own])) for own in names if is_long(own, records)}
    columns |= {own: [str(lines.index(each) + 1) for each in columns[own]] for own, lines in below.items()}
    headings = {own: heading(own, wording, known.get(own)) for own in names}
    to_the_right = {own for own in names if own in below or all(is_number(record.get(own)) for record in records)}
    laid = [Column(headings[own], columns[own], own in to_the_right, own == KEY) for own in names]
    texts = [laid_out(laid, width)]
    for own, lines in below.items():
        texts.append(block(headings[own], [f"{number}  {line}" for number, line in enumerate(lines, 1)], width))
    return "\n\n".join(texts)


def is_column(name: str, records: Sequence[Mapping[str, Any]]) -> bool:
    """Whether a member is shown in a column of its own: no objects, nothing of estimates, no chance that no record has."""
    if name in OF_ESTIMATES or (name == CHANCE and not any(CHANCE in record for record in records)):
        return False
    return not any(is_nested(record.get(name)) for record in records)


def with_words_within(record: Mapping[str, Any]) -> Mapping[str, Any]:
    """Record with the lists of words that an object in it holds, such as the parts of a set-up, which a cell can show."""
    objects = [value for value in record.values() if isinstance(value, dict)]
    return {name: value for each in objects for name, value in each.items() if is_words(value)} | dict(record)


def is_words(value: Any) -> bool:
    """Whether a value is a list of words."""
    return isinstance(value, list) and bool(value) and all(isinstance(each, str) for each in value)


def is_nested(value: Any) -> bool:
    """Whether a value holds objects or lists of its own, which no cell can show: they are in --json."""
    return isinstance(value, dict) or (isinstance(value, list) and any(isinstance(each, dict | list) for each in value))


def is_long(name: str, records: Sequence[Mapping[str, Any]]) -> bool:
    """Whether the texts of a column are too long for it."""
    return any(isinstance(text := record.get(name), str) and len(text) > LONGEST_CELL for record in records)


def heading(name: str, wording: Wording, field: Field | None) -> str:
    """Heading of a column, with its unit."""
    unit = field.unit if field else unit_of(name, wording.known)
    return f"{wording.label(name)} {SIGNS.get(unit, unit)}".strip()


def is_number(value: Any) -> bool:
    """Whether a cell holds a number, or nothing."""
    return value is None or (isinstance(value, int | float) and not isinstance(value, bool))


def cell(name: str, record: Mapping[str, Any], wording: Wording, field: Field | None) -> str:
    """Text of a cell; what is not reckoned but on record keeps its digits."""
    value, meant = record.get(name), quantity_of(name, record)
    if isinstance(value, list):
        return ", ".join(text_of(each, field, name, "", wording) for each in value)
    text = text_of(value, field, meant, "" if meant == name else unit_of(meant, wording.known), wording)
    return text + range_text(record.get(RANGES, {}).get(name))


def range_text(ends: Mapping[str, float] | None) -> str:
    """Range of a figure that rests on estimates, behind it."""
    return "" if ends is None else f", {figure(ends['low'], SHORT_DIGITS)} to {figure(ends['high'], SHORT_DIGITS)}"


def text_of(value: Any, field: Field | None, meant: str, unit: str, wording: Wording) -> str:
    """One value; a dash where nothing is known."""
    if value is None:
        return "-"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if not is_number(value):
        return wording.choice(str(value), field)
    return measured(value, meant, unit) if wording.operation.fields else figure(value, DIGITS_OF_A_RECORD)
