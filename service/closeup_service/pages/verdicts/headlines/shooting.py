"""How many frames a stack takes, whether a frame blurs, how wide a hole before the lens must be, how long a scale bar is."""

from __future__ import annotations

from closeup_service.language import mark, tr
from closeup_service.pages.task import Members, number_of
from closeup_service.pages.verdicts.case import Case, Told, take_two
from closeup_service.pages.verdicts.headlines.one_lens import requested_span
from closeup_service.pages.verdicts.words import figure_at, number_at, say, span_of, text_at

STACK, MOVEMENT, OPENING, BAR = "findFocusStack", "findMotionBlur", "findClearOpening", "drawScaleBar"
FRAMES = (mark("Take {frames} frames, and move {step} between them: they cover {depth} of depth."),)
ONE_FRAME = (mark("One frame covers {depth} of depth: no stack is needed."),)
BLURS = (
    mark("The frame blurs by {pixels}, {blur} on the sensor; expose or flash for {longest} at most."),
    mark("The frame blurs by {blur} on the sensor; expose or flash for {longest} at most."),
    mark("The frame blurs by {pixels}, {blur} on the sensor."),
    mark("The frame blurs by {blur} on the sensor."),
    mark("Along the axis the subject moves by {axial} while the light falls."),
)
HOLE = (
    mark("For the whole frame the hole must be at least {full} wide; {axial} are enough for its middle."),
    mark("For the middle of the frame the hole must be at least {axial} wide."),
)
CUTS = {
    "nothing": mark("Your hole clears the whole frame."),
    "corners": mark("Your hole clears the middle of the frame and cuts off its corners."),
    "axis": mark("Your hole cuts off light from the whole frame, its middle too."),
}
LENGTH = (
    mark("A bar of {bar} is {px} long, at {scale}."),
    mark("A bar of {bar} is {px} long."),
)


def case_of_stack(told: Told) -> Case:
    """Figures of the frames of a stack: its depth is what they cover, so that is not judged."""
    answer, asked = told.answer(STACK), told.request(STACK)
    return Case(
        f_number=number_of(asked, "f_number"),
        magnification=requested_span(asked, "magnification"),
        effective_f_number=span_of(answer, "effective_f_number"),
        clearance_mm=span_of(answer, "least_clearance_mm"),
    )


def headline_of_stack(told: Told) -> tuple[str, ...]:
    """Frames and step."""
    answer = told.answer(STACK)
    words = {
        "frames": figure_at(answer, "frames"),
        "step": figure_at(answer, "step_mm"),
        "depth": figure_at(told.request(STACK), "subject_depth_mm"),
    }
    return take_two(say(FRAMES, words) or say(ONE_FRAME, words))


def case_of_movement(told: Told) -> Case:
    """Figures of a frame in which something moves."""
    answer = told.answer(MOVEMENT)
    return Case(blur_um=span_of(answer, "sensor_blur_um"), allowed_blur_um=number_at(answer, "allowed_blur_um"))


def headline_of_movement(told: Told) -> tuple[str, ...]:
    """By how much the frame blurs, and how long it may be exposed."""
    answer = told.answer(MOVEMENT)
    words = {
        "pixels": figure_at(answer, "sensor_blur_px"),
        "blur": figure_at(answer, "sensor_blur_um"),
        "longest": figure_at(answer, "longest_time_s"),
        "axial": figure_at(answer, "axial_movement_um"),
    }
    return take_two(say(BLURS, words))


def case_of_opening(told: Told) -> Case:
    """Nothing of a hole before the lens is judged: what it cuts off is said."""
    del told
    return Case()


def headline_of_opening(told: Told) -> tuple[str, ...]:
    """How wide the hole must be, and what one that was given cuts off."""
    answer = told.answer(OPENING)
    words = {
        "full": figure_at(answer, "openings/0/full_diameter_mm"),
        "axial": figure_at(answer, "openings/0/axial_diameter_mm"),
    }
    return take_two(cut_sentence(answer), say(HOLE, words))


def cut_sentence(answer: Members) -> str:
    """What a hole that was given cuts off."""
    found = CUTS.get(text_at(answer, "openings/0/clips"))
    return tr(found) if found else ""


def case_of_bar(told: Told) -> Case:
    """Nothing of a scale bar is judged."""
    del told
    return Case()


def headline_of_bar(told: Told) -> tuple[str, ...]:
    """How long the bar is."""
    answer = told.answer(BAR)
    words = {
        "bar": figure_at(answer, "bar_length_um"),
        "px": figure_at(answer, "bar_px"),
        "scale": figure_at(answer, "scale_px_per_mm"),
    }
    return take_two(say(LENGTH, words))
