"""Pixels that a decoder holds, fetched upright and only as far as they are wanted.

A decoder keeps a colour picture with four bytes a pixel. Beside it only green lies in memory as a plane of its own; red and
blue are taken from the decoder where the marks are, or a band of rows at a time.
"""

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from closeup_service.measuring.ruler.picture import GREEN, Pixels

Box = tuple[int, int, int, int]
"""Left, top, and right and bottom, which lie just beyond."""

BAND_PIXELS = 1 << 20
"""Pixels that are fetched at a time."""

EVERYTHING = slice(None)


@dataclass(frozen=True, slots=True)
class Source:
    """Pixels as stored: channels and their type, width and height, orientation (EXIF, 1 to 8), and those within a box.

    `of_channel` gives one channel within a box where that is quicker than by way of all of them.
    """

    channels: int
    kind: type[np.uint8 | np.uint16]
    size: tuple[int, int]
    orientation: int
    pixels: Callable[[Box], Pixels]
    of_channel: Callable[[Box, int], Pixels] | None = None

    def within(self, box: Box, channel: int | None) -> Pixels:
        """Pixels within a box: all channels, or one."""
        if channel is None or self.channels == 1:
            return self.pixels(box)
        return self.of_channel(box, channel) if self.of_channel else self.pixels(box)[..., channel]


@dataclass(frozen=True, slots=True)
class StoredPicture:
    """A picture, upright, whose pixels a decoder holds."""

    source: Source
    _green: Pixels = field(init=False)

    def __post_init__(self) -> None:
        """Fetch green, or grey: what the search goes through many times."""
        object.__setattr__(self, "_green", self._filled(EVERYTHING, EVERYTHING, GREEN))

    @property
    def shape(self) -> tuple[int, ...]:
        """Rows, columns, and in colour 3."""
        width, height = self.source.size
        sides = (width, height) if is_turned(self.source.orientation) else (height, width)
        return sides if self.source.channels == 1 else (*sides, self.source.channels)

    @property
    def dtype(self) -> np.dtype[np.uint8 | np.uint16]:
        """Kind of the values."""
        return np.dtype(self.source.kind)

    def plane(self) -> Pixels:
        """Return the whole of green, or of grey."""
        return self._green

    def part(self, channel: int, rows: slice, columns: slice) -> Pixels:
        """Some of the rows and columns of one colour."""
        if channel == GREEN or self.source.channels == 1:
            return self._green[rows, columns]
        return self._filled(rows, columns, channel)

    def pixels(self) -> Pixels:
        """All pixels as one array."""
        return self._filled(EVERYTHING, EVERYTHING, None)

    def _filled(self, rows: slice, columns: slice, channel: int | None) -> Pixels:
        """Fetch a band of rows at a time, so that hardly more than the result is in memory."""
        extents = [each.indices(side)[:2] for each, side in zip((rows, columns), self.shape, strict=False)]
        sides = tuple(end - begin for begin, end in extents)
        upright = np.empty(sides if channel is not None else (*sides, *self.shape[2:]), self.source.kind)
        stored = as_stored(upright, self.source.orientation)
        left, top, right, bottom = box_as_stored(extents[0], extents[1], self.source)
        step = max(1, BAND_PIXELS // max(1, right - left))
        for row in range(top, bottom, step):
            end = min(row + step, bottom)
            stored[row - top : end - top] = self.source.within((left, row, right, end), channel)
        return upright


def is_turned(orientation: int) -> bool:
    """Whether rows are stored as columns (EXIF 2.3, Orientation)."""
    return orientation >= 5


def flips(orientation: int) -> tuple[bool, bool]:
    """Whether the stored rows, and the stored columns, run against those seen."""
    return orientation in (3, 4, 6, 7), orientation in (2, 3, 7, 8)


def as_stored(upright: Pixels, orientation: int) -> Pixels:
    """Rows and columns as stored, of those as seen, as another view of the same memory."""
    stored = upright.swapaxes(0, 1) if is_turned(orientation) else upright
    rows, columns = (slice(None, None, -1) if flipped else EVERYTHING for flipped in flips(orientation))
    return stored[rows, columns]


def box_as_stored(rows: tuple[int, int], columns: tuple[int, int], source: Source) -> Box:
    """Box in the file, of rows and columns as seen."""
    width, height = source.size
    if is_turned(source.orientation):
        rows, columns = columns, rows
    flipped_rows, flipped_columns = flips(source.orientation)
    top, bottom = (height - rows[1], height - rows[0]) if flipped_rows else rows
    left, right = (width - columns[1], width - columns[0]) if flipped_columns else columns
    return left, top, right, bottom
