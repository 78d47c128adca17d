"""A scale bar for the finished picture: which length it stands for, and how long it is in pixels and in print.

Lengths on the subject in um, on sensor and print in mm, scales in pixels of the picture per mm of the subject.
"""

from math import floor, log10

from closeup_service.advice.figures import decimal
from closeup_service.language import mark
from closeup_service.optics.arithmetic import USUAL, Arithmetic, R
from closeup_service.optics.errors import OpticsError
from closeup_service.optics.motion import UM_PER_MM

STEPS = (5, 2, 1)
NEARLY = 1 + 1e-9
"""A length that exceeds its limit by rounding alone still counts as within it."""

UNITS = {"m": 1e6, "cm": 1e4, "mm": 1e3, "µm": 1.0}
"""Micrometres in each unit, which is used from one of it on, the smallest for all below."""


class BeyondThePupil(OpticsError):
    """A subject that reaches the entrance pupil."""

    code = "beyond-the-pupil"


def scale_by_width(width_px: R, subject_width_mm: R) -> R:
    """Scale of a picture [px/mm] by the width that it shows.

    Parameters
    ----------
    width_px : width of the picture [px]
    subject_width_mm : width of the subject that it shows [mm]
    """
    return width_px / subject_width_mm


def shown_width(width_px: R, scale: R) -> R:
    """Width of the subject that a picture shows [mm].

    Parameters
    ----------
    width_px : width of the picture [px]
    scale : of the picture [px/mm]
    """
    return width_px / scale


def drawn_length(length_um: R, scale: R) -> R:
    """Length of the bar as it is drawn, in pixels of the picture or in mm of the print.

    Parameters
    ----------
    length_um : that the bar stands for [um]
    scale : pixels, or mm of the print, for one mm of the subject
    """
    return length_um / UM_PER_MM * scale


def width_share(length_px: R, width_px: R) -> R:
    """Share of the picture's width that the bar takes.

    Parameters
    ----------
    length_px : of the bar [px]
    width_px : of the picture [px]
    """
    return length_px / width_px


def print_magnification(print_width_mm: R, scale: R, width_px: R) -> R:
    """Magnification of the print, print over subject.

    Parameters
    ----------
    print_width_mm : width of the print [mm]
    scale : of the picture [px/mm]
    width_px : width of the picture [px]
    """
    return print_width_mm * scale / width_px


def finished_scale(scale: R, kept_px: R, finished_px: R) -> R:
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
    """Length with the unit that people would choose: um, mm, from 10 mm on cm, from 1 m on m.

    Parameters
    ----------
    length_um : length [um]
    """
    unit = next((unit for unit, size_um in UNITS.items() if length_um >= size_um), "µm")
    return f"{decimal(length_um / UNITS[unit], 6)} {unit}"


def depth_change(perspective_distance_mm: R, depth_mm: R, arithmetic: Arithmetic[R] = USUAL) -> R:
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
    arithmetic.refuse(
        depth_mm >= perspective_distance_mm,
        BeyondThePupil,
        mark(
            "A subject this deep would reach the entrance pupil: perspective_distance_mm must exceed subject_depth_mm.",
        ),
        "/subject_depth_mm",
        "/perspective_distance_mm",
    )
    return depth_mm / (perspective_distance_mm - depth_mm)
