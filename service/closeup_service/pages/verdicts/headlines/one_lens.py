"""How sharp one lens is at a magnification, and which aperture is best for the depth of the subject."""

from __future__ import annotations

from closeup_service.language import mark
from closeup_service.pages.task import Members, number_of
from closeup_service.pages.verdicts.case import Case, Told, take_two
from closeup_service.pages.verdicts.headlines.set_up import overlap_of, stack_of
from closeup_service.pages.verdicts.way_out import Ring, Stack, way_out
from closeup_service.pages.verdicts.words import Span, Words, exact_span, figure_at, say, span_of, statement

DEPTH, DIFFRACTION, OPTIMUM = "findDepthOfField", "findDiffraction", "findOptimumAperture"
EQUIVALENCE, STACK_CHART = "findFormatEquivalence", "chartFocusStack"
SHARP = (
    mark("At {f_number} and {magnification}, {total} are sharp, and the finest detail resolved is {detail}."),
    mark("At {f_number} and {magnification}, {total} are sharp."),
    mark("At {f_number} and {magnification}, everything from {front} in front of the subject on is sharp."),
    mark("At {f_number} and {magnification}, the finest detail resolved is {detail}."),
)
ARE_SHARP = (mark("{total} are sharp."),)
COVERS = (mark("A depth of {depth} at {magnification} takes {covering}."),)
ENDS = (
    mark("The two ends of a depth of {depth} are sharpest at {best}."),
    mark("The two ends of a depth of {depth} are sharpest at {mark}."),
)
BEST = (
    mark(
        "For a depth of {depth} at {magnification}, set {best}, which leaves the detail the most contrast at both ends."
    ),
    mark("For a depth of {depth} at {magnification}, set {mark}."),
)
OTHER_SENSOR = (
    mark("On the other sensor the same picture takes {other_magnification} and {other_mark}."),
    mark("On the other sensor the same picture takes {other_magnification}."),
)


STAYING = (mark("If {f_number} stays, {there} are sharp there instead of {here}."),)


def case_of_one_lens(told: Told) -> Case:
    """Figures of one lens at a magnification."""
    depth, diffraction = told.answer(DEPTH), told.answer(DIFFRACTION)
    asked = {**told.request(OPTIMUM), **told.request(DIFFRACTION), **told.request(DEPTH)}
    stack = told.answer(STACK_CHART)
    accepted = span_of(depth, "circle_of_confusion_mm")
    return Case(
        f_number=number_of(asked, "f_number"),
        magnification=requested_span(asked, "magnification"),
        effective_f_number=span_of(depth or diffraction, "effective_f_number"),
        airy_um=span_of(diffraction, "airy_diameter_um"),
        accepted_um=None if accepted is None else accepted.value * 1000,
        total_mm=span_of(depth, "total_mm"),
        subject_depth_mm=number_of(asked, "subject_depth_mm") or None,
        reserve=overlap_of(stack),
        frames=span_of(stack, "frames"),
        step_mm=span_of(stack, "step_mm"),
        optimum_f_number=span_of(told.answer(OPTIMUM), "f_number"),
        covering_f_number=span_of(told.answer(OPTIMUM), "covering_f_number"),
    )


def requested_span(asked: Members, name: str) -> Span | None:
    """Number that was asked with."""
    value = number_of(asked, name)
    return None if value is None else exact_span(value)


def ring_of_one_lens(told: Told) -> Ring:
    """Usual marks, and the stack at each of them where the subject has a depth."""
    asked = told.request(STACK_CHART)

    def stack_at(f_number: float) -> Stack | None:
        return stack_of(told.ask_again(STACK_CHART, {**asked, "f_number": f_number}), "frames", "step_mm")

    return Ring(stack_at=stack_at) if asked else Ring()


def headline_of_sharpness(told: Told) -> tuple[str, ...]:
    """What is sharp and what to do about it; where another sensor was asked for, what it takes comes first."""
    case = case_of_one_lens(told)
    words = {**case.words, **detail_in_words(told)}
    other, remedy = equivalence_sentence(told), way_out(case, ring_of_one_lens(told))
    if remedy:
        return take_two(other, remedy, "" if is_looked_for(case) else say(ARE_SHARP, words))
    best = best_sentences(told, case)
    sharp = "" if is_looked_for(case) and any(best) else say(SHARP, words)
    return take_two(other, staying_sentence(told), sharp, *best)


def is_looked_for(case: Case) -> bool:
    """Whether the aperture is what was asked for: none was set, or the one that covers the depth of the subject was found."""
    covering = case.covering_f_number
    return case.f_number is None or (covering is not None and case.f_number == covering.value)


def detail_in_words(told: Told) -> Words:
    """The finest detail, and the depth in front of the subject."""
    return {
        "detail": figure_at(told.answer(DIFFRACTION), "subject_resolution_um"),
        "front": figure_at(told.answer(DEPTH), "front_depth_mm"),
    }


def staying_sentence(told: Told) -> str:
    """What happens to the depth of field on the other sensor if the aperture stays."""
    words = {
        "f_number": statement(number_of(told.request("here"), "f_number"), "f_number"),
        "there": figure_at(told.answer("there"), "total_mm"),
        "here": figure_at(told.answer("here"), "total_mm"),
    }
    return say(STAYING, words)


def best_sentences(told: Told, case: Case) -> tuple[str, ...]:
    """The aperture that covers the depth of the subject, where one is looked for, and that at which its ends are sharpest."""
    answer = told.answer(OPTIMUM)
    best, mark = figure_at(answer, "best/nominal_f_number"), figure_at(answer, "nominal_f_number")
    words = {**case.words, "best": best, "mark": mark}
    covers = say(COVERS, words) if is_looked_for(case) else ""
    return (covers, say(ENDS, words)) if covers else (say(BEST if is_looked_for(case) else ENDS, words),)


def equivalence_sentence(told: Told) -> str:
    """What the same picture takes on the other sensor."""
    answer = told.answer(EQUIVALENCE)
    words = {
        "other_magnification": figure_at(answer, "other_magnification"),
        "other_mark": figure_at(answer, "other_nominal_f_number", "nominal_f_number"),
    }
    return say(OTHER_SENSOR, words)
