"""Photographs of what is even but no ruler: combs, pins, fins, teeth, lines of a list, lines drawn by hand."""

from collections.abc import Callable
from math import cos, radians, sin

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from ruler_scenes import Scene, edge, finish, light
from scene_backgrounds import WORDS, Grey

Draw = Callable[[np.random.Generator, Grey, Grey, int, float], Grey]
"""Coverage, 0 to 1, at places along (in periods) and across (in periods), of so many elements, softened by so much."""


def bar(distance: Grey, half: float, soft: float) -> Grey:
    return edge(half - np.abs(distance), np.full(1, soft, np.float32))


def teeth(along: Grey, count: int, half: float, soft: float) -> Grey:
    """Elements at 0 to count - 1, each so many periods to both sides."""
    number = np.clip(np.rint(along), 0, count - 1)
    return bar(along - number, half, soft)


def comb(rng: np.random.Generator, along: Grey, across: Grey, count: int, soft: float) -> Grey:
    length = float(rng.uniform(3, 8))
    tines = teeth(along, count, float(rng.uniform(0.15, 0.3)), soft) * bar(across - length / 2, length / 2, soft)
    spine = bar(across + 0.8, 1.0, soft) * bar(along - (count - 1) / 2, count / 2 + 0.4, soft)
    return np.maximum(tines, spine)


def pin_header(rng: np.random.Generator, along: Grey, across: Grey, count: int, soft: float) -> Grey:
    pins = teeth(along, count, 0.125, soft) * bar(across - 1.2, 1.2, soft)
    body = bar(across + 0.5, 0.5, soft) * bar(along - (count - 1) / 2, count / 2, soft)
    return pins - np.float32(rng.uniform(0.3, 0.9)) * body


def heat_sink(rng: np.random.Generator, along: Grey, across: Grey, count: int, soft: float) -> Grey:
    length = float(rng.uniform(2, 9))
    fins = teeth(along, count, float(rng.uniform(0.18, 0.32)), soft) * bar(across - length / 2, length / 2, soft)
    plate = bar(across - length / 2, length / 2 + 0.5, soft) * bar(along - (count - 1) / 2, count / 2, soft)
    return np.maximum(fins, np.float32(0.35) * plate)


def zip_fastener(rng: np.random.Generator, along: Grey, across: Grey, count: int, soft: float) -> Grey:
    reach = float(rng.uniform(0.8, 1.6))
    left = teeth(along, count, 0.28, soft) * bar(across - reach / 2, reach / 2, soft)
    right = teeth(along - 0.5, count, 0.28, soft) * bar(across + reach / 2 - 0.3, reach / 2, soft)
    return np.maximum(left, right)


def drawn_lines(rng: np.random.Generator, along: Grey, across: Grey, count: int, soft: float) -> Grey:
    length = float(rng.uniform(2, 7))
    ink = np.zeros(along.shape, np.float32)
    for number in range(count):
        at, first, last = number + rng.normal(0, 0.004), rng.normal(0, 0.03 * length), rng.normal(length, 0.04 * length)
        line = bar(along - np.float32(at), 0.07, soft) * bar(
            across - np.float32((first + last) / 2), float(last - first) / 2, soft
        )
        ink = np.maximum(ink, line)
    return ink


def ruled_lines(rng: np.random.Generator, along: Grey, across: Grey, count: int, soft: float) -> Grey:
    """Lines drawn with a ruler: all alike, with straight ends."""
    length = float(rng.uniform(2, 7))
    return teeth(along, count, float(rng.uniform(0.05, 0.15)), soft) * bar(across - length / 2, length / 2, soft)


def list_of_lines(rng: np.random.Generator, along: Grey, across: Grey, count: int, soft: float) -> Grey:
    """Lines of print, one word or more each, one below the other along the row."""
    del soft
    size = 24
    sheet = Image.new("L", (size * 14, size * count), 0)
    pen = ImageDraw.Draw(sheet)
    for line in range(count):
        text = " ".join(rng.choice(WORDS, size=int(rng.integers(1, 4))))
        pen.text((4, line * size), text, fill=255, font_size=18)
    print_ = np.asarray(sheet, np.float32) / 255
    row = np.clip((along + np.float32(0.5)) * size, 0, print_.shape[0] - 1).astype(np.int64)
    column = np.clip(across * size, 0, print_.shape[1] - 1).astype(np.int64)
    on = (along > -0.5) & (along < count - 0.5) & (across > 0) & (across < 14)
    return np.where(on, print_[row, column], 0).astype(np.float32)


PATTERNS: dict[str, tuple[Draw, int, int]] = {
    "comb": (comb, 9, 40),
    "pin header": (pin_header, 6, 24),
    "heat sink": (heat_sink, 8, 24),
    "zip": (zip_fastener, 12, 40),
    "list": (list_of_lines, 7, 16),
    "drawn lines": (drawn_lines, 7, 11),
    "ruled lines": (ruled_lines, 6, 11),
}
"""How each is drawn, and its fewest and most elements."""


def even_pattern(rng: np.random.Generator, kind: str, width: int = 960, height: int = 640) -> NDArray[np.uint8]:
    """A photograph of one of them, turned at will, over most of the frame, dark on light or light on dark."""
    draw, fewest, most = PATTERNS[kind]
    count = int(rng.integers(fewest, most + 1))
    period = float(rng.uniform(0.4, 0.9)) * width / max(count, 10)
    turn = radians(float(rng.uniform(-90, 90)))
    x = np.arange(width, dtype=np.float32) - width / 2 + np.float32(rng.uniform(-0.05, 0.05) * width)
    y = (np.arange(height, dtype=np.float32) - height / 2)[:, None]
    along = ((np.float32(cos(turn)) * x + np.float32(sin(turn)) * y) / period + (count - 1) / 2).astype(np.float32)
    across = ((np.float32(cos(turn)) * y - np.float32(sin(turn)) * x) / period).astype(np.float32)
    soft = float(rng.uniform(0.7, 2.0)) / period
    ink = draw(rng, along, across + np.float32(rng.uniform(0, 1.5)), count, soft)
    ground, mark = (float(rng.uniform(150, 220)), float(rng.uniform(30, 80)))
    if rng.random() < 0.5:
        ground, mark = mark, ground
    canvas = np.float32(ground) + np.float32(mark - ground) * ink
    scene = Scene(
        width,
        height,
        noise=float(rng.uniform(1, 3)),
        slope=float(rng.uniform(-0.2, 0.2)),
        vignetting=float(rng.uniform(0, 0.3)),
        seed=int(rng.integers(1000)),
    )
    light(scene, canvas)
    return finish(scene, canvas, scene.seed)
