"""The CSV file of the specimens: its rows, and what their columns mean."""

import csv
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from io import StringIO
from pathlib import Path
from typing import Any

from closeup_client.command_line.files import why
from closeup_client.command_line.near_words import nearest
from closeup_client.command_line.operation import Field, Operation
from closeup_client.command_line.parsing import UsageError
from closeup_client.command_line.values import BadValue, scalar

FILE = "file"
RULER_FILE = "ruler_file"
SEPARATORS = ",;\t"


class BadRow(ValueError):
    """A row that asks for nothing that can be done."""


@dataclass(frozen=True, slots=True)
class Specimens:
    """Columns and rows of the file."""

    columns: tuple[str, ...]
    rows: tuple[Mapping[str | None, Any], ...]


def read_specimens(path: str) -> Specimens:
    """Read the file.

    Raises
    ------
    UsageError
        Where it cannot be read or lacks what every row needs.
    """
    try:
        text = Path(path).read_text(encoding="utf-8-sig")
    except (OSError, ValueError) as error:
        reason = why(error) if isinstance(error, OSError) else "it is not in UTF-8"
        raise UsageError(f"{path} cannot be read: {reason}.") from None
    first = text.partition("\n")[0]
    reader = csv.DictReader(StringIO(text, newline=""), delimiter=max(SEPARATORS, key=first.count))
    try:
        columns, rows = tuple(name.strip() for name in reader.fieldnames or ()), []
        reader.fieldnames = list(columns)
        rows = [row for row in reader if any(row.values())]
    except csv.Error as error:
        raise UsageError(f"{path} is no CSV file: {error}.") from None
    refuse_columns(path, columns)
    if not rows:
        raise UsageError(f"{path} holds no row below its column names.")
    return Specimens(columns, tuple(rows))


def refuse_columns(path: str, columns: Sequence[str]) -> None:
    """Refuse columns that are named twice, and a file without the one that every row needs."""
    twice = sorted({name for name in columns if columns.count(name) > 1})
    if twice:
        raise UsageError(f"{path} names the column {twice[0]!r} twice.")
    if FILE not in columns:
        raise UsageError(f"{path} has no column {FILE!r}; its first row names {', '.join(columns) or 'none'}.")


def near_misses(columns: Sequence[str], operations: Sequence[Operation]) -> list[str]:
    """Say which columns that are carried over may have been meant as one that is used."""
    known = [FILE, RULER_FILE, *(field.name for operation in operations for field in operation.fields)]
    unused = [name for name in columns if name not in known]
    near = [(name, nearest(name, known, 0.8)) for name in unused]
    return [f"the column {name!r} is not used; did you mean {found[0]!r}?" for name, found in near if found]


def members_of(row: Mapping[str | None, Any], operation: Operation) -> dict[str, Any]:
    """Members that a row gives to an operation, blank cells left out.

    Raises
    ------
    BadRow
        Where a cell cannot be read.
    """
    found = {}
    for field in operation.fields:
        text = str(row.get(field.name) or "").strip()
        if field.is_scalar and text:
            found[field.name] = value_of(text, field)
    return found


def value_of(text: str, field: Field) -> Any:
    """Value of a cell, written as on the command line."""
    try:
        return scalar(text, field)
    except BadValue as error:
        raise BadRow(f"{field.name}: {error}") from None
