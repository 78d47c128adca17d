"""Which marks are longer, and whether that fits the pitch that was asked."""

from math import isclose, log2, log10

import numpy as np
from numpy.typing import NDArray

from closeup_service.measuring.ruler.gaps import clear_marks
from closeup_service.measuring.ruler.lengths import longer_order
from closeup_service.measuring.ruler.marks import Marks, Scale
from closeup_service.measuring.ruler.records import PitchCheck

DIVISORS = (2, 4, 5, 8, 10, 16, 20)
DIVISORS_OF_FEW = (2, 5, 10)
MANY = 12
"""From so many marks on, a longer one must be seen twice before its spacing is believed."""
LONGER = 0.7
SHORTER = 0.25
OTHER_PITCHES = (0.5, 2.0, 0.2, 5.0, 0.1, 10.0)
INCH_MM = 25.4
METRIC = tuple(figure * 10.0**power for power in range(-3, 3) for figure in (1, 2, 5))
INCHES = tuple(INCH_MM / 2**halvings for halvings in range(8))
"""Pitches in use, of which the nearest that the longer marks fit is suggested."""
MOST_OFF = 10.0
OFTEN = 3
"""A divisor that comes so many times over the marks seen is no chance."""


def pitch_check(marks: Marks, scale: Scale, pitch_mm: float) -> PitchCheck:
    """Compare the order of longer marks with that of a decimal (or binary inch) scale of the pitch.

    Parameters
    ----------
    marks, scale : as measured
    pitch_mm : distance between neighbouring marks as given [mm]

    Returns
    -------
    PitchCheck : order of the longer marks, and the pitch that they suggest [mm]
    """
    every = longer_every(marks, scale)
    if not every:
        return PitchCheck((), None, None)
    if fits_pitch(every, pitch_mm):
        return PitchCheck(every, True if every[0] < 8 or scale.last - scale.first + 1 < MANY else None, None)
    return PitchCheck(every, False, suggest_pitch(every, pitch_mm))


def suggest_pitch(every: tuple[int, ...], pitch_mm: float) -> float | None:
    """Pitch that these longer marks fit: a round multiple of the one asked, else the nearest in use.

    Parameters
    ----------
    every : after how many marks longer ones come
    pitch_mm : distance between neighbouring marks as given [mm]

    Returns
    -------
    float or None : pitch [mm]
    """
    round_ones = [pitch_mm * factor for factor in OTHER_PITCHES]
    sixteenths = [INCH_MM / 16] if max(every) in {8, 16} else []
    in_use = sorted(METRIC + INCHES, key=lambda one: abs(log10(one / pitch_mm)))
    near = [one for one in in_use if MOST_OFF > one / pitch_mm > 1 / MOST_OFF]
    return next((one for one in [*round_ones, *sixteenths, *near] if fits_pitch(every, one)), None)


def is_contradicted(pitch: PitchCheck, marks: Marks, scale: Scale, pitch_mm: float) -> bool:
    """Whether longer marks that come too often for chance speak against a pitch."""
    count = int(marks.found_marks(scale).sum())
    if count >= MANY:
        return any(count >= OFTEN * every and not fits_pitch((every,), pitch_mm) for every in pitch.longer_every)
    ends = longer_order(scale, marks)
    return ends is not None and ends.seen >= OFTEN and not fits_pitch((ends.every,), pitch_mm)


def longer_every(marks: Marks, scale: Scale) -> tuple[int, ...]:
    """After how many marks a longer one comes, by two lines beyond the short marks' ends, or three where marks are few."""
    run = clear_marks(marks, scale)
    numbers = marks.numbers[run]
    votes: dict[int, int] = {}
    for j in np.nonzero(np.abs(marks.lines) > 1.1)[0]:
        divisor = spacing(numbers, marks.seen[j, run] & (marks.fit[j, run] > 0.6), marks.inside[j, run])
        if divisor:
            votes[divisor] = votes.get(divisor, 0) + 1
    needed = 2 if len(numbers) >= MANY else 3
    return tuple(sorted(divisor for divisor, count in votes.items() if count >= needed))


def spacing(numbers: NDArray[np.int64], seen: NDArray[np.bool_], inside: NDArray[np.bool_]) -> int | None:
    """Return the divisor of which one class of remainders is seen on a line and the others are not."""
    for divisor in DIVISORS if len(numbers) >= MANY else DIVISORS_OF_FEW:
        remainder = numbers % divisor
        total = np.bincount(remainder, inside, divisor)
        share = np.bincount(remainder, seen & inside, divisor) / np.maximum(total, 1)
        best = int(np.argmax(share))
        others = np.delete(share, best)
        enough = 2 if len(numbers) >= MANY else 1
        if (
            total[best] >= enough
            and (total.min() >= 1 or divisor == 10)
            and share[best] > LONGER
            and others.max() < max(SHORTER, 1 / total.max() + 1e-9)
        ):
            return divisor
    return None


def fits_pitch(every: tuple[int, ...], pitch_mm: float) -> bool:
    """Whether a scale makes marks at these multiples longer: 1 or 5 times a power of ten, in mm or inches, or halves."""
    halvings = log2(INCH_MM / pitch_mm)
    if isclose(halvings, round(halvings), abs_tol=1e-3) and all(divisor in {2, 4, 8, 16} for divisor in every):
        return pitch_mm >= INCH_MM or max(every) * pitch_mm < 1.001 * INCH_MM
    return any(all(is_decimal(divisor * pitch_mm / unit) for divisor in every) for unit in (1.0, INCH_MM))


def is_decimal(length_mm: float) -> bool:
    """Whether a length is 1 or 5 times a power of ten."""
    rest = log10(length_mm) % 1
    return any(isclose(rest, wanted, abs_tol=1e-6) for wanted in (0.0, 1.0, log10(5)))
