"""Charts of any values: nothing lies beyond the edges or upon another text, ticks are round, colours can be told apart."""

from itertools import pairwise
from math import isclose, log10
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from closeup_service.drawing.charts.axes import (
    Axis,
    aperture_axis,
    axis_for,
    even_axis,
    factor_axis,
    figure,
    tight_axis,
)
from closeup_service.drawing.charts.layers import Band, Series, Span, Spans, Style
from closeup_service.drawing.charts.layout import Chart, Panel, Rule, svg
from closeup_service.drawing.svg import CURVES, DARK, FAINT, INK, LIGHT, PAPER, PART
from closeup_service.optics.aperture_series import SERIES, marks_of_ring
from drawn_charts import SVG, faults_of, texts_of

VALUES = st.one_of(
    st.none(), st.floats(-1e9, 1e9), st.floats(1e-12, 1e12), st.floats(-1e-9, 1e-9), st.sampled_from([0.0, 1.0])
)
WORDS = st.text("abcdefghij ,.:", min_size=1, max_size=90).filter(str.strip)
WIDTHS = st.integers(320, 1600)


@st.composite
def charts(draw: st.DrawFn) -> Chart:
    """Charts of one to three panels with gaps, huge and tiny values, and rules anywhere on the axis."""
    xs = sorted(draw(st.sets(st.floats(-1000, 1000), min_size=1, max_size=30)))
    panels = tuple(draw(panels_over(xs)) for _ in range(draw(st.integers(1, 3))))
    rules = tuple(
        Rule(draw(st.sampled_from(xs)), draw(st.text("bestf/18.", min_size=1, max_size=16))) for _ in range(2)
    )
    return Chart(
        title=draw(WORDS),
        description=draw(WORDS),
        width=draw(WIDTHS),
        axis=tight_axis(xs[0], xs[-1]),
        heading=draw(WORDS),
        panels=panels,
        rules=rules,
    )


@st.composite
def panels_over(draw: st.DrawFn, xs: list[float]) -> Panel:
    """A panel of up to four series."""
    columns = [draw(st.lists(VALUES, min_size=len(xs), max_size=len(xs))) for _ in range(draw(st.integers(1, 4)))]
    layers = tuple(
        Series(draw(st.sampled_from(["", f"curve {number}"])), list(zip(xs, column, strict=True)), Style(number))
        for number, column in enumerate(columns)
    )
    axis = axis_for([value for column in columns for value in column], ratios=draw(st.booleans()))
    return Panel(
        draw(WORDS), axis, layers, level=draw(st.none() if axis is None else st.sampled_from([None, axis.low]))
    )


@given(charts())
def test_nothing_lies_beyond_the_edges_or_upon_another_text(chart: Chart) -> None:
    assert faults_of(svg(chart)) == []


@given(charts())
def test_every_named_curve_is_named_and_what_has_no_value_is_said_in_words(chart: Chart) -> None:
    words = [text.words for text in texts_of(ElementTree.fromstring(svg(chart)))]
    for panel in chart.panels:
        names = {layer.name for layer in panel.layers if layer.name and panel.axis is not None}
        assert all(name in words for name in names)
    assert " ".join(words).count("there is no value to draw") == sum(panel.axis is None for panel in chart.panels)


@given(charts())
def test_title_and_description_are_those_of_the_chart(chart: Chart) -> None:
    drawing = ElementTree.fromstring(svg(chart))
    assert drawing.findtext(f"{SVG}title") == chart.title
    assert drawing.findtext(f"{SVG}desc") == chart.description


@given(st.floats(-1e12, 1e12), st.floats(-1e12, 1e12))
def test_an_even_axis_begins_and_ends_with_round_ticks_around_its_values(one: float, other: float) -> None:
    low, high = min(one, other), max(one, other)
    axis = even_axis(low, high)
    rounding = 1e-8 * (axis.high - axis.low)
    assert axis.low <= low + rounding
    assert axis.high >= high - rounding
    assert 2 <= len(axis.ticks) <= 9
    assert (axis.ticks[0].value, axis.ticks[-1].value) == (axis.low, axis.high)
    step = axis.ticks[1].value - axis.ticks[0].value
    assert any(isclose(step / 10.0 ** round(log10(step / rung)), rung, rel_tol=1e-6) for rung in (1, 2, 5))


@given(st.floats(1e-12, 1e12), st.floats(1e-12, 1e12))
def test_an_axis_by_factors_holds_its_values_and_names_few(one: float, other: float) -> None:
    axis = factor_axis(min(one, other), max(one, other) * 10)
    assert axis.low <= min(one, other) * (1 + 1e-6)
    assert axis.high >= max(one, other) * 10 * (1 - 1e-6)
    assert 1 <= len(axis.ticks) <= 9
    assert all(0 <= round(axis.share(tick.value), 9) <= 1 for tick in axis.ticks)


def test_a_level_curve_has_an_axis_around_it() -> None:
    assert even_axis(0, 0).low < 0 < even_axis(0, 0).high
    assert even_axis(0, 5e-324).low < 0 < even_axis(0, 5e-324).high
    assert even_axis(3, 3.0000001).low < 3 < even_axis(3, 3.0000001).high
    assert tight_axis(50, 50).low < 50 < tight_axis(50, 50).high
    assert len(tight_axis(100, 100.5).ticks) >= 3


def test_more_than_a_decade_goes_by_factors_and_less_does_not() -> None:
    assert axis_for([1, 11]) == factor_axis(1, 11)
    assert axis_for([1, 9]) == even_axis(1, 9)
    assert axis_for([0, 11]) == even_axis(0, 11)
    assert axis_for([None, None]) is None


def test_magnifications_are_named_as_the_trade_does() -> None:
    assert [tick.label for tick in factor_axis(0.1, 2, ratios=True).ticks] == ["1:10", "1:5", "1:2", "1:1", "2:1"]


@pytest.mark.parametrize("series", SERIES)
def test_an_aperture_axis_names_what_is_engraved_full_stops_first(series: str) -> None:
    marks = marks_of_ring(series, 2.8, 22)
    axis = aperture_axis([(mark.exact, mark.nominal) for mark in marks])
    assert [tick.label for tick in axis.ticks][:7] == ["2.8", "4", "5.6", "8", "11", "16", "22"]
    gaps = [b - a for a, b in pairwise(sorted(axis.share(tick.value) for tick in axis.ticks))]
    assert gaps == [pytest.approx(gaps[0])] * len(gaps)


@pytest.mark.parametrize(
    ("value", "text"), [(0, "0"), (0.25, "0.25"), (-1500, "−1500"), (2e7, "2·10⁷"), (1e-6, "10⁻⁶"), (-1e9, "−10⁹")]
)
def test_numbers_are_written_for_people(value: float, text: str) -> None:
    assert figure(value) == text


def luminance(colour: str) -> float:
    """Relative luminance (WCAG 2.2, from memory)."""
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


@pytest.mark.parametrize("colour", [*CURVES, INK, LIGHT, FAINT])
def test_lines_and_their_names_stand_out_from_the_paper_in_light_and_dark(colour: str) -> None:
    assert contrast(colour, PAPER) >= 4.5
    assert contrast(DARK[colour], DARK[PAPER]) >= 4.5


def test_outlines_stand_out_from_the_parts_in_light_and_dark() -> None:
    assert contrast(INK, PART) >= 4.5
    assert contrast(DARK[INK], DARK[PART]) >= 4.5


def test_twenty_series_all_look_different_without_their_colours() -> None:
    looks = {
        (style.line([(0, 0), (1, 1)]).replace(style.colour, ""), style.marker((0, 0)))
        for style in map(Style, range(20))
    }
    assert len({(line.replace(f"series-{n}", ""), marker) for line, marker in looks for n in (1,)}) == 20


def test_a_gap_breaks_the_line_and_a_lone_point_is_marked() -> None:
    series = Series("", [(0, 1.0), (1, 2.0), (2, None), (3, 1.0), (4, None)], Style(0), marked=False)
    drawn = series.draw(lambda x, y: (x, y))
    assert drawn.count("<path") == 1
    assert drawn.count("<circle") == 1
    assert 'cx="3"' in drawn


@given(frames=st.integers(1, 200), width=WIDTHS, banded=st.booleans(), ends=st.booleans())
def test_spans_stay_within_their_panel(frames: int, width: int, banded: bool, ends: bool) -> None:
    spans = [Span(number - 1, number + 1, number, number, ends, ends) for number in range(1, frames + 1)]
    layer: Any = Band("all", spans, Style(0)) if banded else Spans("all", spans, Style(0), 0.5)
    panel = Panel("frames", Axis(0.5, frames + 0.5, ()), (layer,), height=240, downwards=True)
    drawn = svg(Chart("frames", "frames", width, tight_axis(0, frames + 1), "mm", (panel,)))
    assert faults_of(drawn) == []
    assert drawn.count("goes-on") == (0 if banded or not ends else 2 * frames)
