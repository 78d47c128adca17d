"""From a candidate to a start: direction and period made exact, harmonics told from the period, a picture of one mark."""

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from closeup_service.measuring.ruler.picture import Floats, Pyramid
from closeup_service.measuring.ruler.search import Candidate

PERIODS = 6
SAMPLES = 12
"""A start is looked at over so many periods to each side, with so many samples to a period."""
LINES = 25
LEAST_LIKENESS = 0.25
SHAPE = 33
"""Samples of the picture of one mark, over one period."""


class Start(Struct, frozen=True):
    """A stretch of a likely scale.

    Parameters
    ----------
    x, y : a mark [px]
    along : unit vector along the ruler
    period : [px]
    half_width : half the height of the lines seen, across the ruler [px]
    shape : one mark from half a period before to half after, its middle 1 and its ground 0 on the whole
    dark : dark on light
    likeness : how alike neighbouring marks are, times how alike neighbouring lines are
    """

    x: float
    y: float
    along: tuple[float, float]
    period: float
    half_width: float
    shape: Floats
    dark: bool
    likeness: float


class Patch(Struct, frozen=True):
    """Lines along the ruler about a place, with the weight of each sample (none beyond the border)."""

    along: Floats
    across: Floats
    values: Floats
    weight: Floats


def patch(picture: Pyramid, x: float, y: float, frequency: Floats, reach: float) -> Patch:
    """Sample lines along the ruler about x, y.

    Parameters
    ----------
    x, y : place [px]
    frequency : along the ruler, in x and y [cycles per px]
    reach : to either side across the ruler [px]

    Returns
    -------
    Patch : distances [px], values in grey steps
    """
    period = 1 / float(np.hypot(*frequency))
    u = frequency * period
    along = np.arange(-PERIODS * SAMPLES, PERIODS * SAMPLES + 1) * period / SAMPLES
    across = np.linspace(-reach, reach, LINES)
    at_x = x + along * u[0] - across[:, None] * u[1]
    at_y = y + along * u[1] + across[:, None] * u[0]
    width, height = picture.size
    inside = (at_x >= 0) & (at_x <= width - 1) & (at_y >= 0) & (at_y <= height - 1)
    values = picture.choose_level(period, 0.75 * SAMPLES).sample(at_x, at_y).astype(float)
    return Patch(along, across, values, inside * np.hanning(len(along) + 2)[1:-1])


def waves(seen: Patch, period: float, weight: Floats) -> NDArray[np.complex128]:
    """Complex height of the wave of a period on every line.

    Parameters
    ----------
    period : [px]
    weight : of each sample, shape (lines, samples)

    Returns
    -------
    array : complex [grey steps], shape (lines,)
    """
    total = np.maximum(weight.sum(axis=1), 1e-9)
    means = (weight * seen.values).sum(axis=1) / total
    wave: NDArray[np.complex128] = np.exp(-2j * np.pi * seen.along / period)
    result: NDArray[np.complex128] = ((seen.values - means[:, None]) * weight) @ wave / total
    return result


def correct_frequency(seen: Patch, frequency: Floats) -> Floats:
    """Frequency along and across the ruler, set right by the phases between halves and between lines.

    Parameters
    ----------
    frequency : in x and y [cycles per px]

    Returns
    -------
    array : in x and y [cycles per px]
    """
    size = float(np.hypot(*frequency))
    period, u = 1 / size, frequency / size
    heights = waves(seen, period, seen.weight)
    left = waves(seen, period, seen.weight * (seen.along < 0))
    right = waves(seen, period, seen.weight * (seen.along >= 0))
    turn = float(np.angle((np.conj(left) * right).sum()))
    skew = float(np.angle((np.conj(heights[:-1]) * heights[1:]).sum()))
    apart = 0.55 * PERIODS * period
    more = np.clip(turn / (2 * np.pi * apart), -0.12 * size, 0.12 * size)
    sideways = np.clip(skew / (2 * np.pi * (seen.across[1] - seen.across[0])), -0.2 * size, 0.2 * size)
    return np.asarray((size + more) * u + sideways * np.array([-u[1], u[0]]))


def profile(seen: Patch, period: float) -> tuple[Floats, float]:
    """Mean of the lines that bear the wave, high-passed, and the share of lines that swing together.

    Parameters
    ----------
    period : [px]

    Returns
    -------
    tuple : line [grey steps], shape (samples,), and share, 0 to 1
    """
    heights = waves(seen, period, seen.weight)
    common = heights.sum()
    together = np.maximum((heights * np.conj(common)).real / max(abs(common), 1e-12), 0)
    inside = seen.weight > 0
    use = together[:, None] * inside
    line = (use * seen.values).sum(axis=0) / np.maximum(use.sum(axis=0), 1e-12)
    line[use.sum(axis=0) <= 0] = np.nan
    line = np.where(np.isnan(line), np.nanmean(line) if not np.isnan(line).all() else 0.0, line)
    wide = np.convolve(np.pad(line, 2 * SAMPLES, mode="edge"), np.ones(4 * SAMPLES + 1) / (4 * SAMPLES + 1), "valid")
    agreement = float(abs(common) / max(np.abs(heights).sum(), 1e-12))
    return (line - wide) * (use.sum(axis=0) > 0), agreement


def likeness(lines: Floats, lag: int) -> Floats:
    """Correlation of a line, or of each of several, with itself, shifted by a lag of so many samples or one more or less.

    Parameters
    ----------
    lines : values in any unit, shape (samples,) or (lines, samples)
    lag : number of samples

    Returns
    -------
    array : correlation, -1 to 1, shape () or (lines,)
    """
    found = []
    for shift in (lag - 1, lag, lag + 1):
        first, second = lines[..., :-shift], lines[..., shift:]
        size = np.sqrt((first * first).sum(axis=-1) * (second * second).sum(axis=-1))
        found.append((first * second).sum(axis=-1) / np.maximum(size, 1e-12))
    return np.asarray(np.maximum.reduce(found))


def period_factor(line: Floats) -> float:
    """What the period must be multiplied by: an overtone is seen at a half, a third or a quarter of the true period.

    Parameters
    ----------
    line : values in any unit, shape (samples,)

    Returns
    -------
    float : ratio, 0 where nothing repeats
    """
    alike = {n: float(likeness(line, n * SAMPLES)) for n in (1, 2, 3, 4, 5)}
    most = max(alike.values())
    if most < LEAST_LIKENESS:
        return 0.0
    for part in (3, 2):
        if likeness(line, SAMPLES // part) > 0.85 * most:
            return 1 / part
    return float(next(n for n in alike if alike[n] > 0.75 * most))


def refine_candidate(picture: Pyramid, candidate: Candidate) -> Start | None:
    """Make a candidate exact; None where its lines are not alike."""
    frequency = np.array([candidate.frequency_x, candidate.frequency_y])
    reach = 0.8 * candidate.reach
    for _ in range(3):
        for _ in range(3):
            seen = patch(picture, candidate.x, candidate.y, frequency, reach)
            frequency = correct_frequency(seen, frequency)
        period = 1 / float(np.hypot(*frequency))
        seen = patch(picture, candidate.x, candidate.y, frequency, reach)
        line, together = profile(seen, period)
        factor = period_factor(line)
        if factor in {0.0, 1.0}:
            break
        frequency = frequency / factor
    if factor != 1.0 or period < 2.5:
        return None
    return fold_start(candidate, frequency, seen, line, together * float(likeness(line, SAMPLES)))


def fold_start(candidate: Candidate, frequency: Floats, seen: Patch, line: Floats, alike: float) -> Start:
    """Fold the line into one mark and set the start on it.

    Parameters
    ----------
    frequency : in x and y [cycles per px]
    line : mean of the lines along the ruler [grey steps], shape (samples,)
    alike : likeness of marks times that of lines, 0 to 1

    Returns
    -------
    Start : places and lengths [px]
    """
    period = 1 / float(np.hypot(*frequency))
    phase = seen.along / period
    use = np.abs(phase) < 3
    cells = np.floor((phase[use] % 1) * SAMPLES + 0.5).astype(int) % SAMPLES
    folded = np.bincount(cells, line[use], SAMPLES) / np.maximum(np.bincount(cells, minlength=SAMPLES), 1)
    middle = float(np.median(folded))
    dark = bool(middle - folded.min() > folded.max() - middle)
    turn = np.angle((folded * np.exp(2j * np.pi * np.arange(SAMPLES) / SAMPLES)).sum() * (-1 if dark else 1))
    offset = float(turn / (2 * np.pi))
    u = frequency * period
    fine = np.interp(
        np.linspace(-0.5, 0.5, SHAPE) + offset, np.arange(-SAMPLES, 2 * SAMPLES) / SAMPLES, np.tile(folded, 3)
    )
    low, high = bearing_lines(seen, period)
    middle_across = 0.5 * (seen.across[low] + seen.across[high])
    half_width = 0.5 * (seen.across[high] - seen.across[low]) + 0.5 * (seen.across[1] - seen.across[0])
    return Start(
        float(candidate.x + offset * period * u[0] - middle_across * u[1]),
        float(candidate.y + offset * period * u[1] + middle_across * u[0]),
        (float(u[0]), float(u[1])) if u[0] > 0 else (float(-u[0]), float(-u[1])),
        period,
        float(half_width),
        make_symmetric(-fine if dark else fine),
        dark,
        alike,
    )


def bearing_lines(seen: Patch, period: float) -> tuple[int, int]:
    """First and last of the lines that bear the marks: those that swing together and repeat after a period.

    Parameters
    ----------
    period : [px]

    Returns
    -------
    tuple : places of the two lines
    """
    heights = waves(seen, period, seen.weight)
    swing = np.maximum((heights * np.conj(heights.sum())).real, 0)
    inside = seen.weight > 0
    means = (seen.values * inside).sum(axis=1) / np.maximum(inside.sum(axis=1), 1)
    level = (seen.values - means[:, None]) * inside
    repeat = np.maximum(likeness(level, SAMPLES), 0.0)
    worth = swing * repeat * repeat
    best = int(np.argmax(worth))
    good = worth > 0.4 * worth[best]
    low = high = best
    while low > 0 and good[low - 1]:
        low -= 1
    while high < len(good) - 1 and good[high + 1]:
        high += 1
    return low, high


def make_symmetric(shape: Floats) -> Floats:
    """Return a mark made even about its middle, its lowest at 0 and its middle at 1.

    Parameters
    ----------
    shape : picture of one mark, shape (samples,)

    Returns
    -------
    array : of the same shape, 0 to 1
    """
    even = 0.5 * (shape + shape[::-1])
    even = even - even.min()
    return np.asarray(even / max(float(even[len(even) // 2]), 1e-12), float)
