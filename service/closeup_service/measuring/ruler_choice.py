"""Which of the likely scales is followed, proved and chosen."""

from dataclasses import dataclass, replace

import numpy as np

from closeup_service.measuring.ruler_bands import start_beside
from closeup_service.measuring.ruler_checks import FEWEST_MARKS, LONG_ONLY, Verdict, final_marks, verdict
from closeup_service.measuring.ruler_fit import Fit, fitted, slopes
from closeup_service.measuring.ruler_marks import Marks, Scale, advanced, followed
from closeup_service.measuring.ruler_picture import Floats, Pyramid
from closeup_service.measuring.ruler_pitch import pitch_check
from closeup_service.measuring.ruler_records import PitchCheck
from closeup_service.measuring.ruler_search import candidates
from closeup_service.measuring.ruler_start import Start, refined
from closeup_service.optics.errors import NoScaleFound, TooFewMarks

MOST_FOLLOWED = 14
MOST_ALIKE = 2
"""Of starts with the same period and direction, so many may fail before the rest is passed over."""
ENOUGH = 10
MOST_SURPRISE = 4.0
SMALL = frozenset({"few", "short"})
"""Faults of a stretch that may be part of a good scale."""
FINER = (0.5, 0.2, 0.1)


@dataclass(frozen=True, slots=True)
class Proved:
    """A scale with its fit and marks, the verdict on it, and whether the longer marks fit the pitch."""

    scale: Scale
    fit: Fit
    marks: Marks
    verdict: Verdict
    pitch: PitchCheck


def chosen(picture: Pyramid, depth: float, pitch_mm: float) -> Proved:
    """Find the scale of the pitch; refuse where none is sure."""
    good: list[Proved] = []
    bad: list[Proved] = []
    hopeless: list[Start] = []
    tried = 0
    for start in starts(picture, depth)[: 3 * MOST_FOLLOWED]:
        if len(good) + tried >= MOST_FOLLOWED:
            break
        if sum(alike(start, other) for other in hopeless) >= MOST_ALIKE or any(
            alike(start, one.scale.start) for one in good
        ):
            continue
        if good and not any(parallel(start, one.scale.start) for one in good):
            continue
        one = proved(picture, start, pitch_mm)
        if one is None or one.verdict.fault:
            hopeless += [start] if one is None else []
            tried += 1
            bad += [] if one is None else [one]
            continue
        good.append(one)
        if one.pitch.fits and one.verdict.marks >= ENOUGH:
            break
    if not any(one.pitch.fits for one in good):
        good += beside(picture, [*good, *bad], pitch_mm)
    if not good:
        refuse(bad)
    return max(good, key=worth)


def beside(picture: Pyramid, known: list[Proved], pitch_mm: float) -> list[Proved]:
    """Scales found beside others whose longer marks, or whose finer neighbours, say that they have another pitch."""
    found = []
    for one in known[:4]:
        ratios: tuple[float, ...] = FINER if one.verdict.fault == LONG_ONLY else ()
        if not one.verdict.fault and one.pitch.suggested_pitch_mm is not None:
            ratios = (pitch_mm / one.pitch.suggested_pitch_mm,)
        for ratio in ratios:
            start = start_beside(picture, one.scale, ratio)
            other = None if start is None else proved(picture, start, pitch_mm)
            if (
                other is not None
                and not other.verdict.fault
                and abs(other.scale.period / one.scale.period / ratio - 1) < 0.1
            ):
                found.append(other)
    return found


def starts(picture: Pyramid, depth: float) -> list[Start]:
    """Exact starts, the likeliest first, those of new period or direction before repetitions."""
    exact = [refined(picture, candidate) for candidate in candidates(picture, depth)]
    ranked = sorted((start for start in exact if start), key=lambda start: -start.likeness)
    seen: list[Start] = []
    rank: list[tuple[int, int, Start]] = []
    for place, start in enumerate(ranked):
        rank.append((sum(alike(start, other) for other in seen), place, start))
        seen.append(start)
    rank.sort(key=lambda entry: entry[:2])
    return [start for _, _, start in rank]


def alike(one: Start, other: Start) -> bool:
    """Whether two starts have nearly the same period and direction."""
    return parallel(one, other) and abs(one.period / other.period - 1) < 0.08


def parallel(one: Start, other: Start) -> bool:
    """Whether two starts have nearly the same direction."""
    return abs(one.along[0] * other.along[0] + one.along[1] * other.along[1]) > 0.996


def proved(picture: Pyramid, start: Start, pitch_mm: float) -> Proved | None:
    """Follow a start to its ends, measure it finely, and check it."""
    scale = followed(picture, start)
    if scale is None or scale.last - scale.first < 2:
        return None
    for _ in range(2):
        marks = final_marks(picture, scale)
        finer = None if marks is None else advanced(scale, marks)
        if finer is None:
            return None
        scale = finer
    if marks is None:
        return None
    scale = trimmed(scale, marks)
    if scale.fit is None:
        return None
    pitch = pitch_check(marks, scale, pitch_mm)
    return Proved(scale, scale.fit, marks, verdict(picture, scale, marks, pitch), pitch)


def trimmed(scale: Scale, marks: Marks) -> Scale:
    """Leave off end marks that the others do not foretell: the end of the ruler may pass for a mark."""
    for _ in range(4):
        shorter = [replace(scale, first=scale.first + 1), replace(scale, last=scale.last - 1)]
        for one, number in zip(shorter, (scale.first, scale.last), strict=True):
            use = marks.points_on(one)
            if len(np.unique(np.nonzero(use)[1])) < FEWEST_MARKS or scale.fit is None:
                return scale
            fit = fitted(scale.model, marks.x[use], marks.y[use], np.broadcast_to(marks.numbers, use.shape)[use])
            end = marks.numbers == number
            seen = marks.seen & marks.inner[:, None] & end
            if not seen.any() or abs(foretold(fit, marks.x[seen], marks.y[seen], number)) > MOST_SURPRISE:
                scale = replace(one, model=fit.model, fit=fit)
                break
        else:
            return scale
    return scale


def foretold(fit: Fit, x: Floats, y: Floats, number: int) -> float:
    """How far a mark lies from where a fit foretells it, in standard deviations of the foretelling."""
    u, v = fit.model.normalised(x, y)
    away = float(np.mean(fit.model.numbers(x, y))) - number
    by = slopes(fit.model.parameters, u, v).mean(axis=0)
    return away / float(np.sqrt(by @ fit.covariance @ by + (3 * fit.scatter) ** 2))


def worth(one: Proved) -> tuple[int, int]:
    """What fits the pitch first, then what has the most marks."""
    fits = one.pitch.fits
    return (1 if fits is None else 2 * int(fits)), one.verdict.marks


def refuse(bad: list[Proved]) -> None:
    """Say why there is no reading."""
    few = [one for one in bad if one.verdict.fault in SMALL and one.verdict.marks >= 3 and one.verdict.scatter < 0.02]
    if few:
        most = max(one.verdict.marks for one in few)
        raise TooFewMarks(
            f"Only {most} marks of a scale are seen for certain; a reading needs {FEWEST_MARKS} or more in a row over at least "
            "a fifth of the picture's width. Show more of the ruler, or a ruler with finer marks."
        )
    raise NoScaleFound(
        "No scale is found beyond doubt. Photograph a plain ruler, evenly lit and in focus, with at least 8 pixels from mark "
        "to mark and its marks over at least a third of the frame."
    )
