"""The f-numbers that an aperture ring really has.

Nominal numbers as engraved stand for exact powers of two: a full stop is a factor of sqrt(2). Source: ISO 517,
*Photography - Apertures and related properties pertaining to photographic lenses* (from memory).
"""

from collections.abc import Sequence
from math import log2

from msgspec import Struct

_FULL = "0.5 0.7 1 1.4 2 2.8 4 5.6 8 11 16 22 32 45 64 90 128 180 256"
_HALF = (
    "0.5 0.6 0.7 0.8 1 1.2 1.4 1.7 2 2.4 2.8 3.3 4 4.8 5.6 6.7 8 9.5 11 13 16 19 22 27 32 38 45 54 64 76 90 107 128 152 180 "
    "215 256"
)
_THIRD = (
    "0.5 0.56 0.6 0.7 0.8 0.9 1 1.1 1.2 1.4 1.6 1.8 2 2.2 2.5 2.8 3.2 3.5 4 4.5 5 5.6 6.3 7.1 8 9 10 11 13 14 16 18 20 22 25 "
    "29 32 36 40 45 51 57 64 72 81 90 102 114 128 144 161 180 203 228 256"
)
_SERIES = {"full": (1, _FULL), "half": (2, _HALF), "third": (3, _THIRD)}
SERIES = tuple(_SERIES)
USUAL_SERIES = "third"
"""Steps of a ring of which nothing else is known."""

GREATEST_MARK = 256.0
TIE_STOPS = 1e-9
"""Marks whose distances differ by no more than this, which is rounding, are equally near."""


class Mark(Struct, frozen=True):
    """One mark of the ring: the number engraved, and the exact one that it stands for."""

    nominal: float
    exact: float


def marks_of_ring(series: str, least: float, greatest: float) -> tuple[Mark, ...]:
    """Marks of a ring in full, half or third stops whose engraved numbers lie from `least` to `greatest`.

    Parameters
    ----------
    least, greatest : float, f-number

    Returns
    -------
    marks, in ascending order
    """
    steps, engraved = _SERIES[series]
    marks = (Mark(float(text), 0.5 * 2 ** (index / (2 * steps))) for index, text in enumerate(engraved.split()))
    return tuple(mark for mark in marks if least <= mark.nominal <= greatest)


def list_marks(f_numbers: Sequence[float]) -> tuple[Mark, ...]:
    """Marks of a ring given as a list, taken as exact, in ascending order.

    Parameters
    ----------
    f_numbers : floats, as engraved

    Returns
    -------
    marks, in ascending order
    """
    return tuple(Mark(number, number) for number in sorted(set(f_numbers)))


def nearest_mark(marks: tuple[Mark, ...], f_number: float) -> Mark:
    """Mark nearest to an f-number, counted in stops.

    Parameters
    ----------
    f_number : float, marked f-number

    Returns
    -------
    Mark
    """
    return min(marks, key=lambda mark: max(mark.exact / f_number, f_number / mark.exact))


def stop_down(widest: float, stops: float, marks: Sequence[Mark] = ()) -> Mark:
    """Mark nearest to so many stops down from the widest one; of two equally near the smaller aperture.

    `marks` are those of the lens's own ring, in ascending order; without them the ring is taken to have the usual series
    from `widest` on. Stops are counted from the exact number that the widest mark stands for: f/1.8 is 1.78, so that two
    stops down is 3.56, engraved 3.5 in third stops, and not 3.6, which no ring has.

    Parameters
    ----------
    widest : float, f-number of the widest mark
    stops : float, from the widest mark

    Returns
    -------
    Mark
    """
    ring_marks = tuple(marks) or marks_of_ring(USUAL_SERIES, widest, GREATEST_MARK) or list_marks([widest])
    start = next((mark.exact for mark in ring_marks if mark.nominal == widest), widest)
    wanted = 2 * log2(start) + stops
    least = min(abs(2 * log2(mark.exact) - wanted) for mark in ring_marks)
    return max(
        (mark for mark in ring_marks if abs(2 * log2(mark.exact) - wanted) <= least + TIE_STOPS),
        key=lambda mark: mark.exact,
    )
