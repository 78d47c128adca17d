"""Drawing `/v1/charts/stack`."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil
from typing import TYPE_CHECKING

from closeup_service.drawing.charts.axes import Axis, Tick, round_step, tight_axis
from closeup_service.drawing.charts.layers import Band, Layer, Span, Spans, Style
from closeup_service.drawing.charts.layout import Chart, Panel, Rule
from closeup_service.drawing.charts.layout import svg as drawn
from closeup_service.drawing.charts.ranges import Ends, ends_of_row
from closeup_service.language import mark, tr
from closeup_service.schemas.drawn import ASSUMED_WIDTH_PX

if TYPE_CHECKING:
    from closeup_service.records import answers, requests

ROOM_PX, THICKEST_PX = 240.0, 14.0
MOST_BARS = 60
"""Frames that can still be drawn one by one."""
MOST_CORNERS = 200
BEYOND = 0.25
"""Share of the subject's depth beyond which a sharp zone is not drawn on."""
STEPS = 5
NAME = mark("sharp in each frame; the upright line is its plane of focus")


def svg(asked: requests.StackChartRequest, told: answers.StackChartAnswer) -> str:
    """Return the frames one below the other over the subject's depth."""
    rows, depth = told["rows"], told["subject_depth_mm"]
    low, high = -BEYOND * depth, (1 + BEYOND) * depth
    spans = [span_of(number, row, low, high, outer_ends(told, number - 1)) for number, row in enumerate(rows, start=1)]
    reach = [span.outer or (span.start, span.end) for span in spans]
    axis = tight_axis(min(0.0, *(start for start, _ in reach)), max(depth, *(end for _, end in reach)))
    note = tr(" (an arrow: it goes on)") if any(span.open_start or span.open_end for span in spans) else ""
    note += tr("; faint: where it may be with 95 of 100 such lenses") if any(span.outer for span in spans) else ""
    height = min(ROOM_PX, max(60.0, 1.4 * THICKEST_PX * len(rows)))
    panel = Panel(
        tr("Frame, the first at the top"),
        frame_axis(len(rows)),
        (layer(spans, note, height),),
        height=height,
        downwards=True,
    )
    return drawn(
        Chart(
            title=told["title"],
            description=told["finding"],
            width=asked.get("width_px", ASSUMED_WIDTH_PX),
            axis=axis,
            heading=tr("behind the subject's nearest point, mm"),
            panels=(panel,),
            rules=(Rule(0.0, tr("nearest point")), Rule(depth, tr("farthest point"))),
        )
    )


def layer(spans: Sequence[Span], note: str, height: float) -> Layer:
    """Spans one by one, or as a band where there are too many."""
    if len(spans) <= MOST_BARS:
        return Spans(tr(NAME) + note, spans, Style(0), min(THICKEST_PX, 0.7 * height / len(spans)))
    every = spans[:: ceil(len(spans) / MOST_CORNERS)]
    kept = every if every[-1] is spans[-1] else [*every, spans[-1]]
    return Band(
        tr(
            "sharp in each of the {spans} frames, drawn as one band; the line is their planes of focus{note}",
            spans=len(spans),
            note=note,
        ),
        kept,
        Style(0),
    )


def outer_ends(told: answers.StackChartAnswer, row: int) -> Ends:
    """From where to where a frame may be sharp; None where neither end has a range."""
    start, end = (ends_of_row(told, name, row) for name in ("sharp_from_mm", "sharp_to_mm"))
    return None if start is None or end is None else (start[0], end[1])


def span_of(number: int, row: answers.StackChartRow, low: float, high: float, outer: Ends) -> Span:
    """One frame; what reaches beyond these ends is drawn to them and marked as going on."""
    start, end = row["sharp_from_mm"], row["sharp_to_mm"]
    return Span(
        low if start is None else max(start, low),
        high if end is None else min(end, high),
        number,
        row["position_mm"],
        start is None or start < low,
        end is None or end > high,
        None if outer is None else (max(outer[0], low), min(outer[1], high)),
    )


def frame_axis(frames: int) -> Axis:
    """Axis of the frames' numbers, with room for half a frame at both ends; the first and round ones are named."""
    step = max(1, round(round_step(frames / STEPS)))
    numbers = [1, *(number for number in range(step, frames + 1, step) if number > 1)]
    return Axis(0.5, frames + 0.5, tuple(Tick(number, str(number)) for number in numbers))
