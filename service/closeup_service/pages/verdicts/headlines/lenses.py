"""What is known of a lens, its calibration, and the rings that join it."""

from __future__ import annotations

from closeup_service.language import mark, tr
from closeup_service.pages.tasks.lens_words import KINDS
from closeup_service.pages.tasks.ring_words import ring_name
from closeup_service.pages.verdicts.case import Case, Told, take_two
from closeup_service.pages.verdicts.words import ends_of, figure_at, quoted, rows_at, say, span_of, text_at, words_of

ESTIMATE, CALIBRATION, RINGS, MAGNIFICATION = "estimateLens", "calibrateLens", "findRingChains", "findMagnification"
KNOWN = (
    mark("With this lens the magnification is {magnification}, {range}; measure next: {what}."),
    mark("With this lens the magnification is {magnification}, {range}."),
    mark("With this lens the magnification is {magnification}."),
    mark("The lens is not known well enough to tell the magnification; measure first: {what}."),
    mark("The lens is not known well enough to tell the magnification."),
)
CALIBRATED = (
    mark("The focal length is {focal_length}, 95 % certain between {low} and {high}."),
    mark("The focal length is {focal_length}, {range}."),
    mark("The focal length is {focal_length}."),
    mark("These readings do not yet determine the focal length."),
)
JOINED = (
    mark("{rings} rings join the two, {thickness} thick together; there are {ways} ways in all."),
    mark("{rings} rings join the two; there are {ways} ways in all."),
    mark("One ring joins the two, {thickness} thick; there are {ways} ways in all."),
    mark("One ring joins the two; there are {ways} ways in all."),
    mark("{rings} rings join the two, {thickness} thick together."),
    mark("{rings} rings join the two."),
    mark("One ring joins the two, {thickness} thick."),
    mark("One ring joins the two."),
)
NO_RING = (mark("The two join as they are: no ring is needed."),)
BUY = (mark("You have to buy {buy}."),)
NOT_JOINED = (mark("No rings that are known join the two."),)


def case_of_lens(told: Told) -> Case:
    """Nothing of a lens alone is judged."""
    del told
    return Case()


def headline_of_lens(told: Told) -> tuple[str, ...]:
    """How well the magnification is known."""
    found = span_of(told.answer(MAGNIFICATION), "magnification")
    words = {
        "magnification": words_of(found, "magnification"),
        "range": ends_of(found, "magnification"),
        "what": tr(KINDS.get(text_at(told.answer(ESTIMATE), "next_measurements/0/kind"), "")),
    }
    return take_two(say(KNOWN, words))


def headline_of_calibration(told: Told) -> tuple[str, ...]:
    """The focal length that was found, with its interval."""
    answer = told.answer(CALIBRATION)
    words = {
        "focal_length": figure_at(answer, "focal_length_mm"),
        "range": ends_of(span_of(answer, "focal_length_mm"), "focal_length_mm"),
        "low": figure_at(answer, "lower_95/focal_length_mm"),
        "high": figure_at(answer, "upper_95/focal_length_mm"),
    }
    return take_two(say(CALIBRATED, words))


def headline_of_rings(told: Told) -> tuple[str, ...]:
    """How many ways there are, and what the first takes."""
    answer = told.answer(RINGS)
    ways, rings = len(rows_at(answer, "chains")), len(rows_at(answer, "chains/0/rings"))
    words = {
        "ways": str(ways) if ways > 1 else None,
        "rings": str(rings) if rings > 1 else None,
        "thickness": figure_at(answer, "chains/0/extension_mm"),
        "buy": tr(" and ").join(quoted(ring_name(str(each), told.kit)) for each in rows_at(answer, "chains/0/buy")),
    }
    if not ways:
        return take_two(say(NOT_JOINED, words))
    return take_two(say(JOINED if rings else NO_RING, words), say(BUY, words))
