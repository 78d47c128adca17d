"""Drawing `/v1/charts/magnification`."""

from collections.abc import Mapping
from typing import Any

from closeup_service.drawing.charts.axes import axis_for, tight_axis
from closeup_service.drawing.charts.layers import Series, Style
from closeup_service.drawing.charts.layout import Chart, Panel
from closeup_service.drawing.charts.layout import svg as drawn
from closeup_service.schemas.drawn import ASSUMED_WIDTH_PX

MOST_MARKED = 30
"""Points that can still be marked one by one."""

Told = Mapping[str, Any]


def svg(asked: Told, told: Told) -> str:
    """Return magnification and working distance over the length."""
    rows = told["rows"]
    lengths = [row["length_mm"] for row in rows]
    member = "focusing extension" if told["along"].endswith("focusing_extension_mm") else "length"
    return drawn(
        Chart(
            title=told["title"],
            description=told["finding"],
            width=asked.get("width_px", ASSUMED_WIDTH_PX),
            axis=tight_axis(min(lengths), max(lengths)),
            heading=f"{member} of part {int(told['along'].split('/')[2]) + 1} of the train,\u00a0mm",
            panels=(
                panel(rows, "magnification", "Magnification", 0),
                panel(rows, "working_distance_mm", "Working distance,\u00a0mm", 1),
            ),
        )
    )


def panel(rows: list[Told], name: str, heading: str, number: int) -> Panel:
    """One result over the length."""
    axis = axis_for((row[name] for row in rows), ratios=name == "magnification")
    points = [(row["length_mm"], row[name]) for row in rows]
    return Panel(heading, axis, (Series("", points, Style(number), marked=len(rows) <= MOST_MARKED),))
