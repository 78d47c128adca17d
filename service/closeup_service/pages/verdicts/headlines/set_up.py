"""What a set-up gives, or which length reaches a target."""

from __future__ import annotations

from collections.abc import Mapping

from closeup_service.optics.aperture_series import Mark
from closeup_service.pages.pointers import value_at, with_values
from closeup_service.pages.task import Members, number_of
from closeup_service.pages.verdicts.case import Case
from closeup_service.pages.verdicts.sentences import Words, say
from closeup_service.pages.verdicts.spans import in_words, span_of
from closeup_service.pages.verdicts.told import Told, at_most_two
from closeup_service.pages.verdicts.way_out import USUAL_MARKS, Ring, Stack, way_out

EVALUATE, CHART = "evaluateSetUp", "chartApertures"
UM_PER_MM = 1000
GIVES = (
    "This set-up gives {magnification}: the frame is {width} wide, {clearance} are free in front of the lens, and {total} "
    "are sharp.",
    "This set-up gives {magnification}: the frame is {width} wide, and {clearance} are free in front of the lens.",
    "This set-up gives {magnification}: {clearance} are free in front of the lens, and {total} are sharp.",
    "This set-up gives {magnification}, and {clearance} are free in front of the lens.",
    "This set-up gives {magnification}: the subject is {distance} away, and {total} are sharp.",
    "This set-up gives {magnification}, and the subject is {distance} away.",
    "This set-up gives {magnification}.",
    "The lens is not known well enough to tell the magnification: measure first what is named below.",
)
SOLVED = (
    "Set “{part}” to {length}: the frame is then {width} wide at {magnification}, with {clearance} free in front of "
    "the lens.",
    "Set “{part}” to {length}: that gives {magnification}, with {clearance} free in front of the lens.",
    "Focus the lens out by {focusing}: the frame is then {width} wide at {magnification}, with {clearance} free in front of "
    "the lens.",
    "Focus the lens out by {focusing}: that gives {magnification}.",
    "Put {tubes} of tubes or bellows there: the frame is then {width} wide at {magnification}, with {clearance} free in "
    "front of the lens.",
    "Put {tubes} of tubes or bellows there: that gives {magnification}, with {clearance} free in front of the lens.",
    "Put {tubes} of tubes or bellows there: that gives {magnification}.",
    "The lens is not known well enough to tell the length: measure first what is named below.",
)


def case_of_set_up(told: Told) -> Case:
    """Figures of a set-up."""
    answer, request = told.answer(EVALUATE), told.request(EVALUATE)
    magnification = span_of(answer, "magnification")
    movement = span_of(answer, "allowed_movement_um")
    return Case(
        f_number=marked(told),
        magnification=magnification,
        effective_f_number=span_of(answer, "effective_f_number"),
        airy_um=span_of(answer, "diffraction/airy_diameter_um"),
        accepted_um=movement.value * magnification.value if movement and magnification else None,
        total_mm=span_of(answer, "depth_of_field/total_mm"),
        subject_depth_mm=number_of(request, "subject_depth_mm") or None,
        reserve=overlap_of(answer),
        frames=span_of(answer, "stack_frames"),
        step_mm=span_of(answer, "stack_step_mm"),
        optimum_f_number=span_of(answer, "optimum_f_number"),
        clearance_mm=span_of(answer, "clearance_mm"),
        working_distance_mm=span_of(answer, "working_distance_mm"),
        frame_width_mm=span_of(answer, "subject_width_mm"),
        light_loss_stops=span_of(answer, "light_loss_stops"),
        missing_stops=number_of({"missing": value_at(answer, "/exposure/flash_power/missing_stops")}, "missing"),
    )


def overlap_of(answer: Members) -> float:
    """Overlap of the frames of a stack, which is assumed where there may be one."""
    assumed = answer.get("assumed")
    return (
        (number_of(assumed, "/overlap") or number_of(assumed, "overlap") or 0.0)
        if isinstance(assumed, Mapping)
        else 0.0
    )


def marked(told: Told) -> float | None:
    """F-number marked and set on the ring that governs."""
    place = told.answer(CHART).get("along")
    return number_of({"f_number": value_at(told.request(CHART), str(place))}, "f_number")


def ring_of_set_up(told: Told) -> Ring:
    """Marks that the ring of the set-up has, and the stack at each of them."""
    chart = told.answer(CHART)
    rows = chart.get("rows")
    if not isinstance(rows, list):
        return Ring(USUAL_MARKS)
    marks = [Mark(each["nominal_f_number"], each["f_number"]) for each in rows if each["problem"] is None]
    place = str(chart["along"])

    def stack_at(f_number: float) -> Stack | None:
        answer = told.ask_again(EVALUATE, with_values(told.request(CHART), {place: f_number}))
        return stack_of(answer, "stack_frames", "stack_step_mm")

    return Ring(marks, stack_at)


def stack_of(answer: Members, frames: str, step: str) -> Stack | None:
    """Stack of an answer, by the names of its two figures."""
    found = span_of(answer, frames)
    return None if found is None else Stack(found, span_of(answer, step))


def headline_of_set_up(told: Told) -> tuple[str, ...]:
    """What the set-up gives, and what to do where that is not sharp enough."""
    case = case_of_set_up(told)
    solved = told.answer(EVALUATE).get("solved")
    words = {**case.words, **length_in_words(told)}
    return at_most_two(say(SOLVED if solved else GIVES, words), way_out(case, ring_of_set_up(told)))


def length_in_words(told: Told) -> Words:
    """The length that was found, under the name of what has it."""
    length = in_words(span_of(told.answer(EVALUATE), "solved/value"), "length_mm")
    pointer = str(value_at(told.answer(EVALUATE), "/solved/pointer"))
    if pointer.endswith("/focusing_extension_mm"):
        return {"focusing": length}
    used = value_at(told.request(EVALUATE), f"{pointer.rpartition('/')[0]}/use")
    part = told.kit.by_id.get(str(used))
    return {"tubes": length} if part is None else {"length": length, "part": part.name}
