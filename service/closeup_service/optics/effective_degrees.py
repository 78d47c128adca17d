"""Degrees of freedom of a combined standard uncertainty, some of which rests on scatters of few readings.

Scatters are pooled by Welch and Satterthwaite: nu = (sum of variances)^2 / sum of (variance^2 / its degrees). Beside a part
whose uncertainty was stated beforehand the same formula, nu (1 + x)^2 with x the stated variance over that of the scatter,
counts too many degrees where nu is 1 or 2: it takes the scatter's share of the variance as known, and intervals then hold
the truth as seldom as 87 times in 100. Here the degrees are nu (1 + c x^p), with c = 1.4 nu - 1.22 up to 1.5 and
p = 1 + 0.75 / nu^2, which is fitted to simulated intervals: they hold the truth 93 to 97 times in 100 at every x, for nu of 1
and more. Alone a scatter keeps its own degrees. Sources: JCGM 100 (GUM), G.4 (from memory); c and p are our own, checked by
`tests/reference/test_calibration_coverage.py`.
"""

from collections.abc import Iterable
from math import inf, isinf, pow

_GROWTH, _LESS, _MOST, _STEEPER = 1.4, 1.22, 1.5, 0.75
_LARGEST = 1e50
"""A scatter that brings less than one part in so many counts for nothing."""


def effective_degrees(variance: float, scattered: Iterable[tuple[float, float]]) -> float:
    """Degrees of freedom of a variance, `scattered` being the parts of it that rest on scatters, each with its degrees.

    Parameters
    ----------
    variance : float, of the result
    scattered : pairs of floats, parts of it that rest on scatters, each with its degrees

    Returns
    -------
    float, degrees of freedom
    """
    parts = [(part, degrees) for part, degrees in scattered if part > variance / _LARGEST and not isinf(degrees)]
    total = sum(part for part, _ in parts)
    if not parts or not variance > 0:
        return inf
    pooled = 1 / sum((part / total) ** 2 / degrees for part, degrees in parts)
    stated = min(max(variance - total, 0.0) / total, _LARGEST)
    growth = min(_GROWTH * pooled - _LESS, _MOST)
    return pooled * (1 + growth * pow(stated, 1 + _STEEPER / (pooled * pooled)))
