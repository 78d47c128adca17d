"""Tails of the distributions that measurements are judged by: Student's t, chi-square and F.

Student's t and F rest on the incomplete beta function, chi-square on its finite series. Source: M. Abramowitz and I. A.
Stegun, *Handbook of Mathematical Functions*, 26.4 to 26.7 (from memory).
"""

from collections.abc import Iterator
from functools import lru_cache
from math import exp, inf, isinf, lgamma, log, log1p, pi, sqrt
from statistics import NormalDist

_SMALL = 1e-300
_CONVERGED = 1e-15
_MOST_TERMS = 10_000
_HALVINGS = 200
_MOST_FACTORS = 4096
_ALMOST_NORMAL = 1e4


def incomplete_beta(a: float, b: float, x: float) -> float:
    """Regularised incomplete beta function I_x(a, b), by its continued fraction (Abramowitz and Stegun 26.5.8).

    Parameters
    ----------
    a, b : parameters, above 0
    x : upper limit, 0 to 1

    Returns
    -------
    float : share of the beta distribution below x, 0 to 1
    """
    if not 0 < x < 1:
        return 0.0 if x <= 0 else 1.0
    if x > (a + 1) / (a + b + 2):
        return 1 - incomplete_beta(b, a, 1 - x)
    front = exp(lgamma(a + b) - lgamma(a) - lgamma(b) + a * log(x) + b * log1p(-x)) / a
    return front / _continued_fraction(_beta_terms(a, b, x))


def _beta_terms(a: float, b: float, x: float) -> Iterator[float]:
    """Numerators of the continued fraction 1 + d1/(1 + d2/(1 + ...)) of the incomplete beta function."""
    for m in range(_MOST_TERMS):
        yield -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        n = m + 1
        yield n * (b - n) * x / ((a + 2 * n - 1) * (a + 2 * n))


def _continued_fraction(terms: Iterator[float]) -> float:
    """Value of 1 + d1/(1 + d2/(1 + ...)) by products of ratios of neighbouring convergents."""
    value = upper = 1.0
    lower = 0.0
    for term in terms:
        upper = 1 + term / upper or _SMALL
        lower = 1 / (1 + term * lower or _SMALL)
        value *= upper * lower
        if abs(upper * lower - 1) < _CONVERGED:
            break
    return value


def student_tail(t: float, degrees: float) -> float:
    """Probability that |t| of Student's distribution is exceeded, either way; normal for infinite degrees of freedom.

    Parameters
    ----------
    t : Student's t
    degrees : degrees of freedom, or inf

    Returns
    -------
    float : probability, 0 to 1
    """
    if isinf(degrees):
        return 2 * NormalDist().cdf(-abs(t))
    return incomplete_beta(degrees / 2, 0.5, degrees / (degrees + t * t))


def student_density(t: float, degrees: float) -> float:
    """Density of Student's distribution, of finite degrees of freedom.

    Parameters
    ----------
    t : Student's t
    degrees : degrees of freedom, finite

    Returns
    -------
    float : density over t
    """
    scale = exp(lgamma((degrees + 1) / 2) - lgamma(degrees / 2)) / sqrt(degrees * pi)
    return scale * exp(-(degrees + 1) / 2 * log1p(t * t / degrees))


@lru_cache(maxsize=_MOST_FACTORS)
def student_factor(degrees: float, confidence: float = 0.95) -> float:
    """Coverage factor t: the share `confidence` of Student's distribution lies within -t and t (GUM, table G.2).

    By Newton's steps, kept between bounds that close in on it; for many degrees by its series about the normal factor
    (Abramowitz and Stegun 26.7.5).

    Parameters
    ----------
    degrees : degrees of freedom, above 0, or inf
    confidence : share of the distribution, below 1

    Returns
    -------
    float : t, in standard uncertainties
    """
    if degrees > _ALMOST_NORMAL:
        z = NormalDist().inv_cdf((1 + confidence) / 2)
        return z + (z**3 + z) / (4 * degrees) + (5 * z**5 + 16 * z**3 + 3 * z) / (96 * degrees * degrees)
    low, high = 0.0, 1.0
    while student_tail(high, degrees) > 1 - confidence:
        low, high = high, 2 * high
    t = high
    for _ in range(_HALVINGS):
        over = student_tail(t, degrees) - (1 - confidence)
        low, high = (t, high) if over > 0 else (low, t)
        before, t = t, t + over / (2 * student_density(t, degrees))
        if not low <= t <= high:
            t = (low + high) / 2
        if abs(t - before) <= _CONVERGED * t:
            break
    return t


def chi_square_tail(value: float, degrees: int) -> float:
    """Probability that chi-square of so many degrees of freedom is exceeded (Abramowitz and Stegun 26.4.4 and 26.4.5).

    Parameters
    ----------
    value : chi-square
    degrees : degrees of freedom

    Returns
    -------
    float : probability, 0 to 1
    """
    if value <= 0:
        return 1.0
    half, odd = value / 2, degrees % 2
    total = 2 * NormalDist().cdf(-sqrt(value)) if odd else 0.0
    power = 0.5 if odd else 0.0
    while power < degrees / 2:
        total += exp(power * log(half) - half - lgamma(power + 1))
        power += 1
    return min(total, 1.0)


def f_tail(value: float, upper: float, lower: float) -> float:
    """Probability that a ratio of variances F is exceeded; by infinite degrees below it is chi-square over `upper`.

    Parameters
    ----------
    value : ratio of the variances
    upper, lower : degrees of freedom of the two; `lower` may be infinite

    Returns
    -------
    float : probability, 0 to 1
    """
    if lower == inf:
        return chi_square_tail(value * upper, int(upper))
    return incomplete_beta(lower / 2, upper / 2, lower / (lower + upper * value)) if value > 0 else 1.0
