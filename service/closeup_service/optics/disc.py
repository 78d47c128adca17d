"""An evenly bright luminous disc, and how its light falls on its axis: as 1 / (D^2 + r^2).

D is the distance and r the radius [mm]; r = 0 is the inverse square. Source: J. W. T. Walsh, *Photometry* (from memory).
In operators only, or by an `Arithmetic`.
"""

from __future__ import annotations

from closeup_service.optics.arithmetic import Arithmetic, R


def radius_of(diameter: R) -> R:
    """Radius of a disc, in the unit of its diameter."""
    return diameter / 2


def fall_off(distance: R, radius: R) -> R:
    """D^2 + r^2 [mm^2], by which the light is divided.

    Parameters
    ----------
    distance : float or array, to the subject, mm
    radius : float or array, of the source, mm

    Returns
    -------
    float or array, mm^2
    """
    return distance * distance + radius * radius


def distance_of(fall_off_: R, radius: R, arithmetic: Arithmetic[R]) -> R:
    """Distance D [mm] at which D^2 + r^2 is this; 0 where there is none, since r^2 alone is as much.

    Parameters
    ----------
    fall_off_ : float or array, D^2 + r^2, mm^2
    radius : float or array, of the source, mm

    Returns
    -------
    float or array, mm
    """
    square = fall_off_ - radius * radius
    return arithmetic.sqrt(arithmetic.where(square > 0, square, 0.0))
