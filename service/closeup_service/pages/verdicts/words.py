"""Numbers of answers in words: each with the range that it lies in, and whole sentences with places for them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from string import Formatter

from msgspec import Struct

from closeup_service.advice import figures
from closeup_service.language import tr
from closeup_service.optics.vocabulary import VOCABULARY
from closeup_service.pages.results import range_at
from closeup_service.pages.task import Members, value_at

Words = Mapping[str, str | None]
"""Figures in words by the names of their places; None for what is not known."""


class Span(Struct, frozen=True):
    """A number and the ends of its range, which are the number itself where it is exact."""

    value: float
    low: float
    high: float

    def times(self, factor: float) -> Span:
        """The same, so many times as large."""
        return Span(self.value * factor, self.low * factor, self.high * factor)


def exact_span(value: float) -> Span:
    """A number that is no range."""
    return Span(value, value, value)


def span_of(answer: Members, path: str) -> Span | None:
    """Number at a path of an answer, with its range; None where it is not told."""
    value = value_at(answer, path)
    if isinstance(value, bool) or not isinstance(value, float | int):
        return None
    ends = range_at(answer, path)
    return exact_span(float(value)) if ends is None else Span(float(value), *ends)


def figure_at(answer: Members, path: str, name: str = "") -> str | None:
    """Number at a path of an answer as people say it, as the quantity of that name where it is called otherwise there."""
    return words_of(span_of(answer, path), name or path.rpartition("/")[2])


def number_at(answer: Members, path: str) -> float | None:
    """Number at a path of an answer without its range; None where there is none."""
    found = span_of(answer, path)
    return None if found is None else found.value


def rows_at(answer: Members, path: str) -> Sequence[Members]:
    """Entries of a list at a path of an answer; none where there is none."""
    found = value_at(answer, path)
    return found if isinstance(found, list) else ()


def text_at(answer: Members, path: str) -> str:
    """Text at a path of an answer; an empty one where there is none."""
    found = value_at(answer, path)
    return found if isinstance(found, str) else ""


def unit_of(name: str) -> str:
    """Unit of a quantity; none for a count."""
    return VOCABULARY[name].unit if name in VOCABULARY else ""


def words_of(span: Span | None, name: str) -> str | None:
    """Number as people say it, “about” so much where it lies in a range; None where there is none."""
    if span is None:
        return None
    if span.low == span.high:
        return figures.figure(span.value, name, unit_of(name))
    return figures.figure_in_range(span.value, span.low, span.high, name, unit_of(name)).about


def ends_of(span: Span | None, name: str) -> str | None:
    """The range of a number as people say it; None where it has none that is worth saying."""
    if span is None or span.low == span.high:
        return None
    return figures.figure_in_range(span.value, span.low, span.high, name, unit_of(name)).between or None


def statement(value: object, name: str) -> str | None:
    """Number that was given, as it was stated; None where there is none."""
    if isinstance(value, bool) or not isinstance(value, float | int):
        return None
    return figures.format_stated(float(value), name, unit_of(name))


def say(templates: Iterable[str], words: Words) -> str:
    """First sentence whose figures are all known, in the language that is spoken; nothing where there is none."""
    known = {name: text for name, text in words.items() if text}
    fitting = (each for each in templates if places(each) <= known.keys())
    return figures.capitalize(next((tr(each, **known) for each in fitting), ""))


def quoted(name: str) -> str:
    """Name that somebody gave, as sentences hold it."""
    return tr("“{name}”", name=name)


def places(template: str) -> set[str]:
    """Names of the figures that a sentence has places for."""
    return {name for _, name, _, _ in Formatter().parse(template) if name}
