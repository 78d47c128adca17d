"""Tables: columns from a CSV file, answers as CSV, with a line on the terminal while a long one is worked on."""

import argparse
import csv
import io
import re
import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import closing
from pathlib import Path
from typing import Any, TextIO

from closeup_client.blocks import blocks_of, joined
from closeup_client.command_line.asking import Where, transport_to
from closeup_client.command_line.files import STANDARD_INPUT, why
from closeup_client.command_line.near_words import meant
from closeup_client.command_line.operation import Field, Operation
from closeup_client.command_line.parsing import UsageError
from closeup_client.command_line.table import Table
from closeup_client.command_line.values import BadValue, number, typed

COLUMNS, PROBLEM = "columns", "problem"
BAR = 24
END_IN_A_FILE = "\r\n"
"""End of a line (RFC 4180), as the service writes it."""

PLAIN = re.compile(r"-?[0-9]{1,20}(\.[0-9]{1,30})?", re.ASCII)

Members = Mapping[str, Any]
Cells = list[float | str]
SETTING = "setting"
"""The one member of a part that stands in a column and is no number: the setting of a lens of the kit."""


def columns_of(given: argparse.Namespace, members: Members, table: Table, operation: Operation) -> dict[str, Cells]:
    """Columns that the options give, by JSON pointer: one by one, or from a CSV file or standard input.

    Raises
    ------
    UsageError
        Where they do not make columns of this set-up.
    """
    if given.csv is not None and given.column is not None:
        raise UsageError("--column: the columns come from --csv already; give one of the two.")
    if given.csv is not None:
        return columns_from(given.csv, members, table, operation)
    columns: dict[str, Cells] = {}
    for name, *cells in given.column or ():
        pointer, field = place_of("--column", name, members, table, operation)
        if pointer in columns:
            raise UsageError(f"--column: {name} is given twice.")
        columns[pointer] = [value_of(f"--column {name}", cell, field) for cell in cells]
    return columns


def columns_from(path: str, members: Members, table: Table, operation: Operation) -> dict[str, Cells]:
    """Columns of a CSV file, or of standard input."""
    rows = rows_of(text_of(path))
    header = [name.strip() for name in next(rows, [])]
    if not header:
        raise UsageError("--csv: it is empty; its first row names a member of the set-up for each column.")
    places = [place_of("--csv", name, members, table, operation) for name in header]
    columns: dict[str, Cells] = {pointer: [] for pointer, _ in places}
    if len(columns) < len(places):
        raise UsageError("--csv: two columns stand for the same member.")
    for line, row in enumerate(rows, 2):
        if len(row) != len(header):
            raise UsageError(f"--csv: line {line} has {len(row)} cells, the first line {len(header)}.")
        for (pointer, field), cell in zip(places, row, strict=True):
            columns[pointer].append(value_of(f"--csv: line {line}, {field.name}", cell, field))
    return columns


def text_of(path: str) -> str:
    """Text of the file or of standard input."""
    try:
        return sys.stdin.read() if path == STANDARD_INPUT else Path(path).read_text(encoding="utf-8-sig")
    except (OSError, ValueError) as error:
        raise UsageError(f"--csv: {path} cannot be read: {why(error)}.") from None


def rows_of(text: str) -> Iterator[list[str]]:
    """Rows of a CSV text that are not blank; a first line with semicolons alone tells that they part the cells."""
    first = text.partition("\n")[0]
    delimiter = ";" if ";" in first and "," not in first else ","
    return (row for row in csv.reader(io.StringIO(text, newline=""), delimiter=delimiter) if row)


def place_of(option: str, name: str, members: Members, table: Table, operation: Operation) -> tuple[str, Field]:
    """JSON pointer that a column's name stands for, and the field it leads to."""
    places = dict(places_in(members, table, operation))
    if name in places:
        return name, places[name]
    fitting = [pointer for pointer, field in places.items() if typed(field.name) == typed(name)]
    if len(fitting) == 1:
        return fitting[0], places[fitting[0]]
    if fitting:
        raise UsageError(f"{option}: {name} can mean {' or '.join(fitting)}: name the column so.")
    told = meant(name, [field.name for field in places.values()], f"there are {', '.join(places)}.")
    raise UsageError(f"{option}: {name!r} is no number of this set-up; {told}")


def places_in(members: Members, table: Table, operation: Operation) -> Iterator[tuple[str, Field]]:
    """Yield every number of the set-up, and every setting of a lens, that a column can stand for, by JSON pointer."""
    for field in operation.fields:
        if field.kind == "number" and not field.list:
            yield f"/{field.name}", field
        elif field.is_flat_group:
            yield from ((f"/{field.name}/{inner.name}", inner) for inner in field.fields if inner.kind == "number")
    train = members.get("train")
    for index, element in enumerate(train if isinstance(train, list) else []):
        part = table.parts.get(str(element.get("element"))) if isinstance(element, Mapping) else None
        for field in part.fields if part else ():
            if field.kind == "number" or field.name == SETTING:
                yield f"/train/{index}/{field.name}", field


def value_of(where: str, cell: str, field: Field) -> float | str:
    """Number of a cell, as a person writes it, or the id of a setting."""
    if field.name == SETTING:
        return cell.strip()
    if PLAIN.fullmatch(cell):
        return float(cell)
    try:
        return number(cell, field)
    except BadValue as error:
        raise UsageError(f"{where}: {error}") from None


def ask(operation: Operation, members: Members, where: Where) -> Members:
    """Ask for a table of any length, block by block.

    Raises
    ------
    CloseupError
        Where the service refuses or cannot be talked to.
    ValueError
        Where the server's address or the timeout is none, a number is not finite, or the columns are not equally long.
    """
    blocks = blocks_of(members)
    answers = []
    tell = progress(len(blocks), sys.stderr)
    with closing(transport_to(where)) as transport:
        for done, block in enumerate(blocks):
            tell(done)
            answers.append(transport.post(operation.path, block))
        tell(len(blocks))
    return joined(answers)


def progress(blocks: int, terminal: TextIO) -> Callable[[int], None]:
    """Return the function that shows how much is done, on a terminal and for long tables alone."""

    def tell(done: int) -> None:
        filled = BAR * done // blocks
        end = "\n" if done == blocks else ""
        print(f"\r[{'#' * filled}{'.' * (BAR - filled)}] {done} of {blocks} blocks", end=end, file=terminal, flush=True)

    return tell if blocks > 1 and terminal.isatty() else lambda done: None


def csv_text(members: Members, answer: Members, end: str = "\n") -> str:
    """Columns given, columns asked for and problems as CSV; null is an empty cell."""
    columns = {**members[COLUMNS], **answer[COLUMNS], PROBLEM: answer[PROBLEM]}
    file = io.StringIO(newline="")
    writer = csv.writer(file, lineterminator=end)
    writer.writerow(columns)
    writer.writerows(zip(*columns.values(), strict=True))
    return file.getvalue()
