"""Where each mark ends: whether short marks end on a straight line, and which longer ones stand out of it.

Lines beyond the short marks' ends show an order of longer marks only where they lie in the picture for every mark. Each
mark's own end shows it for few marks too, and for those that leave the picture longer than the others are.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from closeup_service.measuring.ruler.marks import Marks, Scale
from closeup_service.measuring.ruler.picture import Floats

MOST_RAGGED = 0.045
"""Scatter of the ends of short marks about a straight line [half-widths]; nine in ten lie within twice that."""
LEAST_KNOWN = 0.8
NEAR, FAR, CUT_OFF = 0.15, 0.35, 0.2
"""An end nearer than this to that of most marks [half-widths] is a short mark's, one farther out than that a longer one's; the
last is for marks that the border of the picture cuts off."""
MOST_PAIRED = 40
EQUALS = 1e-3
FEWEST_SHORT = 3
FEWEST_BESIDE_ONE = 4
FEWEST_ON_BASELINE = 5
"""So many short ends must lie on a straight line; where only one mark stands out of it one more, unless the other ends of so
many marks lie on a common baseline."""
MOST_ODD = 0.1
"""Share of the ends, or one of them, that may be neither: dust, or what lies over a mark."""
ORDERS = (2, 5, 4, 10, 8, 16, 20)


class End(NamedTuple):
    """Where a mark ends [half-widths from the middle, outwards]; not known where the picture ends first."""

    place: float
    known: bool


class Longer(NamedTuple):
    """After how many marks a longer one comes, and how many longer ones were seen."""

    every: int
    seen: int


def end_of(marks: Marks, column: int, side: int) -> End:
    """Where a mark falls to half its height on one side.

    Parameters
    ----------
    marks : as measured
    column : which of the marks
    side : 1 or -1, across the ruler

    Returns
    -------
    End : place [half-widths from the middle]
    """
    rows = np.nonzero(side * marks.lines >= 0)[0][::side]
    outwards, height, inside = side * marks.lines[rows], marks.height[rows, column], marks.inside[rows, column]
    half = 0.5 * float(np.median(height[outwards <= 0.8]))
    below = np.nonzero((height < half) | ~inside)[0]
    if not len(below):
        return End(float(outwards[-1]), False)
    at = int(below[0])
    if at == 0 or not inside[at]:
        return End(float(outwards[max(at - 1, 0)]), False)
    part = (height[at - 1] - half) / max(height[at - 1] - height[at], 1e-9)
    return End(float(outwards[at - 1] + part * (outwards[at] - outwards[at - 1])), True)


def is_straight(numbers: NDArray[np.int64], ends: Floats, fewest: int = FEWEST_SHORT) -> bool:
    """Whether marks end on a straight line.

    Parameters
    ----------
    numbers : of the marks, shape (n,)
    ends : where they end [half-widths], shape (n,)
    fewest : ends that a line is sought through, at least
    """
    if len(ends) < fewest:
        return False
    away = np.abs(ends - np.polyval(np.polyfit(numbers.astype(float), ends, 1), numbers))
    return bool(np.sqrt((away**2).sum() / (len(away) - 2)) < MOST_RAGGED and np.quantile(away, 0.9) < 2 * MOST_RAGGED)


def base_line(numbers: NDArray[np.int64], ends: Floats, at: NDArray[np.int64]) -> Floats:
    """Where the short marks end: on the line through two ends that most others lie near, the innermost of equals.

    Parameters
    ----------
    numbers : of the marks, shape (n,)
    ends : of those marks, from the middle outwards [half-widths], shape (n,)
    at : numbers of the marks at which the line is wanted

    Returns
    -------
    array : ends on the line [half-widths], of the shape of `at`
    """
    some = np.unique(np.linspace(0, len(ends) - 1, MOST_PAIRED).astype(int))
    number, end = numbers[some].astype(float), ends[some]
    first, second = np.triu_indices(len(some), 1)
    slope = (end[second] - end[first]) / (number[second] - number[first])
    away = end - (end[first] + (number[:, None] - number[first]) * slope).T
    near = (np.abs(away) < 2 * MOST_RAGGED).sum(axis=1)
    middle = end[first] + (number.mean() - number[first]) * slope
    best = int(np.argmax(near - EQUALS * middle))
    return np.asarray(end[first[best]] + (at - number[first[best]]) * slope[best])


def longer_order(scale: Scale, marks: Marks) -> Longer | None:
    """Order in which longer marks stand out of short ones that end on a straight line; None where none do."""
    columns = np.nonzero(marks.found_marks(scale))[0]
    numbers = marks.numbers[columns]
    sides = [[end_of(marks, int(column), side) for column in columns] for side in (-1, 1)]
    places = [np.array([end.place for end in ends]) for ends in sides]
    known = [np.array([end.known for end in ends], bool) for ends in sides]
    for one, other in ((0, 1), (1, 0)):
        baseline = is_straight(numbers[known[other]], places[other][known[other]], FEWEST_ON_BASELINE)
        fewest = FEWEST_SHORT if baseline else FEWEST_BESIDE_ONE
        found = longer_order_on_side(numbers, places[one], known[one], fewest)
        if found is not None:
            return found
    return None


def longer_order_on_side(
    numbers: NDArray[np.int64], place: Floats, known: NDArray[np.bool_], beside_one: int = FEWEST_BESIDE_ONE
) -> Longer | None:
    """Order of the longer marks by their ends on one side.

    Parameters
    ----------
    numbers : of the marks, shape (n,)
    place : where they end, from the middle outwards [half-widths], shape (n,)
    known : whether the end is known, shape (n,)
    beside_one : fewest short marks beside a single longer one
    """
    if known.sum() < FEWEST_SHORT:
        return None
    away = place - base_line(numbers[known], place[known], numbers)
    short, longer = known & (np.abs(away) < NEAR), away > np.where(known, FAR, CUT_OFF)
    odd = known & ~short & ~longer
    if (
        not longer.any()
        or odd.sum() > max(MOST_ODD * len(place), 1)
        or not is_straight(numbers[short], place[short], FEWEST_SHORT if longer.sum() > 1 else beside_one)
    ):
        return None
    for every in ORDERS:
        remainders = set((numbers[longer] % every).tolist())
        if len(remainders) == 1 and not remainders & set((numbers[short] % every).tolist()):
            return Longer(every, int(longer.sum()))
    return None
