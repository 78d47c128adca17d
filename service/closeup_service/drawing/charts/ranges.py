"""Ranges of what charts draw: read from an answer by row, and drawn as ribbons behind their curves."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from closeup_service.drawing.charts.layers import Layer, Ribbon, Style
from closeup_service.language import mark, tr

if TYPE_CHECKING:
    from closeup_service.records import answers

Ends = tuple[float, float] | None
NAME = mark("95 of 100 such lenses")
"""What a ribbon is called."""


def ends_of_rows(told: answers.EstimatedMembers, name: str, rows: int) -> list[Ends]:
    """Ends of one result's range in every row of a chart's answer."""
    return [ends_of_row(told, name, row) for row in range(rows)]


def ends_of_row(told: answers.EstimatedMembers, name: str, row: int) -> Ends:
    """Ends of one result's range in one row."""
    found = told.get("ranges", {}).get(f"rows.{row}.{name}")
    return None if found is None else (found["low"], found["high"])


def ribbons(places: Sequence[float], ends: Sequence[Ends], style: Style, *, named: bool = True) -> tuple[Layer, ...]:
    """Ribbon over places of the common axis; none where no place has a range."""
    if not any(ends):
        return ()
    return (Ribbon(tr(NAME) if named else "", list(zip(places, ends, strict=True)), style),)


def values_of(ends: Sequence[Ends]) -> list[float]:
    """All ends, for the axis to hold them."""
    return [value for each in ends if each is not None for value in each]
