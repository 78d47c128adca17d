"""The parts of a side view, each cut open along the axis, drawn in the manner of an optics textbook."""

from collections.abc import Callable, Mapping

from closeup_service.drawing.side_view import Layout
from closeup_service.drawing.svg import GLASS, INK, PAPER, PART, element, figure, line, path, shape
from closeup_service.gear.outlines import Outline

Point = tuple[float, float]
LEAST_WIDTH = 3.0
LEAST_PLEAT = 6.0
PLEAT_SHARE = 0.2
"""Width of a fold of the bellows on the paper: at least so wide, else this share of half their height."""
WALL_SHARE = 0.86
BOTH_SIDES = (1.0, -1.0)


def part_of(part: Outline, layout: Layout, within: str = "") -> list[str]:
    """One part, its turned arrow with it; `within` begins its id on a page with several drawings."""
    drawn = SHAPES[part.kind](part, layout)
    if part.protrusion_mm:
        drawn = [*rim(part, layout), *drawn]
    return [element("g", *drawn, class_=f"part-{part.kind}", id=within + part.pointer.strip("/").replace("/", "-"))]


def span(part: Outline, layout: Layout) -> Point:
    """Left and right end on the paper; a part without length is drawn as wide as a stroke."""
    left, right = layout.along.x(part.start_mm), layout.along.x(part.end_mm)
    spare = max(0.0, LEAST_WIDTH - (right - left)) / 2
    return left - spare, right + spare


def bar_pair(layout: Layout, low: float, high: float, left: float, right: float, fill: str = PART) -> list[str]:
    """Two bars, above and below the axis, between two heights [mm] and two places on the paper."""
    return [
        shape(
            [
                (left, layout.y(side * low)),
                (right, layout.y(side * low)),
                (right, layout.y(side * high)),
                (left, layout.y(side * high)),
            ],
            fill=fill,
        )
        for side in BOTH_SIDES
    ]


def tube(part: Outline, layout: Layout) -> list[str]:
    """Tube cut open: its walls."""
    left, right = span(part, layout)
    outer = part.diameter_mm / 2
    inner = WALL_SHARE * outer if part.clear_diameter_mm is None else part.clear_diameter_mm / 2
    return bar_pair(layout, inner, outer, left, right)


def ring(part: Outline, layout: Layout) -> list[str]:
    """Ring: walls that are thick for their length."""
    left, right = span(part, layout)
    outer = part.diameter_mm / 2
    inner = 0.8 * outer if part.clear_diameter_mm is None else part.clear_diameter_mm / 2
    return bar_pair(layout, inner, outer, left, right)


def bellows(part: Outline, layout: Layout) -> list[str]:
    """Bellows: folds between two standards."""
    left, right = span(part, layout)
    outer = part.diameter_mm / 2
    end = min(4.0, (right - left) / 4)
    pleat = max(LEAST_PLEAT, PLEAT_SHARE * outer * layout.along.scale)
    folds = max(2, round((right - left - 2 * end) / pleat))
    step = (right - left - 2 * end) / (2 * folds)
    drawn = bar_pair(layout, WALL_SHARE * outer * 0.8, outer * 1.0, left, left + end)
    drawn += bar_pair(layout, WALL_SHARE * outer * 0.8, outer * 1.0, right - end, right)
    for side in BOTH_SIDES:
        heights = [layout.y(side * outer * (0.95 if index % 2 else 0.78)) for index in range(2 * folds + 1)]
        points = [(left + end + index * step, height) for index, height in enumerate(heights)]
        drawn.append(path("M" + " L".join(f"{figure(x)} {figure(y)}" for x, y in points), width=1.6))
    return drawn


def lens(part: Outline, layout: Layout) -> list[str]:
    """Lens: a barrel in three steps, two groups of glass and the blades of its diaphragm."""
    left, right = span(part, layout)
    outer = part.diameter_mm / 2
    steps = [(0.0, 0.34, 1.0), (0.34, 0.84, 0.93), (0.84, 1.0, 0.8)]
    glass = min(part.glass_diameter_mm or 0.0, 1.8 * outer * 0.8) / 2
    drawn = []
    for start, end, share in steps:
        a, b = lens_place(part, left, right, start), lens_place(part, left, right, end)
        drawn += bar_pair(layout, min(glass + 1.0, 0.9 * share * outer), share * outer, min(a, b), max(a, b))
    drawn += grip(part, layout, left, right, 0.93 * outer)
    drawn += [
        biconvex_glass(layout, lens_place(part, left, right, place), glass, (right - left) * 0.13)
        for place in (0.2, 0.72)
    ]
    drawn += blades(layout, lens_place(part, left, right, 0.47), glass)
    return [*drawn, *turned_arrow(part, layout, left, right)] if part.reversed else drawn


def lens_place(part: Outline, left: float, right: float, share: float) -> float:
    """Place at a share of the lens's length from its own front; of one that is reversed from the right."""
    return right - share * (right - left) if part.reversed else left + share * (right - left)


def grip(part: Outline, layout: Layout, left: float, right: float, height: float) -> list[str]:
    """Ribs of the focus ring."""
    if right - left < 24:
        return []
    places = [lens_place(part, left, right, 0.42 + 0.06 * step) for step in range(6)]
    return [
        line(x, layout.y(side * height), x, layout.y(side * 0.88 * height), width=0.8)
        for x in places
        for side in BOTH_SIDES
    ]


def biconvex_glass(layout: Layout, x: float, half_mm: float, thickness: float) -> str:
    """Glass that is thicker in the middle."""
    return curved_glass(layout, x, half_mm, min(max(thickness, 3.0), 14.0))


def curved_glass(layout: Layout, x: float, half_mm: float, bulge: float) -> str:
    """Glass between two arcs; a negative bulge makes it thinner in the middle."""
    top, bottom = layout.y(half_mm), layout.y(-half_mm)
    edge = max(1.0, -bulge)
    return path(
        f"M{figure(x - edge)} {figure(top)} Q{figure(x - edge - bulge)} {figure((top + bottom) / 2)} {figure(x - edge)} "
        f"{figure(bottom)} L{figure(x + edge)} {figure(bottom)} Q{figure(x + edge + bulge)} {figure((top + bottom) / 2)} "
        f"{figure(x + edge)} {figure(top)} Z",
        class_="glass",
        fill=GLASS,
    )


def blades(layout: Layout, x: float, half_mm: float) -> list[str]:
    """Diaphragm, from above and below."""
    return [line(x, layout.y(side * half_mm), x, layout.y(side * 0.5 * half_mm), width=2.4) for side in BOTH_SIDES]


def turned_arrow(part: Outline, layout: Layout, left: float, right: float) -> list[str]:
    """Arrow that turns back: the lens stands back to front."""
    radius = min(9.0, max(5.0, (right - left) / 5))
    x, y = (left + right) / 2, layout.y(-part.diameter_mm / 2) + radius + 3
    r, head = figure(radius), radius * 0.55
    arc = f"M{figure(x + radius)} {figure(y - radius)} h{figure(-radius)} a{r} {r} 0 0 0 0 {figure(2 * radius)} h{r}"
    tip = x + radius + head
    end = y + radius
    arrow = shape([(tip, end), (tip - 1.6 * head, end - head), (tip - 1.6 * head, end + head)], "ink", 0.8, INK)
    return [
        element("path", class_="paper", d=arc, fill="none", stroke=PAPER, stroke_width=5),
        path(arc, width=1.8),
        arrow,
    ]


def rim(part: Outline, layout: Layout) -> list[str]:
    """What stands out in front of the front joining face."""
    left, right = layout.along.x(part.start_mm - part.protrusion_mm), layout.along.x(part.start_mm)
    return bar_pair(layout, 0.72 * part.diameter_mm / 2, 0.8 * part.diameter_mm / 2, left, right, fill=PAPER)


def close_up_lens(part: Outline, layout: Layout) -> list[str]:
    """Close-up lens: its glass in a narrow ring."""
    left, right = span(part, layout)
    outer = part.diameter_mm / 2
    width = max(0.0, 6.0 - (right - left)) / 2
    ring_ = bar_pair(layout, 0.84 * outer, outer, left - width, right + width)
    return [curved_glass(layout, (left + right) / 2, 0.84 * outer, max(3.0, (right - left) / 3)), *ring_]


def teleconverter(part: Outline, layout: Layout) -> list[str]:
    """Converter: glass that is thinner in the middle, in a short tube."""
    left, right = span(part, layout)
    outer = part.diameter_mm / 2
    bulge = -min(6.0, max(2.0, (right - left) / 5))
    return [
        *bar_pair(layout, 0.7 * outer, outer, left, right),
        curved_glass(layout, (left + right) / 2, 0.62 * outer, bulge),
    ]


def objective(part: Outline, layout: Layout) -> list[str]:
    """Objective: a barrel that narrows to its front glass."""
    left, right = span(part, layout)
    outer, nose = part.diameter_mm / 2, min((part.glass_diameter_mm or 8.0) / 2 + 2.0, part.diameter_mm / 2)
    shoulder = left + 0.3 * (right - left)
    inner = 0.55 * nose
    drawn = [
        shape(
            [
                (left, layout.y(side * inner)),
                (right, layout.y(side * 0.45 * outer)),
                (right, layout.y(side * outer)),
                (shoulder, layout.y(side * outer)),
                (left, layout.y(side * nose)),
            ]
        )
        for side in BOTH_SIDES
    ]
    drawn += [
        line(x, layout.y(side * outer), x, layout.y(side * 0.86 * outer), width=0.8)
        for x in (left + share * (right - left) for share in (0.5, 0.56, 0.62))
        for side in BOTH_SIDES
    ]
    thick = min(4.0, (right - left) / 6)
    return [*drawn, curved_glass(layout, left + thick, 0.9 * inner + 0.05 * nose, thick)]


SHAPES: Mapping[str, Callable[[Outline, Layout], list[str]]] = {
    "lens": lens,
    "tube": tube,
    "ring": ring,
    "bellows": bellows,
    "close-up-lens": close_up_lens,
    "teleconverter": teleconverter,
    "objective": objective,
}
