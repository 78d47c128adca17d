"""Laying out a set-up in side view, to scale: places on the paper, without a word of SVG.

Lengths along the axis are mm from the subject plane, light going to the right; those on the paper are units of the view box.
Where the subject stands far away a piece of the way to it is left out, at a break that is drawn.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import count
from typing import TYPE_CHECKING, Literal, TypeAlias

from msgspec import Struct

from closeup_service.advice.figures import decimal, with_ends, write_ends
from closeup_service.drawing.scene import Scene
from closeup_service.drawing.svg import text_width, wrap_text
from closeup_service.language import tr
from closeup_service.measuring.scale_bar import round_length

if TYPE_CHECKING:
    from closeup_service.records import answers

Box: TypeAlias = tuple[float, float, float, float]
"""Left, top, right, bottom."""

MARGIN = 10.0
BREAK_FROM = 1.3
"""A working distance of more than so many rigs is broken."""
KEPT_SHARE = 0.7
"""What is left of it then, in rigs."""
MARK_STEP = 20.0
ROW = 17.0
TOUCH = 0.01
MOST_NOTE_LINES = 8
APART = 8.0
"""Lines of a row may touch, texts keep apart."""
HATCHED = "///"
"""Sign of the range of the subject plane in the legend."""


class Along(Struct, frozen=True):
    """From mm along the axis to the paper; what lies between the two ends of `cut` is left out."""

    origin: float
    scale: float
    cut: tuple[float, float] | None

    def x(self, mm: float) -> float:
        """Place on the paper."""
        if self.cut is not None:
            start, end = self.cut
            mm = mm if mm <= start else max(start, mm - (end - start))
        return self.origin + self.scale * mm

    @property
    def break_x(self) -> float | None:
        """Place of the break on the paper."""
        return None if self.cut is None else self.x(self.cut[0])


class Mark(Struct, frozen=True):
    """A letter or number above the drawing, and where its leader ends."""

    sign: str
    x: float
    y: float
    target_x: float
    target_y: float

    def box(self, size: float) -> Box:
        """What its text covers."""
        half = text_width(self.sign, size) / 2
        return self.x - half, self.y - 0.8 * size, self.x + half, self.y + 0.2 * size


class Dimension(Struct, frozen=True):
    """A dimension line between two places, with its text below."""

    x1: float
    x2: float
    y: float
    text: str
    text_x: float

    def text_box(self, size: float) -> Box:
        """What its text covers."""
        half = text_width(self.text, size) / 2
        return self.text_x - half, self.y + 4, self.text_x + half, self.y + 4 + size * 1.05


class Entry(Struct, frozen=True):
    """A line of the legend: a sign, and its words in lines."""

    sign: str
    x: float
    y: float
    indent: float
    lines: tuple[str, ...]


class Layout(Struct, frozen=True):
    """A side view on paper."""

    width: float
    height: float
    font: float
    along: Along
    axis_y: float
    half_height: float
    marks: tuple[Mark, ...]
    dimensions: tuple[Dimension, ...]
    bar: tuple[float, float, float, str]
    entries: tuple[Entry, ...]
    note: tuple[tuple[float, str], ...]
    """Lines of the note below everything else, with their height on the paper."""

    def y(self, mm: float) -> float:
        """Place on the paper of a height above the axis."""
        return self.axis_y - self.along.scale * mm


def lay_out(scene: Scene, width: float, with_legend: bool = True, most_height: float | None = None) -> Layout:
    """Lay a side view out on paper of this width, the rig itself at most so high."""
    font = 13.0 if width <= 480 else 14.0
    usual = width if width <= 480 else 0.36 * width
    along = fit_scale(scene, width, usual if most_height is None else most_height)
    half = along.scale * max(scene.half_height_mm, scene.subject_half_mm)
    signed = signs(scene)
    rows = 1 if MARK_STEP * len(signed) <= width - 2 * MARGIN else 2
    top = 6 + rows * ROW
    axis_y = top + 20 + half
    marks = marks_above(along, signed, rows, width, axis_y)
    dimensions = dimension_rows(scene, along, width, axis_y + half + 16, font)
    foot = max(line.y for line in dimensions) + font + 26
    bar = scale_bar(along.scale, width, foot)
    foot += 0.0 if along.cut is None else ROW + 4
    entries = legend(scene, width, foot + 30, font) if with_legend else ()
    bottom = max((entry.y + ROW * (len(entry.lines) - 1) for entry in entries), default=foot)
    note = note_lines(scene.note, width, bottom + ROW + 4, font) if with_legend else ()
    bottom = max([bottom, *(y for y, _ in note)])
    return Layout(width, bottom + 10, font, along, axis_y, half, marks, dimensions, bar, entries, note)


def note_lines(note: str, width: float, y: float, font: float) -> tuple[tuple[float, str], ...]:
    """Note in lines below a place; none where there is none."""
    lines = wrap_text(note, width - 2 * MARGIN, font, MOST_NOTE_LINES) if note else []
    return tuple((y + ROW * index, text) for index, text in enumerate(lines))


def fit_scale(scene: Scene, width: float, most_height: float) -> Along:
    """Scale that fits width and height, after the break where there is one."""
    left = scene.left_mm
    rig = scene.rig_mm
    distance = scene.axis.working_distance_mm
    cut = None
    if distance > BREAK_FROM * rig:
        kept = KEPT_SHARE * rig
        cut = (0.45 * kept, 0.45 * kept + distance - kept)
    shown = scene.back_mm - left - (0.0 if cut is None else cut[1] - cut[0])
    half = max(scene.half_height_mm, scene.subject_half_mm)
    scale = min((width - 2 * MARGIN) / shown, most_height / (2 * half))
    room = width - scale * shown
    return Along(room / 2 - scale * left, scale, cut)


def signs(scene: Scene) -> list[tuple[str, float, float]]:
    """What is marked: sign, place along the axis, and height above the axis of what it points to [mm]."""
    parts = [
        (str(number), (part.start_mm + part.end_mm) / 2, part.diameter_mm / 2)
        for number, part in enumerate(scene.parts, 1)
    ]
    camera = ("C", (scene.axis.flange_mm + scene.back_mm) / 2, scene.body_half_mm)
    pupil = [] if scene.pupil is None else [("P", *scene.pupil)]
    return sorted([("S", 0.0, scene.subject_half_mm), *parts, *pupil, camera], key=lambda each: each[1])


def marks_above(
    along: Along, signed: Sequence[tuple[str, float, float]], rows: int, width: float, axis_y: float
) -> tuple[Mark, ...]:
    """Spread the signs over their rows, in order, each as near above its part as the others let it."""
    step = min(MARK_STEP / rows, (width - 2 * MARGIN) / len(signed))
    places = spread([along.x(mm) for _, mm, _ in signed], step, MARGIN, width - MARGIN)
    return tuple(
        Mark(sign, x, 6 + ROW * (1 + index % rows) - 4, along.x(mm), axis_y - along.scale * height)
        for index, ((sign, mm, height), x) in enumerate(zip(signed, places, strict=True))
    )


def spread(wanted: Sequence[float], step: float, low: float, high: float) -> list[float]:
    """Places in order, at least a step apart, near the wanted ones and within the bounds."""
    places: list[float] = []
    for place in wanted:
        places.append(max(place, low, places[-1] + step if places else low))
    limit = high
    for index in range(len(places) - 1, -1, -1):
        places[index] = min(places[index], limit)
        limit = places[index] - step
    return places


def dimension_rows(scene: Scene, along: Along, width: float, y: float, font: float) -> tuple[Dimension, ...]:
    """Put every dimension into the first row where neither its line nor its text meets another's."""
    placed: list[Dimension] = []
    for start, end, text in dimensions_of(scene):
        x1, x2 = along.x(start), along.x(end)
        half = text_width(text, font) / 2
        middle = min(max((x1 + x2) / 2, 4 + half), width - 4 - half)
        found = next(
            each
            for index in count()
            if (each := Dimension(x1, x2, y + index * (font + 20), text, middle))
            and fits([other for other in placed if other.y == each.y], each, font)
        )
        placed.append(found)
    return tuple(placed)


def fits(row: Sequence[Dimension], found: Dimension, font: float) -> bool:
    """Whether a dimension finds room beside those of a row; lines may touch."""
    left, _, right, _ = found.text_box(font)
    for other in row:
        other_left, _, other_right, _ = other.text_box(font)
        if found.x1 < other.x2 - TOUCH and found.x2 > other.x1 + TOUCH:
            return False
        if left < other_right + APART and right > other_left - APART:
            return False
    return True


def dimensions_of(scene: Scene) -> list[tuple[float, float, str]]:
    """Dimensions with their texts: what is free before the rig, the rig, the whole."""
    front, sensor = scene.axis.working_distance_mm, scene.axis.sensor_mm
    lines = [(0.0, front, write_dimension(scene, tr("working distance"), "working_distance_mm"))]
    lines.append((front, sensor, write_dimension(scene, tr("rig"), "rig_length_mm")))
    if scene.clearance_mm is not None and scene.clearance_mm != scene.working_distance_mm:
        lines.append((*sorted((0.0, scene.front_mm)), write_dimension(scene, tr("clearance"), "clearance_mm")))  # type: ignore[arg-type]
    return [*lines, (0.0, sensor, write_dimension(scene, tr("subject to sensor"), "subject_to_sensor_mm"))]


Length = Literal["working_distance_mm", "rig_length_mm", "clearance_mm", "subject_to_sensor_mm"]


def write_dimension(scene: Scene, what: str, name: Length) -> str:
    """Text of a dimension, with its range where it has one."""
    lengths: dict[Length, float | None] = {
        "working_distance_mm": scene.working_distance_mm,
        "rig_length_mm": scene.rig_length_mm,
        "clearance_mm": scene.clearance_mm,
        "subject_to_sensor_mm": scene.subject_to_sensor_mm,
    }
    value = lengths[name]
    if value is None:
        return tr("{what} not told", what=what) if scene.note else tr("{what} not known", what=what)
    return f"{what} {with_ends(value, scene.ranges.get(name), decimal, 'mm')}"


def scale_bar(scale: float, width: float, y: float) -> tuple[float, float, float, str]:
    """Left, right, height on the paper and label of a bar of a round length."""
    length_um = round_length(0.3 * width / scale * 1000)
    return MARGIN, MARGIN + scale * length_um / 1000, y, f"{decimal(length_um / 1000, 6)} mm"


def legend(scene: Scene, width: float, y: float, font: float) -> tuple[Entry, ...]:
    """What the signs stand for, in as many columns as the width holds."""
    told = legend_texts(scene)
    columns = max(1, int(width // 340))
    room = (width - 2 * MARGIN) / columns
    indent = 8 + 0.9 * max(text_width(sign, font) for sign, _ in told)
    lines = [tuple(wrap_text(text, room - indent - 6, font, 3)) for _, text in told]
    whole = sum(map(len, lines))
    entries: list[Entry] = []
    column, used = 0, 0
    for (sign, _), each in zip(told, lines, strict=True):
        if used and used + len(each) > -(-whole // columns) and column < columns - 1:
            column, used = column + 1, 0
        entries.append(Entry(sign, MARGIN + column * room, y + used * ROW, indent, each))
        used += len(each)
    return tuple(entries)


def legend_texts(scene: Scene) -> list[tuple[str, str]]:
    """Signs and their words."""
    height = scene.subject_height_mm
    if height is None:
        subject = tr("subject plane")
    else:
        frame = with_ends(height, scene.ranges.get("subject_height_mm"), decimal, tr("mm high"))
        subject = tr("subject plane, frame {frame}", frame=frame)
    parts = [
        (
            str(first) if first == last else f"{first}-{last}",
            text if first == last else tr("{number} times {text}", number=last - first + 1, text=text),
        )
        for first, last, text in runs([part.in_words for part in scene.parts])
    ]
    return [
        ("S", subject),
        *range_texts(scene),
        *parts,
        ("C", scene.camera),
        *pupil_texts(scene),
    ]


def range_texts(scene: Scene) -> list[tuple[str, str]]:
    """Where the subject plane may lie, beside the sign of the hatched band."""
    ranges: Mapping[str, answers.Range] = scene.ranges
    ends = ranges.get("working_distance_mm")
    if ends is None:
        return []
    return [
        (
            HATCHED,
            tr("subject plane of 95 of 100 such lenses: {ends} mm before the front", ends=write_ends(ends, decimal)),
        )
    ]


def pupil_texts(scene: Scene) -> list[tuple[str, str]]:
    """Entrance pupil; of an estimated lens only what is drawn."""
    if scene.pupil is None:
        return []
    if scene.note:
        return [("P", tr("entrance pupil, as drawn"))]
    return [("P", tr("entrance pupil, {distance} mm from the subject", distance=decimal(scene.pupil[0])))]


def runs(texts: Sequence[str]) -> list[tuple[int, int, str]]:
    """Equal neighbours put together: number of the first and of the last, and their text."""
    found: list[tuple[int, int, str]] = []
    for number, text in enumerate(texts, 1):
        if found and found[-1][2] == text:
            found[-1] = (found[-1][0], number, text)
        else:
            found.append((number, number, text))
    return found
