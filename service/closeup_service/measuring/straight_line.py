"""Weighted least squares of a straight line, about the weighted mean of its abscissas.

Sources: JCGM 100 (GUM), H.3; P. R. Bevington, *Data Reduction and Error Analysis for the Physical Sciences*, ch. 6 (both from
memory).
"""

import numpy as np
from msgspec import Struct

from closeup_service.optics.arithmetic import FloatArray


class Line(Struct, frozen=True):
    """y = intercept + slope x; columns of runs where y was one.

    Attributes
    ----------
    intercept, slope : of the line
    square_sum : weighted sum of the squares of the residuals
    spread : weighted sum of the squares of x about its mean; the variance of the slope is that of unit weight over it
    mean : weighted mean of x
    weight : sum of the weights
    """

    intercept: FloatArray
    slope: FloatArray
    square_sum: FloatArray
    spread: float
    mean: float
    weight: float

    def covariance(self, unit_variance: float = 1.0) -> FloatArray:
        """Covariance of (intercept, slope), from the variance of an observation of weight 1.

        Parameters
        ----------
        unit_variance : variance of an observation of weight 1, in the square of the ordinates' unit

        Returns
        -------
        array : shape (2, 2)
        """
        slope = unit_variance / self.spread
        both = -self.mean * slope
        return np.array([[unit_variance / self.weight - self.mean * both, both], [both, slope]])


def straight_line(x: FloatArray, y: FloatArray, weights: FloatArray) -> Line:
    """Fit a line to points of shape (n,), or to columns y of shape (n, runs) over the same x and weights.

    slope = sum w (x - mean) y / sum w (x - mean)^2, intercept = mean y - slope mean x.

    Parameters
    ----------
    x : abscissas, shape (n,)
    y : ordinates, shape (n,) or (n, runs)
    weights : of the points, shape (n,); one over the variances, up to a factor

    Returns
    -------
    Line : intercept and slope, each of shape () or (runs,), with what their variances follow from
    """
    total = weights.sum()
    mean = weights @ x / total
    about = x - mean
    spread = weights @ (about * about)
    slope = (weights * about) @ y / spread
    mean_y = weights @ y / total
    residuals = y - mean_y - np.multiply.outer(about, slope)
    return Line(
        mean_y - slope * mean, slope, weights @ (residuals * residuals), float(spread), float(mean), float(total)
    )
