"""Drawing `/v1/charts/aperture`."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from closeup_service.advice.figures import decimal
from closeup_service.drawing.charts.axes import aperture_axis, axis_for, even_axis
from closeup_service.drawing.charts.layers import Series, Style
from closeup_service.drawing.charts.layout import Chart, Panel, Rule
from closeup_service.drawing.charts.layout import svg as drawn
from closeup_service.drawing.charts.ranges import Ends, ends_of_rows, ribbons, values_of
from closeup_service.language import mark, tr
from closeup_service.schemas.drawn import ASSUMED_WIDTH_PX

if TYPE_CHECKING:
    from closeup_service.records import answers, requests

NO_DETAIL = mark("Contrast is not drawn: for it, give a detail in line pairs per mm.")
NO_BLUR = mark("Depth of field is not drawn: for it, give the sensor, or the circle of confusion that you accept.")


def svg(asked: requests.ApertureChartRequest, told: answers.ApertureChartAnswer) -> str:
    """Return contrast, depth and resolution over the marks of the ring."""
    rows, mark = told["rows"], told["best_nominal_f_number"]
    best = [Rule(row["f_number"], tr("best: f/{mark:g}", mark=mark)) for row in rows if row["nominal_f_number"] == mark]
    return drawn(
        Chart(
            title=told["title"],
            description=told["finding"],
            width=asked.get("width_px", ASSUMED_WIDTH_PX),
            axis=aperture_axis([(row["f_number"], row["nominal_f_number"]) for row in rows], mark),
            heading=tr("marked f-number"),
            panels=(
                contrasts(told, asked["document"]),
                result_panel(
                    [(row["f_number"], row["total_mm"]) for row in rows],
                    ends_of_rows(told, "total_mm", len(rows)),
                    tr("Depth of field,\u00a0mm"),
                    2,
                    tr(NO_BLUR) if any(row["subject_resolution_um"] is not None for row in rows) else "",
                ),
                result_panel(
                    [(row["f_number"], row["subject_resolution_um"]) for row in rows],
                    ends_of_rows(told, "subject_resolution_um", len(rows)),
                    tr("Least distance resolved on the subject,\u00a0µm"),
                    3,
                ),
            ),
            rules=tuple(best[:1]),
        )
    )


def contrasts(told: answers.ApertureChartAnswer, document: requests.FrameSetUp) -> Panel:
    """Contrast of the detail in focus and at the ends, with their ranges."""
    rows = told["rows"]
    marks = [row["f_number"] for row in rows]
    reach = [ends_of_rows(told, name, len(rows)) for name in ("middle_contrast", "end_contrast")]
    curves = {
        "in focus": [(row["f_number"], row["middle_contrast"]) for row in rows],
        "at the ends of the depth": [(row["f_number"], row["end_contrast"]) for row in rows],
    }
    known = [value for points in curves.values() for _, value in points if value is not None]
    known += [value for ends in reach for value in values_of(ends)]
    behind = [
        layer
        for number, ends in enumerate(reach)
        for layer in ribbons(marks, ends, Style(number), named=not any(map(any, reach[:number])))
    ]
    layers = tuple(
        Series(words, points, Style(number))
        for number, (words, points) in enumerate(curves.items())
        if any(value is not None for _, value in points)
    )
    axis = even_axis(min(0.0, *known), max(0.0, *known)) if known else None
    text = (
        mark("Contrast of {detail}, 1 being the subject's; below 0 light and dark are swapped")
        if any(value < 0 for value in known)
        else mark("Contrast of {detail}, 1 being the subject's")
    )
    heading = tr(text, detail=detail(document))
    return Panel(heading, axis, (*behind, *layers), level=0.0, missing="" if has_detail(document) else tr(NO_DETAIL))


def has_detail(document: requests.FrameSetUp) -> bool:
    """Whether the document names a detail."""
    return "sensor_detail_lp_per_mm" in document or "subject_detail_lp_per_mm" in document


def detail(document: requests.FrameSetUp) -> str:
    """What the contrast is of, in words."""
    if "sensor_detail_lp_per_mm" in document:
        return tr(
            "{detail} lp/mm on the sensor",
            detail=decimal(document["sensor_detail_lp_per_mm"]),
        )
    if "subject_detail_lp_per_mm" in document:
        return tr(
            "{detail} lp/mm on the subject",
            detail=decimal(document["subject_detail_lp_per_mm"]),
        )
    return tr("the detail")


def result_panel(
    points: Sequence[tuple[float, float | None]], ends: Sequence[Ends], heading: str, number: int, missing: str = ""
) -> Panel:
    """One result over the marks, with its ranges."""
    style = Style(number)
    axis = axis_for([*(value for _, value in points), *values_of(ends)])
    layers = (*ribbons([mark for mark, _ in points], ends, style), Series("", points, style))
    return Panel(heading, axis, layers, missing=missing)
