"""Where a scale may lie: tiles of the picture with an even pattern of lines, gathered into candidates.

Each tile's power spectrum is searched for one strong frequency: it gives direction and period at once. A ruler makes many
tiles in a row agree; so tiles vote. What is only likely here is proved or dropped later, mark by mark.
"""

from functools import cache
from itertools import product

import numpy as np
from msgspec import Struct
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from closeup_service.measuring.ruler.picture import Floats, Level, Plane, Pyramid

TILE = 64
SMALL_TILE = 32
TILES_AT_ONCE = 24
"""So many lie in the cache with all that is worked out of them, and the memory between them is used again."""

FEWEST_CYCLES = 3.2
SLOWEST_CYCLES = 1.5
HIGHEST_FREQUENCY = 0.42
LEAST_SHARE = 0.10
WHITE = 1
MOST_SEEDS = 700
MOST_IN_CELL = 100
MOST_ALIKE = 3
CANDIDATES_PER_LEVEL = 8
MOST_CANDIDATES = 99
FLATTEST = 0.35
"""Standard deviation of grey in a tile, in steps of 8 bits, below which there is nothing to see."""


class Candidate(Struct, frozen=True):
    """A place with an even pattern of lines.

    Parameters
    ----------
    x, y : place [px of the picture]
    frequency_x, frequency_y : of the pattern [cycles per px]; the vector points along the ruler
    reach : half the side of the tile it was seen in [px]
    votes : how strongly tiles agree on it
    """

    x: float
    y: float
    frequency_x: float
    frequency_y: float
    reach: float
    votes: float

    @property
    def period(self) -> float:
        """Of the pattern [px]."""
        return float(1 / np.hypot(self.frequency_x, self.frequency_y))


Seeds = Floats
"""Rows of x, y, frequency x, frequency y, share; all in pixels of the picture."""


def candidates(picture: Pyramid, depth: float) -> list[Candidate]:
    """Places that may hold a scale, the likeliest first; `depth` is the number of grey steps of the picture."""
    found: list[Candidate] = []
    for level in picture.searched:
        usual = TILE if min(level.plane.shape) >= 1.5 * TILE else SMALL_TILE
        for tile in {usual, SMALL_TILE if level.factor > picture.searched[0].factor else usual}:
            found += gather_candidates(seeds(level, FLATTEST * depth / 256, tile), level, tile)
    found.sort(key=lambda candidate: -candidate.votes)
    kept: list[Candidate] = []
    for candidate in found:
        if not any(is_same_pattern(candidate, other) for other in kept):
            kept.append(candidate)
    return kept[:MOST_CANDIDATES]


def seeds(level: Level, flattest: float, tile: int) -> Seeds:
    """The strongest frequency of every tile of a level that has one.

    Parameters
    ----------
    flattest : standard deviation of a tile below which it is skipped [grey steps]
    tile : its side [px of the level]

    Returns
    -------
    array : x, y [px of the picture], frequency x, y [cycles per px of the picture], share of the power; shape (seeds, 5)
    """
    stride = tile * 5 // 8
    tiles = sliding_window_view(level.plane, (tile, tile))[::stride, ::stride]
    window = np.outer(np.hanning(tile), np.hanning(tile)).astype(np.float32)
    half = 0.5 * (tile - 1)
    parts = []
    for i, first in product(range(tiles.shape[0]), range(0, tiles.shape[1], TILES_AT_ONCE)):
        some = tiles[i, first : first + TILES_AT_ONCE]
        column, frequency_x, frequency_y, share = row_of_seeds(some, window, flattest)
        x = level.to_picture((column + first) * stride + half)
        y = level.to_picture(np.full(len(column), i * stride + half))
        parts.append(np.column_stack([x, y, frequency_x / level.factor, frequency_y / level.factor, share]))
    return np.concatenate(parts)


def row_of_seeds(tiles: Plane, window: NDArray[np.float32], flattest: float) -> tuple[Floats, ...]:
    """Column, frequency [cycles per px of the level] and share of the power, of those of some tiles that show a pattern."""
    tile = tiles.shape[-1]
    seen = np.ascontiguousarray(tiles).reshape(len(tiles), -1)
    seen = seen - seen.mean(axis=1, keepdims=True)
    spread = np.sqrt(np.einsum("ij,ij->i", seen, seen) / seen.shape[1])
    column = np.nonzero(spread > flattest)[0]
    if not column.size:
        return (np.zeros(0),) * 4
    power = power_of(seen[column].reshape(-1, tile, tile) * window)
    flat = power.reshape(len(column), -1)
    best = flat.argmax(axis=1)
    row, place = np.divmod(best, power.shape[2])
    around = np.arange(-1, 2)
    each = np.arange(len(column))[:, None, None]
    rows = (row[:, None, None] + around[:, None]) % tile
    places = np.clip(place[:, None, None] + around, 0, power.shape[2] - 1)
    near = power[each, rows, places]
    total = near.sum(axis=(1, 2))
    share = total / flat.sum(axis=1)
    at_y = np.where(row < tile // 2, row, row - tile) + (near * around[:, None]).sum(axis=(1, 2)) / total
    at_x = place + (near * around).sum(axis=(1, 2)) / total
    good = (share > LEAST_SHARE) & (np.hypot(at_x, at_y) > FEWEST_CYCLES)
    return column[good].astype(float), at_x[good] / tile, at_y[good] / tile, share[good].astype(float)


def power_of(tiles: NDArray[np.float32]) -> NDArray[np.float32]:
    """Power of the frequencies looked at, whitened; those farther along the rows than any of them are left out."""
    weight = whitening(tiles.shape[-1])
    along_rows = np.fft.rfft(tiles, axis=2)[:, :, : weight.shape[1]]
    spectrum = np.fft.fft(along_rows, axis=1)
    power = spectrum.real * spectrum.real
    power += spectrum.imag * spectrum.imag
    power *= weight
    return np.asarray(power)


@cache
def whitening(tile: int) -> NDArray[np.float32]:
    """Weight of each frequency of a tile, none for those that are too slow or too fast; one column more than those."""
    size = np.hypot(np.fft.rfftfreq(tile)[None, :], np.fft.fftfreq(tile)[:, None]).astype(np.float32)
    band = (size >= SLOWEST_CYCLES / tile) & (size <= HIGHEST_FREQUENCY)
    columns = int(HIGHEST_FREQUENCY * tile) + 2
    return np.asarray((size**WHITE * band)[:, :columns], np.float32)


def gather_candidates(found: Seeds, level: Level, tile: int) -> list[Candidate]:
    """Candidates on which several tiles of a level agree, or single strong ones."""
    found = thin_seeds(found, level.factor * tile)
    if not len(found):
        return []
    like, agree = agreement(found, tile * level.factor)
    votes = agree @ found[:, 4]
    votes *= votes / (like @ found[:, 4])
    left = np.ones(len(found), bool)
    times = np.zeros(len(found), int)
    chosen: list[Candidate] = []
    while left.any() and len(chosen) < CANDIDATES_PER_LEVEL:
        best = int(np.argmax(np.where(left, votes, -1)))
        x, y, frequency_x, frequency_y, _ = found[best].tolist()
        chosen.append(Candidate(x, y, frequency_x, frequency_y, tile * level.factor / 2, float(votes[best])))
        times += like[best]
        left &= ~agree[best] & (times < MOST_ALIKE)
    return chosen


def thin_seeds(found: Seeds, side: int) -> Seeds:
    """Keep the strongest seeds, and not too many of one frequency: a patterned cloth must not drown a ruler."""
    found = found[np.argsort(-found[:, 4])]
    cells = np.rint(found[:, 2:4] * side / 1.5)
    counts: dict[tuple[float, float], int] = {}
    kept = []
    for i, cell in enumerate(map(tuple, cells)):
        counts[cell] = counts.get(cell, 0) + 1
        if counts[cell] <= MOST_IN_CELL:
            kept.append(i)
    return found[kept[:MOST_SEEDS]]


def agreement(found: Seeds, tile: float) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Which seeds may belong to one scale: nearly the same frequency, and lying along the ruler from one another.

    Parameters
    ----------
    found : as `seeds` gives them
    tile : side of a tile [px of the picture]

    Returns
    -------
    tuple : whether the frequencies agree, and whether the places do too, each of shape (seeds, seeds)
    """
    x, y, fx, fy = found[:, :4].T
    size = np.hypot(fx, fy)
    same = np.hypot(fx[:, None] - fx, fy[:, None] - fy) < 0.12 * size[:, None]
    opposite = np.hypot(fx[:, None] + fx, fy[:, None] + fy) < 0.12 * size[:, None]
    across = np.abs((x[:, None] - x) * fy[:, None] - (y[:, None] - y) * fx[:, None]) / size[:, None]
    along = np.abs((x[:, None] - x) * fx[:, None] + (y[:, None] - y) * fy[:, None]) / size[:, None]
    return same | opposite, (same | opposite) & (across < 0.8 * tile + 0.03 * along)


def is_same_pattern(one: Candidate, other: Candidate) -> bool:
    """Whether two candidates, of two levels perhaps, are one pattern at one place."""
    first = np.array([one.frequency_x, one.frequency_y])
    second = np.array([other.frequency_x, other.frequency_y])
    size = np.hypot(*second)
    if min(np.hypot(*(first - second)), np.hypot(*(first + second))) > 0.1 * size:
        return False
    apart = np.array([one.x - other.x, one.y - other.y])
    across = abs(apart[0] * second[1] - apart[1] * second[0]) / size
    return bool(across < 0.7 * min(one.reach, other.reach))
