"""A picture as the search sees it: one plane of grey at several sizes, and sampling anywhere in it."""

from dataclasses import dataclass
from math import ceil, hypot, sqrt
from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.floating[Any]]
Plane = NDArray[Any]

GREEN = 1
MOST_SEARCHED = 7.0e6
"""Pixels of the largest size that is searched as a whole; finer detail is only sampled along a scale already found."""

STEP = 3
SMALLEST_LEVEL = 40
"""Each size is smaller than the one before by so much, and none is smaller than so many pixels either way."""


@dataclass(frozen=True, slots=True)
class Level:
    """A plane of which every pixel is the mean of `factor` x `factor` pixels of the picture."""

    factor: int
    plane: Plane

    def sample(self, x: Floats, y: Floats) -> NDArray[np.float32]:
        """Values at places in pixels of the picture, bilinear; beyond the border, the border's."""
        return bilinear(self.plane, self.on_level(x), self.on_level(y))

    def on_level(self, place: Floats) -> Floats:
        """Pixels of this level for pixels of the picture, along one axis."""
        return (place - 0.5 * (self.factor - 1)) / self.factor

    def on_picture(self, place: Floats) -> Floats:
        """Pixels of the picture for pixels of this level, along one axis."""
        return place * self.factor + 0.5 * (self.factor - 1)


@dataclass(frozen=True, slots=True)
class Pyramid:
    """The picture's green (or grey) plane, full size first, then ever smaller."""

    levels: tuple[Level, ...]
    searched: tuple[Level, ...]

    @property
    def size(self) -> tuple[int, int]:
        """Width and height of the picture."""
        rows, columns = self.levels[0].plane.shape
        return columns, rows

    @property
    def centre(self) -> tuple[float, float]:
        """The middle of the picture."""
        width, height = self.size
        return (width - 1) / 2, (height - 1) / 2

    @property
    def half_diagonal(self) -> float:
        """From the middle to a corner [px]."""
        return hypot(*self.size) / 2

    def for_period(self, period: float, samples: float) -> Level:
        """Return the smallest size that still gives `samples` pixels to a period of so many pixels of the picture."""
        fitting = [level for level in self.levels if period / level.factor >= samples]
        return fitting[-1] if fitting else self.levels[0]


def bilinear(plane: Plane, x: Floats, y: Floats) -> NDArray[np.float32]:
    """Values of a plane between its pixels; beyond its border, the border's."""
    rows, columns = plane.shape
    x = np.clip(x, 0, columns - 1.001).astype(np.float32)
    y = np.clip(y, 0, rows - 1.001).astype(np.float32)
    column, row = x.astype(np.int32), y.astype(np.int32)
    right, below = x - column, y - row
    upper = plane[row, column] * (1 - right) + plane[row, column + 1] * right
    lower = plane[row + 1, column] * (1 - right) + plane[row + 1, column + 1] * right
    return np.asarray(upper + (lower - upper) * below, np.float32)


def shrunk(plane: Plane, factor: int) -> NDArray[np.float32]:
    """Mean over squares of `factor` pixels; a remainder at the right and below is left out."""
    rows, columns = plane.shape[0] // factor, plane.shape[1] // factor
    exact = np.uint32 if plane.dtype.kind == "u" else np.float32
    narrow = np.uint16 if plane.dtype == np.uint8 and factor <= 16 else exact
    total = np.zeros((rows, columns), narrow)
    for i in range(factor):
        for j in range(factor):
            total += plane[i : i + rows * factor : factor, j : j + columns * factor : factor]
    return total.astype(np.float32) / np.float32(factor * factor)


def pyramid(image: Plane) -> Pyramid:
    """Build the sizes of a picture: full, then one that can be searched whole, then each a third of the one before."""
    plane = image[..., GREEN] if image.ndim == 3 else image
    first = max(1, ceil(sqrt(plane.size / MOST_SEARCHED)))
    searched = [Level(first, shrunk(plane, first) if first > 1 else plane.astype(np.float32))]
    while min(searched[-1].plane.shape) // STEP >= SMALLEST_LEVEL:
        last = searched[-1]
        searched.append(Level(last.factor * STEP, shrunk(last.plane, STEP)))
    full = () if first == 1 else (Level(1, plane),)
    return Pyramid((*full, *searched), tuple(searched))
