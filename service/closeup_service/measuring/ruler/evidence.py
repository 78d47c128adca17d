"""What shows that even marks are a scale, where no order of longer ones is proved: ends, numerals, lines as they are printed.

Combs, pins, fins and lines drawn one by one are as even as a scale. Of few marks one longer may show, where the others end
on a straight line. Numerals come after a round number of marks. A printed
scale has thin lines that begin and end on two straight lines, with the same blank ground beyond both ends as between them;
a comb's teeth hang on its back, pins stand in a body, fins on a plate, and what is drawn by hand ends unevenly. Below a
number of marks even that may be chance.
"""

import numpy as np
from numpy.typing import NDArray

from closeup_service.measuring.ruler.lengths import LEAST_KNOWN, end_of, is_straight, longer_order
from closeup_service.measuring.ruler.marks import Marks, Scale, measure_marks
from closeup_service.measuring.ruler.picture import Floats, Pyramid
from closeup_service.measuring.ruler.pitch import MANY
from closeup_service.measuring.ruler.records import PitchCheck

THINNEST_GROUND = 0.3
"""Beyond this part of a period from its middle a thin line has left the ground free, and a comb's tooth has not."""
AS_WIDE = 0.03
MOST_COVERED = 0.42
"""Share of the period that a line covers at half its height."""
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


def is_evident(picture: Pyramid, scale: Scale, marks: Marks) -> bool:
    """Whether a row of marks without longer ones in a proved order is a scale beyond doubt."""
    return (
        longer_order(scale, marks) is not None
        or has_printed_lines(picture, scale, marks)
        or has_numerals(picture, scale)
    )


def has_printed_lines(picture: Pyramid, scale: Scale, marks: Marks) -> bool:
    """Whether these are enough thin lines that end straight on a blank ground on both sides."""
    columns = np.nonzero(marks.found_marks(scale))[0]
    if len(columns) < MANY or covered_share(scale.shape) > MOST_COVERED:
        return False
    for side in (-1, 1):
        ends = [end_of(marks, int(column), side) for column in columns]
        known = np.array([end.known for end in ends])
        place = np.array([end.place for end in ends])[known]
        if known.mean() < LEAST_KNOWN or not is_straight(marks.numbers[columns][known], place, MANY):
            return False
        if not has_blank_ground(picture, scale, marks, columns, side, float(np.median(place))):
            return False
    return True


def covered_share(shape: Floats) -> float:
    """Share of a period over which the picture of one mark is above half its height.

    Parameters
    ----------
    shape : one mark over a period, its ground 0 and its middle 1, shape (samples,)

    Returns
    -------
    float : share, 0 to 1
    """
    half = shape[len(shape) // 2 :]
    below = int(np.argmax(half < 0.5))
    at = below - 1 + (half[below - 1] - 0.5) / max(float(half[below - 1] - half[below]), 1e-9)
    return float(2 * at / (len(shape) - 1))


def has_equal_gaps(scale: Scale, marks: Marks, pitch: PitchCheck) -> bool:
    """Whether marks and gaps are equally wide and no mark is longer: blocks of which each may be one pitch long."""
    if pitch.longer_every or abs(covered_share(scale.shape) - 0.5) > AS_WIDE:
        return False
    return longer_order(scale, marks) is None


def has_blank_ground(
    picture: Pyramid, scale: Scale, marks: Marks, columns: NDArray[np.int64], side: int, end: float
) -> bool:
    """Whether just beyond the ends on one side the ground goes on as it is between the lines."""
    lines = side * (end + np.linspace(*BEYOND, LINES_NEAR) * scale.period / scale.half_width)
    near = measure_marks(picture, scale, marks.numbers[columns], lines, SAMPLES)
    if not near.inside.mean() > LEAST_KNOWN:
        return False
    window = np.linspace(-0.5, 0.5, marks.values.shape[-1])
    between = marks.values[marks.inner_lines][:, columns][..., np.abs(window) > THINNEST_GROUND].mean(axis=(0, 2))
    unlike = np.abs(near.values.mean(axis=-1) - between) / scale.contrast
    mean = np.median(near.values - near.values.mean(axis=-1, keepdims=True), axis=1)
    swing = np.ptp(mean, axis=-1) / scale.contrast
    return bool(np.quantile(unlike, LEAST_CLEAR_CUT, axis=1).max() < MOST_UNLIKE and swing.max() < MOST_UNLIKE)


def has_numerals(picture: Pyramid, scale: Scale) -> bool:
    """Whether something stands beyond the marks' ends at every fifth or tenth (or the like), and nothing between."""
    numbers = np.arange(scale.first, scale.last + 1)
    reach = REACH_PERIODS * scale.period / scale.half_width
    for side in (-1, 1):
        lines = side * np.linspace(1.3, 1.3 + reach, LINES_BEYOND)
        seen = measure_marks(picture, scale, numbers, lines, SAMPLES)
        flat = seen.values - seen.values.mean(axis=-1, keepdims=True)
        swing = np.where(seen.inside, flat.std(axis=-1), 0.0)
        strongest = np.sort(swing, axis=0)[-LINES_BEYOND // 4 :].mean(axis=0) / scale.contrast
        if any(is_clear_cut(numbers, strongest, every) for every in NUMERAL_EVERY):
            return True
    return False


def is_clear_cut(numbers: NDArray[np.int64], swing: Floats, every: int) -> bool:
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
