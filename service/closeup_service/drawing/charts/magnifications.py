"""Drawing `/v1/charts/magnification`."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from closeup_service.drawing.charts.axes import axis_for, tight_axis
from closeup_service.drawing.charts.layers import Series, Style
from closeup_service.drawing.charts.layout import Chart, Panel
from closeup_service.drawing.charts.layout import svg as drawn
from closeup_service.drawing.charts.ranges import Ends, ends_of_rows, ribbons, values_of
from closeup_service.language import tr
from closeup_service.schemas.drawn import ASSUMED_WIDTH_PX

if TYPE_CHECKING:
    from closeup_service.records import answers, requests

MOST_MARKED = 30
"""Points that can still be marked one by one."""


def svg(asked: requests.MagnificationChartRequest, told: answers.MagnificationChartAnswer) -> str:
    """Return magnification and working distance over the length."""
    rows = told["rows"]
    lengths = [row["length_mm"] for row in rows]
    member = tr("focusing extension") if told["along"].endswith("focusing_extension_mm") else tr("length")
    return drawn(
        Chart(
            title=told["title"],
            description=told["finding"],
            width=asked.get("width_px", ASSUMED_WIDTH_PX),
            axis=tight_axis(min(lengths), max(lengths)),
            heading=tr(
                "{member} of part {part} of the train,\xa0mm",
                member=member,
                part=int(told["along"].split("/")[2]) + 1,
            ),
            panels=(
                panel(
                    zip(lengths, (row["magnification"] for row in rows), strict=True),
                    ends_of_rows(told, "magnification", len(rows)),
                    "Magnification",
                    0,
                    ratios=True,
                ),
                panel(
                    zip(lengths, (row["working_distance_mm"] for row in rows), strict=True),
                    ends_of_rows(told, "working_distance_mm", len(rows)),
                    tr("Working distance,\u00a0mm"),
                    1,
                ),
            ),
        )
    )


def panel(
    pairs: Iterable[tuple[float, float | None]],
    ends: Sequence[Ends],
    heading: str,
    number: int,
    *,
    ratios: bool = False,
) -> Panel:
    """One result over the length, with its ranges."""
    points, style = list(pairs), Style(number)
    axis = axis_for([*(value for _, value in points), *values_of(ends)], ratios=ratios)
    curve = Series("", points, style, marked=len(points) <= MOST_MARKED)
    return Panel(heading, axis, (*ribbons([length for length, _ in points], ends, style), curve))
