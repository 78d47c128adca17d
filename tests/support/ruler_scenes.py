"""A renderer of photographs of rulers: marks evaluated through the inverse mapping, pixel by pixel. Knows no detector."""

from dataclasses import dataclass
from io import BytesIO
from math import cos, radians, sin

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from scene_backgrounds import Grey, grain, texture

GLYPHS = (
    "111101101101111", "010110010010111", "111001111100111", "111001111001111", "101101111001001",
    "111100111001111", "111100111101111", "111001001001001", "111101111101111", "111101111001111",
)  # fmt: skip
DIGITS = np.array([[int(dot) for dot in glyph] for glyph in GLYPHS], np.float32).reshape(10, 5, 3)


@dataclass(frozen=True)
class Scale:
    """Marks along one edge of a ruler; lengths by the greatest divisor that the mark's number has."""

    pitch_mm: float = 1.0
    lengths_mm: tuple[tuple[int, float], ...] = ((1, 3.0), (5, 4.5), (10, 6.0))
    width_mm: float = 0.2
    wider: float = 1.0
    numerals_every: int = 10
    numeral_height_mm: float = 2.5

    def length_of(self, numbers: NDArray[np.int64]) -> Grey:
        lengths = np.zeros(numbers.shape, np.float32)
        for divisor, length in self.lengths_mm:
            lengths[numbers % divisor == 0] = length
        return lengths


@dataclass(frozen=True)
class Scene:
    """One photograph. Lengths in mm on the ruler, or in pixels where said."""

    width: int = 2048
    height: int = 1464
    pixels_per_mm: float = 40.0
    angle_deg: float = 0.0
    middle_mm: float = 40.0
    across_mm: float = 3.0
    first_mm: float = 0.0
    last_mm: float = 150.0
    strip_mm: float = 20.0
    scale: Scale = Scale()
    other: Scale | None = None
    tilt_deg: float = 0.0
    tilt_axis_deg: float = 90.0
    distance_mm: float = 200.0
    distortion: float = 0.0
    blur_px: float = 0.8
    blur_growth_px: float = 0.0
    ground: float = 200.0
    ink: float = 40.0
    background: str = "plain"
    around: float = 110.0
    texture: float = 25.0
    brushed: float = 0.0
    noise: float = 2.0
    slope: float = 0.0
    vignetting: float = 0.0
    glare: tuple[tuple[float, float, float], ...] = ()
    jpeg: int | None = None
    colour: bool = False
    red_scale: float = 1.0
    blue_scale: float = 1.0
    seed: int = 0


def plane(scene: Scene, x: Grey, y: Grey) -> tuple[Grey, Grey]:
    """Where on the ruler (mm along, mm across) the pixels at x, y from the middle of the picture look."""
    half = 0.25 * (scene.width**2 + scene.height**2)
    if scene.distortion:
        ux, uy = x, y
        for _ in range(4):
            stretch = 1 + np.float32(scene.distortion / half) * (ux * ux + uy * uy)
            ux, uy = x / stretch, y / stretch
        x, y = ux, uy
    focal = scene.pixels_per_mm * scene.distance_mm
    axis, tilt = radians(scene.tilt_axis_deg + scene.angle_deg), radians(scene.tilt_deg)
    a = np.array([cos(axis), sin(axis), 0.0])
    b = np.array([-sin(axis) * cos(tilt), cos(axis) * cos(tilt), sin(tilt)])
    normal = np.cross(a, b)
    depth = np.float32(scene.distance_mm * normal[2]) / (
        np.float32(normal[0] / focal) * x + np.float32(normal[1] / focal) * y + np.float32(normal[2])
    )
    gx, gy, gz = x * depth / np.float32(focal), y * depth / np.float32(focal), depth - np.float32(scene.distance_mm)
    on_a = np.float32(a[0]) * gx + np.float32(a[1]) * gy
    on_b = np.float32(b[0]) * gx + np.float32(b[1]) * gy + np.float32(b[2]) * gz
    turn = axis - radians(scene.angle_deg)
    along = np.float32(cos(turn)) * on_a - np.float32(sin(turn)) * on_b
    across = np.float32(sin(turn)) * on_a + np.float32(cos(turn)) * on_b
    return along + np.float32(scene.middle_mm), across + np.float32(scene.across_mm)


def true_pixels_per_mm(scene: Scene) -> float:
    """Scale in the middle of the picture along the ruler, by differences of the mapping in double precision."""
    step = 1.0
    x = np.array([step, -step, 0.0, 0.0])
    y = np.array([0.0, 0.0, step, -step])
    along, across = plane(scene, x, y)
    jacobian = np.array(
        [
            [along[0] - along[1], along[2] - along[3]],
            [across[0] - across[1], across[2] - across[3]],
        ]
    ) / (2 * step)
    return float(np.hypot(*np.linalg.inv(jacobian)[:, 0]))


def marks_in_view(scene: Scene) -> int:
    """How many of the finest marks are at least half in the picture."""
    x, y = np.meshgrid(np.arange(0, scene.width, 8) - scene.width / 2, np.arange(0, scene.height, 8) - scene.height / 2)
    along, across = plane(scene, x, y)
    ends = (scene.first_mm + scene.scale.width_mm, scene.last_mm - scene.scale.width_mm)
    length = scene.scale.lengths_mm[0][1]
    on = (across > 0.4 * length) & (across < 0.6 * length) & (along > ends[0]) & (along < ends[1])
    return len(np.unique(np.floor(along[on] / scene.scale.pitch_mm))) - 1 if on.any() else 0


def edge(distance: Grey, radius: Grey) -> Grey:
    """How a straight edge looks through a blur disk: 0 far outside, 1 far inside."""
    u = np.clip(distance / radius, -1, 1)
    spread: Grey = np.float32(0.5) + (u * np.sqrt(1 - u * u) + np.arcsin(u)) / np.float32(np.pi)
    return spread


def marks(scale: Scale, along: Grey, across: Grey, blur: Grey, ends: tuple[float, float]) -> Grey:
    """Coverage by ink, 0 to 1, of one edge's marks and numerals; `blur` in mm."""
    pitch = np.float32(scale.pitch_mm)
    number = np.rint(along / pitch)
    away = along - number * pitch
    numbers = number.astype(np.int64)
    table_from = int(numbers.min())
    table = scale.length_of(np.arange(table_from, int(numbers.max()) + 1))
    inside = (np.arange(table_from, table_from + len(table)) * scale.pitch_mm >= ends[0] + scale.width_mm) & (
        np.arange(table_from, table_from + len(table)) * scale.pitch_mm <= ends[1] - scale.width_mm
    )
    table = np.where(inside, table, -50).astype(np.float32)
    length = table[numbers - table_from]
    half: Grey = np.full(1, scale.width_mm / 2, np.float32)
    if scale.wider != 1:
        half = np.where(length > scale.lengths_mm[0][1], half * np.float32(scale.wider), half).astype(np.float32)
    ink = edge(away + half, blur) - edge(away - half, blur)
    ink *= edge(across, blur) * edge(length - across, blur)
    if scale.numerals_every:
        ink = np.maximum(ink, numerals(scale, along, across))
    return ink


def numerals(scale: Scale, along: Grey, across: Grey) -> Grey:
    every = np.float32(scale.numerals_every * scale.pitch_mm)
    cell = np.float32(scale.numeral_height_mm / 5)
    top = np.float32(scale.lengths_mm[-1][1] + 0.8 * cell)
    ink = np.zeros(along.shape, np.float32)
    rows = np.nonzero((across > top) & (across < top + 5 * cell))
    s, t = along[rows], across[rows]
    label = np.rint(s / every)
    column = np.floor((s - label * every) / cell + np.float32(3.5)).astype(np.int64)
    row = np.clip(np.floor((t - top) / cell), 0, 4).astype(np.int64)
    label = np.abs(label).astype(np.int64)
    digit = np.where(column < 3, label // 10 % 10, label % 10)
    dot = DIGITS[digit, row, np.clip(np.where(column < 3, column, column - 4), 0, 2)]
    ink[rows] = np.where((column >= 0) & (column <= 6) & (column != 3), dot, 0)
    return ink


def paint_ruler(scene: Scene, canvas: Grey, spread: float) -> None:
    """Paint the strip over the canvas, in blocks of rows; `spread` enlarges the picture about its middle (lateral colour)."""
    x = (np.arange(scene.width, dtype=np.float32) - np.float32((scene.width - 1) / 2)) / np.float32(spread)
    rng = np.random.default_rng(scene.seed + 99)
    lines = rng.normal(size=4096).astype(np.float32)
    for top in range(0, scene.height, 128):
        rows = np.arange(top, min(top + 128, scene.height), dtype=np.float32)
        y = (rows - np.float32((scene.height - 1) / 2)) / np.float32(spread)
        grid_x, grid_y = np.broadcast_arrays(x[None, :], y[:, None])
        along, across = plane(scene, grid_x, grid_y)
        margin = np.float32(3 * (scene.blur_px + scene.blur_growth_px + 1) / scene.pixels_per_mm)
        touched = (across > -1 - margin) & (across < scene.strip_mm - 1 + margin)
        touched &= (along > scene.first_mm - margin) & (along < scene.last_mm + margin)
        place = np.nonzero(touched)
        if not place[0].size:
            continue
        along, across = along[place], across[place]
        blur: Grey = np.full(1, max(scene.blur_px, 0.5) / scene.pixels_per_mm, np.float32)
        if scene.blur_growth_px:
            reach = np.abs(grid_x[place] / np.float32(scene.width / 2))
            blur = np.asarray(blur + scene.blur_growth_px / scene.pixels_per_mm * reach, np.float32)
        ends = (scene.first_mm, scene.last_mm)
        ink = marks(scene.scale, along, across, blur, ends)
        if scene.other is not None:
            ink += marks(scene.other, along, np.float32(scene.strip_mm - 2) - across, blur, ends)
        ground: Grey = np.full(1, scene.ground, np.float32)
        if scene.brushed:
            ground = (
                ground
                + np.float32(scene.brushed)
                * lines[(across * np.float32(scene.pixels_per_mm / 2)).astype(np.int64) % 4096]
            )
        value = ground + (np.float32(scene.ink) - ground) * ink
        cover = edge(across + 1, blur) * edge(np.float32(scene.strip_mm - 1) - across, blur)
        cover *= edge(along - np.float32(scene.first_mm), blur) * edge(np.float32(scene.last_mm) - along, blur)
        under = canvas[place[0] + top, place[1]]
        canvas[place[0] + top, place[1]] = under + cover * (value - under)


def light(scene: Scene, canvas: Grey) -> None:
    """Uneven light, vignetting, glare."""
    x = np.linspace(-1, 1, scene.width, dtype=np.float32)[None, :]
    y = np.linspace(-1, 1, scene.height, dtype=np.float32)[:, None]
    if scene.slope or scene.vignetting:
        canvas *= (1 + np.float32(scene.slope) * (x + 0.5 * y)) * (
            1 - np.float32(scene.vignetting) * (x * x + y * y) / 2
        )
    for place, breadth, strength in scene.glare:
        canvas += np.float32(strength) * np.exp(-(((x + 0.3 * y - np.float32(place)) / np.float32(breadth)) ** 2))


def one_colour(scene: Scene, spread: float) -> Grey:
    canvas = np.full((scene.height, scene.width), scene.around, np.float32)
    if scene.background != "plain":
        canvas += np.float32(scene.texture) * texture(scene.background, scene.height, scene.width)
    paint_ruler(scene, canvas, spread)
    light(scene, canvas)
    return canvas


def finish(scene: Scene, canvas: Grey, shift: int) -> NDArray[np.uint8]:
    if scene.noise:
        canvas = canvas + np.float32(scene.noise) * np.roll(
            grain(scene.height, scene.width), (shift * 37 + 11, shift * 53), (0, 1)
        )
    return np.asarray(np.clip(canvas + np.float32(0.5), 0, 255), np.uint8)


def render(scene: Scene) -> NDArray[np.uint8]:
    """The photograph, grey or colour."""
    green = one_colour(scene, 1.0)
    if not scene.colour:
        picture = finish(scene, green, scene.seed)
    else:
        red = one_colour(scene, scene.red_scale) if scene.red_scale != 1 else green
        blue = one_colour(scene, scene.blue_scale) if scene.blue_scale != 1 else green
        picture = np.stack(
            [
                finish(scene, part * gain, scene.seed + i)
                for i, (part, gain) in enumerate(((red, 1.05), (green, 1.0), (blue, 0.85)))
            ],
            axis=2,
        )
    if scene.jpeg:
        file = BytesIO()
        Image.fromarray(picture).save(file, "JPEG", quality=scene.jpeg)
        picture = np.asarray(Image.open(file))
    return picture


HALF = Scale(0.5, ((1, 2.5), (2, 3.5), (10, 4.8), (20, 6.0)), 0.1, numerals_every=20)
FIVE = Scale(5.0, ((1, 5.0), (2, 8.0)), 0.4, numerals_every=2)
INCH = Scale(25.4 / 16, ((1, 2.5), (2, 3.3), (4, 4.2), (8, 5.2), (16, 6.5)), 0.2, numerals_every=16)
