"""Drawing `/v1/charts/aperture`."""

from collections.abc import Mapping
from typing import Any

from closeup_service.advice.figures import plain
from closeup_service.drawing.charts.axes import aperture_axis, axis_for, even_axis
from closeup_service.drawing.charts.layers import Series, Style
from closeup_service.drawing.charts.layout import Chart, Panel, Rule
from closeup_service.drawing.charts.layout import svg as drawn
from closeup_service.schemas.drawn import ASSUMED_WIDTH_PX

Told = Mapping[str, Any]


def svg(asked: Told, told: Told) -> str:
    """Return contrast, depth and resolution over the marks of the ring."""
    rows, mark = told["rows"], told["best_nominal_f_number"]
    best = [Rule(row["f_number"], f"best: f/{mark:g}") for row in rows if row["nominal_f_number"] == mark]
    return drawn(
        Chart(
            title=told["title"],
            description=told["finding"],
            width=asked.get("width_px", ASSUMED_WIDTH_PX),
            axis=aperture_axis([(row["f_number"], row["nominal_f_number"]) for row in rows], mark),
            heading="marked f-number",
            panels=(
                contrasts(rows, asked["document"]),
                result_panel(rows, "total_mm", "Depth of field,\u00a0mm", 2),
                result_panel(rows, "subject_resolution_um", "Least distance resolved on the subject,\u00a0µm", 3),
            ),
            rules=tuple(best[:1]),
        )
    )


def contrasts(rows: list[Told], document: Told) -> Panel:
    """Contrast of the detail in focus and at the ends."""
    names = {"middle_contrast": "in focus", "end_contrast": "at the ends of the depth"}
    known = [row[name] for row in rows for name in names if row[name] is not None]
    layers = tuple(
        Series(words, [(row["f_number"], row[name]) for row in rows], Style(number))
        for number, (name, words) in enumerate(names.items())
        if any(row[name] is not None for row in rows)
    )
    axis = even_axis(min(0.0, *known), max(0.0, *known)) if known else None
    swapped = "; below 0 light and dark are swapped" if any(value < 0 for value in known) else ""
    return Panel(f"Contrast of {detail(document)}, 1 being the subject's{swapped}", axis, layers, level=0.0)


def detail(document: Told) -> str:
    """What the contrast is of, in words."""
    for name, where in (("sensor_detail_lp_per_mm", "sensor"), ("subject_detail_lp_per_mm", "subject")):
        if name in document:
            return f"{plain(document[name])} lp/mm on the {where}"
    return "the detail"


def result_panel(rows: list[Told], name: str, heading: str, number: int) -> Panel:
    """One result over the marks."""
    points = [(row["f_number"], row[name]) for row in rows]
    return Panel(heading, axis_for(row[name] for row in rows), (Series("", points, Style(number)),))
