"""Ranges of every row of a table over the lenses that its own may be."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from closeup_service.estimates.ranges import Range, weighted_ranges
from closeup_service.operations.estimating.figures import is_scattered, range_of
from closeup_service.operations.estimating.set_up import WORDS
from closeup_service.operations.estimating.telling import MAGNIFICATION
from closeup_service.operations.set_up.table.blocks import joined
from closeup_service.operations.set_up.table.columns import Evaluated
from closeup_service.operations.set_up.table.schemas import AnyColumn
from closeup_service.optics.arithmetic import BoolArray, FloatArray

Places = npt.NDArray[np.intp]
BlockResults = tuple[int, tuple[Evaluated, list[AnyColumn]]]
"""Rows of a block, and its results for every row and member."""


class Estimated(Struct, frozen=True):
    """What the rows of a table have for all lenses: ranges by name, and the share of lenses with which a row cannot be.

    `scattered` names, row by row, the results that some possible lenses have and too many have not.
    `nearest` holds every result of the possible lens nearest to the median magnification, which stands in where the middle
    lens cannot be.
    """

    ranges: Sequence[Mapping[str, Range]]
    scattered: Sequence[Sequence[str]]
    impossible_shares: Sequence[float]
    any_possible: BoolArray
    nearest: Mapping[str, AnyColumn]


def estimate_rows(blocks: Iterable[BlockResults], names: Sequence[str], weights: FloatArray) -> Estimated:
    """Gather the ranges of all blocks; no block outlives its turn."""
    ranges: list[Mapping[str, Range]] = []
    scattered: list[Sequence[str]] = []
    shares: list[float] = []
    nearest: list[list[AnyColumn]] = []
    possible: list[BoolArray] = []
    for rows, (table, columns) in blocks:
        shape = (rows, len(weights))
        can_be = ~table.impossible.reshape(shape)
        squares = [column.reshape(shape) for column in columns]
        figures = {name: each.astype(float) for name, each in zip(names, squares, strict=True) if is_figure(name, each)}
        ranges += ranges_of_block(figures, can_be, weights)
        scattered += find_scattered(figures, can_be, weights)
        shares += ((~can_be) @ weights).tolist()
        places = nearest_places(squares[names.index(MAGNIFICATION)], can_be)
        nearest.append([square[np.arange(rows), places] for square in squares])
        possible.append(np.any(can_be, axis=1, keepdims=True)[:, 0])
    by_name = {name: joined(columns) for name, columns in zip(names, zip(*nearest, strict=True), strict=True)}
    return Estimated(ranges, scattered, shares, np.concatenate(possible), by_name)


def nearest_places(magnification: AnyColumn, possible: BoolArray) -> Places:
    """Member of each row whose magnification is nearest to the median of those that can be; the first where none can."""
    known = np.where(possible, magnification.astype(float), np.nan)
    none = ~np.isfinite(known).any(axis=1)
    known[none] = 0.0
    off = np.abs(known - np.nanmedian(known, axis=1, keepdims=True))
    places: Places = np.nanargmin(off, axis=1)
    return places


def is_figure(name: str, square: AnyColumn) -> bool:
    """Whether a result is a quantity, and no word, place or flag."""
    return name not in WORDS and square.dtype.kind in "fi"


def ranges_of_block(
    squares: Mapping[str, FloatArray], possible: BoolArray, weights: FloatArray
) -> list[dict[str, Range]]:
    """Ranges of every row, by name; of what all possible members have, nearly, and is not the same for all."""
    found: list[dict[str, Range]] = [{} for _ in possible]
    for name, square in squares.items():
        for row, each in zip(found, ranges_by_row(square, possible, weights), strict=True):
            if each is not None and not each.is_sharp:
                row[name] = each
    return found


def ranges_by_row(square: FloatArray, possible: BoolArray, weights: FloatArray) -> list[Range | None]:
    """Range of one result in every row over its possible members; None where too few of these have it.

    Parameters
    ----------
    square : result of every row and member, shape (rows, members)
    possible : which of them can be, of the same shape
    weights : of the members
    """
    found: list[Range | None] = [None] * len(square)
    whole = (np.isfinite(square) & possible).all(axis=1)
    for row, each in zip(np.flatnonzero(whole).tolist(), weighted_ranges(square[whole], weights), strict=True):
        found[row] = each
    for row in np.flatnonzero(~whole & possible.any(axis=1)).tolist():
        found[row] = range_of(square[row, possible[row]], weights[possible[row]])
    return found


def find_scattered(squares: Mapping[str, FloatArray], possible: BoolArray, weights: FloatArray) -> list[list[str]]:
    """Names of the results that some possible members of each row have and too many have not."""
    found: list[list[str]] = [[] for _ in possible]
    for name, square in squares.items():
        known = np.isfinite(square)
        for row in np.flatnonzero((~known & possible).any(axis=1)).tolist():
            if is_scattered(square[row, possible[row]], weights[possible[row]]):
                found[row].append(name)
    return found
