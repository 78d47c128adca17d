"""Shutter times and film speeds as they are engraved and shown, in thirds of a stop.

Nominal numbers stand for exact powers of two: 1/60 s for 1/64 s, ISO 320 for 317. Sources: ISO 2720 and ISO 2721
(exposure meters and automatic exposure), ISO 12232 (speeds), all from memory.
"""

from math import exp2, sqrt
from operator import attrgetter

from closeup_service.optics.aperture_series import Mark, marks_of_ring, nearest_mark

STEPS = 3
"""Marks to a stop."""

_TIMES = (
    "1/32000 1/25600 1/20000 1/16000 1/12800 1/10000 1/8000 1/6400 1/5000 1/4000 1/3200 1/2500 1/2000 1/1600 1/1250 "
    "1/1000 1/800 1/640 1/500 1/400 1/320 1/250 1/200 1/160 1/125 1/100 1/80 1/60 1/50 1/40 1/30 1/25 1/20 1/15 1/13 "
    "1/10 1/8 1/6 1/5 1/4 0.3 0.4 0.5 0.6 0.8 1 1.3 1.6 2 2.5 3.2 4 5 6 8 10 13 15 20 25 30"
)
_SPEEDS = (
    "6 8 10 12 16 20 25 32 40 50 64 80 100 125 160 200 250 320 400 500 640 800 1000 1250 1600 2000 2500 3200 4000 "
    "5000 6400 8000 10000 12800 16000 20000 25600 32000 40000 51200 64000 80000 102400 128000 160000 204800 256000 "
    "320000 409600"
)


def _number(text: str) -> float:
    above, _, below = text.partition("/")
    return float(above) / float(below or 1)


def _marks(texts: str, anchor: str, exact: float) -> dict[Mark, str]:
    """Marks in thirds of a stop, the anchor standing for `exact`; and how each is written."""
    listed = texts.split()
    zero = listed.index(anchor)
    return {Mark(_number(text), exact * exp2((place - zero) / STEPS)): text for place, text in enumerate(listed)}


_TIME_MARKS = _marks(_TIMES, "1", 1.0)
_SPEED_MARKS = _marks(_SPEEDS, "100", 100.0)
_F_NUMBER_MARKS = {mark: f"f/{mark.nominal:g}" for mark in marks_of_ring("third", 0.5, 256.0)}

MARKS = {"exposure_time_s": _TIME_MARKS, "iso": _SPEED_MARKS, "f_number": _F_NUMBER_MARKS}
"""Marks of each setting that has a series, and how each is written."""

WITHIN = 2 ** (0.5 / STEPS)
"""Half a step: a value further from the last mark has none. A step of the f-number is the root of one of the light."""
ROUNDING = 1e-9
"""So little beyond a mark is the mark itself."""


def nominal_mark(setting: str, value: float) -> tuple[Mark, str] | None:
    """Nearest mark of a setting and how it is written; None where it has no series, or the value lies beyond its ends.

    Parameters
    ----------
    value : float, exact value of the setting

    Returns
    -------
    tuple[Mark, str] or None, the mark, and how it is written
    """
    marks = MARKS.get(setting)
    if marks is None:
        return None
    mark = nearest_mark(tuple(marks), value)
    reach = sqrt(WITHIN) if setting == "f_number" else WITHIN
    return (mark, marks[mark]) if value / reach <= mark.exact <= value * reach else None


def next_nominal_mark(setting: str, value: float, rising: bool) -> Mark | None:
    """First mark that is not below a value, rising, or not above it, falling; None where the series has none.

    Parameters
    ----------
    value : float, exact value of the setting

    Returns
    -------
    Mark or None
    """
    marks = MARKS.get(setting, {})
    if rising:
        return min(
            (mark for mark in marks if mark.exact >= value * (1 - ROUNDING)), key=attrgetter("exact"), default=None
        )
    return max((mark for mark in marks if mark.exact <= value * (1 + ROUNDING)), key=attrgetter("exact"), default=None)
