"""Which of the likely scales is followed, proved and chosen."""

import numpy as np

from closeup_service.measuring.ruler.bands import find_neighbouring_start
from closeup_service.measuring.ruler.checks import LONG_ONLY, PLAIN
from closeup_service.measuring.ruler.join import find_starts_beyond, is_usable, join_stretches
from closeup_service.measuring.ruler.neighbour import neighbour, vernier
from closeup_service.measuring.ruler.picture import Pyramid
from closeup_service.measuring.ruler.proof import Proved, prove
from closeup_service.measuring.ruler.records import Leg, Wanted
from closeup_service.measuring.ruler.refusals import SMALL, refuse, refuse_two
from closeup_service.measuring.ruler.search import candidates
from closeup_service.measuring.ruler.start import Start, refine_candidate

MOST_FOLLOWED = 14
MOST_ALIKE = 2
"""Of starts with the same period and direction, so many may fail before the rest is passed over."""
ENOUGH = 10
MOST_LEGS_TRIED = 2
MOST_ASKEW = 0.25
MOST_FORESHORTENED = 1.3
"""So many starts are followed for the other leg of an L, with this cosine to the first and this ratio of periods at most."""
MOST_ASTRAY = 0.01
"""The scale of a vernier must have the period that the vernier foretells, but for this."""
MOST_CONTINUED = 2
MOST_FURTHER = 6
"""Of the largest stretches so many are continued, by so many further starts together."""
FINER = (0.5, 0.2, 0.1)


def choose_scale(picture: Pyramid, begun: list[Start], wanted: Wanted) -> Proved:
    """Find the scale of the pitch, one of plain marks where no other is; refuse where none is sure."""
    begun = [start for start in begun if wanted.leg in (None, leg_of(start))]
    good, bad = follow_starts(picture, begun, wanted)
    if not any(one.pitch.fits for one in good):
        good += find_neighbouring_scales(picture, [*good, *bad], wanted)
    best = max(good, key=rank, default=None)
    if best is None or not is_about_the_middle(picture, best):
        bad += continue_stretches(picture, [*good, *bad], wanted)
        whole = join_stretches(picture, [*good, *bad], wanted)
        best = best if whole is None else whole
    best = best or max((one for one in bad if one.verdict.fault == PLAIN), key=rank, default=None)
    if best is None:
        refuse(bad)
    return choose_beside_vernier(picture, best, wanted)


def choose_beside_vernier(picture: Pyramid, best: Proved, wanted: Wanted) -> Proved:
    """Return the scale itself where a vernier slides on it; refuse where two scales of nearly one pitch touch otherwise."""
    ratio = neighbour(best.scale, best.marks)
    if ratio is None or vernier(ratio) is not None:
        return best
    division = vernier(1 / ratio)
    start = None if division is None else find_neighbouring_start(picture, best.scale, 1 / division)
    main = None if start is None else prove(picture, start, wanted)
    if main is None or main.verdict.fault or abs(main.scale.period / best.scale.period / ratio - 1) > MOST_ASTRAY:
        refuse_two(best.scale.period, ratio, wanted)
    return main


def leg_of(start: Start) -> Leg:
    """Whether a start lies nearer to the picture's rows or to its columns."""
    return "level" if abs(start.along[0]) >= abs(start.along[1]) else "upright"


def other_leg(picture: Pyramid, begun: list[Start], best: Proved, wanted: Wanted) -> Proved | None:
    """Scale of the same pitch at right angles to the one chosen, as on an L-shaped ruler; None where none is sure."""
    likely = [
        start
        for start in begun
        if is_square_to(start, best.scale.start) and has_similar_period(start, best.scale.period)
    ]
    for start in likely[:MOST_LEGS_TRIED]:
        one = prove(picture, start, wanted)
        if one is not None and not one.verdict.fault and one.pitch.fits is not False:
            return one
    return None


def is_square_to(one: Start, other: Start) -> bool:
    """Whether two starts stand about at right angles."""
    return abs(one.along[0] * other.along[0] + one.along[1] * other.along[1]) < MOST_ASKEW


def has_similar_period(start: Start, period: float) -> bool:
    """Whether a start has a period of which perspective may make the other."""
    return max(start.period / period, period / start.period) < MOST_FORESHORTENED


def continue_stretches(picture: Pyramid, known: list[Proved], wanted: Wanted) -> list[Proved]:
    """Follow what continues the largest stretches beyond what hides the ruler."""
    pieces = sorted((one for one in known if is_usable(one)), key=lambda one: -one.verdict.marks)
    found: list[Proved] = []
    for piece in pieces[:MOST_CONTINUED]:
        for start in find_starts_beyond(picture, piece):
            if len(found) >= MOST_FURTHER:
                break
            if not any(contains_start(one, start) for one in [*known, *found]):
                one = prove(picture, start, wanted)
                found += [] if one is None else [one]
    return found


def follow_starts(picture: Pyramid, begun: list[Start], wanted: Wanted) -> tuple[list[Proved], list[Proved]]:
    """Follow the likeliest starts until a sure scale is found: those without and those with a fault."""
    good: list[Proved] = []
    bad: list[Proved] = []
    hopeless: list[Start] = []
    tried = 0
    for start in begun[: 3 * MOST_FOLLOWED]:
        if len(good) + tried >= MOST_FOLLOWED:
            break
        if is_superfluous(picture, start, good, bad, hopeless):
            continue
        one = prove(picture, start, wanted)
        if one is None or one.verdict.fault:
            hopeless += [start] if one is None else []
            tried += 1
            bad += [] if one is None else [one]
            continue
        good.append(one)
        if one.pitch.fits and one.verdict.marks >= ENOUGH and is_about_the_middle(picture, one):
            break
    return good, bad


def is_superfluous(
    picture: Pyramid, start: Start, good: list[Proved], bad: list[Proved], hopeless: list[Start]
) -> bool:
    """Whether a start tells nothing new: like some that failed, on a stretch already known, or beside a sure scale's way."""
    if sum(is_same_pattern(start, other) for other in hopeless) >= MOST_ALIKE:
        return True
    if any(contains_start(one, start) for one in bad if one.verdict.fault in SMALL):
        return True
    if good and not any(is_parallel(start, one.scale.start) for one in good):
        return True
    return any(
        is_repetition(start, one.scale.start) and (is_about_the_middle(picture, one) or contains_start(one, start))
        for one in good
    )


def contains_start(one: Proved, start: Start) -> bool:
    """Whether a start lies on the marks of a stretch already followed."""
    scale, (u_x, u_y) = one.scale, one.scale.start.along
    x, y = start.x - scale.start.x, start.y - scale.start.y
    along, across = x * u_x + y * u_y, -x * u_y + y * u_x
    low, high = scale.distances_of(np.array([scale.first, scale.last]))
    on_strip = abs(across - scale.offset - scale.slope * along) < scale.half_width + start.half_width
    return bool(is_repetition(start, scale.start) and on_strip and low - scale.period < along < high + scale.period)


def is_about_the_middle(picture: Pyramid, one: Proved) -> bool:
    """Whether marks stand on both sides of the picture's middle."""
    number = float(one.scale.model.numbers(*picture.centre))
    return one.scale.first < number < one.scale.last


def find_neighbouring_scales(picture: Pyramid, known: list[Proved], wanted: Wanted) -> list[Proved]:
    """Scales found beside others whose longer marks, or whose finer neighbours, say that they have another pitch."""
    found = []
    for one in known[:4]:
        ratios: tuple[float, ...] = FINER if one.verdict.fault == LONG_ONLY else ()
        if not one.verdict.fault and one.pitch.suggested_pitch_mm is not None:
            ratios = (wanted.period_mm / one.pitch.suggested_pitch_mm,)
        for ratio in ratios:
            start = find_neighbouring_start(picture, one.scale, ratio)
            other = None if start is None else prove(picture, start, wanted)
            if (
                other is not None
                and not other.verdict.fault
                and abs(other.scale.period / one.scale.period / ratio - 1) < 0.1
            ):
                found.append(other)
    return found


def refine_candidates(picture: Pyramid, depth: float) -> list[Start]:
    """Exact starts, the likeliest first, those of new period or direction before repetitions.

    Parameters
    ----------
    depth : number of grey steps of the picture
    """
    exact = [refine_candidate(picture, candidate) for candidate in candidates(picture, depth)]
    ranked = sorted((start for start in exact if start), key=lambda start: -start.likeness)
    seen: list[Start] = []
    rank: list[tuple[int, int, Start]] = []
    for place, start in enumerate(ranked):
        rank.append((sum(is_repetition(start, other) for other in seen), place, start))
        seen.append(start)
    rank.sort(key=lambda entry: entry[:2])
    return [start for _, _, start in rank]


def is_repetition(one: Start, other: Start) -> bool:
    """Whether two starts have nearly the same period and direction."""
    return is_parallel(one, other) and abs(one.period / other.period - 1) < 0.08


def is_same_pattern(one: Start, other: Start) -> bool:
    """Whether two starts may be places of one even pattern, such as cloth; a ruler on it hardly has the same period."""
    straight = abs(one.along[0] * other.along[0] + one.along[1] * other.along[1]) > 0.9997
    return straight and abs(one.period / other.period - 1) < 0.03


def is_parallel(one: Start, other: Start) -> bool:
    """Whether two starts have nearly the same direction."""
    return abs(one.along[0] * other.along[0] + one.along[1] * other.along[1]) > 0.996


def rank(one: Proved) -> tuple[int, int]:
    """What fits the pitch first, then what has the most marks."""
    fits = one.pitch.fits
    return (1 if fits is None else 2 * int(fits)), one.verdict.marks
