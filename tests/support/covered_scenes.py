"""Photographs of rulers of which something hides a part: a clamp, fingers, a specimen; or that show a short piece only."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ruler_scenes import HALF, INCH, Scale, Scene, edge, finish, light, one_colour, plane
from scene_backgrounds import Grey

TENTH = Scale(0.1, ((1, 0.35), (5, 0.5), (10, 0.65)), 0.02, numerals_every=10, numeral_height_mm=0.25)
THIRTY_SECOND = Scale(25.4 / 32, ((1, 1.6), (2, 2.2), (4, 2.9), (8, 3.7), (16, 4.5), (32, 5.5)), 0.14)
SCALES = (Scale(), Scale(), HALF, HALF, INCH, TENTH, THIRTY_SECOND)
FEWEST_CLEAR = 11
LEAST_RUN = 0.18


@dataclass(frozen=True)
class Cover:
    """What lies over the ruler: a rounded or cornered patch about a place, with half its lengths, all in mm."""

    kind: str
    along_mm: float
    across_mm: float
    half_along_mm: float
    half_across_mm: float
    grey: float

    def amount(self, along: Grey, across: Grey, blur_mm: float) -> Grey:
        power = {"clamp": 12.0, "finger": 4.0, "specimen": 2.0}[self.kind]
        u = np.abs((along - np.float32(self.along_mm)) / np.float32(self.half_along_mm))
        v = np.abs((across - np.float32(self.across_mm)) / np.float32(self.half_across_mm))
        near = (np.minimum(u, 4) ** np.float32(power) + np.minimum(v, 4) ** np.float32(power)) ** np.float32(1 / power)
        return edge((1 - near) * np.float32(self.half_along_mm), np.full(1, blur_mm, np.float32))

    def reaches(self) -> tuple[float, float]:
        return self.along_mm - self.half_along_mm, self.along_mm + self.half_along_mm


def covered(scene: Scene, covers: tuple[Cover, ...]) -> NDArray[np.uint8]:
    """The photograph with what lies over the ruler, in grey."""
    canvas = one_colour(replace(scene, slope=0.0, vignetting=0.0, glare=()), 1.0)
    x = np.arange(scene.width, dtype=np.float32) - np.float32((scene.width - 1) / 2)
    y = np.arange(scene.height, dtype=np.float32)[:, None] - np.float32((scene.height - 1) / 2)
    along, across = plane(scene, *np.broadcast_arrays(x, y))
    rng = np.random.default_rng(scene.seed)
    for cover in covers:
        amount = cover.amount(along, across, 3 * max(scene.blur_px, 1.0) / scene.pixels_per_mm)
        skin = np.float32(cover.grey) + np.float32(25) * np.sin(
            along * np.float32(rng.uniform(0.3, 2) / cover.half_along_mm) + across
        )
        canvas += amount * (skin.astype(np.float32) - canvas)
    light(scene, canvas)
    return finish(scene, canvas, scene.seed)


def drawn_covered(rng: np.random.Generator, width: int = 1152, height: int = 800) -> tuple[Scene, tuple[Cover, ...]]:
    """A random ruler, in turn hidden in one place, in several, or only a short piece; enough of its marks stay clear."""
    while True:
        scene = bare(rng, width, height)
        kind = rng.choice(["one", "several", "short", "short and one"], p=[0.35, 0.3, 0.2, 0.15])
        reach = width / scene.pixels_per_mm
        if str(kind).startswith("short"):
            length = max(rng.uniform(0.20, 0.36) * reach, (FEWEST_CLEAR + 1.5) * scene.scale.pitch_mm)
            first = scene.middle_mm - length * rng.uniform(0.2, 0.8)
            first = round(first / scene.scale.pitch_mm) * scene.scale.pitch_mm - 0.4 * scene.scale.pitch_mm
            scene = replace(scene, first_mm=float(first), last_mm=float(first + length))
        number = {"one": 1, "several": int(rng.integers(2, 4)), "short": 0, "short and one": 1}[str(kind)]
        covers = tuple(one_cover(rng, scene, reach, kind == "short and one") for _ in range(number))
        clear = clear_marks(scene, covers)
        if len(clear) >= FEWEST_CLEAR and np.ptp(clear) * scene.scale.pitch_mm >= LEAST_RUN * reach:
            return scene, covers


def bare(rng: np.random.Generator, width: int, height: int) -> Scene:
    base = SCALES[int(rng.integers(len(SCALES)))]
    scale = replace(
        base,
        width_mm=base.pitch_mm * float(rng.uniform(0.12, 0.4)),
        numerals_every=base.numerals_every if rng.random() < 0.7 else 0,
    )
    period = float(np.exp(rng.uniform(np.log(9), np.log(width / 24))))
    ppm = period / scale.pitch_mm
    dark = rng.random() < 0.7
    ground = float(rng.uniform(150, 225))
    pale = float(rng.uniform(40, 80))
    return Scene(
        width,
        height,
        ppm,
        float(rng.uniform(-90, 90)),
        float(rng.uniform(20, 80) * scale.pitch_mm),
        float(scale.lengths_mm[0][1] * 0.5 + rng.uniform(-0.2, 0.2) * height / ppm),
        -400 * scale.pitch_mm,
        500 * scale.pitch_mm,
        float(scale.lengths_mm[-1][1] * rng.uniform(2.0, 4.0)) + 1,
        scale,
        None,
        float(rng.uniform(0, 6)) if rng.random() < 0.4 else 0.0,
        float(rng.choice([90.0, 0.0, 60.0])),
        float(rng.uniform(2.0, 8.0) * width / ppm),
        float(rng.uniform(-0.02, 0.015)) if rng.random() < 0.4 else 0.0,
        float(rng.uniform(0.6, max(0.7, min(0.1 * period, 4)))),
        0.0,
        ground if dark else pale,
        float(ground * rng.uniform(0.1, 0.4)) if dark else float(rng.uniform(150, 240)),
        str(rng.choice(["plain", "cloth", "wood", "noise", "knit"])),
        float(rng.uniform(60, 180)),
        float(rng.uniform(5, 25)),
        noise=float(rng.uniform(1, 5)),
        slope=float(rng.uniform(-0.3, 0.3)),
        vignetting=float(rng.uniform(0, 0.5)),
        seed=int(rng.integers(0, 1000)),
    )


def one_cover(rng: np.random.Generator, scene: Scene, reach: float, on_piece: bool) -> Cover:
    """Over the whole breadth of the marks, anywhere on the ruler that is seen."""
    kind = str(rng.choice(["clamp", "finger", "specimen"]))
    low, high = (
        (scene.first_mm, scene.last_mm)
        if on_piece
        else (scene.middle_mm - 0.45 * reach, scene.middle_mm + 0.45 * reach)
    )
    half = float(rng.uniform(0.04, 0.14)) * (high - low)
    length = scene.scale.lengths_mm[-1][1]
    broad = length * float(rng.uniform(1.2, 2.5)) * (1.6 if kind == "specimen" else 1.0)
    return Cover(kind, float(rng.uniform(low, high)), length * 0.5, half, broad, float(rng.uniform(30, 220)))


def clear_marks(scene: Scene, covers: tuple[Cover, ...]) -> NDArray[np.int64]:
    """Numbers of the marks that are in the picture and not hidden, each tried at half the length of the short ones."""
    x, y = np.meshgrid(np.arange(0, scene.width, 4) - scene.width / 2, np.arange(0, scene.height, 4) - scene.height / 2)
    along, across = plane(scene, x, y)
    length, pitch = scene.scale.lengths_mm[0][1], scene.scale.pitch_mm
    on = (across > 0.2 * length) & (across < 0.8 * length)
    on &= (along > scene.first_mm + scene.scale.width_mm) & (along < scene.last_mm - scene.scale.width_mm)
    numbers = np.unique(np.rint(along[on] / pitch).astype(np.int64))
    hidden = np.zeros(len(numbers), bool)
    for cover in covers:
        hidden |= (numbers * pitch > cover.reaches()[0]) & (numbers * pitch < cover.reaches()[1])
    return numbers[~hidden]
