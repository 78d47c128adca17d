"""What is known of the ruler's tilt along itself, and what it leaves uncertain of the scale.

A ruler tilted by t is seen shorter by cos t. The tilt is measured where the distance of the perspective centre is known, or
where ruler and marks are seen so far off square that the picture alone tells it. Otherwise it is taken to lie anywhere up to
a largest tilt, either way, each alike (rectangular, JCGM 100, 4.3.7).
"""

from math import asin, atan, cos, degrees, radians, sin, sqrt

import numpy as np

from closeup_service.measuring.ruler.records import Measured, Tilt
from closeup_service.measuring.ruler.view import ACROSS, ALONG, SKEW, View
from closeup_service.measuring.scale_reading import COVERAGE_FACTOR

ASSUMED_LARGEST_TILT_DEG = 5.0
"""Of a ruler that was laid square by eye (common practice, no source)."""

STEEPEST_DEG = 85.0
COVERAGE = 0.95
CELLS = 1601
REACH = 4.0
"""A measured tilt is followed to so many standard uncertainties."""
SURE = 2.0
"""Standard uncertainties by which the picture must speak against a largest tilt."""
MOST_UNSURE = 0.25
"""Relative standard uncertainty of its tangent up to which the picture alone tells a tilt."""
LEAST_SPREAD_DEG = 1e-6
WIDER = 2.0
"""The tilt along the ruler may be so many times the least that marks off square show."""


def tilt_of(view: View, half_keystone: Measured, distance_mm: float | None, largest_deg: float | None) -> Tilt:
    """Tilt by what is seen (half the keystone per mm), with the distance and the largest tilt where they are given.

    Parameters
    ----------
    view : what is seen in the middle
    half_keystone : half the relative change of scale along the ruler [1/mm]
    distance_mm : from the entrance pupil to the subject plane [mm], where it is known
    largest_deg : greatest tilt that is possible [deg], where it is known

    Returns
    -------
    Tilt : measured or possible tilt [deg], and its effect on the scale
    """
    bound, least = largest_deg if largest_deg is not None else ASSUMED_LARGEST_TILT_DEG, least_deg(view)
    measured = tilt_from_distance(half_keystone, distance_mm)
    if measured is None and least > bound:
        measured = tilt_from_skew(view)
    if measured is None:
        possible = min(WIDER * least, STEEPEST_DEG) if least > bound else bound
        return Tilt(None, spread(None, possible)[1], possible, least, largest_deg is not None and least > bound)
    beyond = abs(measured.value) - SURE * measured.uncertainty > bound
    if beyond or (largest_deg is None and measured.uncertainty < bound / sqrt(3)):
        return Tilt(measured, spread(measured, None)[1], None, least, largest_deg is not None and beyond)
    narrowed, shortening = spread(measured, bound)
    return Tilt(narrowed, shortening, bound, least, contradicted=False)


def tilt_from_distance(half_keystone: Measured, distance_mm: float | None) -> Measured | None:
    """Tilt [deg]: sin t = half the keystone x distance, from the entrance pupil to the subject plane; None where unknown."""
    if distance_mm is None or abs(half_keystone.value) * distance_mm >= 1:
        return None
    tilt = asin(half_keystone.value * distance_mm)
    return Measured(degrees(tilt), degrees(half_keystone.uncertainty * distance_mm / cos(tilt)))


def tilt_from_skew(view: View) -> Measured | None:
    """Tilt [deg] without any distance: tan^2 t = skew x perspective along the ruler / perspective along the marks.

    Both tangents go as the perspective along their line, by the same unknown factor, and the skew is their product. None where
    the three do not agree in sign, or leave the tangent unsure.
    """
    square = view.skew * view.along / view.across if view.across else 0.0
    if square <= 0:
        return None
    by = np.array([1 / view.along, -1 / view.across, 1 / view.skew])
    kept = [ALONG, ACROSS, SKEW]
    unsure = 0.5 * sqrt(max(float(by @ view.covariance[np.ix_(kept, kept)] @ by), 0.0))
    tilt = atan(sqrt(square))
    if unsure > MOST_UNSURE:
        return None
    return Measured(degrees(tilt) * (1 if view.along > 0 else -1), degrees(sin(tilt) * cos(tilt) * unsure))


def least_deg(view: View) -> float:
    """Tilt [deg] that is exceeded along the ruler or along the marks: the product of their tangents is the skew."""
    sure = abs(view.skew) - SURE * sqrt(max(float(view.covariance[SKEW, SKEW]), 0.0))
    return degrees(atan(sqrt(sure))) if sure > 0 else 0.0


def spread(measured: Measured | None, largest_deg: float | None) -> tuple[Measured, float]:
    """Mean tilt [deg] with its uncertainty, and the relative uncertainty of 1 / cos t about its value there.

    The tilt is spread as it was measured (normal), or evenly up to the largest, or both at once. About none the change of
    1 / cos t is of second order and always shortens the ruler: neither linear nor normal (JCGM 100, note to 5.1.2, and G.6.5).
    So the uncertainty is that of which 1.96 hold 95 % of the changes.
    """
    if largest_deg is not None:
        tilts = largest_deg * np.linspace(-1, 1, CELLS)
    else:
        assert measured is not None
        tilts = measured.value + REACH * measured.uncertainty * np.linspace(-1, 1, CELLS)
        tilts = tilts[np.abs(tilts) < STEEPEST_DEG]
    weight = np.ones(len(tilts))
    if measured is not None:
        away = ((tilts - measured.value) / max(measured.uncertainty, LEAST_SPREAD_DEG)) ** 2
        weight = np.exp(-0.5 * (away - away.min()))
    mean = float(np.average(tilts, weights=weight))
    wide = sqrt(float(np.average((tilts - mean) ** 2, weights=weight)))
    off = np.abs(cos(radians(mean)) / np.cos(np.radians(tilts)) - 1)
    order = np.argsort(off)
    held = np.interp(COVERAGE, np.cumsum(weight[order]) / weight.sum(), off[order])
    return Measured(mean, wide), float(held) / COVERAGE_FACTOR
