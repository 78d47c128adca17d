"""A picture as the search sees it: one plane of grey at several sizes, and sampling anywhere in it."""

from math import ceil, hypot, sqrt
from typing import Protocol

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Pixels = NDArray[np.uint8 | np.uint16]
"""As decoded."""
Plane = NDArray[np.uint8 | np.uint16 | np.float32]
"""As decoded, or made smaller."""

GREEN = 1
MOST_SEARCHED = 7.0e6
"""Pixels of the largest size that is searched as a whole; finer detail is only sampled along a scale already found."""

BLOCK = 64
"""Rows that are made smaller at a time, so that what is between lies in the cache."""

SAMPLES_AT_ONCE = 1 << 14
"""Places between pixels that are looked at together, for the same reason."""

STEP = 3
SMALLEST_LEVEL = 40
"""Each size is smaller than the one before by so much, and none is smaller than so many pixels either way."""


class Picture(Protocol):
    """A decoded picture, upright: one plane of grey or three of red, green and blue, fetched as far as they are wanted."""

    @property
    def shape(self) -> tuple[int, ...]:
        """Rows, columns, and in colour 3."""

    @property
    def dtype(self) -> np.dtype[np.uint8 | np.uint16 | np.float32]:
        """Kind of the values: 8 or 16 bits."""

    def plane(self) -> Plane:
        """Return the whole of green, or of grey."""

    def part(self, channel: int, rows: slice, columns: slice) -> Plane:
        """Some of the rows and columns of one colour."""


class InMemory(Struct, frozen=True):
    """A picture in colour or grey that lies in memory as one array."""

    image: Plane

    @property
    def shape(self) -> tuple[int, ...]:
        """Rows, columns, and in colour 3."""
        return self.image.shape

    @property
    def dtype(self) -> np.dtype[np.uint8 | np.uint16 | np.float32]:
        """Kind of the values."""
        return self.image.dtype

    def plane(self) -> Plane:
        """Return the whole of green, or of grey."""
        return np.ascontiguousarray(self.image[..., GREEN] if self.image.ndim == 3 else self.image)

    def part(self, channel: int, rows: slice, columns: slice) -> Plane:
        """Some of the rows and columns of one colour."""
        part = self.image[rows, columns]
        return part[..., channel] if part.ndim == 3 else part


class Level(Struct, frozen=True):
    """A plane of which every pixel is the mean of `factor` x `factor` pixels of the picture."""

    factor: int
    plane: Plane

    def sample(self, x: Floats, y: Floats) -> NDArray[np.float32]:
        """Values at places in pixels of the picture, bilinear; beyond the border, the border's."""
        return bilinear(self.plane, self.to_level(x), self.to_level(y))

    def to_level(self, place: Floats) -> Floats:
        """Pixels of this level for pixels of the picture, along one axis."""
        return (place - 0.5 * (self.factor - 1)) / self.factor

    def to_picture(self, place: Floats) -> Floats:
        """Pixels of the picture for pixels of this level, along one axis."""
        return place * self.factor + 0.5 * (self.factor - 1)


class Pyramid(Struct, frozen=True):
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

    def choose_level(self, period: float, samples: float) -> Level:
        """Return the smallest size that still gives `samples` pixels to a period of so many pixels of the picture.

        Parameters
        ----------
        period : [px of the picture]
        samples : least number of pixels of the level to a period
        """
        fitting = [level for level in self.levels if period / level.factor >= samples]
        return fitting[-1] if fitting else self.levels[0]


def bilinear(plane: Plane, x: Floats, y: Floats) -> NDArray[np.float32]:
    """Values of a plane between its pixels; beyond its border, the border's.

    Parameters
    ----------
    plane : shape (rows, columns)
    x, y : places [px], of shapes that broadcast

    Returns
    -------
    array : grey steps, of the common shape of x and y
    """
    x, y = np.broadcast_arrays(x, y)
    values = np.empty(x.shape, np.float32)
    step = max(1, SAMPLES_AT_ONCE * len(x) // max(1, x.size))
    for first in range(0, len(x), step):
        some = slice(first, first + step)
        values[some] = interpolate(plane, x[some], y[some])
    return values


def interpolate(plane: Plane, x: Floats, y: Floats) -> NDArray[np.float32]:
    """Values of a plane between its pixels, all at once.

    Parameters
    ----------
    plane : shape (rows, columns)
    x, y : places [px of the plane], of one shape

    Returns
    -------
    array : grey steps, of that shape
    """
    rows, columns = plane.shape
    x = np.clip(x, 0, columns - 1.001).astype(np.float32)
    y = np.clip(y, 0, rows - 1.001).astype(np.float32)
    column, row = x.astype(np.int32), y.astype(np.int32)
    right, below = x - column, y - row
    left = 1 - right
    values, place = plane.reshape(-1), row.astype(np.intp) * columns + column
    upper = values.take(place) * left + values.take(place + 1) * right
    place += columns
    lower = values.take(place) * left + values.take(place + 1) * right
    return np.asarray(upper + (lower - upper) * below, np.float32)


def shrink(plane: Plane, factor: int) -> NDArray[np.float32]:
    """Mean over squares of `factor` pixels; a remainder at the right and below is left out.

    Parameters
    ----------
    plane : shape (rows, columns)
    factor : pixels to one, each way

    Returns
    -------
    array : shape (rows // factor, columns // factor)
    """
    rows, columns = plane.shape[0] // factor, plane.shape[1] // factor
    small = np.empty((rows, columns), np.float32)
    for top in range(0, rows, BLOCK):
        bottom = min(top + BLOCK, rows)
        total = total_of_squares(plane[top * factor : bottom * factor, : columns * factor], factor)
        np.divide(total, np.float32(factor * factor), out=small[top:bottom], dtype=np.float32)
    return small


def total_of_squares(plane: Plane, factor: int) -> NDArray[np.uint16 | np.uint32 | np.float32]:
    """Total over squares of `factor` pixels; of whole numbers exact."""
    exact = np.uint32 if plane.dtype.kind == "u" else np.float32
    kind = np.uint16 if plane.dtype == np.uint8 and factor <= 16 else exact
    rows = np.zeros((plane.shape[0] // factor, plane.shape[1]), kind)
    for i in range(factor):
        rows += plane[i::factor]
    total = np.zeros((rows.shape[0], rows.shape[1] // factor), kind)
    for j in range(factor):
        total += rows[:, j::factor]
    return total


def pyramid(image: Plane | Picture) -> Pyramid:
    """Build the sizes of a picture: full, then one that can be searched whole, then each a third of the one before.

    Parameters
    ----------
    image : grey (rows, columns) or colour (rows, columns, 3), of which green is taken

    Returns
    -------
    Pyramid : levels of the picture, the finest first
    """
    plane = as_picture(image).plane()
    first = max(1, ceil(sqrt(plane.size / MOST_SEARCHED)))
    searched = [Level(first, shrink(plane, first) if first > 1 else plane.astype(np.float32))]
    while min(searched[-1].plane.shape) // STEP >= SMALLEST_LEVEL:
        last = searched[-1]
        searched.append(Level(last.factor * STEP, shrink(last.plane, STEP)))
    full = () if first == 1 else (Level(1, plane),)
    return Pyramid((*full, *searched), tuple(searched))


def as_picture(image: Plane | Picture) -> Picture:
    """Picture of an array, or what is one already."""
    return InMemory(image) if isinstance(image, np.ndarray) else image
