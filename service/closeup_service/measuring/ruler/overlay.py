"""Drawing what was read over the picture."""

from collections.abc import Iterable, Sequence
from itertools import pairwise
from math import ceil, cos, hypot, radians, sin

import numpy as np

from closeup_service.measuring.ruler.pen import Canvas, Colour, Line, draw_lines, unit_of
from closeup_service.measuring.ruler.picture import GREEN, Picture, Plane, as_picture, shrink
from closeup_service.measuring.ruler.records import Point, RulerReading
from closeup_service.measuring.scale_bar import round_length

MARK: Colour = (255, 150, 0)
LINE: Colour = (0, 200, 255)
CENTRE: Colour = (255, 0, 200)
BAR: Colour = (255, 255, 0)
MARK_HALF_LENGTH = 6.0
CROSS_HALF_LENGTH = 12.0
STOP_HALF_LENGTH = 6.0
THICKNESS = 2.0
"""Lengths in pixels of a narrow screen on which the picture is shown."""
MARK_SHARE = 0.4
"""A mark is at most as thick as this share of the way to the next, so that both can be told apart."""
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

    unit = unit_of(canvas)
    line = canvas_place(reading.line[0]), canvas_place(reading.line[1])
    marks = [canvas_place(each) for each in reading.marks]
    draw_lines(canvas, [line], LINE, THICKNESS * unit)
    draw_lines(canvas, crossing(marks, reading.direction_deg, unit), MARK, mark_thickness(marks, unit))
    draw_lines(canvas, cross(canvas_place(reading.centre), unit), CENTRE, THICKNESS * unit)
    draw_bar(canvas, reading, factor)
    return canvas


def crossing(marks: Iterable[Point], direction_deg: float, unit: float) -> list[Line]:
    """Lines across the direction of the ruler through its marks."""
    turn, half = radians(direction_deg), MARK_HALF_LENGTH * unit
    across = (half * sin(turn), half * cos(turn))
    return [((x - across[0], y - across[1]), (x + across[0], y + across[1])) for x, y in marks]


def mark_thickness(marks: Sequence[Point], unit: float) -> float:
    """Thickness of the marks, which leaves room between neighbours."""
    apart = [hypot(x2 - x1, y2 - y1) for (x1, y1), (x2, y2) in pairwise(marks)]
    return min([THICKNESS * unit, *(MARK_SHARE * each for each in apart)])


def cross(centre: Point, unit: float) -> list[Line]:
    """Two lines through the middle."""
    (x, y), half = centre, CROSS_HALF_LENGTH * unit
    return [((x - half, y), (x + half, y)), ((x, y - half), (x, y + half))]


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
    """Draw the scale length with a stop at each end."""
    height, width = canvas.shape[:2]
    unit = unit_of(canvas)
    length = scale_length_mm(reading, width * factor) * reading.pixels_per_mm.value / factor
    left, level, stop = 0.04 * width, 0.95 * height, STOP_HALF_LENGTH * unit
    ends = [((x, level - stop), (x, level + stop)) for x in (left, left + length)]
    draw_lines(canvas, [((left, level), (left + length, level)), *ends], BAR, THICKNESS * unit)


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
