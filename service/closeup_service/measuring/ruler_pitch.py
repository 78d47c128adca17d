"""Which marks are longer, and whether that fits the pitch that was asked."""

from math import isclose, log2, log10

import numpy as np
from numpy.typing import NDArray

from closeup_service.measuring.ruler_gaps import clear_on
from closeup_service.measuring.ruler_marks import Marks, Scale
from closeup_service.measuring.ruler_records import PitchCheck

DIVISORS = (2, 4, 5, 8, 10, 16, 20)
DIVISORS_OF_FEW = (2, 5, 10)
MANY = 12
"""From so many marks on, a longer one must be seen twice before its spacing is believed."""
LONGER = 0.7
SHORTER = 0.25
OTHER_PITCHES = (0.5, 2.0, 0.2, 5.0, 0.1, 10.0)
INCH_MM = 25.4


def pitch_check(marks: Marks, scale: Scale, pitch_mm: float) -> PitchCheck:
    """Compare the order of longer marks with that of a decimal (or binary inch) scale of the pitch."""
    every = longer_every(marks, scale)
    if not every:
        return PitchCheck((), None, None)
    if fits(every, pitch_mm):
        return PitchCheck(every, True if every[0] < 8 or scale.last - scale.first + 1 < MANY else None, None)
    other = next((pitch_mm * factor for factor in OTHER_PITCHES if fits(every, pitch_mm * factor)), None)
    return PitchCheck(every, False, other)


def longer_every(marks: Marks, scale: Scale) -> tuple[int, ...]:
    """After how many marks a longer one comes, by two lines beyond the short marks' ends, or three where marks are few."""
    run = clear_on(marks, scale)
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


def fits(every: tuple[int, ...], pitch_mm: float) -> bool:
    """Whether marks at these multiples of the pitch are those that a scale makes longer: 1 or 5 times a power of ten."""
    halvings = log2(INCH_MM / pitch_mm)
    if isclose(halvings, round(halvings), abs_tol=1e-3) and all(divisor in {2, 4, 8, 16} for divisor in every):
        return True
    return all(decimal(divisor * pitch_mm) for divisor in every)


def decimal(length_mm: float) -> bool:
    """Whether a length is 1 or 5 times a power of ten."""
    rest = log10(length_mm) % 1
    return any(isclose(rest, wanted, abs_tol=1e-6) for wanted in (0.0, 1.0, log10(5)))
