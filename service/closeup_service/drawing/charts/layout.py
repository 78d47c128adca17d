"""Charts: panels one below the other over one axis, with round ticks, named at the curves themselves where there is room.

Every text is of one size, and nothing of a chart lies beyond its edges or over another text.
"""

from math import inf
from textwrap import wrap

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from closeup_service.drawing.charts.axes import Axis, Tick
from closeup_service.drawing.charts.layers import SAMPLE, Layer, Place, Point, interpolate_points, path
from closeup_service.drawing.svg import GRID, INK, PAPER, element, picture
from closeup_service.language import mark, tr

FONT = 12.5
"""Read at 11 px where a chart 360 px wide is shown 320 px wide."""
LETTER = 0.6
"""Width of a letter over the font's size, on the generous side for words."""

LINE = 16.0
EDGE = 8.0
TICK = 4.0
GAP = 3.0
LEAST_HEIGHT, GREATEST_HEIGHT, SHARE = 130.0, 260.0, 0.24
"""Height of a panel, and its share of the width between those."""
CLEAR = 4.5
"""So far names keep from markers and lines."""
FAR_ENOUGH = 30.0
"""So far from every other curve a name is clear."""
NOT_DRAWN = mark("{heading}: there is no value to draw.")


Points = npt.NDArray[np.float64]


class Box(Struct, frozen=True):
    """Room that a text takes, on the generous side."""

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: "Box", gap: float = GAP) -> bool:
        """Whether two boxes lie nearer to each other than a gap."""
        apart = self.right + gap <= other.left or other.right + gap <= self.left
        return not (apart or self.bottom <= other.top or other.bottom <= self.top)

    def distance_to(self, points: Points) -> float:
        """Distance of the nearest of many points; 0 where one lies in it."""
        if not points.size:
            return inf
        across, down = points.T
        aside = np.maximum(np.maximum(self.left - across, across - self.right), 0)
        apart = np.maximum(np.maximum(self.top - down, down - self.bottom), 0)
        return float(np.min(np.hypot(aside, apart)))

    def is_within(self, other: "Box") -> bool:
        """Whether it lies in another."""
        return (
            other.left <= self.left
            and self.right <= other.right
            and other.top <= self.top
            and self.bottom <= other.bottom
        )


class Label(Struct, frozen=True):
    """A line of text on the paper; y is its baseline."""

    text: str
    x: float
    y: float
    anchor: str = "start"

    @property
    def box(self) -> Box:
        """Room that it takes."""
        width = text_width(self.text)
        left = self.x - {"start": 0.0, "middle": width / 2, "end": width}[self.anchor]
        return Box(left, self.y - 0.85 * FONT, left + width, self.y + 0.3 * FONT)

    def draw(self, colour: str = INK, class_: str = "ink") -> str:
        """Return the text as SVG, with the paper round it."""
        return element(
            "text",
            text=self.text,
            x=self.x,
            y=self.y,
            font_size=FONT,
            text_anchor=self.anchor,
            fill=colour,
            stroke=PAPER,
            stroke_width=3,
            stroke_linejoin="round",
            paint_order="stroke",
            class_=class_,
        )


class Rule(Struct, frozen=True):
    """A value of the common axis that is marked through all panels."""

    value: float
    label: str


class Panel(Struct, frozen=True):
    """Curves over one axis of their own; one without an axis has nothing to draw, which `missing` says in words."""

    heading: str
    axis: Axis | None
    layers: tuple[Layer, ...] = ()
    level: float | None = None
    height: float = 0.0
    downwards: bool = False
    missing: str = ""

    @property
    def not_drawn(self) -> str:
        """Sentence in place of its curves."""
        return self.missing or tr(NOT_DRAWN, heading=self.heading)


class Chart(Struct, frozen=True):
    """Panels one below the other over a common axis."""

    title: str
    description: str
    width: float
    axis: Axis
    heading: str
    panels: tuple[Panel, ...]
    rules: tuple[Rule, ...] = ()

    @property
    def drawn_panels(self) -> tuple[Panel, ...]:
        """Panels that have something to draw."""
        return tuple(panel for panel in self.panels if panel.axis is not None)

    @property
    def left_edge(self) -> float:
        """Where the panels begin: beside the widest label of a tick."""
        ticks = [tick.label for panel in self.panels if panel.axis for tick in panel.axis.ticks]
        beside = max([text_width(label) for label in ticks], default=0.0) + TICK + GAP
        return EDGE + max(beside, self.half_label_width)

    @property
    def right_edge(self) -> float:
        """Where the panels end."""
        return self.width - EDGE - self.half_label_width

    @property
    def half_label_width(self) -> float:
        """Half of the widest label of the common axis, which may stand at its very end."""
        return max([text_width(tick.label) for tick in self.axis.ticks], default=0.0) / 2

    def axis_place(self, value: float) -> float:
        """Place of a value of the common axis."""
        return self.left_edge + self.axis.share(value) * (self.right_edge - self.left_edge)


def svg(chart: Chart) -> str:
    """Return the chart as SVG."""
    drawn, top = list[str](), EDGE / 2
    for panel in chart.drawn_panels:
        shown, top = draw_panel(chart, panel, top)
        drawn += shown
    if chart.drawn_panels:
        named, top = common_axis(chart, top - LINE / 2)
        drawn += named
    said, height = say_missing(chart, top)
    ground = element("rect", width=chart.width, height=height, fill=PAPER, class_="paper")
    return picture(chart.width, height, chart.title, chart.description, ground, *drawn, *said)


def say_missing(chart: Chart, top: float) -> tuple[list[str], float]:
    """Sentences for panels that have nothing to draw, below a place, and the height of the whole."""
    drawn, y = list[str](), top
    for panel in chart.panels:
        for line in fold_text(panel.not_drawn, chart.width - 2 * EDGE) if panel.axis is None else ():
            y += LINE
            drawn.append(Label(line, EDGE, y).draw())
    return drawn, y + EDGE if drawn else top


def rule_labels(chart: Chart, y: float) -> tuple[list[Label], float]:
    """Names of the rules below a place, side by side where they fit, and the last baseline."""
    labels = list[Label]()
    for rule in chart.rules:
        half = text_width(rule.label) / 2
        x = min(max(chart.axis_place(rule.value), EDGE + half), chart.width - EDGE - half)
        beside = Label(rule.label, x, y, "middle")
        fits = bool(labels) and not any(beside.box.meets(other.box, 2 * EDGE) for other in labels)
        y += 0.0 if fits else LINE
        labels.append(Label(rule.label, x, y, "middle"))
    return labels, y


def rule_line(chart: Chart, rule: Rule, frame: Box) -> str:
    """Line of a rule through a panel."""
    x = chart.axis_place(rule.value)
    return element(
        "path",
        d=path([(x, frame.top), (x, frame.bottom)]),
        stroke=INK,
        stroke_width=1,
        stroke_dasharray="5 4",
        class_="ink rule",
    )


def draw_panel(chart: Chart, panel: Panel, top: float) -> tuple[list[str], float]:
    """One panel below a place, and where the next may begin."""
    height = panel.height or min(max(SHARE * chart.width, LEAST_HEIGHT), GREATEST_HEIGHT)
    found = labels_in(chart, panel, Box(chart.left_edge, 0.0, chart.right_edge, height))
    drawn, y = list[str](), top
    for line in fold_text(panel.heading, chart.width - 2 * EDGE):
        y += LINE
        drawn.append(Label(line, EDGE, y).draw())
    for layer in panel.layers:
        if layer.name and layer.name not in found:
            y = add_key(layer, chart, y, drawn)
    if panel is chart.drawn_panels[0]:
        labels, y = rule_labels(chart, y)
        drawn += [label.draw() for label in labels]
    y += 0.8 * LINE
    frame = Box(chart.left_edge, y, chart.right_edge, y + height)
    drawn += background(chart, panel, frame)
    drawn += [rule_line(chart, rule, frame) for rule in chart.rules]
    place = place_in(chart, panel, frame)
    drawn += [layer.draw(place) for layer in panel.layers]
    colours = {layer.name: (layer.style.colour, layer.style.name) for layer in panel.layers}
    for name, label in found.items():
        drawn.append(Label(label.text, label.x, label.y + frame.top, label.anchor).draw(*colours[name]))
    return drawn, y + height + LINE / 2


def add_key(layer: Layer, chart: Chart, y: float, drawn: list[str]) -> float:
    """Add the name of a layer with a sample of its line above the panel; return the last baseline."""
    beyond = EDGE + SAMPLE + EDGE
    drawn.append(layer.sample(EDGE, y + LINE - FONT / 3))
    for line in fold_text(layer.name, chart.width - EDGE - beyond):
        y += LINE
        drawn.append(Label(line, beyond, y).draw())
    return y


def place_in(chart: Chart, panel: Panel, frame: Box) -> Place:
    """From values to the paper, within a frame."""

    def place(x: float, y: float) -> Point:
        assert panel.axis is not None
        share = panel.axis.share(y)
        down = share if panel.downwards else 1 - share
        across = chart.axis.share(x) * (frame.right - frame.left)
        return frame.left + across, frame.top + down * (frame.bottom - frame.top)

    return place


def labels_in(chart: Chart, panel: Panel, frame: Box) -> dict[str, Label]:
    """Names of the layers beside their curves, for those that find room clear of all else, as far from others as may be."""
    place, found = place_in(chart, panel, frame), dict[str, Label]()
    covered = [layer.covered_points(place) for layer in panel.layers]
    lines = np.array([*(point for points in covered for point in points), *rule_points(chart, panel, frame)])
    for layer in panel.layers:
        others = np.array(
            [p for each, ps in zip(panel.layers, covered, strict=True) if each.style != layer.style for p in ps]
        )
        free = [
            label
            for label in label_places(layer, place)
            if label.box.is_within(frame)
            and not any(label.box.meets(other.box) for other in found.values())
            and label.box.distance_to(lines) > CLEAR
        ]
        if free:
            found[layer.name] = max(free, key=lambda label: min(label.box.distance_to(others), FAR_ENOUGH))
    return found


def rule_points(chart: Chart, panel: Panel, frame: Box) -> list[Point]:
    """Points along the rules and the level of a panel."""
    upright = [
        interpolate_points((x, frame.top), (x, frame.bottom))
        for x in (chart.axis_place(rule.value) for rule in chart.rules)
    ]
    level = [] if panel.level is None else [place_in(chart, panel, frame)(chart.axis.low, panel.level)]
    flat = [interpolate_points((frame.left, y), (frame.right, y)) for _, y in level]
    return [point for line in (*upright, *flat) for point in line]


def label_places(layer: Layer, place: Place) -> list[Label]:
    """Places for a layer's name above and below its curve, at its end first."""
    return [
        Label(layer.name, x, y + off, anchor)
        for x, y in layer.spots(place)
        for anchor in ("end", "middle", "start")
        for off in (-0.75 * FONT, 1.4 * FONT)
        if layer.name
    ]


def background(chart: Chart, panel: Panel, frame: Box) -> list[str]:
    """Frame, grid and ticks of a panel."""
    named = tick_labels(chart, frame.bottom)
    drawn = [
        element("path", d=path([(x, frame.top), (x, frame.bottom)]), stroke=GRID, stroke_width=1, class_="faint")
        for x in (chart.axis_place(tick.value) for tick in chart.axis.ticks if tick in named)
    ]
    place, taken = place_in(chart, panel, frame), list[Box]()
    assert panel.axis is not None
    for tick in panel.axis.ticks:
        y = place(chart.axis.low, tick.value)[1]
        drawn.append(
            element("path", d=path([(frame.left, y), (frame.right, y)]), stroke=GRID, stroke_width=1, class_="faint")
        )
        label = Label(tick.label, frame.left - TICK - GAP, y + 0.35 * FONT, "end")
        if not any(label.box.meets(other) for other in taken):
            drawn.append(label.draw())
            taken.append(label.box)
    if panel.level is not None:
        y = place(chart.axis.low, panel.level)[1]
        drawn.append(
            element("path", d=path([(frame.left, y), (frame.right, y)]), stroke=INK, stroke_width=1, class_="ink")
        )
    corner = path([(frame.left, frame.top), (frame.left, frame.bottom), (frame.right, frame.bottom)])
    return [*drawn, element("path", d=corner, fill="none", stroke=INK, stroke_width=1.2, class_="ink")]


def common_axis(chart: Chart, bottom: float) -> tuple[list[str], float]:
    """Ticks and heading of the common axis below the last panel, and the height of the whole."""
    drawn = [label.draw() for label in tick_labels(chart, bottom).values()]
    for x in (chart.axis_place(tick.value) for tick in chart.axis.ticks):
        drawn.append(
            element("path", d=path([(x, bottom), (x, bottom + TICK)]), stroke=INK, stroke_width=1.2, class_="ink")
        )
    y = bottom + TICK + LINE
    for line in fold_text(chart.heading, chart.width - 2 * EDGE):
        y += LINE
        drawn.append(Label(line, chart.width / 2, y, "middle").draw())
    return drawn, y + EDGE


def tick_labels(chart: Chart, bottom: float) -> dict[Tick, Label]:
    """Those ticks of the common axis that can be named, each clear of those wanted before it."""
    labels: dict[Tick, Label] = {}
    for tick in chart.axis.ticks:
        label = Label(tick.label, chart.axis_place(tick.value), bottom + TICK + LINE, "middle")
        if not any(label.box.meets(other.box, EDGE) for other in labels.values()):
            labels[tick] = label
    return labels


def fold_text(text: str, width: float) -> list[str]:
    """Text in lines that fit a width."""
    return wrap(text, max(1, int(width / (LETTER * FONT))))


def text_width(text: str) -> float:
    """Width of a text, on the generous side."""
    return len(text) * LETTER * FONT
