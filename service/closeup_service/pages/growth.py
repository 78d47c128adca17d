"""How cost grows, as `tests/benchmarks/growth.py` measured it: the figures, their slopes, and a chart of each."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from math import log
from typing import Any

import numpy as np
from markupsafe import Markup

from closeup_service.advice.figures import plain
from closeup_service.drawing.charts.axes import factor_axis
from closeup_service.drawing.charts.layers import Series, Style
from closeup_service.drawing.charts.layout import Chart, Panel
from closeup_service.drawing.charts.layout import svg as drawn

FILE = "growth.json"
WIDTH_PX = 360.0
"""Drawn for a narrow screen, where its texts can still be read; a wide one shows it a little larger."""
ROOM = 1.05
"""Factor beyond the values to which their axis reaches at least."""
MILLI, MEGA = 1e3, 1e-6


@dataclass(frozen=True, slots=True)
class Column:
    """What is told of each measurement: its name in the file, the heading, and the factor to the heading's unit."""

    name: str
    heading: str
    factor: float = 1.0


@dataclass(frozen=True, slots=True)
class Growth:
    """One subject: along what, and the columns that are told; the charts draw the first."""

    title: str
    along: Column
    columns: Sequence[Column]
    points: Sequence[Mapping[str, float]]

    @property
    def rows(self) -> list[list[str]]:
        """Cells of its table."""
        return [
            [plain(point[each.name] * each.factor) for each in (self.along, *self.columns)] for point in self.points
        ]

    @property
    def last_row(self) -> Mapping[str, float]:
        """The last measurement."""
        return self.points[-1]

    @property
    def pairs(self) -> list[tuple[float, float]]:
        """Points of the chart."""
        first = self.columns[0]
        return [(point[self.along.name], point[first.name] * first.factor) for point in self.points]

    def slope(self, count: int = 0) -> str:
        """Power of what it is told along with which the first column grows, by the last so many points or by all."""
        logs = np.array([[log(x), log(y)] for x, y in self.pairs[-count:]])
        return f"{float(np.polyfit(logs[:, 0], logs[:, 1], 1)[0]):.2f}"

    @property
    def chart(self) -> Markup:
        """Both by equal factors, so that a power is a straight line."""
        xs, ys = zip(*self.pairs, strict=True)
        heading, upright = self.columns[0].heading, factor_axis(min(ys) / ROOM, max(ys) * ROOM)
        drawing = Chart(
            title=self.title,
            description=f"{heading} from {plain(ys[0])} to {plain(ys[-1])}; the figures stand in the table.",
            width=WIDTH_PX,
            axis=factor_axis(min(xs), max(xs)),
            heading=self.along.heading,
            panels=(Panel(heading, upright, (Series("", self.pairs, Style(0)),)),),
        )
        return Markup(drawn(drawing))  # nosec B704  # svg.py has escaped it


@dataclass(frozen=True, slots=True)
class Measured:
    """All subjects, and what they were measured on."""

    machine: str
    date: str
    table: Growth
    search: Growth
    workers: Growth
    cores: Growth


@cache
def read_figures() -> Measured:
    """Read the figures."""
    told: Mapping[str, Any] = json.loads(files(__package__).joinpath(FILE).read_text(encoding="utf-8"))
    time = Column("cpu_s", "CPU time, ms", MILLI)
    load = (Column("per_s", "requests per second"), Column("cpu_s", "CPU time of each, ms", MILLI))
    memory = Column("memory_bytes", "memory of the whole, MB", MEGA)
    return Measured(
        told["machine"],
        told["date"],
        Growth("A table by its rows", Column("rows", "rows"), (time,), told["rows"]),
        Growth("A search by arrangements", Column("candidates", "arrangements"), (time,), told["candidates"]),
        Growth("Requests by workers", Column("workers", "workers"), (*load, memory), told["workers"]),
        Growth("Requests by cores", Column("cores", "cores"), load, told["cores"]),
    )
