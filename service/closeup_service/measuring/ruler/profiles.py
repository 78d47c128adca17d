"""Mean profiles across marks at the full size of the picture, for sharpness and lateral colour."""

from math import ceil

import numpy as np
from numpy.typing import NDArray

from closeup_service.measuring.ruler.marks import Marks, Scale
from closeup_service.measuring.ruler.picture import Floats

STEP_PX = 0.5
MOST_POINTS = 240
MOST_SAMPLES = 600


def points_of(scale: Scale, marks: Marks) -> tuple[Floats, Floats, Floats, Floats]:
    """x, y, place along the ruler and local period [px] of every point seen well within the strip.

    Returns
    -------
    tuple : four arrays of shape (points,) [px]
    """
    use = marks.points_on(scale)
    return marks.x[use], marks.y[use], marks.along[use], marks.period[use]


def window_of(period: float) -> Floats:
    """Places along the ruler about a mark [px], from half a period before to half after, about half a pixel apart.

    Parameters
    ----------
    period : [px]

    Returns
    -------
    array : shape (samples,) [px]
    """
    count = min(2 * ceil(0.5 * period / STEP_PX) + 1, MOST_SAMPLES + 1)
    return np.linspace(-0.5 * period, 0.5 * period, count)


def places_of(scale: Scale, x: Floats, y: Floats, window: Floats) -> tuple[Floats, Floats]:
    """Where the profiles through some of the points are sampled [px].

    Parameters
    ----------
    scale : gives the direction
    x, y : points on marks [px], shape (points,)
    window : places about a mark [px], shape (samples,)

    Returns
    -------
    tuple : x and y [px], each of shape (profiles, samples)
    """
    chosen = np.linspace(0, len(x) - 1, min(len(x), MOST_POINTS)).astype(int)
    u_x, u_y = scale.start.along
    return x[chosen, None] + window * u_x, y[chosen, None] + window * u_y


def mean_of(values: Floats | NDArray[np.float32], scale: Scale, window: Floats) -> Floats:
    """Mean of sampled profiles, marks upwards, with the slope of the light taken off.

    Parameters
    ----------
    values : grey steps, shape (profiles, samples)
    scale : says whether its marks are dark
    window : places about a mark [px], shape (samples,)

    Returns
    -------
    array : grey steps, shape (samples,)
    """
    mean = values.mean(axis=0, dtype=float) * (-1.0 if scale.start.dark else 1.0)
    tail = max(len(window) // 8, 1)
    left, right = mean[:tail].mean(), mean[-tail:].mean()
    sloped: Floats = mean - (left + (right - left) * np.linspace(0, 1, len(window)))
    return sloped
