"""Drawing `/v1/charts/calibration`."""

from __future__ import annotations

from collections.abc import Sequence
from math import floor, log10
from typing import TYPE_CHECKING

from closeup_service.drawing.charts.axes import even_axis, figure, tight_axis
from closeup_service.drawing.charts.layers import Series, Style
from closeup_service.drawing.charts.layout import Chart, Panel
from closeup_service.drawing.charts.layout import svg as drawn
from closeup_service.language import tr
from closeup_service.schemas.drawn import ASSUMED_WIDTH_PX

if TYPE_CHECKING:
    from closeup_service.records import answers, requests

APART_PX = 7.0
"""How far settings of a zoom stand apart at one extension, where there is room."""
ROOM = 0.5
"""Share of the room between extensions that they take together."""
LEAST_REACH = 1e-6
"""Residuals below this are rounding: their axis does not go into it."""


def svg(asked: requests.CalibrationChartRequest, told: answers.CalibrationChartAnswer) -> str:
    """Return the readings with the fitted lens, and below what is left between them."""
    lenses = told["lenses"]
    extensions = [row["extension_mm"] for lens in lenses for row in lens["rows"]]
    width = asked.get("width_px", ASSUMED_WIDTH_PX)
    apart = min(APART_PX, ROOM * width / len(set(extensions)) / len(lenses))
    return drawn(
        Chart(
            title=told["title"],
            description=told["finding"],
            width=width,
            axis=tight_axis(min(extensions), max(extensions), apart * len(lenses) / width),
            heading=tr("extension in all, mm"),
            panels=(fit_panel(lenses), residual_panel(lenses, apart)),
        )
    )


def fit_panel(lenses: Sequence[answers.CalibrationChartLens]) -> Panel:
    """Readings as markers, each fitted lens as a line."""
    rows = [row for lens in lenses for row in lens["rows"]]
    known = [value for row in rows for value in (row["magnification"], row["fitted_magnification"])]
    layers = []
    for number, lens in enumerate(lenses):
        rows, style = [*lens["rows"]], Style(number)
        line = [(row["extension_mm"], row["fitted_magnification"]) for row in rows]
        read = [(row["extension_mm"], row["magnification"]) for row in rows]
        name = tr("fitted lens") if lens["setting"] is None else tr("at {setting:g}", setting=lens["setting"])
        layers.append(Series(name, line, style, marked=False))
        layers.append(Series("", read, style, joined=False, hollow=outliers(rows), uncertainties=uncertainties(rows)))
    return Panel(tr("Magnification: markers read, lines fitted"), even_axis(min(known), max(known)), tuple(layers))


def residual_panel(lenses: Sequence[answers.CalibrationChartLens], apart: float) -> Panel:
    """What is left of each reading, with its standard uncertainty, in a power of ten that suits it."""
    rows = [row for lens in lenses for row in lens["rows"]]
    reach = [abs(row["magnification_residual"]) + (row["magnification_uncertainty"] or 0.0) for row in rows]
    power = 3 * floor(log10(max(*reach, LEAST_REACH)) / 3)
    unit = 10.0**power
    layers = tuple(
        Series(
            "",
            [(row["extension_mm"], row["magnification_residual"] / unit) for row in lens["rows"]],
            Style(number),
            joined=False,
            hollow=outliers(lens["rows"]),
            uncertainties=[None if u is None else u / unit for u in uncertainties(lens["rows"])],
            aside=apart * (number - (len(lenses) - 1) / 2),
        )
        for number, lens in enumerate(lenses)
    )
    most = max(*reach, LEAST_REACH) / unit
    return Panel(heading(rows, power), even_axis(-most, most), layers, level=0.0)


def heading(rows: Sequence[answers.CalibrationChartRow], power: int) -> str:
    """What the residuals are, in which unit, and what their bars and hollow markers are."""
    unit = tr(", in units of {power}", power=figure(10.0**power)) if power else ""
    bars = (
        tr("; bars: standard uncertainty") if any(row["magnification_uncertainty"] is not None for row in rows) else ""
    )
    hollow = tr("; hollow: outlier") if any(row["outlier"] for row in rows) else ""
    return tr("Read less fitted{unit}{bars}{hollow}", unit=unit, bars=bars, hollow=hollow)


def outliers(rows: Sequence[answers.CalibrationChartRow]) -> frozenset[int]:
    """Places of the outliers."""
    return frozenset(index for index, row in enumerate(rows) if row["outlier"])


def uncertainties(rows: Sequence[answers.CalibrationChartRow]) -> list[float | None]:
    """Standard uncertainty of each reading."""
    return [row["magnification_uncertainty"] for row in rows]
