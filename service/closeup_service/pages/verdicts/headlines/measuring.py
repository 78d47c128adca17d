"""What a ruler shows."""

from __future__ import annotations

from closeup_service.language import mark
from closeup_service.pages.verdicts.case import Case, Told, take_two
from closeup_service.pages.verdicts.words import figure_at, say, span_of

READINGS = ("readScalePhoto", "readScale")
SHOWN = (
    mark("The ruler shows {magnification}: the frame is {width} wide."),
    mark("The ruler shows {magnification}."),
)
SURE = (mark("95 of 100 such readings lie between {low} and {high}."),)


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
    ends = {"low": figure_at(answer, "magnification_low"), "high": figure_at(answer, "magnification_high")}
    return take_two(say(SHOWN, case_of_reading(told).words), say(SURE, ends))
