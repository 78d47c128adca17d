"""What is drawn within a panel of a chart: curves with their markers and uncertainties, and spans such as frames."""

from collections.abc import Callable, Iterator, Sequence
from itertools import groupby, pairwise
from typing import Protocol

from msgspec import Struct

from closeup_service.drawing.svg import CURVES, INK, PAPER, element, figure

Point = tuple[float, float]
Place = Callable[[float, float], Point]
"""From values to the paper."""

DASHES = ("none", "7 3", "2 3", "9 3 2 3", "4 2")
MARKERS = ("circle", "square", "triangle", "diamond")
REACH = 3.5
"""Half of a marker's size."""
SAMPLE = 28.0
"""Width of a sample in a key."""
MOST_SPOTS = 24
SPACING = 6.0
"""Apart at which a line is looked at where labels seek room."""


class Style(Struct, frozen=True):
    """How one of several layers looks: colour, dash and marker each tell it apart."""

    number: int

    @property
    def colour(self) -> str:
        """Its colour."""
        return CURVES[self.number % len(CURVES)]

    @property
    def name(self) -> str:
        """Class by which a page may recolour it."""
        return f"series-{self.number % len(CURVES) + 1}"

    def line(self, points: Sequence[Point], width: float = 2.0) -> str:
        """Line through points."""
        return element(
            "path",
            d=path(points),
            fill="none",
            stroke=self.colour,
            stroke_width=width,
            stroke_dasharray=DASHES[self.number % len(DASHES)],
            stroke_linejoin="round",
            class_=self.name,
        )

    def markers(self, points: Sequence[Point], hollow: bool = False) -> str:
        """Markers at points."""
        if not points:
            return ""
        shapes = "".join(map(self.marker, points))
        fill, kind = (PAPER, "hollow") if hollow else (self.colour, "marker")
        return element("g", shapes, fill=fill, stroke=self.colour, stroke_width=1.5, class_=f"{self.name} {kind}")

    def marker(self, point: Point) -> str:
        """Shape of a marker at a point."""
        (x, y), r, kind = point, REACH, MARKERS[self.number % len(MARKERS)]
        if kind == "circle":
            return element("circle", cx=x, cy=y, r=r)
        corners = {
            "square": ((x - r, y - r), (x + r, y - r), (x + r, y + r), (x - r, y + r)),
            "triangle": ((x - r, y + r), (x + r, y + r), (x, y - r)),
            "diamond": ((x - r, y), (x, y - r), (x + r, y), (x, y + r)),
        }[kind]
        return element("path", d=f"{path(corners)}Z")


class Layer(Protocol):
    """Something drawn within a panel."""

    @property
    def name(self) -> str:
        """What it is, for its label; empty where it needs none."""

    @property
    def style(self) -> Style:
        """How it looks."""

    def covered_points(self, place: Place) -> list[Point]:
        """Places on the paper that labels keep clear of."""

    def spots(self, place: Place) -> list[Point]:
        """Places on the paper beside which its label may stand."""

    def sample(self, x: float, y: float) -> str:
        """Piece of it for a key, SAMPLE wide."""

    def draw(self, place: Place) -> str:
        """Return it as SVG."""


class Series(Struct, frozen=True):
    """A curve: points whose value may be missing, which leaves a gap; a point alone is always marked."""

    name: str
    points: Sequence[tuple[float, float | None]]
    style: Style
    joined: bool = True
    marked: bool = True
    hollow: frozenset[int] = frozenset()
    uncertainties: Sequence[float | None] = ()
    aside: float = 0.0
    """How far it is drawn beside its place, so that what would lie upon each other is seen."""

    def sample(self, x: float, y: float) -> str:
        """Piece of the line with its marker."""
        return self.style.line([(x, y), (x + SAMPLE, y)]) + self.style.markers([(x + SAMPLE / 2, y)])

    def paper_point(self, place: Place, x: float, y: float) -> Point:
        """Where a point of it is drawn."""
        right, down = place(x, y)
        return right + self.aside, down

    def runs(self, place: Place) -> list[list[Point]]:
        """Points on the paper, broken where a value is missing."""
        grouped = groupby(self.points, key=lambda point: point[1] is not None)
        return [[self.paper_point(place, x, y) for x, y in run if y is not None] for known, run in grouped if known]

    def covered_points(self, place: Place) -> list[Point]:
        """Points along the line, and the uncertainties."""
        runs = self.runs(place)
        lines = (
            [each for run in runs for ends in pairwise(run) for each in interpolate_points(*ends)]
            if self.joined
            else []
        )
        bars = [each for _, *ends in self.bars(place) for each in interpolate_points(*ends)]
        return [*lines, *bars, *(point for run in runs for point in run)]

    def spots(self, place: Place) -> list[Point]:
        """Points of the curve, and the middles between them."""
        points = [point for run in self.runs(place) for point in run]
        middles = [((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in pairwise(points)]
        spots = [*reversed(points), *middles]
        return spots[:: -(-len(spots) // MOST_SPOTS) or 1]

    def bars(self, place: Place) -> Iterator[tuple[Point, Point, Point]]:
        """Middle and both ends of each uncertainty."""
        for (x, y), off in zip(self.points, self.uncertainties, strict=False):
            if y is not None and off is not None:
                yield (
                    self.paper_point(place, x, y),
                    self.paper_point(place, x, y - off),
                    self.paper_point(place, x, y + off),
                )

    def draw(self, place: Place) -> str:
        """Return the curve as SVG."""
        runs = self.runs(place)
        lines = [self.style.line(run) for run in runs if self.joined and len(run) > 1]
        bars = "".join(bar(low, high) for _, low, high in self.bars(place))
        drawn_bars = [element("path", d=bars, stroke=self.style.colour, stroke_width=1.2, class_=self.style.name)]
        known = [(index, self.paper_point(place, x, y)) for index, (x, y) in enumerate(self.points) if y is not None]
        alone = {run[0] for run in runs if len(run) == 1}
        shown = [(index in self.hollow, point) for index, point in known if self.marked or point in alone]
        marks = [self.style.markers([p for is_hollow, p in shown if is_hollow == h], h) for h in (False, True)]
        return "".join([*lines, *(drawn_bars if bars else []), *marks])


class Ribbon(Struct, frozen=True):
    """Range about a curve: an area between its lower and its upper ends, with thin dashed edges; gaps where it has none."""

    name: str
    ends: Sequence[tuple[float, tuple[float, float] | None]]
    style: Style

    def sample(self, x: float, y: float) -> str:
        """A piece of the area."""
        corners = [(across, (y - 5.0, y + 5.0)) for across in (x, x + SAMPLE)]
        return Ribbon("", corners, self.style).draw(lambda across, down: (across, down))

    def covered_points(self, place: Place) -> list[Point]:
        """Labels may stand in it."""
        del place
        return []

    def spots(self, place: Place) -> list[Point]:
        """It is named beside its panel alone."""
        del place
        return []

    def draw(self, place: Place) -> str:
        """Return the area as SVG, an upright bar where a point stands alone."""
        grouped = groupby(self.ends, key=lambda point: point[1] is not None)
        runs = [[(x, *ends) for x, ends in run if ends is not None] for known, run in grouped if known]
        return "".join(self.draw_run(run, place) for run in runs)

    def draw_run(self, run: Sequence[tuple[float, float, float]], place: Place) -> str:
        """One piece without gaps."""
        lower, upper = [place(x, low) for x, low, _ in run], [place(x, high) for x, _, high in run]
        if len(run) == 1:
            lower, upper = widen_point(lower[0]), widen_point(upper[0])
        colour, name = self.style.colour, f"{self.style.name} range"
        area = element("path", d=f"{path([*lower, *reversed(upper)])}Z", fill=colour, fill_opacity=0.16, class_=name)
        edges = [
            element(
                "path", d=path(edge), fill="none", stroke=colour, stroke_width=0.9, stroke_dasharray="2 2", class_=name
            )
            for edge in (lower, upper)
        ]
        return area + "".join(edges)


def widen_point(point: Point) -> list[Point]:
    """Two points about one, to draw a bar through."""
    x, y = point
    return [(x - REACH, y), (x + REACH, y)]


class Span(Struct, frozen=True):
    """What is sharp in a frame, and its plane of focus; an end that is open goes on beyond the axis.

    `outer` is from where to where it may be sharp, where that is estimated.
    """

    start: float
    end: float
    row: float
    focus: float
    open_start: bool = False
    open_end: bool = False
    outer: tuple[float, float] | None = None


class Spans(Struct, frozen=True):
    """Spans one below the other; so many that they would touch are drawn as one band."""

    name: str
    spans: Sequence[Span]
    style: Style
    thickness: float

    def sample(self, x: float, y: float) -> str:
        """A bar with an upright line."""
        whole = Span(x, x + SAMPLE, y, x + SAMPLE / 2)
        return Spans("", (whole,), self.style, 10.0).draw(lambda across, down: (across, down))

    def covered_points(self, place: Place) -> list[Point]:
        """Points along every span."""
        ends = [(place(span.start, span.row), place(span.end, span.row)) for span in self.spans]
        return [point for each in ends for point in interpolate_points(*each)]

    def spots(self, place: Place) -> list[Point]:
        """Spans are named beside their panel alone."""
        del place
        return []

    def draw(self, place: Place) -> str:
        """Return the spans as SVG."""
        return "".join(self.draw_span(span, place) for span in self.spans)

    def draw_span(self, span: Span, place: Place) -> str:
        """One span as a bar with its plane of focus, and arrows at open ends."""
        (x1, y), (x2, _), (focus, _) = (place(x, span.row) for x in (span.start, span.end, span.focus))
        half = self.thickness / 2
        shape = element(
            "rect",
            x=min(x1, x2),
            y=y - half,
            width=max(abs(x2 - x1), 0.5),
            height=self.thickness,
            fill=self.style.colour,
            fill_opacity=0.35,
            stroke=self.style.colour,
            stroke_width=0.9,
            class_=self.style.name,
        )
        line = element("path", d=path([(focus, y - half), (focus, y + half)]), stroke=INK, stroke_width=2, class_="ink")
        arrows = [arrow(x, y, -7.0) for x in (x1,) if span.open_start] + [
            arrow(x, y, 7.0) for x in (x2,) if span.open_end
        ]
        return self.draw_outer(span, place) + shape + line + "".join(arrows)

    def draw_outer(self, span: Span, place: Place) -> str:
        """From where to where a frame may be sharp, faint and dashed behind its bar."""
        if span.outer is None:
            return ""
        (x1, y), (x2, _) = (place(x, span.row) for x in span.outer)
        return element(
            "rect",
            x=min(x1, x2),
            y=y - self.thickness / 2,
            width=abs(x2 - x1),
            height=self.thickness,
            fill=self.style.colour,
            fill_opacity=0.14,
            stroke=self.style.colour,
            stroke_width=0.8,
            stroke_dasharray="2 2",
            class_=f"{self.style.name} range",
        )


class Band(Struct, frozen=True):
    """Spans too many to be drawn one by one: all that is sharp as one area, and the planes of focus as one line."""

    name: str
    spans: Sequence[Span]
    style: Style

    def sample(self, x: float, y: float) -> str:
        """A piece of the band with its line."""
        ends = [Span(x, x + SAMPLE, y + off, x + SAMPLE / 2) for off in (-5.0, 5.0)]
        return Band("", ends, self.style).draw(lambda across, down: (across, down))

    def covered_points(self, place: Place) -> list[Point]:
        """Points along its borders and its middle."""
        return [place(x, span.row) for span in self.spans for x in (span.start, span.focus, span.end)]

    def spots(self, place: Place) -> list[Point]:
        """A band is named beside its panel alone."""
        del place
        return []

    def draw(self, place: Place) -> str:
        """Return the band as SVG."""
        left = [place(span.start, span.row) for span in self.spans]
        right = [place(span.end, span.row) for span in reversed(self.spans)]
        focus = [place(span.focus, span.row) for span in self.spans]
        ends = [(span.row, span.outer) for span in self.spans]
        outer = Ribbon("", ends, self.style).draw(lambda row, x: place(x, row))
        area = element(
            "path",
            d=f"{path([*left, *right])}Z",
            fill=self.style.colour,
            fill_opacity=0.35,
            stroke=self.style.colour,
            stroke_width=0.9,
            class_=self.style.name,
        )
        return outer + area + element("path", d=path(focus), fill="none", stroke=INK, stroke_width=2, class_="ink")


def arrow(x: float, y: float, length: float) -> str:
    """Arrowhead: it goes on there."""
    shape = path([(x - length, y - 5), (x, y), (x - length, y + 5)])
    return element("path", d=f"{shape}Z", fill=INK, class_="ink goes-on")


def bar(low: Point, high: Point) -> str:
    """Path of an uncertainty, a bar with feet."""
    return "".join([path([low, high]), *(path([(x - 3, y), (x + 3, y)]) for x, y in (low, high))])


def path(points: Sequence[Point]) -> str:
    """Open path through points."""
    return "M" + "L".join(f"{figure(x)} {figure(y)}" for x, y in points)


def interpolate_points(start: Point, end: Point) -> list[Point]:
    """Points along a straight line, near enough to each other that no label falls between them."""
    (x1, y1), (x2, y2) = start, end
    steps = int(max(abs(x2 - x1), abs(y2 - y1)) // SPACING) + 1
    return [(x1 + (x2 - x1) * step / steps, y1 + (y2 - y1) * step / steps) for step in range(steps + 1)]
