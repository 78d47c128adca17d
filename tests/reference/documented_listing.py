"""What the search lists of the set-ups that it found, as the documentation of /v1/set-ups/search says it."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

ROUNDED = 9
"""Places to which scores, misses and figures are the same."""

MOST_FRONT = 50
WISHES = {
    "least_working_distance_mm": ("working_distance_mm", 1),
    "least_clearance_mm": ("clearance_mm", 1),
    "largest_subject_resolution_um": ("subject_resolution_um", -1),
    "most_stack_frames": ("stack_frames", -1),
    "largest_light_loss_stops": ("light_loss_stops", -1),
    "longest_rig_mm": ("rig_length_mm", -1),
}
"""Figure that each wish is about, and whether it shall be at least (1) or at most (-1) what is wished."""


@dataclass(frozen=True)
class Found:
    """A set-up: an arrangement at one mark of its lenses."""

    arrangement: int
    ids: tuple[str, ...]
    document: Mapping[str, Any]
    figures: Mapping[str, float | None]
    criteria: Mapping[str, float]

    @property
    def parts(self) -> int:
        return len(self.ids)

    @property
    def score(self) -> float:
        return math.fsum(self.criteria.values())


@dataclass(frozen=True)
class Relaxed:
    """A wish and the set-up that misses it least; `equals` are those that miss it by as much with as good a score."""

    wish: str
    nearest: float | None
    miss: float | None
    equals: list[Found]

    @property
    def found(self) -> Found:
        return self.equals[0]


@dataclass
class Answer:
    """What the search finds."""

    framed: int
    meeting: list[Found]
    hits: list[Found]
    pareto: list[Found]
    relaxations: list[Relaxed]


@dataclass(frozen=True)
class Listing:
    """What is wished for, and how much is listed."""

    asked: Mapping[str, Any]

    @property
    def wishes(self) -> dict[str, float]:
        """Every wish; a clearance of 0 is assumed."""
        stated = {name: self.asked[name] for name in WISHES if name in self.asked}
        return {"least_clearance_mm": 0.0} | stated

    def miss(self, found: Found, wish: str) -> float:
        """By how much the set-up misses the wish; 0 where it meets it, infinite where the figure is not determined."""
        figure, sign = WISHES[wish]
        value = found.figures[figure]
        if value is None:
            return 0.0 if wish not in self.asked else math.inf
        return max(0.0, sign * (self.wishes[wish] - value))

    def missed(self, found: Found) -> list[str]:
        return [wish for wish in WISHES if wish in self.wishes and self.miss(found, wish) > 0]

    def hits(self, meeting: Sequence[Found]) -> list[Found]:
        """The best, so many apertures of one arrangement at most."""
        listed: list[Found] = []
        most = self.asked.get("apertures_per_set_up", 2)
        for found in meeting:
            if sum(each.arrangement == found.arrangement for each in listed) < most:
                listed.append(found)
        return listed[: self.asked.get("best", 10)]

    def relaxations(self, everything: Sequence[Found]) -> list[Relaxed]:
        """For each wish what meets all the others; else the set-up whose misses add up to least, once for each wish."""
        relaxed: list[Relaxed] = []
        for wish in WISHES:
            misses = [(self.miss(found, wish), found) for found in everything if self.missed(found) == [wish]]
            if misses:
                relaxed.append(self.relaxed(least(misses), wish))
        if everything and not relaxed:
            equals = least([(self.misses(found), found) for found in everything])
            relaxed = [self.relaxed(equals, wish) for wish in self.missed(equals[0])]
        return relaxed

    def share(self, found: Found, wish: str) -> float:
        """Miss divided by what was asked, or by 1 if that is less."""
        return self.miss(found, wish) / max(1.0, self.wishes[wish])

    def misses(self, found: Found) -> float:
        """All misses added up, each as a share."""
        return math.fsum(self.share(found, wish) for wish in self.missed(found))

    def relaxed(self, equals: list[Found], wish: str) -> Relaxed:
        nearest, miss = equals[0].figures[WISHES[wish][0]], self.miss(equals[0], wish)
        return Relaxed(wish, nearest, None if math.isinf(miss) else miss, equals)


def least(misses: Sequence[tuple[float, Found]]) -> list[Found]:
    """Set-ups of the least miss with the best score among these."""
    ranked = [((round(miss, ROUNDED), round(found.score, ROUNDED)), found) for miss, found in misses]
    best = min(rank for rank, _ in ranked)
    return [found for rank, found in ranked if rank == best]


def ranking(found: Found) -> tuple[float, int]:
    """Less is better; of equal scores the fewer parts."""
    return round(found.score, ROUNDED), found.parts


def pareto(meeting: Sequence[Found]) -> list[Found]:
    """Set-ups that none beats in working distance, resolved detail and light loss together, best score first."""
    alike: dict[tuple[float, ...], Found] = {}
    for found in sorted(meeting, key=lambda each: (each.parts, each.score)):
        known = [found.figures[name] for name in ("working_distance_mm", "subject_resolution_um", "light_loss_stops")]
        if None not in known:
            distance, resolution, loss = (round(value, ROUNDED) for value in known if value is not None)
            alike.setdefault((-distance, resolution, loss), found)
    front = [found for costs, found in alike.items() if not any(beats(other, costs) for other in alike)]
    return sorted(front, key=ranking)[:MOST_FRONT]


def beats(one: Sequence[float], other: Sequence[float]) -> bool:
    """Whether one is better somewhere and worse nowhere."""
    return one != other and all(mine <= theirs for mine, theirs in zip(one, other, strict=True))
