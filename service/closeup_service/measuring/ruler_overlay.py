"""Drawing what was read over the picture."""

from math import ceil, cos, hypot, log10, radians, sin
from typing import Any

import numpy as np
from numpy.typing import NDArray

from closeup_service.measuring.ruler_picture import shrunk
from closeup_service.measuring.ruler_records import Point, RulerReading

Canvas = NDArray[np.uint8]
Colour = tuple[int, int, int]

MARK: Colour = (255, 64, 0)
LINE: Colour = (0, 200, 255)
CENTRE: Colour = (255, 0, 200)
BAR: Colour = (255, 255, 0)
MARK_HALF_LENGTH = 6.0
CROSS_HALF_LENGTH = 12.0
BAR_SHARE = 0.25
"""The scale length is the longest of 1, 2, 5 times a power of ten that fits into this share of the width."""


def draw_overlay(image: NDArray[Any], reading: RulerReading, most_width: int = 1600) -> Canvas:
    """Return the picture in colour, at most `most_width` wide, with marks, line, middle and a scale length drawn over it.

    It is reduced by a whole number, as the mean over squares of pixels. The scale length lies below on the left, in the
    direction of the rows, and is a round number of mm (`scale_length_mm`) at the scale of the middle.
    """
    factor = max(1, ceil(image.shape[1] / most_width))
    canvas = reduced(image, factor)
    small = [
        ((x - (factor - 1) / 2) / factor, (y - (factor - 1) / 2) / factor) for x, y in (*reading.line, reading.centre)
    ]
    stroke(canvas, small[0], small[1], LINE)
    turn = radians(reading.direction_deg)
    across = (MARK_HALF_LENGTH * sin(turn), MARK_HALF_LENGTH * cos(turn))
    for x, y in reading.marks:
        at_x, at_y = (x - (factor - 1) / 2) / factor, (y - (factor - 1) / 2) / factor
        stroke(canvas, (at_x - across[0], at_y - across[1]), (at_x + across[0], at_y + across[1]), MARK)
    x, y = small[2]
    stroke(canvas, (x - CROSS_HALF_LENGTH, y), (x + CROSS_HALF_LENGTH, y), CENTRE)
    stroke(canvas, (x, y - CROSS_HALF_LENGTH), (x, y + CROSS_HALF_LENGTH), CENTRE)
    scale_bar(canvas, reading, factor)
    return canvas


def scale_length_mm(reading: RulerReading, width: int) -> float:
    """Length of the scale that is drawn on a picture of this width [px] (of the picture as it was read)."""
    most = BAR_SHARE * width / reading.pixels_per_mm.value
    power = 10.0 ** int(np.floor(log10(most)))
    return float(next(step * power for step in (5, 2, 1) if step * power <= most * (1 + 1e-9)))


def scale_bar(canvas: Canvas, reading: RulerReading, factor: int) -> None:
    """Draw the scale length, three pixels thick with a stop at each end."""
    height, width = canvas.shape[:2]
    length = scale_length_mm(reading, width * factor) * reading.pixels_per_mm.value / factor
    left, level = 0.04 * width, 0.95 * height
    for row in (-1, 0, 1):
        stroke(canvas, (left, level + row), (left + length, level + row), BAR)
    for end in (left, left + length):
        stroke(canvas, (end, level - 6), (end, level + 6), BAR)


def reduced(image: NDArray[Any], factor: int) -> Canvas:
    """Return the picture as 8-bit colour, reduced by a whole number."""
    channels = [image[..., i] for i in range(3)] if image.ndim == 3 else [image] * 3
    scale = 255 / np.iinfo(image.dtype).max
    kept: dict[int, NDArray[np.uint8]] = {}
    for channel in channels:
        if id(channel) not in kept:
            kept[id(channel)] = np.clip(shrunk(channel, factor) * np.float32(scale) + np.float32(0.5), 0, 255).astype(
                np.uint8
            )
    return np.stack([kept[id(channel)] for channel in channels], axis=2)


def stroke(canvas: Canvas, begin: Point, end: Point, colour: Colour) -> None:
    """Draw a straight line, a pixel wide; what lies beyond the border is left out."""
    count = ceil(2 * hypot(end[0] - begin[0], end[1] - begin[1])) + 1
    x = np.rint(np.linspace(begin[0], end[0], count)).astype(int)
    y = np.rint(np.linspace(begin[1], end[1], count)).astype(int)
    inside = (x >= 0) & (y >= 0) & (x < canvas.shape[1]) & (y < canvas.shape[0])
    canvas[y[inside], x[inside]] = colour
