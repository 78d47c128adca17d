"""Drawing lines into a picture: bright ones with dark edges, which show on light and on dark ground."""

from collections.abc import Sequence
from math import ceil, hypot

import numpy as np
from numpy.typing import NDArray

from closeup_service.measuring.ruler.records import Point

Canvas = NDArray[np.uint8]
Colour = tuple[int, int, int]
Line = tuple[Point, Point]

EDGE: Colour = (16, 20, 18)
EDGE_THICKNESS = 1.0
SHOWN_PX = 360.0
"""Width at which a picture is shown on a narrow screen."""


def unit_of(canvas: Canvas) -> float:
    """Pixels of the drawing that make one where it is shown on a narrow screen."""
    return max(1.0, int(canvas.shape[1]) / SHOWN_PX)


def draw_lines(canvas: Canvas, lines: Sequence[Line], colour: Colour, thickness: float) -> None:
    """Draw lines of one colour with dark edges; no edge covers a line."""
    edge = min(EDGE_THICKNESS * unit_of(canvas), thickness / 2)
    for begin, end in lines:
        draw_line(canvas, *lengthen(begin, end, edge), EDGE, thickness + 2 * edge)
    for begin, end in lines:
        draw_line(canvas, begin, end, colour, thickness)


def lengthen(begin: Point, end: Point, more: float) -> Line:
    """Line that reaches further at both ends."""
    dx, dy = end[0] - begin[0], end[1] - begin[1]
    share = more / (hypot(dx, dy) or 1.0)
    return (begin[0] - share * dx, begin[1] - share * dy), (end[0] + share * dx, end[1] + share * dy)


def draw_line(canvas: Canvas, begin: Point, end: Point, colour: Colour, thickness: float) -> None:
    """Draw a straight line of a thickness, as strokes side by side."""
    length = hypot(end[0] - begin[0], end[1] - begin[1]) or 1.0
    aside = (end[1] - begin[1]) / length, (begin[0] - end[0]) / length
    reach = max(0.0, (thickness - 0.5) / 2)
    for off in np.linspace(-reach, reach, 2 * ceil(2 * reach) + 1):
        x, y = off * aside[0], off * aside[1]
        stroke(canvas, (begin[0] + x, begin[1] + y), (end[0] + x, end[1] + y), colour)


def stroke(canvas: Canvas, begin: Point, end: Point, colour: Colour) -> None:
    """Draw a straight line, a pixel wide; what lies beyond the border is left out."""
    count = ceil(2 * hypot(end[0] - begin[0], end[1] - begin[1])) + 1
    x = np.rint(np.linspace(begin[0], end[0], count)).astype(int)
    y = np.rint(np.linspace(begin[1], end[1], count)).astype(int)
    inside = (x >= 0) & (y >= 0) & (x < canvas.shape[1]) & (y < canvas.shape[0])
    canvas[y[inside], x[inside]] = colour
