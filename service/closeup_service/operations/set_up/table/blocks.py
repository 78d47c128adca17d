"""Rows of a table in blocks that fit into memory, each evaluated at once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple, cast

import numpy as np

from closeup_service.operations.asking import effort
from closeup_service.operations.set_up.table.columns import Evaluated, Result
from closeup_service.operations.set_up.table.schemas import MOST_ROWS, AnyColumn
from closeup_service.optics.arithmetic import BoolArray, Real

if TYPE_CHECKING:
    from closeup_service.records import requests

BLOCK_ROWS = MOST_ROWS
ROW_S, CONTRAST_ROW_S = 2.5e-6, 80e-6
"""Seconds of the processor that a row takes, and that it takes by the contrast model for each wavelength."""
WAVELENGTHS_OF_WHITE = 5
CONTRAST_BLOCK_ROWS = 100
"""The contrast model takes some thousand figures for each row: its blocks keep within some ten megabytes."""


class Block(NamedTuple):
    """Rows that are evaluated at once: the set-up with its columns, and which rows lie beyond their parts of the kit."""

    document: requests.FrameSetUp[Real]
    beyond: Sequence[BoolArray]
    rows: int

    def cut(self, start: int, most: int) -> Block:
        """Some of its rows."""
        document = cast("requests.FrameSetUp[Real]", rows_between(self.document, start, start + most))
        return Block(document, [rows[start : start + most] for rows in self.beyond], min(most, self.rows - start))

    def parts(self, most: int) -> Iterable[Block]:
        """Its rows in parts of at most so many."""
        return [self] if self.rows <= most else (self.cut(start, most) for start in range(0, self.rows, most))


def blocks_of(whole: Block) -> Iterable[Block]:
    """Parts of the table that fit into memory."""
    by_contrast = whole.document.get("depth_of_field_model") == "contrast"
    return whole.parts(CONTRAST_BLOCK_ROWS if by_contrast else BLOCK_ROWS)


def expected_seconds(document: requests.FrameSetUp[Real], rows: int) -> float:
    """Seconds that the rows of a table take of the processor, roughly."""
    if document.get("depth_of_field_model") != "contrast":
        return rows * ROW_S
    return rows * CONTRAST_ROW_S * (WAVELENGTHS_OF_WHITE if document.get("light") == "white" else 1)


def rows_between(value: object, start: int, end: int) -> object:
    """Document with its columns cut to some rows."""
    if isinstance(value, np.ndarray):
        return value[start:end]
    if isinstance(value, Mapping):
        return {name: rows_between(member, start, end) for name, member in value.items()}
    return [rows_between(item, start, end) for item in value] if isinstance(value, list) else value


def block_of(part: Block, names: Sequence[str]) -> tuple[Evaluated, list[AnyColumn]]:
    """Evaluate some rows, and what was asked of them."""
    effort.go_on()
    table = Evaluated.of(part.document, part.rows, part.beyond)
    return table, [full_column(table.result(name), part.rows) for name in names]


def full_column(result: Result, rows: int) -> AnyColumn:
    """One value for every row; what is not determined is NaN."""
    if result is None:
        return np.full(rows, np.nan)
    return result if isinstance(result, np.ndarray) and result.ndim else np.full(rows, result)


def joined(blocks: Sequence[AnyColumn]) -> AnyColumn:
    """One column of the columns of consecutive blocks."""
    return blocks[0] if len(blocks) == 1 else np.concatenate(blocks)
