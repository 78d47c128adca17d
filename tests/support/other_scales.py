"""Photographs of scales that are easily misread: filled blocks, a vernier on its scale, an L-shaped ruler."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from ruler_scenes import Scale, Scene, edge, finish, light, marks, one_colour, plane
from scene_backgrounds import Grey

BENCH = Scene(1152, 800, 24.0, angle_deg=12.0, middle_mm=40.0, noise=2.0)


def seen(scene: Scene) -> tuple[Grey, Grey]:
    """Where on the ruler each pixel looks [mm]."""
    x = np.arange(scene.width, dtype=np.float32) - np.float32((scene.width - 1) / 2)
    y = np.arange(scene.height, dtype=np.float32)[:, None] - np.float32((scene.height - 1) / 2)
    return plane(scene, *np.broadcast_arrays(x, y))


def shown(scene: Scene, ink: Grey) -> NDArray[np.uint8]:
    canvas = np.float32(scene.ground) + np.float32(scene.ink - scene.ground) * ink
    light(scene, canvas)
    return finish(scene, canvas, scene.seed)


def blocks(
    scene: Scene = BENCH, block_mm: float = 1.0, height_mm: float = 3.0, numerals: bool = False
) -> NDArray[np.uint8]:
    """Alternately dark and light blocks on a light ground."""
    along, across = seen(scene)
    blur = np.full(1, max(scene.blur_px, 0.5) / scene.pixels_per_mm, np.float32)
    number = np.rint(along / (2 * block_mm))
    ink = edge(np.float32(block_mm / 2) - np.abs(along - number * np.float32(2 * block_mm)), blur)
    ink = ink * edge(across, blur) * edge(height_mm - across, blur)
    if numerals:
        plain = Scale(block_mm, ((1, height_mm),), 0.0, numerals_every=10, numeral_height_mm=1.8 * block_mm)
        ink = np.maximum(ink, marks(plain, along, across, blur, (-1e3, 1e3)))
    return shown(scene, ink)


def calliper(
    scene: Scene = BENCH, ratio: float = 0.98, begin_mm: float = 25.0, divisions: int = 50
) -> NDArray[np.uint8]:
    """A scale in mm below its edge, and above the edge a vernier that slides on it."""
    along, across = seen(scene)
    blur = np.full(1, max(scene.blur_px, 0.5) / scene.pixels_per_mm, np.float32)
    beam = Scale(1.0, ((1, 3.0), (5, 4.5), (10, 6.0)), 0.2, numerals_every=0)
    slide = Scale(ratio, ((1, 3.0), (5, 4.5)), 0.2, numerals_every=0)
    ends = (-0.5 * ratio, (divisions + 0.5) * ratio)
    ink = marks(beam, along, across, blur, (-1e3, 1e3))
    return shown(scene, ink + marks(slide, along - np.float32(begin_mm), -across, blur, ends))


def l_shaped(scene: Scene = BENCH, upright_px_per_mm: float | None = None) -> NDArray[np.uint8]:
    """Two legs at right angles, which meet at the lower left; the upright one may stand at another scale."""
    level = replace(scene, first_mm=22.0, across_mm=-7.0, strip_mm=10.0, around=scene.ground)
    upright = replace(
        level, angle_deg=scene.angle_deg - 90.0, pixels_per_mm=upright_px_per_mm or scene.pixels_per_mm, across_mm=-10.0
    )
    upright = replace(upright, first_mm=31.0)
    return finish(scene, np.minimum(one_colour(level, 1.0), one_colour(upright, 1.0)), scene.seed)
