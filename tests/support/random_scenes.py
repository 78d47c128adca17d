"""Photographs drawn at random, with a ruler and without one."""

from dataclasses import replace
from math import cos, sin

import numpy as np
from numpy.typing import NDArray

from ruler_scenes import FIVE, HALF, Scale, Scene, finish, light
from scene_backgrounds import box_blur, texture


def drawn(rng: np.random.Generator, width: int = 2048, height: int = 1464) -> Scene:
    """A random photograph of a ruler."""
    kind = rng.choice(["mm", "half", "mm", "five"], p=[0.5, 0.3, 0.1, 0.1])
    base = {"mm": Scale(), "half": HALF, "five": FIVE}[str(kind)]
    scale = replace(
        base,
        width_mm=base.pitch_mm * rng.uniform(0.1, 0.5),
        wider=float(rng.choice([1, 1, 1.3])),
        numeral_height_mm=float(rng.uniform(1.5, 4.5)) * (2 if kind == "five" else 1),
        numerals_every=int(rng.choice([0, base.numerals_every])),
    )
    if scale.width_mm * scale.wider > 0.5 * scale.pitch_mm:
        scale = replace(scale, wider=1.0)
    period = float(np.exp(rng.uniform(np.log(9), np.log(width / 8))))
    ppm = period / scale.pitch_mm
    reach = width / ppm
    tilt = rng.uniform(0, 8) if rng.random() < 0.5 else 0.0
    if rng.random() < 0.5:
        first, last = -1000 * scale.pitch_mm, 1000 * scale.pitch_mm
        middle = rng.uniform(0, 100)
    else:
        length = max(rng.uniform(0.3, 1.0) * reach, 9 * scale.pitch_mm)
        middle = rng.uniform(20, 80)
        first = middle - length * rng.uniform(0.35, 0.65)
        first = round(first / scale.pitch_mm) * scale.pitch_mm - 0.7
        last = first + length
    two = bool(rng.random() < 0.2) and kind != "five"
    strip = (24.0 if two or rng.random() < 0.5 else 14.0) * (2 if kind == "five" else 1)
    across = scale.lengths_mm[0][1] / 2 + rng.uniform(-0.3, 0.3) * height / ppm
    dark = rng.random() < 0.7
    contrast = rng.uniform(0.6, 0.9)
    ground = rng.uniform(150, 225)
    light_on_dark = rng.uniform(40, 90)
    return Scene(
        width,
        height,
        ppm,
        float(rng.uniform(-90, 90)),
        float(middle),
        float(across),
        float(first),
        float(last),
        strip,
        scale,
        (HALF if kind == "mm" else Scale()) if two else None,
        float(tilt),
        float(rng.choice([90.0, 0.0, 60.0])),
        float(rng.uniform(2.0, 8.0) * reach),
        float(rng.uniform(-0.03, 0.02)) if rng.random() < 0.5 else 0.0,
        float(rng.uniform(0.6, max(0.7, min(0.12 * period, 6)))),
        float(rng.uniform(0, 0.12 * period)) if rng.random() < 0.3 else 0.0,
        float(ground if dark else light_on_dark),
        float(ground * (1 - contrast) if dark else min(250, light_on_dark / (1 - contrast))),
        str(rng.choice(["plain", "cloth", "wood", "noise", "knit"])),
        float(rng.uniform(60, 180)),
        float(rng.uniform(5, 30)),
        0.0 if dark else float(rng.uniform(0, 8)),
        float(rng.uniform(1, 5)),
        float(rng.uniform(-0.3, 0.3)),
        float(rng.uniform(0, 0.5)),
        tuple(
            (float(rng.uniform(-1, 1)), float(rng.uniform(0.02, 0.08)), float(rng.uniform(40, 250)))
            for _ in range(int(rng.random() * 2))
        ),
        int(rng.choice([70, 85, 95])) if rng.random() < 0.3 else None,
        bool(rng.random() < 0.3),
        seed=int(rng.integers(0, 1000)),
    )


def without_ruler(rng: np.random.Generator, kind: str, width: int = 1536, height: int = 1024) -> NDArray[np.uint8]:
    """A photograph with no ruler in it: a pattern turned and enlarged at will, with light, noise and blur."""
    sheet = texture(kind, 1600, 2000)
    turn, zoom = rng.uniform(0, 2 * np.pi), rng.uniform(0.7, 3.0)
    x = (np.arange(width, dtype=np.float32) - width / 2) / np.float32(zoom)
    y = (np.arange(height, dtype=np.float32) - height / 2) / np.float32(zoom)
    column = (np.float32(cos(turn)) * x - np.float32(sin(turn)) * y[:, None] + np.float32(rng.uniform(0, 2000))).astype(
        np.int32
    ) % 2000
    row = (np.float32(sin(turn)) * x + np.float32(cos(turn)) * y[:, None] + np.float32(rng.uniform(0, 1600))).astype(
        np.int32
    ) % 1600
    canvas = np.float32(rng.uniform(90, 160)) + np.float32(rng.uniform(10, 80)) * sheet[row, column]
    scene = Scene(
        width,
        height,
        noise=float(rng.uniform(1, 6)),
        slope=float(rng.uniform(-0.3, 0.3)),
        vignetting=float(rng.uniform(0, 0.4)),
        glare=((0.2, 0.05, 150.0),) if rng.random() < 0.3 else (),
        seed=int(rng.integers(1000)),
    )
    if rng.random() < 0.5:
        canvas = box_blur(canvas, int(rng.integers(1, 4)))
    light(scene, canvas)
    return finish(scene, canvas, scene.seed)
