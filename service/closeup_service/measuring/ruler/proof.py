"""A likely scale followed to its ends, measured finely and checked: what a choice is made from."""

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from closeup_service.measuring.ruler.checks import FEWEST_MARKS, Verdict, final_marks, verdict
from closeup_service.measuring.ruler.evidence import has_equal_gaps
from closeup_service.measuring.ruler.fit import Fit, fit_scale, slopes
from closeup_service.measuring.ruler.marks import Marks, Scale, follow_scale, update_scale
from closeup_service.measuring.ruler.picture import Floats, Pyramid
from closeup_service.measuring.ruler.pitch import pitch_check
from closeup_service.measuring.ruler.records import PitchCheck, Wanted
from closeup_service.measuring.ruler.start import Start

MOST_SURPRISE = 4.0


class Proved(Struct, frozen=True):
    """A scale with its fit and marks, the verdict on it, and whether the longer marks fit the pitch.

    `blocks` tells that the marks are as wide as the gaps and all alike, so that each gap may count as a mark too.
    """

    scale: Scale
    fit: Fit
    marks: Marks
    verdict: Verdict
    pitch: PitchCheck
    blocks: bool = False


def prove(picture: Pyramid, start: Start, wanted: Wanted) -> Proved | None:
    """Follow a start to its ends, measure it finely, and check it."""
    scale = follow_scale(picture, start)
    if scale is None or scale.last - scale.first < 2:
        return None
    return check_scale(picture, scale, wanted)


def check_scale(picture: Pyramid, scale: Scale, wanted: Wanted) -> Proved | None:
    """Measure a scale finely between its ends, and check it."""
    for _ in range(2):
        marks = final_marks(picture, scale)
        finer = None if marks is None else update_scale(scale, marks)
        if finer is None:
            return None
        scale = finer
    if marks is None:
        return None
    scale = trim_ends(scale, marks)
    if scale.fit is None:
        return None
    pitch = pitch_check(marks, scale, wanted.period_mm)
    seen = verdict(picture, scale, marks, pitch, wanted.accept_plain_marks)
    return Proved(scale, scale.fit, marks, seen, pitch, has_equal_gaps(scale, marks, pitch))


def trim_ends(scale: Scale, marks: Marks) -> Scale:
    """Leave off end marks that the others do not foretell: the end of the ruler may pass for a mark."""
    for _ in range(4):
        shorter = [replace(scale, first=scale.first + 1), replace(scale, last=scale.last - 1)]
        for one, number in zip(shorter, (scale.first, scale.last), strict=True):
            use = marks.points_on(one)
            if len(np.unique(np.nonzero(use)[1])) < FEWEST_MARKS or scale.fit is None:
                return scale
            fit = fit_scale(scale.model, marks.x[use], marks.y[use], np.broadcast_to(marks.numbers, use.shape)[use])
            end = marks.numbers == number
            seen = marks.seen & marks.inner_lines[:, None] & end
            if not seen.any() or abs(prediction_residual(fit, marks.x[seen], marks.y[seen], number)) > MOST_SURPRISE:
                scale = replace(one, model=fit.model, fit=fit)
                break
        else:
            return scale
    return scale


def prediction_residual(fit: Fit, x: Floats, y: Floats, number: int) -> float:
    """How far a mark lies from where a fit foretells it, in standard deviations of the foretelling.

    Parameters
    ----------
    x, y : where the mark was measured [px], shape (lines,)
    number : of the mark

    Returns
    -------
    float : in standard deviations
    """
    u, v = fit.model.normalise(x, y)
    away = float(np.mean(fit.model.numbers(x, y))) - number
    by = slopes(fit.model.parameters, u, v).mean(axis=0)
    return away / float(np.sqrt(by @ fit.covariance @ by + (3 * fit.scatter) ** 2))
