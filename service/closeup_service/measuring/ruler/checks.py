"""Whether what was followed is a ruler beyond doubt: evenness, completeness, what lies between and beside the marks."""

from itertools import pairwise

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from closeup_service.measuring.ruler.bands import count_repeats
from closeup_service.measuring.ruler.evidence import is_evident
from closeup_service.measuring.ruler.gaps import clear_marks
from closeup_service.measuring.ruler.marks import Marks, Scale, drop_unlikely, measure_marks, visible_numbers
from closeup_service.measuring.ruler.picture import Floats, Pyramid
from closeup_service.measuring.ruler.pitch import MANY
from closeup_service.measuring.ruler.records import PitchCheck

FEWEST_MARKS = 5
LEAST_SHARE = 0.6
MOST_GAPS = 2
MARKS_PER_GAP = 25
"""Glare takes marks in one or two places; numerals passing for marks lack one here and there."""
MOST_SCATTER = 0.03
LEAST_FIT = 0.7
WIDEST = 16.0
WIDEST_OF_FEW = 8.0
NARROWEST = 0.5
LEAST_SPAN = 0.2
LEAST_SPAN_IN_ORDER = 0.13
"""Share of the picture's longer side, from the first mark to the last: of marks in order, enough of them, less is enough."""
ENOUGH_IN_ORDER = 11
MOST_BANDS = 2
QUIET = 0.3
LEAST_QUIET = 0.4
MOST_BANDS_IN_ORDER = 4
"""Numerals may swing with the marks."""
LONG_ONLY = "long marks only"
PLAIN = "plain marks"
SHORT = "short"


class Verdict(Struct, frozen=True):
    """What the checks found.

    Parameters
    ----------
    fault : name of the first; empty for a ruler beyond doubt
    share, gaps : of the marks between the first and the last those that are found, and how often their row breaks off
    marks : how many are found
    scatter : of a mark about the model, robust [marks]
    fit : share of the variation that the picture of one mark explains, in the middle
    span : of the row over the longer side of the picture
    width : length of the marks over their period
    bump : height of what stands between two marks over a mark's
    steadiness : change of height from mark to mark, in the middle; 0 is steady
    bands, opposed : bands of the same period beside one another; whether they go on, or one adjoins in opposite phase
    coarse : whether finer marks adjoin
    ended : whether the marks end within the picture on one side at least
    evident : whether more than their evenness shows that the marks are a scale
    """

    fault: str
    share: float
    gaps: int
    marks: int
    scatter: float
    fit: float
    span: float
    width: float
    bump: float
    steadiness: float
    bands: int
    opposed: bool
    coarse: bool
    ended: bool
    evident: bool = True


def verdict(picture: Pyramid, scale: Scale, marks: Marks, pitch: PitchCheck, accept_plain: bool = False) -> Verdict:
    """Check a scale that was followed to its ends and measured finely; plain marks may be accepted without evidence."""
    found, use = marks.found_marks(scale), marks.points_on(scale)
    run = clear_marks(marks, scale)
    period = float(np.median(marks.period[marks.inner_lines][:, run]))
    columns = np.nonzero(found)[0]
    heights = np.array([np.median(marks.height[use[:, k], k]) for k in columns])
    steps = np.abs(np.diff(heights)) / np.maximum(0.5 * (heights[1:] + heights[:-1]), 1e-9)
    span = float(np.ptp(np.median(marks.along[:, columns], axis=0))) if len(columns) > 1 else 0.0
    count, opposed = count_repeats(picture, scale)
    counted = Verdict(
        fault="",
        share=float((found & run).sum() / max(int(run.sum()), 1)),
        gaps=int((np.diff(found[run].astype(int)) < 0).sum()),
        marks=int(found.sum()),
        scatter=scale.fit.scatter if scale.fit else 1.0,
        fit=float(np.median(marks.fit[use])) if use.any() else 0.0,
        span=span / max(picture.size),
        width=2 * scale.half_width / period,
        bump=secondary_peak(scale.shape),
        steadiness=float(np.median(steps)) if len(steps) else 1.0,
        bands=count,
        opposed=opposed,
        coarse=has_finer_neighbour(scale, marks),
        ended=has_ends(scale, marks),
        evident=(bool(pitch.longer_every) and (pitch.fits is True or int(found.sum()) >= MANY))
        or is_evident(picture, scale, marks),
    )
    return replace(counted, fault=fault_of(counted, pitch, accept_plain))


def fault_of(one: Verdict, pitch: PitchCheck, accept_plain: bool = False) -> str:
    """Name the first fault. Marks all alike must be more even than those among which longer ones come in order."""
    few = one.marks < MANY
    order = is_decimal_order(pitch.longer_every) or (few and pitch.longer_every == (10,))
    ordered = bool(pitch.longer_every) and order and (pitch.fits is True or not few)
    alike = one.fit > 0.9 and one.scatter < 0.006 and one.steadiness < 0.15 and one.width < 10
    alike_few = one.fit > 0.98 and one.scatter < 0.003
    faults = {
        "few": one.marks < FEWEST_MARKS,
        "gaps": one.share < (0.8 if few else LEAST_SHARE) or one.gaps > MOST_GAPS + one.marks // MARKS_PER_GAP,
        "uneven": one.scatter > (0.012 if few else MOST_SCATTER),
        "unlike": one.fit < (0.9 if few else LEAST_FIT),
        SHORT: one.span < (LEAST_SPAN_IN_ORDER if ordered and one.marks >= ENOUGH_IN_ORDER else LEAST_SPAN),
        "wide": not NARROWEST < one.width < (WIDEST_OF_FEW if few else WIDEST),
        "between": one.bump > 0.4,
        "unsteady": one.steadiness > 0.35,
        "repeated": one.bands > (MOST_BANDS_IN_ORDER if ordered and not few else MOST_BANDS) or one.opposed,
        LONG_ONLY: one.coarse,
        "without order": not order or not (ordered or (alike and (alike_few or accept_plain or not few))),
        "endless": not one.ended,
        PLAIN: not (one.evident or accept_plain),
    }
    return next((name for name, bad in faults.items() if bad), "")


def is_decimal_order(every: tuple[int, ...]) -> bool:
    """Whether longer marks come as on a scale: after 2, 4 or 5 first, each longer step a multiple of the one before."""
    return not every or (every[0] in {2, 4, 5} and all(longer % shorter == 0 for shorter, longer in pairwise(every)))


def secondary_peak(shape: Floats) -> float:
    """Height of whatever stands between two marks, as a share of a mark's.

    Parameters
    ----------
    shape : one mark over a period, its ground 0 and its middle 1, shape (samples,)

    Returns
    -------
    float : share, 0 to 1
    """
    half = shape[len(shape) // 2 :]
    low = int(np.argmin(half))
    return float(half[low:].max() - half[low])


def has_ends(scale: Scale, marks: Marks) -> bool:
    """Whether the short marks end within the picture, on one side at least: lines that go on for ever are no scale."""
    run = marks.found_marks(scale)
    for side in (-1, 1):
        beyond = (side * marks.lines > 1.2) & (side * marks.lines < 1.8)
        inside, seen = marks.inside[beyond][:, run], marks.seen[beyond][:, run]
        quiet = np.abs(marks.height[beyond][:, run]) < QUIET * scale.contrast
        if inside.any() and inside.mean() > 0.5 and seen[inside].mean() < 0.6 and quiet[inside].mean() > LEAST_QUIET:
            return True
    return False


def has_finer_neighbour(scale: Scale, marks: Marks) -> bool:
    """Whether finer marks adjoin: what was followed are then only the long marks, beyond the ends of the short.

    On a line through the short marks too, the mean over one period of the long holds 2, 5 or 10 marks.
    """
    run = marks.scale_marks(scale)
    for side in (-1, 1):
        beside = (side * marks.lines > 1.15) & (side * marks.lines < 1.9)
        if all(has_finer_period(marks.values[j][run & marks.inside[j]], scale) for j in np.nonzero(beside)[0]):
            return True
    return False


def has_finer_period(values: NDArray[np.float32], scale: Scale) -> bool:
    """Whether the mean of these samples over one period repeats within it, as strongly as marks."""
    if len(values) < 3:
        return False
    mean = values.mean(axis=0)[:-1].astype(float)
    power = np.abs(np.fft.rfft(mean - mean.mean())) ** 2
    total = float(power[1:].sum())
    own = float(np.ptp(scale.shape)) * 0.2 * scale.contrast
    return any(power[n::n].sum() > 0.75 * total for n in (2, 5)) and float(np.ptp(mean)) > own


def final_marks(picture: Pyramid, scale: Scale) -> Marks | None:
    """Every mark of the scale on fine lines, and some beyond its ends; None where they do not lie in the picture.

    Returns
    -------
    Marks or None : marks (columns) on lines (rows) [px]
    """
    numbers = visible_numbers(picture, scale, np.arange(scale.first - 2, scale.last + 3))
    if len(numbers) < 3:
        return None
    period = scale.period
    samples = int(np.clip(period / picture.choose_level(period, 48).factor, 24, 96)) | 1
    return drop_unlikely(measure_marks(picture, scale, numbers, np.linspace(-3.2, 3.2, 66), samples, 2, 48))
