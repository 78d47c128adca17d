"""The verdicts: sharpness, depth, light and room, each judged by figures that the operations gave.

What is compared, and with what, is said here alone. A figure within a range is judged at both of its ends: where they differ,
it is on the limit.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from math import sqrt
from typing import Literal

from msgspec import Struct

from closeup_service.advice.sharpness_remarks import DUST_SHOWS_FROM
from closeup_service.language import mark, tr
from closeup_service.pages.verdicts.case import Case
from closeup_service.pages.verdicts.words import Span, say

Grade = Literal["fine", "limit", "beyond"]
GRADES: Sequence[Grade] = ("fine", "limit", "beyond")
"""From good to bad."""
GRADES_IN_WORDS: Mapping[Grade, str] = {
    "fine": mark("fine"),
    "limit": mark("on the limit"),
    "beyond": mark("beyond the limit"),
}
NEXT_STOP = 1 / sqrt(2)
"""Share of what counts as sharp from which diffraction fills it when the lens is stopped down by one more stop."""
ROUNDING = 1e-6
TWICE_AS_LONG = 0.5
"""Share of the blur that is allowed from which movement fills it in an exposure of one more stop."""


class Verdict(Struct, frozen=True):
    """How something is judged, and why."""

    about: str
    grade: Grade
    reason: str

    @property
    def grade_in_words(self) -> str:
        """The grade as people read it."""
        return tr(GRADES_IN_WORDS[self.grade])


def grade_of(share: Span, near: float) -> Grade:
    """Grade of a share that must stay below 1, and is on the limit from `near` on."""
    if share.low >= 1:
        return "beyond"
    return "fine" if share.high < near else "limit"


SHARPNESS: dict[Grade, tuple[str, ...]] = {
    "fine": (mark("Diffraction draws a point {airy} wide, and up to {accepted} counts as sharp."),),
    "limit": (
        mark("Diffraction draws a point {airy_range} wide, and up to {accepted} counts as sharp: it may be too soft."),
        mark(
            "Diffraction draws a point {airy} wide, and up to {accepted} counts as sharp: one more stop down is too soft."
        ),
    ),
    "beyond": (mark("Diffraction alone draws a point {airy} wide, and only up to {accepted} counts as sharp."),),
}
DEPTH: dict[Grade, tuple[str, ...]] = {
    "fine": (mark("{total} are sharp, and the subject is {depth} deep."), mark("The whole depth of {depth} is sharp.")),
    "limit": (
        mark("{total_range} are sharp, and the subject is {depth} deep: one frame may not cover it."),
        mark("{total} are sharp, and the subject is {depth} deep: that leaves no reserve for a focus that is off."),
    ),
    "beyond": (mark("{total} are sharp, and the subject is {depth} deep: one frame does not cover it."),),
}
LIGHT: dict[Grade, tuple[str, ...]] = {
    "fine": (
        mark("The lens acts as {effective}: {loss} less light than the marked {f_number} promises."),
        mark("The lens acts as {effective}: {gain} more light than the marked {f_number} promises."),
        mark("The lens acts as {effective}."),
    ),
    "limit": (
        mark("The lens acts as {effective}, {loss} below the marked {f_number}: dust on the sensor shows."),
        mark("The lens acts as {effective}: dust on the sensor shows."),
    ),
    "beyond": (mark("There is {missing} too little light."),),
}
ROOM: dict[Grade, tuple[str, ...]] = {
    "fine": (
        mark(
            "{clearance} are free in front of the lens, and the frame is {width} wide: light reaches it from the side."
        ),
        mark("The subject is {distance} away, and the frame is {width} wide: light reaches it from the side."),
    ),
    "limit": (
        mark(
            "Only {clearance} are free in front of the lens, and the frame is {width} wide: light reaches it at a low angle."
        ),
        mark("The subject is only {distance} away, and the frame is {width} wide: light reaches it at a low angle."),
    ),
    "beyond": (
        mark("Only {clearance} are free in front of the lens, and the subject is {depth} deep: the two can touch."),
        mark("The subject is only {distance} away and {depth} deep: it and the lens can touch."),
    ),
}


MOVEMENT: dict[Grade, tuple[str, ...]] = {
    "fine": (mark("Movement draws a point {blur} wide, and {allowed} are allowed."),),
    "limit": (
        mark("Movement draws a point {blur} wide, and {allowed} are allowed: an exposure twice as long is too long."),
    ),
    "beyond": (mark("Movement draws a point {blur} wide, and only {allowed} are allowed."),),
}


def judge_sharpness(case: Case) -> Verdict | None:
    """Diffraction against what counts as sharp."""
    if case.airy_share is None:
        return None
    grade = grade_of(case.airy_share, NEXT_STOP)
    return Verdict(tr("sharpness"), grade, say(SHARPNESS[grade], case.words))


def judge_depth(case: Case) -> Verdict | None:
    """What is sharp in one frame against the depth of the subject; depth without an end covers every subject."""
    if case.subject_depth_mm is None or (case.total_mm is None and case.frames is None):
        return None
    if case.total_mm is None:
        grade: Grade = "fine"
    else:
        grade = grade_of(share_needed(case.subject_depth_mm, case.total_mm), 1 - case.reserve)
    return Verdict(tr("depth of field"), grade, say(DEPTH[grade], case.words))


def share_needed(depth_mm: float, total_mm: Span) -> Span:
    """Share of what is sharp that a depth takes; just as much as there is still fits."""
    return Span(*(depth_mm / each * (1 - ROUNDING) for each in (total_mm.value, total_mm.high, total_mm.low)))


def judge_light(case: Case) -> Verdict | None:
    """Whether light is lacking, else whether the lens acts as one so far stopped down that dust shows."""
    if case.missing_stops:
        return Verdict(tr("light"), "beyond", say(LIGHT["beyond"], case.words))
    if case.effective_f_number is None:
        return None
    grade: Grade = "fine" if case.effective_f_number.high < DUST_SHOWS_FROM else "limit"
    return Verdict(tr("light"), grade, say(LIGHT[grade], case.words))


def judge_room(case: Case) -> Verdict | None:
    """The space in front of the lens against the depth of the subject and the width of the frame."""
    room = case.room_mm
    if room is None:
        return None
    if room.low <= (case.subject_depth_mm or 0.0):
        grade: Grade = "beyond"
    elif case.frame_width_mm is None:
        return None
    else:
        grade = "limit" if room.low < case.frame_width_mm.high else "fine"
    reason = say(ROOM[grade], case.words)
    return Verdict(tr("room for light"), grade, reason) if reason else None


def judge_movement(case: Case) -> Verdict | None:
    """Blur by movement against the blur that is allowed."""
    if case.blur_um is None or not case.allowed_blur_um:
        return None
    grade = grade_of(case.blur_um.times(1 / case.allowed_blur_um), TWICE_AS_LONG)
    return Verdict(tr("movement"), grade, say(MOVEMENT[grade], case.words))


RULES: tuple[Callable[[Case], Verdict | None], ...] = (
    judge_sharpness,
    judge_depth,
    judge_movement,
    judge_light,
    judge_room,
)


def judge(case: Case) -> tuple[Verdict, ...]:
    """Every verdict that there are figures for."""
    return tuple(filter(None, (rule(case) for rule in RULES)))
