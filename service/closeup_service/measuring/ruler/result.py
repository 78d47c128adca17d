"""From a scale proved to what is told of it: scale in the middle, keystone, tilt, distortion, with uncertainties."""

from math import atan2, cos, degrees, hypot, radians, sqrt

import numpy as np

from closeup_service.measuring.ruler.fit import Fit
from closeup_service.measuring.ruler.marks import Marks, Scale
from closeup_service.measuring.ruler.records import Measured, Point, Tilt
from closeup_service.measuring.ruler.view import ALONG, SLOPE, View

LEFT_OUT = 0.5
"""What the one-term distortion leaves out of the scale is about so much of its square.

The polynomial and the division form of the same distortion, fitted in its place, move the scale by 0.4 to 0.6 of it."""

FINEST = 1e-5
"""No scale is believed better than so, relative."""


def ruler_line(scale: Scale) -> tuple[Point, Point]:
    """Ends of the line through the middles of the marks, from the first to the last.

    Returns
    -------
    tuple : two points (x, y) [px]
    """
    numbers, (u_x, u_y) = np.array([scale.first, scale.last]), scale.start.along
    along = scale.distances_of(numbers)
    base_x, base_y = scale.places_abreast(along)
    away = along + scale.model.distance_to_mark(base_x + along * u_x, base_y + along * u_y, scale.start.along, numbers)
    first, last = ((float(base_x[i] + away[i] * u_x), float(base_y[i] + away[i] * u_y)) for i in (0, 1))
    return first, last


def middles(scale: Scale, marks: Marks) -> tuple[Point, ...]:
    """Middle of every mark found, first to last: the mean of what the lines saw.

    Returns
    -------
    tuple : points (x, y) [px]
    """
    use = marks.points_on(scale)
    found = np.nonzero(marks.found_marks(scale))[0]
    return tuple((float(marks.x[use[:, k], k].mean()), float(marks.y[use[:, k], k].mean())) for k in found)


def direction_deg(line: tuple[Point, Point]) -> float:
    """Direction from the horizontal, anticlockwise as seen, over -90 to 90.

    Parameters
    ----------
    line : two points (x, y) [px]

    Returns
    -------
    float : [deg]
    """
    angle = degrees(atan2(-(line[1][1] - line[0][1]), line[1][0] - line[0][0]))
    return angle - 180 if angle > 90 else angle + 180 if angle <= -90 else angle


def middle_scale(view: View, unit: float, pitch_mm: float, marks: int, distortion_percent: float) -> Measured:
    """Pixels per mm in the middle of the picture, along the ruler, with the uncertainty of the reading alone.

    1/scale = slope x pitch / unit. Few marks are believed less, as Student's t asks.

    Parameters
    ----------
    view : what is seen in the middle
    unit : half the diagonal of the picture [px]
    pitch_mm : between neighbouring marks [mm]
    marks : how many were found
    distortion_percent : at the end of the scale [%]

    Returns
    -------
    Measured : [px/mm]
    """
    scale = unit / (view.slope * pitch_mm)
    left_out = LEFT_OUT * (distortion_percent / 100) ** 2
    of_fit = few_marks_factor(marks) * float(view.covariance[SLOPE, SLOPE])
    return Measured(scale, scale * sqrt(of_fit + left_out**2 + FINEST**2))


def few_marks_factor(marks: int) -> float:
    """What a variance grows by, since the scatter of few marks is itself uncertain: 1 + 2 / (marks - 4)."""
    return 1 + 2 / max(marks - 4, 1)


def mean_scale(scale: Scale, line: tuple[Point, Point], pitch_mm: float) -> Measured:
    """Pixels per mm from the first mark to the last; the ends are uncertain by the scatter of a mark each.

    Parameters
    ----------
    scale : with its fit
    line : its ends [px]
    pitch_mm : between neighbouring marks [mm]

    Returns
    -------
    Measured : [px/mm]
    """
    count = scale.last - scale.first
    length = hypot(line[1][0] - line[0][0], line[1][1] - line[0][1])
    value = length / (count * pitch_mm)
    scatter = scale.fit.scatter if scale.fit else 0.0
    return Measured(value, value * sqrt(2) * scatter / count)


def keystone_per_mm(view: View, unit: float, pixels_per_mm: float, marks: int) -> Measured:
    """Relative change of scale per mm along the ruler, in the middle: 2 g / unit x pixels per mm.

    Positive towards the last mark. The scale of a plane in perspective goes as (1 + g s)^2.

    Parameters
    ----------
    view : what is seen in the middle
    unit : half the diagonal of the picture [px]
    pixels_per_mm : scale in the middle [px/mm]
    marks : how many were found

    Returns
    -------
    Measured : [1/mm]
    """
    factor = 2 * pixels_per_mm / unit
    spread = sqrt(few_marks_factor(marks) * max(float(view.covariance[ALONG, ALONG]), 0.0))
    return Measured(factor * view.along, factor * spread)


def scale_square_on(reading: Measured, tilt: Tilt) -> Measured | None:
    """Return the scale as it is across the ruler's own plane: that along the tilt is less by its cosine.

    Parameters
    ----------
    reading : scale along the ruler [px/mm]
    tilt : of the ruler

    Returns
    -------
    Measured or None : [px/mm]; None where the tilt is not known
    """
    if tilt.measured is None:
        return None
    value = reading.value / cos(radians(tilt.measured.value))
    return Measured(value, value * hypot(reading.relative_uncertainty, tilt.shortening))


def add_tilt_uncertainty(reading: Measured, tilt: Tilt) -> Measured:
    """Return the scale with the cosine of a tilt that is not known in its uncertainty.

    Parameters
    ----------
    reading : scale along the ruler [px/mm]
    tilt : of the ruler

    Returns
    -------
    Measured : [px/mm]
    """
    unknown = tilt.shortening if tilt.measured is None else 0.0
    return Measured(reading.value, reading.value * hypot(reading.relative_uncertainty, unknown))


def distortion(fit: Fit, line: tuple[Point, Point]) -> Measured:
    """Radial distortion where the visible scale ends, farther from the middle [%]: 1 / (1 + k r^2) - 1; barrel is negative.

    Parameters
    ----------
    fit : model of the scale
    line : its ends [px]

    Returns
    -------
    Measured : [%]
    """
    model = fit.model
    square = max(((x - model.centre[0]) ** 2 + (y - model.centre[1]) ** 2) / model.unit**2 for x, y in line)
    k = float(model.parameters[5])
    return Measured(100 * (1 / (1 + k * square) - 1), 100 * square * sqrt(max(float(fit.covariance[5, 5]), 0.0)))
