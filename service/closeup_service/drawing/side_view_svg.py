"""Writing a side view as SVG: what is laid out in `side_view`, drawn in the manner of an optics textbook."""

from collections.abc import Sequence
from itertools import pairwise

from closeup_service.drawing.part_shapes import BOTH_SIDES, bar_pair, part_of
from closeup_service.drawing.scene import Scene
from closeup_service.drawing.side_view import MARGIN, ROW, Dimension, Entry, Layout, Mark
from closeup_service.drawing.svg import (
    FAINT,
    INK,
    LIGHT,
    PAPER,
    element,
    figure,
    ground,
    hatching,
    line,
    path,
    picture,
    shape,
    text_width,
    words,
)
from closeup_service.gear.outlines import Outline
from closeup_service.language import tr


def side_view_svg(scene: Scene, layout: Layout, title: str, description: str, within: str = "") -> str:
    """Return the drawing; `within` begins the ids of its parts where a page holds another."""
    return picture(
        layout.width,
        layout.height,
        title,
        description,
        ground(layout.width, layout.height),
        *extension_lines(layout),
        *camera(scene, layout),
        *(drawn for part in scene.parts for drawn in part_of(part, layout, within)),
        *subject_range(scene, layout),
        *axis(scene, layout),
        *light(scene, layout),
        *subject(scene, layout),
        *break_mark(layout),
        *(drawn for mark in layout.marks for drawn in mark_of(mark, layout)),
        *(drawn for each in layout.dimensions for drawn in dimension(each, layout.font)),
        *bar(layout),
        *(drawn for entry in layout.entries for drawn in legend_entry(entry, layout.font)),
        *(words(text, MARGIN, y, layout.font) for y, text in layout.note),
    )


def camera(scene: Scene, layout: Layout) -> list[str]:
    """Camera in outline: no camera in particular."""
    x, half = layout.along.x, scene.body_half_mm
    flange, sensor, back = x(scene.axis.flange_mm), x(scene.axis.sensor_mm), x(scene.back_mm)
    mouth = max(scene.sensor_height_mm / 2 + 5.0, 0.55 * half)
    front = flange + min(4.0, (sensor - flange) / 3)
    hump_left, hump_right = front + 0.3 * (back - front), front + 0.75 * (back - front)
    outer = [
        (front, layout.y(0.94 * half)),
        (hump_left, layout.y(half)),
        (hump_left + 3, layout.y(1.15 * half)),
        (hump_right, layout.y(1.15 * half)),
        (hump_right + 3, layout.y(half)),
        (back, layout.y(0.94 * half)),
        (back, layout.y(-half)),
        (front, layout.y(-half)),
    ]
    inside = [
        (front, layout.y(mouth)),
        (sensor, layout.y(mouth)),
        (sensor, layout.y(-mouth)),
        (front, layout.y(-mouth)),
    ]
    plane = [
        line(sensor, layout.y(side * half), sensor, layout.y(side * mouth), "faint", dash="2 3") for side in BOTH_SIDES
    ]
    chip = scene.sensor_height_mm / 2
    return [
        shape(outer),
        shape(inside, "paper", 1.0, PAPER),
        *bar_pair(layout, mouth * 0.92, mouth * 1.12, flange, max(front, flange + 1.5)),
        *plane,
        line(sensor, layout.y(chip), sensor, layout.y(-chip), width=4),
    ]


def axis(scene: Scene, layout: Layout) -> list[str]:
    """Optical axis."""
    left = min(layout.along.x(0.0), layout.along.x(scene.front_mm)) - 6
    return [
        line(max(2.0, left), layout.axis_y, layout.along.x(scene.axis.sensor_mm), layout.axis_y, "faint", 1, "9 3 2 3")
    ]


def light(scene: Scene, layout: Layout) -> list[str]:
    """Rays of the axial cone, bent at principal planes, which are dotted; and the entrance pupil."""
    drawn = []
    points = [(layout.along.x(mm), height) for mm, height in scene.axis.ray]
    for (x1, y1), (x2, y2) in pairwise(points):
        drawn += [line(x1, layout.y(side * y1), x2, layout.y(side * y2), "light", 1.4) for side in BOTH_SIDES]
    for x, height in points[1:-1]:
        drawn.append(line(x, layout.y(height), x, layout.y(-height), "light", 1, "1 3"))
    return [*drawn, *pupil(scene, layout)]


def pupil(scene: Scene, layout: Layout) -> list[str]:
    """Entrance pupil, as the edges of an opening."""
    if scene.pupil is None:
        return []
    x, radius = layout.along.x(scene.pupil[0]), scene.pupil[1]
    long = 7 / layout.along.scale
    edges = [line(x, layout.y(side * radius), x, layout.y(side * (radius + long)), width=2) for side in BOTH_SIDES]
    feet = [line(x - 3, layout.y(side * radius), x + 3, layout.y(side * radius), width=2) for side in BOTH_SIDES]
    return [*edges, *feet]


def subject(scene: Scene, layout: Layout) -> list[str]:
    """Subject plane, and the subject as high as the frame shows it; cut where that is far higher than the rig."""
    x, half = layout.along.x(0.0), scene.subject_half_mm
    reach = layout.y(max(half, 0.5 * scene.half_height_mm))
    drawn = [line(x, reach, x, 2 * layout.axis_y - reach, "faint", 1, "4 3")]
    if half:
        drawn.append(line(x, layout.y(half), x, layout.y(-half), width=3.2))
    for side in BOTH_SIDES if half and scene.is_subject_cut else ():
        y = layout.y(side * half) + 8 * side
        drawn += [wave(x - 7, y - 2, x + 7, y - 2, horizontal=True), wave(x - 7, y + 2, x + 7, y + 2, horizontal=True)]
    return drawn


def subject_range(scene: Scene, layout: Layout) -> list[str]:
    """Range of the subject plane as a hatched band between two thin lines; where it goes on beyond the drawing, without one."""
    found = scene.subject_range_mm
    if found is None:
        return []
    nearest, farthest = found[1], max(found[0], scene.left_mm)
    left, right = layout.along.x(farthest), layout.along.x(nearest)
    reach = max(scene.subject_half_mm, 0.5 * scene.half_height_mm)
    top, bottom = layout.y(reach), layout.y(-reach)
    ends = [right] if farthest > found[0] else [left, right]
    return [
        element(
            "rect",
            class_="range",
            x=left,
            y=top,
            width=right - left,
            height=bottom - top,
            fill=LIGHT,
            fill_opacity=0.12,
        ),
        hatching(left, top, right, bottom),
        *(line(x, top, x, bottom, "faint", 0.9) for x in ends),
    ]


def wave(x1: float, y1: float, x2: float, y2: float, horizontal: bool) -> str:
    """Wavy line of a break."""
    steps = 4 if horizontal else max(4, 2 * round(abs(y2 - y1) / 16))
    dx, dy = (x2 - x1) / steps, (y2 - y1) / steps
    across = (0.0, 3.0) if horizontal else (4.0, 0.0)
    d = f"M{figure(x1)} {figure(y1)}"
    for index in range(steps):
        sign = 1 if index % 2 else -1
        d += f" q{figure(dx / 2 + sign * across[0])} {figure(dy / 2 + sign * across[1])} {figure(dx)} {figure(dy)}"
    return path(d, width=1.4)


def break_mark(layout: Layout) -> list[str]:
    """Two wavy lines across the axis, with paper between them."""
    x = layout.along.break_x
    if x is None:
        return []
    top, bottom = layout.axis_y - 0.55 * layout.half_height, layout.axis_y + 0.55 * layout.half_height
    gap = element("rect", class_="paper", x=x - 4, y=top - 1, width=8, height=bottom - top + 2, fill=PAPER)
    return [gap, wave(x - 4, top, x - 4, bottom, horizontal=False), wave(x + 4, top, x + 4, bottom, horizontal=False)]


def extension_lines(layout: Layout) -> list[str]:
    """Faint lines from the planes down to the dimensions that begin or end there."""
    lowest: dict[float, float] = {}
    for each in layout.dimensions:
        for x in (each.x1, each.x2):
            lowest[x] = max(lowest.get(x, 0.0), each.y)
    return [line(x, layout.axis_y, x, y + 4, "faint", 0.8) for x, y in lowest.items()]


def mark_of(mark: Mark, layout: Layout) -> list[str]:
    """Sign with its leader: down, aslant to above its part, and down to it."""
    knee = layout.axis_y - layout.half_height - 4
    start = mark.y + 3
    bend = layout.axis_y - layout.half_height - 16
    points = [(mark.x, start), (mark.x, max(start, bend)), (mark.target_x, knee), (mark.target_x, mark.target_y)]
    d = "M" + " L".join(f"{figure(x)} {figure(y)}" for x, y in points)
    leader = element("path", class_="faint", d=d, fill="none", stroke=FAINT, stroke_width=0.8)
    return [leader, words(mark.sign, mark.x, mark.y, layout.font, "middle")]


def dimension(each: Dimension, font: float) -> list[str]:
    """Dimension line with arrowheads, outside where it is short, and its text below."""
    long = each.x2 - each.x1 > 18
    drawn = [line(each.x1, each.y, each.x2, each.y, width=1)]
    for x, inwards in ((each.x1, 1), (each.x2, -1)):
        direction = inwards if long else -inwards
        drawn.append(
            shape([(x, each.y), (x + direction * 6, each.y - 3), (x + direction * 6, each.y + 3)], "ink", 0.5, INK)
        )
        if not long:
            drawn.append(line(x, each.y, x + direction * 9, each.y, width=1))
    clear = 0.8 * text_width(each.text, font)
    drawn.append(
        element("rect", class_="paper", x=each.text_x - clear / 2, y=each.y + 5, width=clear, height=font, fill=PAPER)
    )
    return [*drawn, words(each.text, each.text_x, each.y + 4 + 0.85 * font, font, "middle")]


def bar(layout: Layout) -> list[str]:
    """Scale bar, and what the break leaves out of it."""
    left, right, y, label = layout.bar
    ends = [line(x, y - 4, x, y + 4, width=1.4) for x in (left, right)]
    drawn = [line(left, y, right, y, width=2.4), *ends, words(label, right + 8, y + 0.35 * layout.font, layout.font)]
    if layout.along.cut is None:
        return drawn
    return [*drawn, words(tr("way cut short at the wavy lines"), left, y + ROW + 4, layout.font)]


def legend_entry(entry: Entry, font: float) -> list[str]:
    """Sign and words."""
    lines = [words(text, entry.x + entry.indent, entry.y + ROW * index, font) for index, text in enumerate(entry.lines)]
    return [words(entry.sign, entry.x, entry.y, font), *lines]


def parts_in_words(parts: Sequence[Outline]) -> str:
    """Every part in order, in words."""
    return "; ".join(part.in_words for part in parts)
