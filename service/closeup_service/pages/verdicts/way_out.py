"""What to do where one frame is not sharp enough: another aperture, or a stack, in one sentence."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from msgspec import Struct

from closeup_service.language import mark, with_decimal_sign
from closeup_service.optics.aperture_series import USUAL_SERIES, Mark, marks_of_ring
from closeup_service.pages.verdicts.case import Case
from closeup_service.pages.verdicts.rules import Verdict, judge_depth, judge_sharpness
from closeup_service.pages.verdicts.words import Span, Words, say, words_of

USUAL_MARKS = marks_of_ring(USUAL_SERIES, 0.5, 256.0)
"""Marks of a ring of which nothing is known."""
ROUNDING = 1e-6
STOP = 2**0.5


class Stack(Struct, frozen=True):
    """Frames that cover the subject's depth at one aperture, and the step between them, None with one frame."""

    frames: Span
    step_mm: Span | None


AskStack = Callable[[float], Stack | None]
"""Gives the stack at a marked f-number; None where there is none."""

OPEN_UP = (
    mark(
        "At {f_number} and {magnification} diffraction alone is softer than you accept; {first} to {last} is the range to use."
    ),
    mark("At {f_number} diffraction alone is softer than you accept; {first} to {last} is the range to use."),
    mark("At {f_number} and {magnification} diffraction alone is softer than you accept; {last} is the mark to use."),
    mark("At {f_number} diffraction alone is softer than you accept; {last} is the mark to use."),
)
NO_MARK = (
    mark(
        "At {magnification} diffraction alone is softer than you accept at every mark of the ring: accept more blur, or "
        "magnify less."
    ),
    mark("Diffraction alone is softer than you accept at every mark of the ring: accept more blur, or magnify less."),
)
ONE_FRAME = (
    mark(
        "At {f_number} diffraction alone is softer than you accept; {last} is sharp enough and covers {depth} in one frame."
    ),
)
STOP_DOWN = (mark("One frame at {f_number} does not cover {depth}; stop down to {last}, which does."),)
STACK = (
    mark(
        "A depth of {depth} asks for {depth_mark}, and diffraction allows {last} at most: stack {frames} frames at {last}, "
        "{step} apart."
    ),
    mark("One frame does not cover {depth}: stack {frames} frames at {last}, {step} apart."),
    mark("One frame does not cover {depth}: stack {frames} frames, {step} apart."),
)

SOFT_STACK = (
    STACK[0],
    mark(
        "At {f_number} diffraction alone is softer than you accept, and {last} does not cover {depth} in one frame: stack "
        "{frames} frames at {last}, {step} apart."
    ),
)


class Ring(Struct, frozen=True):
    """Marks of an aperture ring, and the stack that covers the subject at one of them."""

    marks: Sequence[Mark] = USUAL_MARKS
    stack_at: AskStack | None = None


def way_out(case: Case, ring: Ring) -> str:
    """Sentence that says what to do where sharpness or depth is beyond the limit; nothing where both are good enough."""
    soft, shallow = is_beyond(judge_sharpness(case)), is_beyond(judge_depth(case))
    if not soft and not shallow:
        return ""
    usable = usable_marks(case, ring.marks)
    if soft and not usable:
        return say(NO_MARK, case.words)
    if case.subject_depth_mm is None or not usable:
        return say(OPEN_UP if soft else STACK, {**case.words, **range_in_words(usable), **present_stack(case)})
    stack = ring.stack_at(usable[-1].exact) if ring.stack_at else None
    words = {**case.words, **range_in_words(usable), **depth_mark(case, usable[-1]), **stack_in_words(stack)}
    if stack is not None and stack.frames.high == 1:
        return say(ONE_FRAME if soft else STOP_DOWN, words)
    return say(STACK if shallow else (*SOFT_STACK, *OPEN_UP), words)


def is_beyond(verdict: Verdict | None) -> bool:
    """Whether something was judged to be beyond its limit."""
    return verdict is not None and verdict.grade == "beyond"


def usable_marks(case: Case, marks: Sequence[Mark]) -> Sequence[Mark]:
    """Marks at which diffraction stays within what counts as sharp, widest first; none where that cannot be told."""
    share = case.airy_share
    if share is None or case.f_number is None:
        return ()
    largest = case.f_number / share.value
    return [each for each in marks if each.exact <= largest * (1 + ROUNDING)]


def range_in_words(usable: Sequence[Mark]) -> Words:
    """The last mark that is sharp enough, and the first within a stop of it, where that is another one."""
    if not usable:
        return {}
    last = usable[-1]
    first = next(each for each in usable if each.exact * STOP >= last.exact * (1 - ROUNDING))
    return {"last": mark_words(last), "first": None if first == last else mark_words(first)}


def depth_mark(case: Case, last: Mark) -> Words:
    """The f-number that the depth asks for, where diffraction does not allow it."""
    best = case.covering_f_number or case.optimum_f_number
    if best is None or best.low <= last.exact:
        return {}
    return {"depth_mark": words_of(best, "f_number")}


def present_stack(case: Case) -> Words:
    """The stack at the aperture that is set."""
    return {} if case.frames is None else stack_in_words(Stack(case.frames, case.step_mm))


def stack_in_words(stack: Stack | None) -> Words:
    """Frames and step of a stack in words."""
    if stack is None or stack.step_mm is None:
        return {}
    return {"frames": words_of(stack.frames, "frames"), "step": words_of(stack.step_mm, "step_mm")}


def mark_words(engraved: Mark) -> str:
    """A mark as it is engraved."""
    return with_decimal_sign(f"f/{engraved.nominal:g}")
