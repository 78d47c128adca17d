"""A ruler as a strip of even marks, drawn without blur: its picture, its scale, and its marks as measured."""

import numpy as np
from msgspec.structs import replace
from numpy.typing import NDArray

from closeup_service.measuring.ruler.fit import Fit, fit_scale
from closeup_service.measuring.ruler.marks import Marks, Scale, begin, measure_marks
from closeup_service.measuring.ruler.picture import Pyramid, pyramid
from closeup_service.measuring.ruler.start import SHAPE, Start

PERIOD, LENGTH, WIDTH, HEIGHT = 18.0, 60.0, 720, 360
TURN = np.radians(20)
ALONG = (float(np.cos(TURN)), float(np.sin(TURN)))
MIDDLE = ((WIDTH - 1) / 2, (HEIGHT - 1) / 2)
WINDOW = np.linspace(-0.5, 0.5, SHAPE)
FIRST, LAST = -12, 15


def strip(
    longer: float = 0.0, across: float = 0.0, ends: tuple[float, float] = (LENGTH / 2, LENGTH / 2)
) -> NDArray[np.float32]:
    """Dark marks 18 pixels apart and 60 long; `longer` pixels are added to every fifth at one end."""
    y, x = np.mgrid[0:HEIGHT, 0:WIDTH]
    x, y = x - MIDDLE[0], y - MIDDLE[1]
    along, beside = x * ALONG[0] + y * ALONG[1], y * ALONG[0] - x * ALONG[1] - across
    number = np.rint(along / PERIOD)
    away = np.abs(along - number * PERIOD)
    there = (number >= FIRST) & (number <= LAST)
    end = np.where(beside > 0, ends[1] + longer * (number % 5 == 0), ends[0])
    ink = np.clip(3.5 - away, 0, 1) * np.clip(end + 0.5 - np.abs(beside), 0, 1) * there
    return np.asarray(200 - 150 * ink, np.float32)


def start(period: float = PERIOD) -> Start:
    shape = np.clip(3.5 - np.abs(WINDOW) * period, 0, 1)
    return Start(MIDDLE[0], MIDDLE[1], ALONG, period, LENGTH / 2, shape, True, 1.0)


def scale(first: int = FIRST, last: int = LAST) -> Scale:
    return replace(begin(PICTURE, start()), first=first, last=last, contrast=150.0)


def seen(picture: Pyramid, lines: NDArray[np.float64], one: Scale | None = None) -> Marks:
    one = one or scale()
    return measure_marks(picture, one, np.arange(one.first - 3, one.last + 4), lines, 25)


PICTURE = pyramid(strip())
LINES = np.linspace(-2, 2, 17)


def fitted_to(marks: Marks) -> Fit:
    use = marks.points_on(scale())
    return fit_scale(scale().model, marks.x[use], marks.y[use], np.broadcast_to(marks.numbers, use.shape)[use])
