"""What a set-up gives, or which length reaches a target."""

from __future__ import annotations

from collections.abc import Mapping

from closeup_service.language import mark
from closeup_service.optics.aperture_series import Mark
from closeup_service.pages import task
from closeup_service.pages.pointers import value_at, with_values
from closeup_service.pages.task import Members, number_of
from closeup_service.pages.verdicts.case import Case, Told, take_two
from closeup_service.pages.verdicts.way_out import USUAL_MARKS, Ring, Stack, way_out
from closeup_service.pages.verdicts.words import Words, figure_at, number_at, rows_at, say, span_of, text_at

EVALUATE, CHART = "evaluateSetUp", "chartApertures"
GIVES = (
    mark(
        "This set-up gives {magnification}: the frame is {width} wide, {clearance} are free in front of the lens, and {total} "
        "are sharp."
    ),
    mark(
        "This set-up gives {magnification}: the frame is {width} wide, and {clearance} are free in front of the lens."
    ),
    mark("This set-up gives {magnification}: {clearance} are free in front of the lens, and {total} are sharp."),
    mark("This set-up gives {magnification}, and {clearance} are free in front of the lens."),
    mark("This set-up gives {magnification}: the subject is {distance} away, and {total} are sharp."),
    mark("This set-up gives {magnification}, and the subject is {distance} away."),
    mark("This set-up gives {magnification}."),
    mark("The lens is not known well enough to tell the magnification: measure first what is named below."),
)
SOLVED = (
    mark(
        "Set “{part}” to {length}: the frame is then {width} wide at {magnification}, with {clearance} free in "
        "front of the lens."
    ),
    mark("Set “{part}” to {length}: that gives {magnification}, with {clearance} free in front of the lens."),
    mark(
        "Focus the lens out by {focusing}: the frame is then {width} wide at {magnification}, with {clearance} free in "
        "front of the lens."
    ),
    mark("Focus the lens out by {focusing}: that gives {magnification}."),
    mark(
        "Put {tubes} of tubes or bellows there: the frame is then {width} wide at {magnification}, with {clearance} free in "
        "front of the lens."
    ),
    mark(
        "Put {tubes} of tubes or bellows there: that gives {magnification}, with {clearance} free in front of the lens."
    ),
    mark("Put {tubes} of tubes or bellows there: that gives {magnification}."),
    mark("The lens is not known well enough to tell the length: measure first what is named below."),
)


def case_of_set_up(told: Told) -> Case:
    """Figures of a set-up."""
    answer, request = told.answer(EVALUATE), told.request(EVALUATE)
    magnification = span_of(answer, "magnification")
    movement = span_of(answer, "allowed_movement_um")
    return Case(
        f_number=marked_f_number(told),
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
        missing_stops=number_at(answer, "exposure/flash_power/missing_stops"),
    )


def overlap_of(answer: Members) -> float:
    """Overlap of the frames of a stack, which is assumed where there may be one."""
    assumed = task.value_at(answer, "assumed")
    found = (number_of(assumed, name) for name in ("/overlap", "overlap")) if isinstance(assumed, Mapping) else ()
    return next(filter(None, found), 0.0)


def marked_f_number(told: Told) -> float | None:
    """F-number marked and set on the ring that governs."""
    found = value_at(told.request(CHART), text_at(told.answer(CHART), "along"))
    return float(found) if isinstance(found, float | int) else None


def ring_of_set_up(told: Told) -> Ring:
    """Marks that the ring of the set-up has, and the stack at each of them."""
    chart = told.answer(CHART)
    marks, place = list(filter(None, map(mark_of, rows_at(chart, "rows")))), text_at(chart, "along")
    if not marks:
        return Ring(USUAL_MARKS)

    def stack_at(f_number: float) -> Stack | None:
        answer = told.ask_again(EVALUATE, with_values(told.request(CHART), {place: f_number}))
        return stack_of(answer, "stack_frames", "stack_step_mm")

    return Ring(marks, stack_at)


def mark_of(row: Members) -> Mark | None:
    """Mark of a row of the chart; None where the set-up does not work there."""
    nominal, exact = number_at(row, "nominal_f_number"), number_at(row, "f_number")
    return None if text_at(row, "problem") or nominal is None or exact is None else Mark(nominal, exact)


def stack_of(answer: Members, frames: str, step: str) -> Stack | None:
    """Stack of an answer, by the names of its two figures."""
    found = span_of(answer, frames)
    return None if found is None else Stack(found, span_of(answer, step))


def headline_of_set_up(told: Told) -> tuple[str, ...]:
    """What the set-up gives, and what to do where that is not sharp enough."""
    case = case_of_set_up(told)
    templates = SOLVED if text_at(told.answer(EVALUATE), "solved/pointer") else GIVES
    return take_two(say(templates, {**case.words, **length_in_words(told)}), way_out(case, ring_of_set_up(told)))


def length_in_words(told: Told) -> Words:
    """The length that was found, under the name of what has it."""
    length = figure_at(told.answer(EVALUATE), "solved/value", "length_mm")
    pointer = text_at(told.answer(EVALUATE), "solved/pointer")
    if pointer.endswith("/focusing_extension_mm"):
        return {"focusing": length}
    used = value_at(told.request(EVALUATE), f"{pointer.rpartition('/')[0]}/use")
    part = told.kit.by_id.get(str(used))
    return {"tubes": length} if part is None else {"length": length, "part": part.name}
