"""The law by which marks lie in the picture: a plane seen in perspective, through a lens with radial distortion.

With X, Y the undistorted place about the middle of the picture in units of half its diagonal,

    X = x (1 + k r^2),  Y = y (1 + k r^2),  r^2 = x^2 + y^2,
    n = (a0 + a1 X + a2 Y) / (1 + g1 X + g2 Y),

n is the number of the mark (an integer on marks). The second line is one row of the homography between two planes
(Hartley and Zisserman, Multiple View Geometry, 2nd ed., section 2.3, from memory); the first is the one-term division
form of radial distortion, accurate to its first order, which suffices for the few per cent of photographic lenses.
"""

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from closeup_service.measuring.ruler.picture import Floats

PARAMETERS = 6
SPREAD = np.array([np.inf, np.inf, np.inf, 0.12, 0.12, 0.04])
"""What is likely before anything is seen: keystone and distortion are mild (common practice, no source).

A keystone of 0.12 is a scale that changes by a quarter to the corner; a distortion of 0.04 is 4 % there."""

ROUNDS = 5
FLOOR = 1e-4
"""Least scatter of a mark, in marks, that a fit believes in."""
ALWAYS_KEPT = 2e-3
"""So near the model, in marks, no point is given up."""


class ScaleModel(Struct, frozen=True):
    """Numbers of marks over the picture.

    Parameters
    ----------
    parameters : a0, a1, a2, g1, g2, k
    centre : middle of the picture [px]
    unit : half its diagonal [px]
    """

    parameters: Floats
    centre: tuple[float, float]
    unit: float

    def numbers(self, x: Floats | float, y: Floats | float) -> Floats:
        """Number of the mark at a place in the picture [px]; fractions between marks."""
        return numbers(self.parameters, *self.normalise(x, y))

    def normalise(self, x: Floats | float, y: Floats | float) -> tuple[Floats, Floats]:
        """Return places about the middle in units of half the diagonal.

        Parameters
        ----------
        x, y : places in the picture [px]

        Returns
        -------
        tuple : of arrays [half-diagonals]
        """
        return np.asarray(x - self.centre[0]) / self.unit, np.asarray(y - self.centre[1]) / self.unit

    def gradient(self, x: Floats | float, y: Floats | float) -> tuple[Floats, Floats]:
        """Marks per pixel in x and in y.

        Parameters
        ----------
        x, y : places in the picture [px]

        Returns
        -------
        tuple : of arrays [marks per px]
        """
        u, v = self.normalise(x, y)
        a0, a1, a2, g1, g2, k = self.parameters
        stretch = 1 + k * (u * u + v * v)
        below = 1 + (g1 * u + g2 * v) * stretch
        number = (a0 + (a1 * u + a2 * v) * stretch) / below
        by_u, by_v = (a1 - number * g1) / below, (a2 - number * g2) / below
        skew = 2 * k * u * v
        return (
            (by_u * (stretch + 2 * k * u * u) + by_v * skew) / self.unit,
            (by_v * (stretch + 2 * k * v * v) + by_u * skew) / self.unit,
        )

    def distance_to_mark(
        self, x: Floats | float, y: Floats | float, direction: tuple[float, float], number: Floats, steps: int = 3
    ) -> Floats:
        """How far from x, y in a direction the mark of a number lies [px], by Newton's steps."""
        away = np.zeros(np.broadcast_shapes(np.shape(x), np.shape(y), np.shape(number)))
        for _ in range(steps):
            here_x, here_y = x + away * direction[0], y + away * direction[1]
            by_x, by_y = self.gradient(here_x, here_y)
            slope = by_x * direction[0] + by_y * direction[1]
            away = away - (self.numbers(here_x, here_y) - number) / np.where(np.abs(slope) < 1e-9, 1e-9, slope)
        return away


def numbers(parameters: Floats, u: Floats, v: Floats) -> Floats:
    """Number of the mark at a place in units of half the diagonal.

    Parameters
    ----------
    parameters : a0, a1, a2, g1, g2, k; shape (6,)
    u, v : places about the middle [half diagonals], of one shape

    Returns
    -------
    array : of that shape [marks]
    """
    a0, a1, a2, g1, g2, k = parameters
    stretch = 1 + k * (u * u + v * v)
    return np.asarray((a0 + (a1 * u + a2 * v) * stretch) / (1 + (g1 * u + g2 * v) * stretch))


def slopes(parameters: Floats, u: Floats, v: Floats) -> Floats:
    """Derivatives of the numbers by the parameters, one column each.

    Parameters
    ----------
    parameters : a0, a1, a2, g1, g2, k; shape (6,)
    u, v : places about the middle [half diagonals], shape (n,)

    Returns
    -------
    array : shape (n, 6)
    """
    a0, a1, a2, g1, g2, k = parameters
    square = u * u + v * v
    stretch = 1 + k * square
    below = 1 + (g1 * u + g2 * v) * stretch
    number = (a0 + (a1 * u + a2 * v) * stretch) / below
    by_k = ((a1 - number * g1) * u + (a2 - number * g2) * v) * square
    x, y = u * stretch, v * stretch
    columns = np.stack([np.ones_like(u), x, y, -number * x, -number * y, by_k], 1)
    return np.asarray(columns / below[:, None])


class Fit(Struct, frozen=True):
    """A model with what is known of it.

    Parameters
    ----------
    covariance : of its parameters, including what was likely beforehand
    scatter : of a mark about the model, robust [marks]
    kept : which points were believed
    """

    model: ScaleModel
    covariance: Floats
    scatter: float
    kept: NDArray[np.bool_]


def fit_scale(start: ScaleModel, x: Floats, y: Floats, number: NDArray[np.int64], rounds: int = ROUNDS) -> Fit:
    """Fit the model to points on marks by least squares, giving up points far off; every mark counts once.

    Points on one mark share its faults, so a mark with many points weighs as one with few: the scatter is that of whole
    marks, and the uncertainty follows from their number (Gauss-Newton, with the likely spread as a further observation).

    Parameters
    ----------
    start : model to begin from
    x, y : points on marks [px], shape (n,)
    number : of the mark of each point, shape (n,)
    rounds : steps of the fit

    Returns
    -------
    Fit : model, covariance of shape (6, 6), scatter [marks]
    """
    u, v = start.normalise(x, y)
    parameters = start.parameters.copy()
    ordinal = number - number.min()
    kept = np.ones(len(u), bool)
    scatter, normal = FLOOR, np.eye(PARAMETERS)
    for _ in range(rounds):
        weight = kept / np.maximum(np.bincount(ordinal, kept), 1)[ordinal]
        away = numbers(parameters, u, v) - number
        scatter = mark_scatter(away, ordinal, kept)
        columns = slopes(parameters, u, v)
        likely = (scatter / SPREAD) ** 2
        normal = (columns * weight[:, None]).T @ columns + np.diag(likely)
        step = np.linalg.solve(
            normal + 1e-12 * np.eye(PARAMETERS), (columns * weight[:, None]).T @ away + likely * parameters
        )
        parameters = parameters - step
        away = numbers(parameters, u, v) - number
        middle = np.median(away[kept]) if kept.any() else 0.0
        wide = 1.4826 * float(np.median(np.abs(away[kept] - middle))) if kept.any() else 1.0
        kept = np.abs(away) < max(4 * wide, ALWAYS_KEPT)
    model = ScaleModel(parameters, start.centre, start.unit)
    covariance = np.asarray(scatter**2 * np.linalg.inv(normal + 1e-12 * np.eye(PARAMETERS)), np.float64)
    return Fit(model, covariance, scatter, kept)


def mark_scatter(away: Floats, ordinal: NDArray[np.int64], kept: NDArray[np.bool_]) -> float:
    """Scatter of whole marks [marks], from the root mean square of their means, with the parameters' count taken off."""
    count = np.bincount(ordinal, kept)
    seen = count > 0
    means = np.bincount(ordinal, kept * away)[seen] / count[seen]
    free = max(int(seen.sum()) - 4, 1)
    return max(float(np.sqrt((means * means).sum() / free)), FLOOR)
