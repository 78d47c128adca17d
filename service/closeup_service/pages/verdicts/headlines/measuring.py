"""What a ruler shows."""

from __future__ import annotations

from closeup_service.pages.verdicts.case import Case
from closeup_service.pages.verdicts.sentences import say
from closeup_service.pages.verdicts.spans import Span, in_words, span_of
from closeup_service.pages.verdicts.told import Told, at_most_two

READINGS = ("readScalePhoto", "readScale")
SHOWN = (
    "The ruler shows {magnification}: the frame is {width} wide.",
    "The ruler shows {magnification}.",
)
SURE = ("95 of 100 such readings lie between {low} and {high}.",)


def case_of_reading(told: Told) -> Case:
    """Figures of a frame with a ruler; nothing of it is judged."""
    answer = next(filter(None, map(told.answer, READINGS)), {})
    return Case(
        magnification=span_of(answer, "magnification"),
        frame_width_mm=span_of(answer, "subject_width_mm"),
    )


def headline_of_reading(told: Told) -> tuple[str, ...]:
    """The magnification with its interval, and how wide the frame is."""
    answer = next(filter(None, map(told.answer, READINGS)), {})
    low, high = span_of(answer, "magnification_low"), span_of(answer, "magnification_high")
    ends = {"low": end_in_words(low), "high": end_in_words(high)}
    return at_most_two(say(SHOWN, case_of_reading(told).words), say(SURE, ends))


def end_in_words(end: Span | None) -> str | None:
    """End of an interval, with digits that tell the ends apart."""
    return None if end is None else in_words(end, "magnification_low")
