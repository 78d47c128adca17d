"""Figures of an answer by dotted name: read from many answers, and written back as medians."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import isfinite

import numpy as np

from closeup_service.estimates.ranges import Range, weighted_ranges
from closeup_service.optics.arithmetic import FloatArray

NO_FIGURES = frozenset(
    ("assumed", "remarks", "cautions", "coverage", "estimated", "ranges", "measure_first", "kit_revision", "steps")
)
"""Members of an answer that hold no figures."""

MOST_MISSING = 0.025
"""A figure that more of the lenses than this do not have is not told: their share lies beyond the range on one side."""


def list_figures(value: object, name: str = "") -> Iterator[tuple[str, float | int]]:
    """Yield every number of an answer with its dotted name; entries of lists by their place."""
    if isinstance(value, bool):
        return
    if isinstance(value, int | float):
        yield name, value
    elif isinstance(value, Mapping):
        for key, inner in value.items():
            if name or key not in NO_FIGURES:
                yield from list_figures(inner, f"{name}.{key}" if name else key)
    elif isinstance(value, list | tuple):
        for index, inner in enumerate(value):
            yield from list_figures(inner, f"{name}.{index}")


def ranges_of_answers(
    central: Mapping[str, object], found: Sequence[Mapping[str, object]], weights: FloatArray
) -> dict[str, Range]:
    """Range of every figure of the central answer that the others have too, and that is not the same in all.

    Parameters
    ----------
    found : answers of the members that have one
    weights : of those members, shape (members,)
    """
    names = [name for name, _ in list_figures(central)]
    tables = [dict(list_figures(answer)) for answer in found]
    rows = np.array([[table.get(name, np.nan) for table in tables] for name in names], dtype=float)
    return {name: each for name, row in zip(names, rows, strict=True) if (each := range_of(row, weights)) is not None}


def range_of(row: FloatArray, weights: FloatArray) -> Range | None:
    """Range of one figure over the members that have it; None where it is the same for all, or hardly any has it."""
    known = np.isfinite(row)
    if not weights[known].sum() > (1 - MOST_MISSING) * weights.sum():
        return None
    [found] = weighted_ranges(row[None, known], weights[known])
    return None if found.is_sharp or not isfinite(found.low + found.high) else found


def is_scattered(row: FloatArray, weights: FloatArray) -> bool:
    """Whether some members have a figure and too many have not, so that no range holds it."""
    known = np.isfinite(row)
    return bool(known.any() and not weights[known].sum() > (1 - MOST_MISSING) * weights.sum())


def put_figures(value: object, figures: Mapping[str, float | None], name: str = "") -> object:
    """Answer with figures put in place of its own, whole numbers rounded; what is not named stays."""
    if isinstance(value, Mapping):
        return {key: put_figures(inner, figures, f"{name}.{key}" if name else key) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [put_figures(inner, figures, f"{name}.{index}") for index, inner in enumerate(value)]
    if name not in figures or value is None or isinstance(value, bool):
        return value
    figure = figures[name]
    return round(figure) if isinstance(value, int) and figure is not None else figure
