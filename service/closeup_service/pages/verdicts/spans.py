"""Numbers of answers with the range that they lie in."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from closeup_service.advice import figures
from closeup_service.optics.vocabulary import VOCABULARY
from closeup_service.pages.task import Members, value_at


class Span(Struct, frozen=True):
    """A number and the ends of its range, which are the number itself where it is exact."""

    value: float
    low: float
    high: float

    def times(self, factor: float) -> Span:
        """The same, so many times as large."""
        return Span(self.value * factor, self.low * factor, self.high * factor)


def exact(value: float) -> Span:
    """A number that is no range."""
    return Span(value, value, value)


def span_of(answer: Members, path: str) -> Span | None:
    """Number at a path of an answer, with its range; None where it is not told."""
    value = value_at(answer, path)
    if isinstance(value, bool) or not isinstance(value, float | int):
        return None
    ranges = answer.get("ranges")
    ends = ranges.get(path.replace("/", ".")) if isinstance(ranges, Mapping) else None
    return exact(float(value)) if ends is None else Span(float(value), float(ends["low"]), float(ends["high"]))


def in_words(span: Span | None, name: str) -> str | None:
    """Number as people say it, “about” so much where it lies in a range; None where there is none."""
    if span is None:
        return None
    unit = VOCABULARY[name].unit
    if span.low == span.high:
        return figures.figure(span.value, name, unit)
    return figures.figure_in_range(span.value, span.low, span.high, name, unit).about


def ends_in_words(span: Span | None, name: str) -> str | None:
    """The range of a number as people say it; None where it has none that is worth saying."""
    if span is None or span.low == span.high:
        return None
    return figures.figure_in_range(span.value, span.low, span.high, name, VOCABULARY[name].unit).between or None


def stated(value: object, name: str) -> str | None:
    """Number that was given, as it was stated; None where there is none."""
    if isinstance(value, bool) or not isinstance(value, float | int):
        return None
    return figures.format_stated(float(value), name, VOCABULARY[name].unit)
