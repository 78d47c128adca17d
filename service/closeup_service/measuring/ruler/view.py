"""How the ruler's plane is seen in the middle of the picture: spacing along the ruler, perspective along and across it.

From the number n = (a0 + a X) / (1 + g X) of marks over the undistorted picture and the rows in which marks end, with e the
direction along the ruler and m that of the marks, both in the middle (X = 0):

    slope = (a - a0 g) e,   perspective along the ruler g e,   along the marks g m,   skew = -e m.

The spacing is taken along e. Across the marks, |a - a0 g|, it is another one wherever e and m are not square to each other,
that is, where the ruler is tilted about two axes. For a pinhole at a distance f in units of half the diagonal, a line of
the plane through the middle is tilted, towards the camera, by t with tan t = f g e, and two lines at right angles have
skew = tan t tan t' (from the direction (e cos t, sin t) of the one, square to (m cos t', sin t') of the other).
"""

from collections.abc import Callable, Sequence
from math import cos, hypot, log, pi, sin

import numpy as np
from msgspec import Struct

from closeup_service.measuring.ruler.baseline import Row
from closeup_service.measuring.ruler.fit import PARAMETERS, Fit
from closeup_service.measuring.ruler.picture import Floats

STEP = 1e-6
LEAST_ANGLE = 1e-5
"""An angle is never believed better than so [rad]."""
SLOPE, ALONG, ACROSS, SKEW = range(4)


class View(Struct, frozen=True):
    """What is seen in the middle of the picture.

    Parameters
    ----------
    direction : angle along the ruler, towards growing numbers [rad]
    slope : marks per half-diagonal along the ruler
    along, across : perspective g along the ruler, and along the marks, per half-diagonal
    skew : cosine, less than none, of the angle between ruler and marks; 0 where they are square to each other
    covariance : of log slope, along, across, skew
    """

    direction: float
    slope: float
    along: float
    across: float
    skew: float
    covariance: Floats


def view(fit: Fit, rows: Sequence[Row]) -> View:
    """Work out the view, with what fit and rows leave uncertain of it (JCGM 100, 5.2.2, derivatives by differences).

    Parameters
    ----------
    fit : model with its covariance
    rows : one or two rows of ends of marks

    Returns
    -------
    View : values in units of half the diagonal, with their covariance
    """
    parameters, covariance = fit.model.parameters, fit.covariance
    weights = [1 / variance_at_centre(row, parameters, covariance) for row in rows]

    def view_of(parameters: Floats, moved: Sequence[Row]) -> Floats:
        return middle(parameters, direction_of(parameters, moved, weights))

    by_fit = differences(lambda step: view_of(parameters + step, rows), PARAMETERS)
    total = by_fit @ covariance @ by_fit.T
    for place, row in enumerate(rows):

        def with_row(step: Floats, place: int = place, row: Row = row) -> Floats:
            return view_of(parameters, [*rows[:place], row.shift(step[0], step[1]), *rows[place + 1 :]])

        by_row = differences(with_row, 2)
        total += by_row @ np.diag([row.angle_spread**2, row.across_spread**2]) @ by_row.T
    log_slope, along, across, skew = middle(parameters, direction_of(parameters, rows, weights)).tolist()
    return View(direction_of(parameters, rows, weights), float(np.exp(log_slope)), along, across, skew, total)


def variance_at_centre(row: Row, parameters: Floats, covariance: Floats) -> float:
    """Variance of the direction in the middle of the picture, as one row has it [rad^2]."""
    by_fit = differences(lambda step: np.array([row.centre_angle(*(parameters + step)[3:5])]), PARAMETERS)
    by_row = differences(lambda step: np.array([row.shift(step[0], step[1]).centre_angle(*parameters[3:5])]), 2)
    of_row = (by_row[0] * np.array([row.angle_spread, row.across_spread])) ** 2
    return float(by_fit[0] @ covariance @ by_fit[0] + of_row.sum()) + LEAST_ANGLE**2


def differences(function: Callable[[Floats], Floats], count: int) -> Floats:
    """Derivatives by steps about none, a column for each."""
    steps = STEP * np.eye(count)
    return np.stack([(function(step) - function(-step)) / (2 * STEP) for step in steps], 1)


def direction_of(parameters: Floats, rows: Sequence[Row], weights: Sequence[float]) -> float:
    """Weighted mean of the directions in the middle of the picture [rad]."""
    angles = [row.centre_angle(*parameters[3:5]) for row in rows]
    rest = [(angle - angles[0] + pi) % (2 * pi) - pi for angle in angles]
    return angles[0] + float(np.average(rest, weights=weights))


def middle(parameters: Floats, direction: float) -> Floats:
    """Log of the slope, perspective along the ruler and along the marks, and skew.

    Parameters
    ----------
    parameters : a0, a1, a2, g1, g2, k
    direction : angle along the ruler [rad]

    Returns
    -------
    array : natural logarithm of the slope [marks per half-diagonal], both perspectives [per half-diagonal], and skew, a cosine
    """
    a0, a1, a2, g_x, g_y = parameters[:5].tolist()
    steep_x, steep_y = a1 - a0 * g_x, a2 - a0 * g_y
    size, e_x, e_y = hypot(steep_x, steep_y), cos(direction), sin(direction)
    m_x, m_y = -steep_y / size, steep_x / size
    slope = max(steep_x * e_x + steep_y * e_y, 1e-9)
    return np.array([log(slope), g_x * e_x + g_y * e_y, g_x * m_x + g_y * m_y, -(e_x * m_x + e_y * m_y)])
