"""Magnification read from a frame of a ruler, and how uncertain it is.

Lengths in mm, angles in degrees, magnification as sensor over subject. Uncertainties are standard uncertainties; those without
a unit are relative. Source of the propagation: JCGM 100:2008 (GUM), by the clauses named at each formula, from memory.
"""

from collections.abc import Iterable, Mapping
from math import pi, radians, sqrt, tan

from closeup_service.optics import formulas
from closeup_service.optics.arithmetic import USUAL, Arithmetic, R, absolute
from closeup_service.optics.motion import UM_PER_MM

COVERAGE_FACTOR = 1.96
"""Standard uncertainties on either side that hold 95 % of a normal distribution (JCGM 100, table G.1)."""

SAME_PIXEL = 0.02
"""Relative difference up to which the nominal width of a sensor over its pixels agrees with their pitch."""


def ruler_length(first_mark_mm: R, last_mark_mm: R) -> R:
    """Length on the ruler between two marks [mm].

    Parameters
    ----------
    first_mark_mm, last_mark_mm : as read [mm]
    """
    return absolute(last_mark_mm - first_mark_mm)


def distance_between(x_px: R, y_px: R, other_x_px: R, other_y_px: R) -> R:
    """Distance of two places in the picture [px].

    Parameters
    ----------
    x_px, y_px, other_x_px, other_y_px : the places [px]
    """
    return formulas.diagonal(other_x_px - x_px, other_y_px - y_px)


def length_of_pixels(pixels: R, pixel_mm: R) -> R:
    """Length on the sensor of so many pixels [mm].

    Parameters
    ----------
    pixels : of the picture [px]
    pixel_mm : size of one on the sensor [mm]
    """
    return pixels * pixel_mm


def pixel_by_width(used_width_mm: R, width_px: R) -> R:
    """Size on the sensor of one pixel of the picture [mm].

    Parameters
    ----------
    used_width_mm : width of the sensor that the picture shows [mm]
    width_px : width of the picture [px]
    """
    return used_width_mm / width_px


def pixel_by_pitch(pitch_um: R) -> R:
    """Size on the sensor of one pixel of a picture in full resolution [mm].

    Parameters
    ----------
    pitch_um : pixel pitch of the sensor [um]
    """
    return pitch_um / UM_PER_MM


def picture_scale(magnification_: R, pixel_mm: R) -> R:
    """Pixels of the picture for one mm of the subject [px/mm].

    Parameters
    ----------
    magnification_ : sensor over subject
    pixel_mm : size on the sensor of one pixel of the picture [mm]
    """
    return magnification_ / pixel_mm


def standard_uncertainty(value: R, relative: R) -> R:
    """Standard uncertainty of a value, in its unit.

    Parameters
    ----------
    value : in any unit
    relative : its relative standard uncertainty
    """
    return value * relative


def magnification(image_mm: R, ruler_mm: R, tilt_deg: R, arithmetic: Arithmetic[R] = USUAL) -> R:
    """Magnification m = d / (L cos t): d [mm] on the sensor, L [mm] on the ruler, t [deg] its tilt against the sensor.

    The tilt is that of the ruler's length against the sensor's plane; a tilted length shows itself foreshortened by cos t
    (parallel projection: the two marks at equal distances from the axis, or the tilt small).

    Parameters
    ----------
    image_mm : length on the sensor [mm]
    ruler_mm : length on the ruler [mm]
    tilt_deg : tilt of the ruler's length against the sensor [deg]

    Returns
    -------
    float : sensor over subject
    """
    return formulas.magnification_by_framing(image_mm, foreshortened_length(ruler_mm, tilt_deg, arithmetic))


def foreshortened_length(length_mm: R, tilt_deg: R, arithmetic: Arithmetic[R] = USUAL) -> R:
    """Length [mm] that a tilted one shows across the axis = L cos t.

    Parameters
    ----------
    length_mm : length on the ruler [mm]
    tilt_deg : its tilt against the sensor [deg]

    Returns
    -------
    float : length across the axis [mm]
    """
    return length_mm * arithmetic.cos(tilt_deg * pi / 180)


def two_mark_uncertainty(error: float, distance: float) -> float:
    """Relative uncertainty of a distance between two marks, each read with the same error, in the distance's unit.

    sqrt(2) s / L: the marks are read independently, and a difference has the root of the sum of squares (JCGM 100, 5.1.2).

    Parameters
    ----------
    error : standard uncertainty of each mark, in the unit of the distance
    distance : between the marks

    Returns
    -------
    float : relative standard uncertainty
    """
    return sqrt(2) * error / distance


def division_uncertainty(division: float) -> float:
    """Standard uncertainty of a reading to the nearest division = (division / 2) / sqrt(3).

    Rectangular distribution of half-width half a division (JCGM 100, 4.3.7).

    Parameters
    ----------
    division : smallest division, in any unit

    Returns
    -------
    float : standard uncertainty in the same unit
    """
    return division / 2 / sqrt(3)


def tilt_uncertainty(tilt_deg: float, error_deg: float) -> float:
    """Relative uncertainty of 1 / cos t of a tilt t known to a normal error s (both in degrees here, radians below).

    With g = tan t d + sec^2 t d^2 / 2 + sec^2 t tan t d^3 / 3, the series of -ln cos (t + d) + ln cos t, the root mean square
    to the fourth order is sqrt(tan^2 t s^2 + (3/4 sec^4 t + 2 sec^2 t tan^2 t) s^4). The first term is JCGM 100, 5.1.2; the
    others are needed (note to 5.1.2) since the first vanishes for a ruler meant to lie square. A tilt only ever shortens: its
    mean, sec^2 t s^2 / 2, is not taken off but counted in (as in JCGM 100, F.2.4.5).

    Parameters
    ----------
    tilt_deg : tilt [deg]
    error_deg : its standard uncertainty [deg]

    Returns
    -------
    float : relative standard uncertainty
    """
    t, s = radians(tilt_deg), radians(error_deg)
    square_tan, square = tan(t) * tan(t), s * s
    square_sec = 1 + square_tan
    return sqrt(square_tan * square + square_sec * (0.75 * square_sec + 2 * square_tan) * square * square)


def combined_uncertainty(parts: Iterable[R]) -> R:
    """Combined relative uncertainty = root of the sum of squares: m is a product of powers of 1 and -1 (JCGM 100, 5.1.6).

    Parameters
    ----------
    parts : relative standard uncertainties

    Returns
    -------
    float : relative standard uncertainty
    """
    root: R = sum(part * part for part in parts) ** 0.5
    return root


def shares(parts: Mapping[str, float]) -> dict[str, float]:
    """Share of each part in the combined variance; 0 for all where there is no uncertainty."""
    combined = combined_uncertainty(parts.values())
    return {name: (part / combined) * (part / combined) if combined else 0.0 for name, part in parts.items()}


def interval(value: float, relative: float) -> tuple[float | None, float]:
    """Interval that holds the value with 95 % coverage = value (1 -+ 1.96 u) (JCGM 100, 6.2); low end None unless above 0.

    Parameters
    ----------
    value : in any unit
    relative : its relative standard uncertainty

    Returns
    -------
    tuple : low end, or None, and high end, in the unit of the value
    """
    low, high = interval_ends(value, relative)
    return (low if low > 0 else None), high


def interval_ends(value: R, relative: R) -> tuple[R, R]:
    """Both ends of the interval, also where the low one is not above 0.

    Parameters
    ----------
    value : in any unit
    relative : its relative standard uncertainty

    Returns
    -------
    tuple : low and high end, in the unit of the value
    """
    reach = COVERAGE_FACTOR * relative
    return value * (1 - reach), value * (1 + reach)


def picture_pixel(pitch_mm: float | None, used_width_mm: float | None, width_px: float | None) -> float | None:
    """Size on the sensor of one pixel of the picture [mm]; None where nothing determines it.

    The sensor's used width over the picture's pixels holds for a picture of any size; the pitch for one in full resolution. Of
    two that agree the pitch is taken, since a nominal width is rounded.

    Parameters
    ----------
    pitch_mm : pixel pitch of the sensor [mm]
    used_width_mm : width of the sensor that the picture shows [mm]
    width_px : width of the picture [px]

    Returns
    -------
    float or None : [mm]
    """
    if used_width_mm is None or width_px is None:
        return pitch_mm
    by_width = pixel_by_width(used_width_mm, width_px)
    if pitch_mm is not None and abs(by_width / pitch_mm - 1) <= SAME_PIXEL:
        return pitch_mm
    return by_width
