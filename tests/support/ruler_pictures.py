"""Invented photographs of rulers, drawn for examples and tests: `python tests/support/ruler_pictures.py FOLDER`.

A steel rule lies slanting across the frame, dark marks of three lengths each 0.5 mm, a little out of focus towards the right.
"""

import sys
from functools import cache
from io import BytesIO
from math import cos, radians, sin
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image

Floats = NDArray[np.float64]

PITCH_MM = 0.5
WIDTH, HEIGHT = 1500, 1000
PIXELS_PER_MM = 100.0
DIRECTION_DEG = 8.0
LENGTHS_MM = ((1, 3.0), (2, 4.2), (10, 6.0))
"""Length of every mark, of every second and of every tenth."""


def steps(distance: Floats, blur: Floats | float) -> Floats:
    """Edge at distance 0, softened over `blur`."""
    softened: Floats = np.clip(0.5 + distance / blur, 0, 1)
    return softened


def ruler(
    width: int = WIDTH,
    height: int = HEIGHT,
    pixels_per_mm: float = PIXELS_PER_MM,
    direction_deg: float = DIRECTION_DEG,
    blur_px: float = 2.0,
    blur_growth_px: float = 3.0,
) -> Floats:
    """Brightness from 0 to 1, the scale in the middle being as given."""
    x = np.arange(width) - (width - 1) / 2
    y = (np.arange(height) - (height - 1) / 2)[:, None]
    turn = radians(direction_deg)
    along = (x * cos(turn) - y * sin(turn)) / pixels_per_mm + 100.0
    across = (x * sin(turn) + y * cos(turn)) / pixels_per_mm + 2.5
    blur = (blur_px + blur_growth_px * np.clip(x / (width / 2), 0, 1)) / pixels_per_mm
    number = np.rint(along / PITCH_MM).astype(int)
    length = np.zeros(along.shape)
    for every, mm in LENGTHS_MM:
        length[number % every == 0] = mm
    ink = steps(0.06 - np.abs(along - number * PITCH_MM), blur) * steps(across, blur) * steps(length - across, blur)
    on_the_rule = steps(across + 1.0, blur) * steps(12.0 - across, blur)
    light = 1 - 0.1 * (x / width) ** 2 - 0.1 * (y / height) ** 2
    found: Floats = light * (0.25 + on_the_rule * (0.55 - 0.55 * ink))
    return found


def as_pixels(brightness: Floats, bits: int = 8, colour: bool = True, seed: int = 5) -> NDArray[Any]:
    """Pixels with a little noise, warm where they are in colour."""
    noise = np.random.default_rng(seed).normal(scale=0.006, size=brightness.shape)
    grey = np.clip(brightness + noise, 0, 1)
    tinted: Floats = np.stack([grey * 0.98, grey * 0.93, grey * 0.85], axis=2) if colour else grey
    pixels: NDArray[Any] = np.rint(tinted * (2**bits - 1)).astype(np.uint8 if bits == 8 else np.uint16)
    return pixels


def jpeg(pixels: NDArray[Any], **options: Any) -> bytes:
    """File of the pixels."""
    written = BytesIO()
    Image.fromarray(pixels).save(written, "JPEG", quality=90, **options)
    return written.getvalue()


@cache
def pictures() -> dict[str, bytes]:
    """Photographs that the documented examples send, by their names."""
    return {
        "ruler.jpg": jpeg(as_pixels(ruler())),
        "ruler-f8.jpg": jpeg(as_pixels(ruler(), seed=6)),
        "ruler-f4.jpg": jpeg(as_pixels(ruler(blur_px=4.0, blur_growth_px=7.0), seed=7)),
    }


def draw(folder: Path) -> None:
    """Write the example photographs."""
    for name, content in pictures().items():
        (folder / name).write_bytes(content)


if __name__ == "__main__":
    draw(Path(sys.argv[1]))
