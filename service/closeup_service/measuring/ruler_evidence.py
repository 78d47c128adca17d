"""What shows that even marks of one length are a scale, where no longer ones do: numerals, or lines as they are printed.

Combs, pins, fins and lines drawn one by one are as even as a scale. Numerals come after a round number of marks. A printed
scale has thin lines that begin and end on two straight lines, with the same blank ground beyond both ends as between them;
a comb's teeth hang on its back, pins stand in a body, fins on a plate, and what is drawn by hand ends unevenly. Below a
number of marks even that may be chance.
"""

import numpy as np
from numpy.typing import NDArray

from closeup_service.measuring.ruler_marks import Marks, Scale, measured
from closeup_service.measuring.ruler_picture import Floats, Pyramid
from closeup_service.measuring.ruler_pitch import MANY

THINNEST_GROUND = 0.3
"""Beyond this part of a period from its middle a thin line has left the ground free, and a comb's tooth has not."""
MOST_COVERED = 0.42
"""Share of the period that a line covers at half its height."""
MOST_RAGGED = 0.045
"""Scatter of the ends of lines about a straight line [half-widths]; nine in ten lie within twice that."""
BEYOND = (0.25, 0.65)
"""So far beyond the ends [periods] the ground must be blank; farther out the ruler may end."""
LINES_NEAR = 6
MOST_UNLIKE = 0.13
"""Difference of the ground beyond the ends from that between the lines, over the height of a line."""

SAMPLES = 9
LINES_BEYOND = 24
REACH_PERIODS = 4.0
NUMERAL_EVERY = (10, 5, 4, 8, 16, 20)
LEAST_SWING = 0.08
"""Least swing of numerals over the height of a mark."""
QUIET = 0.2
LEAST_CLEAR_CUT = 0.8
"""Numerals stand at all their marks but one in five, and none at as many of those between."""


def evident(picture: Pyramid, scale: Scale, marks: Marks) -> bool:
    """Whether a row of marks that are all alike is a scale beyond doubt."""
    return printed(picture, scale, marks) or numbered(picture, scale)


def printed(picture: Pyramid, scale: Scale, marks: Marks) -> bool:
    """Whether these are enough thin lines that end straight on a blank ground on both sides."""
    columns = np.nonzero(marks.found_on(scale))[0]
    if len(columns) < MANY or covered_share(scale.shape) > MOST_COVERED:
        return False
    for side in (-1, 1):
        ends = np.array([end_of(marks, column, side) for column in columns])
        if not straight(marks.numbers[columns], ends) or not blank(picture, scale, marks, columns, side, ends):
            return False
    return True


def covered_share(shape: Floats) -> float:
    """Share of a period over which the picture of one mark is above half its height."""
    return float((shape > 0.5).mean())


def straight(numbers: NDArray[np.int64], ends: Floats) -> bool:
    """Whether lines end on a straight line."""
    seen = np.isfinite(ends)
    if seen.sum() < MANY or seen.mean() < LEAST_CLEAR_CUT:
        return False
    place, ends = numbers[seen].astype(float), ends[seen]
    away = np.abs(ends - np.polyval(np.polyfit(place, ends, 1), place))
    return bool(np.sqrt(np.mean(away**2)) < MOST_RAGGED and np.quantile(away, 0.9) < 2 * MOST_RAGGED)


def end_of(marks: Marks, column: int, side: int) -> float:
    """Where a line falls to half its height [half-widths from the middle, outwards]; infinite where the picture ends first."""
    rows = np.nonzero(side * marks.lines >= 0)[0][::side]
    outwards, height = side * marks.lines[rows], marks.height[rows, column]
    half = 0.5 * float(np.median(height[outwards <= 0.8]))
    below = np.nonzero((height < half) & marks.inside[rows, column])[0]
    if not len(below) or below[0] == 0:
        return float("inf")
    at = int(below[0])
    part = (height[at - 1] - half) / max(height[at - 1] - height[at], 1e-9)
    return float(outwards[at - 1] + part * (outwards[at] - outwards[at - 1]))


def blank(picture: Pyramid, scale: Scale, marks: Marks, columns: NDArray[np.int64], side: int, ends: Floats) -> bool:
    """Whether just beyond the ends on one side the ground goes on as it is between the lines."""
    lines = side * (float(np.median(ends)) + np.linspace(*BEYOND, LINES_NEAR) * scale.period / scale.half_width)
    near = measured(picture, scale, marks.numbers[columns], lines, SAMPLES)
    if not near.inside.mean() > LEAST_CLEAR_CUT:
        return False
    window = np.linspace(-0.5, 0.5, marks.values.shape[-1])
    between = marks.values[marks.inner][:, columns][..., np.abs(window) > THINNEST_GROUND].mean(axis=(0, 2))
    unlike = np.abs(near.values.mean(axis=-1) - between) / scale.contrast
    mean = np.median(near.values - near.values.mean(axis=-1, keepdims=True), axis=1)
    swing = np.ptp(mean, axis=-1) / scale.contrast
    return bool(np.quantile(unlike, LEAST_CLEAR_CUT, axis=1).max() < MOST_UNLIKE and swing.max() < MOST_UNLIKE)


def numbered(picture: Pyramid, scale: Scale) -> bool:
    """Whether something stands beyond the marks' ends at every fifth or tenth (or the like), and nothing between."""
    numbers = np.arange(scale.first, scale.last + 1)
    reach = REACH_PERIODS * scale.period / scale.half_width
    for side in (-1, 1):
        lines = side * np.linspace(1.3, 1.3 + reach, LINES_BEYOND)
        seen = measured(picture, scale, numbers, lines, SAMPLES)
        flat = seen.values - seen.values.mean(axis=-1, keepdims=True)
        swing = np.where(seen.inside, flat.std(axis=-1), 0.0)
        strongest = np.sort(swing, axis=0)[-LINES_BEYOND // 4 :].mean(axis=0) / scale.contrast
        if any(clear_cut(numbers, strongest, every) for every in NUMERAL_EVERY):
            return True
    return False


def clear_cut(numbers: NDArray[np.int64], swing: Floats, every: int) -> bool:
    """Whether one class of remainders swings and the quietest does not; a numeral may reach over neighbours."""
    if len(numbers) < 2 * every:
        return False
    remainder = numbers % every
    classes = np.array([np.median(swing[remainder == k]) for k in range(every)])
    best, least = int(classes.argmax()), float(classes[classes.argsort()[every // 2 - 1]])
    loud, quiet = float(classes[best]), max(2 * least, QUIET * float(classes[best]))
    if loud < LEAST_SWING or least > QUIET * loud:
        return False
    at, off = swing[remainder == best], swing[np.isin(remainder, classes.argsort()[: every // 2])]
    return bool((at > 0.5 * loud).mean() >= LEAST_CLEAR_CUT and (off < 2 * quiet).mean() >= LEAST_CLEAR_CUT)
