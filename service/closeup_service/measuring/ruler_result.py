"""From a scale proved to what is told of it: scale in the middle, keystone, tilt, distortion, with uncertainties."""

from math import asin, atan2, cos, degrees, hypot, radians, sqrt, tan

import numpy as np

from closeup_service.measuring.ruler_checks import Verdict
from closeup_service.measuring.ruler_fit import Fit, ScaleModel
from closeup_service.measuring.ruler_marks import Marks, Scale
from closeup_service.measuring.ruler_picture import Floats
from closeup_service.measuring.ruler_records import Measured, Point

USUAL_TILT_DEG = 3.0
"""Standard uncertainty of a tilt that is not known, set by eye (common practice, no source)."""

USUAL_COSINE = 1 - cos(radians(USUAL_TILT_DEG))


def ruler_line(scale: Scale) -> tuple[Point, Point]:
    """Ends of the line through the middles of the marks, from the first to the last."""
    numbers, (u_x, u_y) = np.array([scale.first, scale.last]), scale.start.along
    along = scale.along(numbers)
    base_x, base_y = scale.abreast(along)
    away = along + scale.model.along(base_x + along * u_x, base_y + along * u_y, scale.start.along, numbers)
    first, last = ((float(base_x[i] + away[i] * u_x), float(base_y[i] + away[i] * u_y)) for i in (0, 1))
    return first, last


def middles(scale: Scale, marks: Marks) -> tuple[Point, ...]:
    """Middle of every mark found, first to last: the mean of what the lines saw."""
    use = marks.points_on(scale)
    found = np.nonzero(marks.found_on(scale))[0]
    return tuple((float(marks.x[use[:, k], k].mean()), float(marks.y[use[:, k], k].mean())) for k in found)


def direction_deg(line: tuple[Point, Point]) -> float:
    """Direction from the horizontal, anticlockwise as seen, over -90 to 90."""
    angle = degrees(atan2(-(line[1][1] - line[0][1]), line[1][0] - line[0][0]))
    return angle - 180 if angle > 90 else angle + 180 if angle <= -90 else angle


def middle_scale(fit: Fit, pitch_mm: float, verdict: Verdict, line: tuple[Point, Point]) -> Measured:
    """Pixels per mm in the middle of the picture, across the marks, with the uncertainty of the reading alone.

    1/scale = pitch |a - a0 g| / unit there. What the one-term distortion leaves out is about its square; few marks are
    believed less, as Student's t asks.
    """
    slope, along = across_marks(fit.model)
    scale = fit.model.unit / (slope * pitch_mm)
    a0, gx, gy = fit.model.parameters[[0, 3, 4]]
    by = np.array([-(along[0] * gx + along[1] * gy), along[0], along[1], -a0 * along[0], -a0 * along[1], 0.0])
    relative = sqrt(max(float(by @ fit.covariance @ by), 0.0)) / slope
    free = max(verdict.marks - 4, 1)
    left_out = distortion(fit, line).value / 100
    total = sqrt((1 + 2 / free) * (1.5 * relative) ** 2 + left_out**4 + 1e-10)
    return Measured(scale, scale * total)


def across_marks(model: ScaleModel) -> tuple[float, Floats]:
    """Marks per half-diagonal in the middle of the picture, and the unit vector across the marks."""
    a0, a1, a2, gx, gy, _ = model.parameters
    slope = np.array([a1 - a0 * gx, a2 - a0 * gy])
    size = float(np.hypot(*slope))
    return size, slope / size


def mean_scale(scale: Scale, line: tuple[Point, Point], pitch_mm: float) -> Measured:
    """Pixels per mm from the first mark to the last; the ends are uncertain by the scatter of a mark each."""
    count = scale.last - scale.first
    length = hypot(line[1][0] - line[0][0], line[1][1] - line[0][1])
    value = length / (count * pitch_mm)
    scatter = scale.fit.scatter if scale.fit else 0.0
    return Measured(value, value * sqrt(2) * scatter / count)


def keystone_per_mm(fit: Fit, pixels_per_mm: float) -> Measured:
    """Relative change of scale per mm along the ruler, in the middle: 2 g / unit x pixels per mm.

    Positive towards the last mark. The scale of a plane in perspective goes as (1 + g s)^2.
    """
    _, along = across_marks(fit.model)
    g = fit.model.parameters[3:5]
    factor = 2 * pixels_per_mm / fit.model.unit
    variance = float(along @ fit.covariance[3:5, 3:5] @ along)
    return Measured(factor * float(along @ g), factor * sqrt(max(variance, 0.0)))


def tilt_deg(keystone: Measured, distance_mm: float | None) -> Measured | None:
    """Tilt along the ruler: sin tilt = keystone x distance / 2, from the entrance pupil to the subject plane."""
    if distance_mm is None or abs(keystone.value) * distance_mm / 2 >= 1:
        return None
    tilt = asin(keystone.value * distance_mm / 2)
    return Measured(degrees(tilt), degrees(keystone.uncertainty * distance_mm / 2 / cos(tilt)))


def square_on(reading: Measured, tilt: Measured | None) -> Measured | None:
    """Return the scale as it is across the ruler's own plane: that along the tilt is less by its cosine."""
    if tilt is None:
        return None
    angle, spread = radians(tilt.value), radians(tilt.uncertainty)
    value = reading.value / cos(angle)
    relative = sqrt(reading.relative**2 + (tan(angle) * spread) ** 2 + (spread * spread / 2) ** 2)
    return Measured(value, value * relative)


def with_usual_tilt(reading: Measured) -> Measured:
    """Return the scale with the cosine of a tilt that is not known in its uncertainty."""
    return Measured(reading.value, hypot(reading.uncertainty, reading.value * USUAL_COSINE))


def distortion(fit: Fit, line: tuple[Point, Point]) -> Measured:
    """Radial distortion where the visible scale ends, farther from the middle [%]: 1 / (1 + k r^2) - 1; barrel is negative."""
    model = fit.model
    square = max(((x - model.centre[0]) ** 2 + (y - model.centre[1]) ** 2) / model.unit**2 for x, y in line)
    k = float(model.parameters[5])
    return Measured(100 * (1 / (1 + k * square) - 1), 100 * square * sqrt(max(float(fit.covariance[5, 5]), 0.0)))
