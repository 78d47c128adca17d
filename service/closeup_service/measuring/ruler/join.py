"""Pieces of one ruler, seen beside what hides the rest of it, joined into one scale.

Along a plane scale in perspective the number n of the mark is a quotient of linear functions of the place s, whence for any
two places exactly

    n2 - n1 = (s2 - s1) sqrt(n'(s1) n'(s2))

(cross ratios; Hartley and Zisserman, Multiple View Geometry, 2nd ed., section 2.5, from memory). So the periods of two
pieces tell how many marks the gap hides, and that must be a whole number. What distortion adds is left to a fit through
both pieces, of which that number must make far the likeliest.
"""

from collections.abc import Sequence
from math import floor, hypot, sqrt

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from closeup_service.measuring.ruler.checks import PLAIN, SHORT
from closeup_service.measuring.ruler.fit import SPREAD, Fit, fit_scale
from closeup_service.measuring.ruler.marks import Scale
from closeup_service.measuring.ruler.picture import Floats, Pyramid
from closeup_service.measuring.ruler.proof import Proved, check_scale
from closeup_service.measuring.ruler.records import Wanted
from closeup_service.measuring.ruler.search import Candidate
from closeup_service.measuring.ruler.start import Start, refine_candidate

OF_A_PIECE = frozenset({"", "few", SHORT, "gaps", "without order", PLAIN})
FEWEST_OF_PIECE = 4
MOST_SCATTER = 0.012
LEAST_FIT = 0.9
MOST_PIECES = 6
STEP_PERIODS = 4.0
MOST_PLACES = 16
REACH = 1.5
"""Beyond its ends a stretch is looked for again at steps of so many periods, at most so many on each side."""
MOST_SEEDS = 2
MOST_PERIODS_APART = 1.3
MOST_WIDTHS_APART = 2.0
MOST_ASIDE = 0.6
ASIDE_PER_LENGTH = 0.02
"""A piece lies on the line of another where its middle is so many half-widths off it, and so much of the way there."""
LEAST_PARALLEL = 0.996
SUREST = 0.0015
"""Scatter of a mark, in marks, below which no piece is believed when hypotheses are weighed."""
MOST_LOOSER = 3.0
MARGIN = 8.0
"""How much more (twice the logarithm of the likelihood) the next number of hidden marks must cost than the best."""


class Piece(Struct, frozen=True):
    """A stretch of marks: points on them with their numbers, the middle of the stretch, and how it runs there."""

    x: Floats
    y: Floats
    number: NDArray[np.int64]
    middle: tuple[float, float, int]
    slope: tuple[float, float]
    half_width: float
    scatter: float


def join_stretches(picture: Pyramid, known: Sequence[Proved], wanted: Wanted) -> Proved | None:
    """Scale through pieces that lie in one line with whole numbers of marks between them; None where none do."""
    pieces = sorted(filter(is_usable, known), key=lambda one: -one.verdict.marks)[:MOST_PIECES]
    for seed in pieces[:MOST_SEEDS]:
        scale = join_pieces(seed, [one for one in pieces if one is not seed])
        whole = None if scale is None else check_scale(picture, scale, wanted)
        if whole is not None and not whole.verdict.fault:
            return whole
    return None


def find_starts_beyond(picture: Pyramid, one: Proved) -> list[Start]:
    """Starts on the line of a stretch beyond its ends, where the picture shows lines like its marks again; nearest first."""
    scale = one.scale
    step = max(STEP_PERIODS * scale.period, max(picture.size) / MOST_PLACES)
    low, high = scale.distances_of(np.array([scale.first, scale.last])).tolist()
    aways = [edge + sign * step * i for i in range(1, MOST_PLACES) for edge, sign in ((low, -1), (high, 1))]
    u_x, u_y = scale.start.along
    found: list[Start] = []
    for away in aways:
        x, y = (float(at[0]) for at in scale.places_abreast(np.array([away])))
        x, y = x + away * u_x, y + away * u_y
        if not (0 < x < picture.size[0] - 1 and 0 < y < picture.size[1] - 1):
            continue
        size = 1 / scale.period
        start = refine_candidate(picture, Candidate(x, y, size * u_x, size * u_y, REACH * scale.half_width, 0.0))
        if start is not None and max(start.period / scale.period, scale.period / start.period) < MOST_PERIODS_APART:
            found.append(start)
    return found


def is_usable(one: Proved) -> bool:
    """Whether a stretch is even enough to be a piece of a ruler, and has no fault but that it is a piece."""
    seen = one.verdict
    return (
        seen.fault in OF_A_PIECE
        and seen.marks >= FEWEST_OF_PIECE
        and seen.scatter < MOST_SCATTER
        and seen.fit > LEAST_FIT
    )


def join_pieces(seed: Proved, others: Sequence[Proved]) -> Scale | None:
    """Scale through a piece and all others that continue it, the nearest first."""
    whole, scale, parts = piece_of(seed), seed.scale, [piece_of(seed)]
    for other in sorted(map(piece_of, others), key=lambda piece: middle_distance(whole, piece)):
        if not continues(scale, whole, other):
            continue
        found = hypothesis(whole, other, scale)
        if found is not None:
            whole, fit = found
            parts.append(other)
            first, last = int(whole.number.min()), int(whole.number.max())
            scale = lay_strip(replace(scale, model=fit.model, fit=fit, first=first, last=last), parts)
    return scale if len(parts) > 1 else None


def piece_of(one: Proved) -> Piece:
    """Points on the found marks of a stretch, and its middle mark."""
    marks, scale = one.marks, one.scale
    use = marks.points_on(scale)
    numbers = np.broadcast_to(marks.numbers, use.shape)[use]
    middle = int(np.sort(np.unique(numbers))[len(np.unique(numbers)) // 2])
    here = use & (marks.numbers == middle)
    x, y = float(marks.x[here].mean()), float(marks.y[here].mean())
    by_x, by_y = scale.model.gradient(x, y)
    return Piece(
        *(marks.x[use], marks.y[use], numbers, (x, y, middle), (float(by_x), float(by_y))),
        *(scale.half_width, one.fit.scatter),
    )


def middle_distance(one: Piece, other: Piece) -> float:
    """Distance of the middles [px]."""
    return hypot(other.middle[0] - one.middle[0], other.middle[1] - one.middle[1])


def continues(scale: Scale, whole: Piece, other: Piece) -> bool:
    """Whether a piece lies beyond an end of a scale, on its line, with marks much like its own."""
    size, own = hypot(*other.slope), hypot(*whole.slope)
    alike = abs(whole.slope[0] * other.slope[0] + whole.slope[1] * other.slope[1]) > LEAST_PARALLEL * size * own
    periods, widths = own / size, scale.half_width / other.half_width
    (x, y, _), (u_x, u_y) = other.middle, scale.start.along
    along = (x - scale.start.x) * u_x + (y - scale.start.y) * u_y
    across = -(x - scale.start.x) * u_y + (y - scale.start.y) * u_x
    aside = abs(across - scale.offset - scale.slope * along)
    ends = scale.distances_of(np.array([scale.first, scale.last]))
    return bool(
        alike
        and max(periods, 1 / periods) < MOST_PERIODS_APART
        and max(widths, 1 / widths) < MOST_WIDTHS_APART
        and aside < MOST_ASIDE * scale.half_width + ASIDE_PER_LENGTH * middle_distance(whole, other)
        and not ends.min() < along < ends.max()
    )


def hypothesis(whole: Piece, other: Piece, scale: Scale) -> tuple[Piece, Fit] | None:
    """Join a piece by the whole number of marks between the middles that is far the likeliest; None where none is."""
    toward = np.array(other.middle[:2]) - whole.middle[:2]
    toward = toward / middle_distance(whole, other)
    here, there = float(toward @ whole.slope), float(toward @ other.slope)
    sign = 1 if here * there > 0 else -1
    steps = middle_distance(whole, other) * sqrt(abs(here * there)) * (1 if here > 0 else -1)
    tried = []
    for count in (floor(steps), floor(steps) + 1):
        number = sign * (other.number - other.middle[2]) + whole.middle[2] + count
        both = replace(
            whole,
            x=np.concatenate([whole.x, other.x]),
            y=np.concatenate([whole.y, other.y]),
            number=np.concatenate([whole.number, number]),
            scatter=max(whole.scatter, other.scatter, SUREST),
        )
        fit = fit_scale(scale.model, both.x, both.y, both.number)
        tried.append((cost(both, fit), both, fit))
    (least, both, fit), (next_least, _, _) = sorted(tried, key=lambda one: one[0])
    if next_least - least < MARGIN or fit.scatter > MOST_LOOSER * both.scatter or not fit.kept.mean() > LEAST_FIT:
        return None
    return both, fit


def cost(piece: Piece, fit: Fit) -> float:
    """Twice the negative logarithm of the likelihood: of every mark's place, and of keystone and distortion beforehand."""
    away = fit.model.numbers(piece.x, piece.y) - piece.number
    ordinal = piece.number - piece.number.min()
    count = np.bincount(ordinal)
    means = np.bincount(ordinal, away)[count > 0] / count[count > 0]
    return float(((means / piece.scatter) ** 2).sum() + ((fit.model.parameters / SPREAD) ** 2).sum())


def lay_strip(scale: Scale, parts: Sequence[Piece]) -> Scale:
    """Lay the strip through the middles of the pieces, as narrow as the narrowest."""
    u_x, u_y = scale.start.along
    x, y = (np.array([part.middle[axis] for part in parts]) for axis in (0, 1))
    along = (x - scale.start.x) * u_x + (y - scale.start.y) * u_y
    across = -(x - scale.start.x) * u_y + (y - scale.start.y) * u_x
    slope, offset = np.polyfit(along, across, 1)
    half_width = min(part.half_width for part in parts)
    return replace(scale, offset=float(offset), slope=float(slope), half_width=half_width)
