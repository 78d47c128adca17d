"""Why there is no reading, and what to do."""

from collections.abc import Sequence
from typing import NoReturn

from closeup_service.language import tr
from closeup_service.measuring.ruler.checks import (
    ENOUGH_IN_ORDER,
    FEWEST_MARKS,
    LEAST_SPAN,
    LEAST_SPAN_IN_ORDER,
    PLAIN,
    SHORT,
    Verdict,
)
from closeup_service.measuring.ruler.pitch import is_contradicted
from closeup_service.measuring.ruler.proof import Proved
from closeup_service.measuring.ruler.records import Wanted
from closeup_service.optics.errors import (
    BlocksOrLines,
    NoScaleFound,
    PitchContradicted,
    PlainMarks,
    TooFewMarks,
    TwoScales,
)

SMALL = frozenset({"few", SHORT})
"""Faults of a stretch that may be part of a good scale."""


def refuse(bad: Sequence[Proved]) -> NoReturn:
    """Say why there is no reading, from what was followed in vain."""
    few = [one for one in bad if one.verdict.fault in SMALL and one.verdict.marks >= 3 and one.verdict.scatter < 0.02]
    if few:
        most = max(few, key=lambda one: one.verdict.marks).verdict
        raise TooFewMarks(describe_short(most) if most.fault == SHORT else describe_few(most))
    raise NoScaleFound(
        tr(
            "No scale is found beyond doubt. Photograph a plain ruler, evenly lit and in focus, with at least 8 "
            "pixels from mark to mark and its marks over at least a third of the frame.",
        )
    )


def refuse_two(period: float, ratio: float, wanted: Wanted) -> NoReturn:
    """Say that two scales of nearly one pitch touch, and what each would give.

    Parameters
    ----------
    period : of one scale [px]
    ratio : period of the other over it

    Raises
    ------
    TwoScales
        Always.
    """
    first, second = (one / wanted.period_mm for one in (period, period * ratio))
    raise TwoScales(
        tr(
            "Two scales of nearly the same pitch touch, as a vernier and its scale do: by the one it is about "
            "{first:.4g} pixels per mm, by the other {second:.4g}. Cover the one that is not wanted, or slide it "
            "out of the picture.",
            first=first,
            second=second,
        )
    )


def describe_few(seen: Verdict) -> str:
    """Say that there are too few marks, however far they reach."""
    return tr(
        "Only {marks} marks of a scale are seen for certain; a reading needs {fewest_marks} or more in a "
        "row. Show more of the ruler, or a ruler with finer marks.",
        marks=seen.marks,
        fewest_marks=FEWEST_MARKS,
    )


def describe_short(seen: Verdict) -> str:
    """Say that the marks reach over too little of the picture, though there may be enough of them."""
    return tr(
        "Only {marks} marks of a scale are seen for certain, and they are too short a run: {span:.0%} of the "
        "picture's longer side. A reading needs {least_span:.0%}, or {least_span_in_order:.0%} where "
        "{enough_in_order} or more marks show longer ones in order. Show more of the ruler, or go nearer.",
        marks=seen.marks,
        span=seen.span,
        least_span=LEAST_SPAN,
        least_span_in_order=LEAST_SPAN_IN_ORDER,
        enough_in_order=ENOUGH_IN_ORDER,
    )


def refuse_doubtful(found: Proved, wanted: Wanted) -> None:
    """Refuse what is even and complete, but may be no scale, or one of another pitch."""
    period = found.scale.period
    undecided = wanted.filled_blocks is None if found.blocks else bool(wanted.filled_blocks)
    if undecided:
        raise BlocksOrLines(describe_blocks(found.blocks, period, wanted.pitch_mm), "/marks_are")
    if found.verdict.fault == PLAIN and not wanted.filled_blocks:
        raise PlainMarks(describe_plain(found.verdict), "/accept_plain_marks")
    if not wanted.accept_pitch and is_contradicted(found.pitch, found.marks, found.scale, wanted.period_mm):
        raise PitchContradicted(describe_two_pitches(found, period, wanted.pitch_mm), "/tick_pitch_mm")


def describe_blocks(blocks: bool, period: float, pitch_mm: float) -> str:
    """Name the readings of marks that are as wide as the gaps, or say that there are none such.

    Parameters
    ----------
    period : from mark to mark [px]
    pitch_mm : distance between neighbouring marks as given [mm]
    """
    if not blocks:
        return tr(
            "The marks found are not as wide as the gaps between them, so they are no filled blocks. Leave "
            "marks_are out, or send lines.",
        )
    return tr(
        "The marks are as wide as the gaps between them, {period:.4g} pixels from mark to mark, and none is "
        "longer. If they are blocks, alternately dark and light and each {pitch_mm:.4g} mm long, the scale "
        "is about {period_2:.4g} pixels per mm: send marks_are: blocks. If they are lines {pitch_mm:.4g} mm "
        "apart, it is about {period_3:.4g} pixels per mm: send marks_are: lines.",
        period=period,
        pitch_mm=pitch_mm,
        period_2=period / pitch_mm / 2,
        period_3=period / pitch_mm,
    )


def describe_plain(seen: Verdict) -> str:
    """Say that only evenness speaks for a scale."""
    return tr(
        "{marks} even marks of one length are found, and nothing else shows that they are a scale: no longer "
        "marks after every fifth or tenth, no numerals, not 12 or more thin lines that end straight on a "
        "blank ground on both sides. Combs, pins and fins look the same. If it is a scale of equal marks, "
        "send accept_plain_marks: true; else photograph a ruler with longer marks.",
        marks=seen.marks,
    )


def describe_two_pitches(found: Proved, period: float, pitch_mm: float) -> str:
    """Name the reading by the pitch that was given, and the one by the longer marks.

    Parameters
    ----------
    period : from mark to mark [px]
    pitch_mm : distance between neighbouring marks as given [mm]
    """
    other = found.pitch.suggested_pitch_mm
    suits = (
        tr("which suits no common scale of that pitch")
        if other is None
        else tr(
            "which suits marks {other:.4g} mm apart, for example, and then it is about {period:.4g} pixels per mm",
            other=other,
            period=period / other,
        )
    )
    return tr(
        "With {pitch_mm:.4g} mm from mark to mark the scale is about {period:.4g} pixels per mm. But longer "
        "marks come after every {longer_every}, {suits}. Count the marks between two numerals and send the "
        "right tick_pitch_mm; if it is right as given, send accept_pitch: true.",
        pitch_mm=pitch_mm,
        period=period / pitch_mm,
        longer_every=", ".join(map(str, found.pitch.longer_every)),
        suits=suits,
    )
