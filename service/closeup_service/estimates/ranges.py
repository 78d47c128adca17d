"""Ranges over an ensemble: weighted quantiles, and when a range says nothing."""

from __future__ import annotations

from math import ceil, floor
from typing import TypedDict

import numpy as np
from msgspec import Struct

from closeup_service.estimates.statistics import statistics
from closeup_service.optics.arithmetic import FloatArray

COVERAGE = 0.95
"""Share of all lenses of a class that a range is to hold."""

QUANTILES = np.array([0.5, (1 - COVERAGE) / 2, (1 + COVERAGE) / 2])
SAME = 1e-9
"""A range narrower than this share of its middle is rounding: the figure does not depend on what is unknown."""


NARROW = 1.5
"""A range of the magnification whose ends are no farther apart than this factor tells it, however small it is."""


class Ends(TypedDict):
    """Ends of a range, as answers tell them."""

    low: float
    high: float


class Range(Struct, frozen=True):
    """Median of a figure, and the ends between which it lies for 95 of 100 lenses."""

    value: float
    low: float
    high: float

    @property
    def is_sharp(self) -> bool:
        """Whether the figure is the same for every lens."""
        return not abs(self.high - self.low) > SAME * max(abs(self.low), abs(self.high), abs(self.value))

    def ends(self, *, whole: bool) -> Ends:
        """Both ends, of a count in whole numbers."""
        return {"low": floor(self.low), "high": ceil(self.high)} if whole else {"low": self.low, "high": self.high}

    @property
    def says_little(self) -> bool:
        """Whether the ends lie so far apart, or on both sides of nothing, that no single figure should be told."""
        return not (self.low > 0 and self.high <= statistics().measure_first.ratio * self.low)


def weighted_ranges(rows: FloatArray, weights: FloatArray) -> list[Range]:
    """Range of every row over its columns: sort, cumulate the weights to the middle of each, interpolate, flat outside.

    Parameters
    ----------
    rows : figures of every member, shape (figures, members)
    weights : of the members, shape (members,)
    """
    order = np.argsort(rows, axis=1)
    ordered = np.take_along_axis(rows, order, axis=1)
    shares = weights[order]
    middles = np.cumsum(shares, axis=1) - shares / 2
    middles /= shares.sum(axis=1)[:, None]
    return [Range(*np.interp(QUANTILES, at, row).tolist()) for at, row in zip(middles, ordered, strict=True)]


def is_measured_first(magnification: Range) -> bool:
    """Whether a range of the magnification is too wide to work with; near infinity a narrow one is not."""
    rule = statistics().measure_first
    narrow = magnification.low > 0 and magnification.high <= NARROW * magnification.low
    return not narrow and (magnification.low <= rule.low or magnification.high > rule.ratio * magnification.low)
