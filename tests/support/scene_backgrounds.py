"""What photographs of rulers are taken before: patterns without a ruler, grain, and how both are blurred."""

from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

Grey = NDArray[np.floating[Any]]
PATTERNS = ("plain", "cloth", "knit", "wood", "noise", "brick", "checkerboard", "stripes", "text", "corduroy")
WORDS = (
    "the", "marks", "of", "a", "scale", "stand", "at", "even", "distances",
    "but", "those", "of", "a", "line", "of", "print", "do", "not",
)  # fmt: skip


@lru_cache(maxsize=24)
def texture(kind: str, height: int, width: int) -> Any:  # noqa: C901, PLR0911
    """Background of unit size (about -1 to 1), from fixed seeds."""
    rng = np.random.default_rng([ord(letter) for letter in kind])
    y, x = np.mgrid[0:height, 0:width].astype(np.float32)
    if kind == "cloth":
        return (np.sin(x * 0.62 + 0.5 * np.sin(y * 0.013)) * np.sin(y * 0.57 + 0.5 * np.sin(x * 0.011))).astype(
            np.float32
        )
    if kind == "knit":
        return (np.sin(x * 0.30) * np.cos(y * 0.36 + 2 * np.abs(np.sin(x * 0.15)))).astype(np.float32)
    if kind == "corduroy":
        return (np.abs(np.sin(x * 0.16 + 0.02 * np.sin(y * 0.02))) * 2 - 1).astype(np.float32)
    if kind == "wood":
        rings = 0.05 * x + 0.004 * y + 3 * np.sin(0.0021 * y + 0.3) + np.sin(0.013 * x)
        fibre = rng.normal(size=width).astype(np.float32)
        return (0.6 * np.sin(rings * 2) + 0.4 * fibre[None, :]).astype(np.float32)
    if kind == "noise":
        coarse = rng.normal(size=(height // 4 + 1, width // 4 + 1)).astype(np.float32)
        return np.repeat(np.repeat(coarse, 4, 0), 4, 1)[:height, :width]
    if kind == "brick":
        row = np.floor(y / 90)
        joint = ((y % 90) < 9) | (((x + 110 * (row % 2)) % 220) < 9)
        return np.where(joint, 1.0, -0.3).astype(np.float32)
    if kind == "checkerboard":
        return np.where((np.floor(x / 60) + np.floor(y / 60)) % 2, 1.0, -1.0).astype(np.float32)
    if kind == "stripes":
        edges = np.cumsum(rng.uniform(8, 90, size=4000))
        return np.where(np.searchsorted(edges, x[0]) % 2, 1.0, -1.0).astype(np.float32)[None, :].repeat(height, 0)
    if kind == "text":
        sheet = Image.new("L", (width, height), 255)
        pen = ImageDraw.Draw(sheet)
        for line in range(height // 26):
            pen.text((20, 26 * line), " ".join(rng.choice(WORDS, size=width // 30)), fill=0, font_size=20)
        return (np.asarray(sheet, np.float32) - 128) / 128
    return np.zeros((height, width), np.float32)


@lru_cache(maxsize=4)
def grain(height: int, width: int) -> Grey:
    return np.random.default_rng(7).normal(size=(height, width)).astype(np.float32)


def box_blur(picture: Grey, radius: int) -> Grey:
    """Two running means a direction."""
    for axis in (0, 1):
        for _ in range(2):
            padded = np.pad(picture, [(radius + 1, radius) if side == axis else (0, 0) for side in (0, 1)], mode="edge")
            total = np.cumsum(padded, axis=axis, dtype=np.float64)
            size = picture.shape[axis]
            upper = np.take(total, range(2 * radius + 1, 2 * radius + 1 + size), axis=axis)
            picture = ((upper - np.take(total, range(size), axis=axis)) / (2 * radius + 1)).astype(np.float32)
    return picture
