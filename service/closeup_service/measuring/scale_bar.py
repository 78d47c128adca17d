"""A scale bar for the finished picture: which length it stands for, and how long it is in pixels and in print.

Lengths on the subject in um, on sensor and print in mm, scales in pixels of the picture per mm of the subject.
"""

from math import floor, log10

from closeup_service.advice.figures import decimal
from closeup_service.optics.errors import OpticsError

STEPS = (5, 2, 1)
NEARLY = 1 + 1e-9
"""A length that exceeds its limit by rounding alone still counts as within it."""

UNITS = {"m": 1e6, "cm": 1e4, "mm": 1e3, "µm": 1.0}
"""Micrometres in each unit, which is used from one of it on, the smallest for all below."""


class BeyondThePupil(OpticsError):
    """A subject that reaches the entrance pupil."""

    code = "beyond-the-pupil"


def finished_scale(scale: float, kept_px: float, finished_px: float) -> float:
    """Scale of the finished picture [px/mm] = s n' / n: n pixels of the width were kept, resizing made n' of them.

    Parameters
    ----------
    scale : of the picture before [px/mm]
    kept_px : width that was kept of it [px]
    finished_px : width of the finished picture [px]

    Returns
    -------
    float : scale of the finished picture [px/mm]
    """
    return scale * finished_px / kept_px


def round_length(most: float) -> float:
    """Longest length of the series 1, 2, 5, 10, ... that is no longer than `most`, in its unit; common practice, no source.

    Parameters
    ----------
    most : greatest length, above 0, in any unit

    Returns
    -------
    float : length in the same unit
    """
    decade = floor(log10(most))
    candidates = (float(f"{step}e{power}") for power in (decade + 1, decade, decade - 1) for step in STEPS)
    return next(length for length in candidates if length <= most * NEARLY)


def length_text(length_um: float) -> str:
    """Length with the unit that people would choose: um, mm, from 10 mm on cm, from 1 m on m."""
    unit = next((unit for unit, size_um in UNITS.items() if length_um >= size_um), "µm")
    return f"{decimal(length_um / UNITS[unit], 6)} {unit}"


def depth_change(perspective_distance_mm: float, depth_mm: float) -> float:
    """Scale of a plane x nearer to the entrance pupil over that of the plane at z, less 1: z / (z - x) - 1 = x / (z - x).

    Central projection from the entrance pupil.

    Parameters
    ----------
    perspective_distance_mm : from the entrance pupil to the plane [mm]
    depth_mm : how much nearer the other plane lies [mm]

    Returns
    -------
    float : relative change of scale

    Raises
    ------
    BeyondThePupil : where the depth reaches the entrance pupil
    """
    if depth_mm >= perspective_distance_mm:
        raise BeyondThePupil(
            "A subject this deep would reach the entrance pupil: perspective_distance_mm must exceed subject_depth_mm.",
            "/subject_depth_mm",
            "/perspective_distance_mm",
        )
    return depth_mm / (perspective_distance_mm - depth_mm)
