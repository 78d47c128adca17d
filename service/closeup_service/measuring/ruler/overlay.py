"""Drawing what was read over the picture."""

from math import ceil, cos, hypot, radians, sin

import numpy as np
from numpy.typing import NDArray

from closeup_service.measuring.ruler.picture import GREEN, Picture, Plane, as_picture, shrink
from closeup_service.measuring.ruler.records import Point, RulerReading
from closeup_service.measuring.scale_bar import round_length

Canvas = NDArray[np.uint8]
Colour = tuple[int, int, int]

MARK: Colour = (255, 64, 0)
LINE: Colour = (0, 200, 255)
CENTRE: Colour = (255, 0, 200)
BAR: Colour = (255, 255, 0)
MARK_HALF_LENGTH = 6.0
CROSS_HALF_LENGTH = 12.0
BAND = 64
"""Rows of the drawing that are made at a time."""

BAR_SHARE = 0.25
"""The scale length is the longest round one that fits into this share of the width."""


def draw_overlay(image: Plane | Picture, reading: RulerReading, most_px: int = 1600) -> Canvas:
    """Return the picture in colour, at most `most_px` either way, with marks, line, middle and a scale length drawn over it.

    It is reduced by a whole number, as the mean over squares of pixels. The scale length lies below on the left, in the
    direction of the rows, and is a round number of mm (`scale_length_mm`) at the scale of the middle.

    Parameters
    ----------
    image : grey (rows, columns) or colour (rows, columns, 3), 8 or 16 bits
    reading : of that picture [px of it]
    most_px : greatest width and height of the result [px]

    Returns
    -------
    array : 8-bit colour, shape (rows, columns, 3)
    """
    factor = max(1, ceil(max(image.shape[:2]) / most_px))
    canvas = reduce_picture(image, factor)

    def canvas_place(place: Point) -> Point:
        x, y = ((each - (factor - 1) / 2) / factor for each in place)
        return x, y

    stroke(canvas, canvas_place(reading.line[0]), canvas_place(reading.line[1]), LINE)
    turn = radians(reading.direction_deg)
    across = (MARK_HALF_LENGTH * sin(turn), MARK_HALF_LENGTH * cos(turn))
    for x, y in map(canvas_place, reading.marks):
        stroke(canvas, (x - across[0], y - across[1]), (x + across[0], y + across[1]), MARK)
    x, y = canvas_place(reading.centre)
    stroke(canvas, (x - CROSS_HALF_LENGTH, y), (x + CROSS_HALF_LENGTH, y), CENTRE)
    stroke(canvas, (x, y - CROSS_HALF_LENGTH), (x, y + CROSS_HALF_LENGTH), CENTRE)
    draw_bar(canvas, reading, factor)
    return canvas


def scale_length_mm(reading: RulerReading, width: int) -> float:
    """Length of the scale that is drawn on a picture of this width [px] (of the picture as it was read).

    Parameters
    ----------
    reading : with the scale in the middle [px/mm]
    width : of the picture [px]

    Returns
    -------
    float : [mm]
    """
    return round_length(BAR_SHARE * width / reading.pixels_per_mm.value)


def draw_bar(canvas: Canvas, reading: RulerReading, factor: int) -> None:
    """Draw the scale length, three pixels thick with a stop at each end."""
    height, width = canvas.shape[:2]
    length = scale_length_mm(reading, width * factor) * reading.pixels_per_mm.value / factor
    left, level = 0.04 * width, 0.95 * height
    for row in (-1, 0, 1):
        stroke(canvas, (left, level + row), (left + length, level + row), BAR)
    for end in (left, left + length):
        stroke(canvas, (end, level - 6), (end, level + 6), BAR)


def reduce_picture(image: Plane | Picture, factor: int) -> Canvas:
    """Return the picture as 8-bit colour, reduced by a whole number, a band of rows at a time."""
    picture = as_picture(image)
    rows, columns = (side // factor for side in picture.shape[:2])
    scale, half = np.float32(255 / np.iinfo(picture.dtype.name).max), np.float32(0.5)
    channels = range(3) if len(picture.shape) == 3 else [GREEN] * 3
    canvas = np.empty((rows, columns, 3), np.uint8)
    for top in range(0, rows, BAND):
        bottom = min(top + BAND, rows)
        for place, channel in enumerate(channels):
            band = picture.part(channel, slice(top * factor, bottom * factor), slice(0, columns * factor))
            canvas[top:bottom, :, place] = np.clip(shrink(band, factor) * scale + half, 0, 255)
    return canvas


def stroke(canvas: Canvas, begin: Point, end: Point, colour: Colour) -> None:
    """Draw a straight line, a pixel wide; what lies beyond the border is left out."""
    count = ceil(2 * hypot(end[0] - begin[0], end[1] - begin[1])) + 1
    x = np.rint(np.linspace(begin[0], end[0], count)).astype(int)
    y = np.rint(np.linspace(begin[1], end[1], count)).astype(int)
    inside = (x >= 0) & (y >= 0) & (x < canvas.shape[1]) & (y < canvas.shape[0])
    canvas[y[inside], x[inside]] = colour
