"""What a search keeps: the best, the Pareto front, and what comes nearest to wishes that nothing meets."""

import math
from functools import cached_property
from heapq import nsmallest

import numpy as np
from msgspec import Struct

from closeup_service.gear.search.apertures import Figures
from closeup_service.gear.search.ends import End
from closeup_service.gear.search.fronts import Source
from closeup_service.gear.search.joints import Use
from closeup_service.gear.search.pareto import Front, pareto_places
from closeup_service.gear.search.request import Request
from closeup_service.gear.search.score import Scored
from closeup_service.gear.search.shelf import Pile
from closeup_service.optics.arithmetic import FloatArray, IntArray

DECIMALS = 9
ALIKE = 1e-9
"""Figures are told apart to this many places, and scores by more than this."""

MOST_ALIKE = 50
"""Of set-ups as good as the last of the best, at most so many times the number wanted are looked at by name."""
MOST_SCORE = 1e6
"""Scores stay below this, so that they decide only among equally many parts."""


class MadeOf(Struct, frozen=True):
    """What a set-up is made of: front part, stack at its length, end, and the marks of its rings, NaN where there is none."""

    source: Source
    pile: Pile
    row: int
    length: float
    end: End
    f_number: float
    front_f_number: float

    @property
    def uses(self) -> tuple[Use, ...]:
        """Parts as they are used, from the subject on."""
        uses: list[Use] = [{**use} for use in self.source.uses]
        if not math.isnan(self.f_number):
            uses[self.source.lens_place]["f_number"] = self.f_number
        if not math.isnan(self.front_f_number):
            uses[0]["f_number"] = self.front_f_number
        return (*uses, *self.pile.uses(self.row, self.length), *self.end.uses)


class Candidate(Struct, frozen=True, dict=True):
    """One set-up at one aperture: what it is made of, its score, and the three figures of the Pareto front."""

    made_of: MadeOf
    score: float
    criteria: tuple[tuple[str, float], ...]
    parts: int
    magnification: float
    working_distance_mm: float
    resolution_um: float
    light_loss_stops: float
    misses: tuple[tuple[str, float], ...]
    sharp_known: bool

    @cached_property
    def uses(self) -> tuple[Use, ...]:
        """Parts as they are used, from the subject on."""
        return self.made_of.uses

    @cached_property
    def name(self) -> tuple[str, ...]:
        """What tells set-ups apart that are equally good with equally many parts: ids, then what is chosen of each."""
        return tuple("|".join(f"{key}={value}" for key, value in sorted(use.items())) for use in self.uses)

    @property
    def order(self) -> tuple[float, int, tuple[str, ...]]:
        """Best first: score, fewer parts, id."""
        return (*self.rank, self.name)

    @property
    def rank(self) -> tuple[float, int]:
        """Best first, but for names: score, fewer parts."""
        return round(self.score, DECIMALS), self.parts


def candidate(scored: Scored, index: int) -> Candidate:
    """Candidate of one row."""
    figures = scored.figures
    rows = figures.distances.rows
    row = int(figures.row[index])
    pile, pile_row = rows.stacks.stack(int(rows.stack[row]))
    made_of = MadeOf(
        rows.fronts.sources[rows.front[row]],
        pile,
        pile_row,
        float(rows.length[row]),
        rows.end,
        float(figures.f_number[index]),
        float(figures.front_f_number[index]),
    )
    return Candidate(
        made_of,
        float(scored.score[index]),
        tuple((name, float(column[index])) for name, column in scored.criteria.items()),
        int(scored.parts[index]),
        float(figures.distances.magnification[row]),
        float(figures.distances.working[row]),
        float(figures.resolution[index]),
        float(figures.light_loss[index]),
        tuple((name, float(column[index])) for name, column in scored.misses.items()),
        bool(figures.sharp_known[index]),
    )


class Found:
    """Gathers candidates block by block, keeping only what can still be told.

    `framed` counts the arrangements that fill the frame, `hits` the set-ups taken in that meet every wish.
    """

    def __init__(self, request: Request) -> None:
        self.request = request
        self.most = request.best
        self.hits = 0
        self.framed = 0
        self.best: list[Candidate] = []
        self.front: Front[Candidate] = Front()
        self.nearest: dict[str, tuple[float, Candidate]] = {}
        self.nearest_of_all: tuple[float, Candidate] | None = None
        self.nearest_frame: tuple[float, Candidate] | None = None

    def add_hits(self, scored: Scored) -> None:
        """Take in set-ups that meet every wish."""
        self.hits += len(scored.score)
        self.keep_best(scored)
        self.keep_front(scored)

    def keep_best(self, scored: Scored) -> None:
        """Keep the best k, few apertures of each arrangement; whatever is as good as the last is looked at by name."""
        places = best_of_each_row(scored.figures.row, scored.score, self.request.apertures)
        scores = scored.score[places]
        limit = np.partition(scores, self.most - 1)[self.most - 1] if len(scores) > self.most else scores.max()
        if len(self.best) == self.most:
            limit = min(limit, self.best[-1].score)
        near = places[scores <= limit + ALIKE]
        order = np.lexsort((scored.parts[near], np.round(scored.score[near], DECIMALS)))
        near = near[order][: MOST_ALIKE * self.most]
        self.best = sorted(
            [*self.best, *(candidate(scored, index) for index in near.tolist())], key=lambda each: each.order
        )
        self.best = self.best[: self.most]

    def keep_front(self, scored: Scored) -> None:
        """Keep what nothing else beats in working distance, detail and light at once."""
        figures = scored.figures
        rows = widest_of_each(figures)
        keys = np.stack([-figures.of("working")[rows], figures.resolution[rows], figures.light_loss[rows]], axis=1)
        known = ~np.isnan(keys).any(axis=1)
        rows, fresh = rows[known], np.round(keys[known], DECIMALS)
        rank = scored.parts[rows] + np.round(scored.score[rows], DECIMALS) / MOST_SCORE
        kept = pareto_places(fresh, rank)
        self.front.add(fresh[kept], rank[kept], [candidate(scored, int(rows[place])) for place in kept])

    @property
    def pareto(self) -> list[Candidate]:
        """The Pareto front, best score first."""
        return sorted(self.front.all, key=lambda each: each.order)

    def best_of_front(self, most: int) -> list[Candidate]:
        """The best so many of the Pareto front by score."""
        near = nsmallest(MOST_ALIKE * most, self.front.all, key=lambda each: each.rank)
        return sorted(near, key=lambda each: each.order)[:most]

    def add_framed(self, scored: Scored) -> None:
        """Take in set-ups of which only the one that comes nearest to filling the frame is wanted."""
        off = np.round(np.abs(self.request.magnification / scored.figures.of("magnification") - 1), DECIMALS)
        index = int(np.lexsort((scored.score, off))[0])
        entry = float(off[index]), candidate(scored, index)
        if self.nearest_frame is None or is_better_miss(entry, self.nearest_frame):
            self.nearest_frame = entry

    def add_misses(self, scored: Scored) -> None:
        """Take in set-ups none of which meets every wish: keep the least miss of one alone, and of all together."""
        names = list(scored.misses)
        misses = np.stack([np.round(scored.misses[name], DECIMALS) for name in names])
        unmet = misses > 0
        scale = np.array([shares_of(self.request, name) for name in names]).reshape(-1, 1)
        for place, name in enumerate(names):
            alone = np.flatnonzero(unmet[place] & (unmet.sum(axis=0) == 1))
            if len(alone):
                index = alone[np.lexsort((scored.score[alone], misses[place][alone]))[0]]
                entry = float(misses[place][index]), candidate(scored, int(index))
                if name not in self.nearest or is_better_miss(entry, self.nearest[name]):
                    self.nearest[name] = entry
        total = np.round(np.where(unmet, misses / scale, 0.0).sum(axis=0), DECIMALS)
        index = int(np.lexsort((scored.score, total))[0])
        entry = float(total[index]), candidate(scored, index)
        if self.nearest_of_all is None or is_better_miss(entry, self.nearest_of_all):
            self.nearest_of_all = entry


def best_of_each_row(row: IntArray, score: FloatArray, most: int) -> IntArray:
    """Places of the best so many of each arrangement; of equal scores the wider aperture."""
    order = np.lexsort((score, row))
    starts = np.flatnonzero(np.diff(row[order], prepend=-1))
    within = np.arange(len(order)) - np.repeat(starts, np.diff([*starts, len(order)]))
    return order[within < most]


def shares_of(request: Request, wish: str) -> float:
    """What a miss is divided by before it is compared with another's: what was asked, 1 at least.

    Returns
    -------
    float, in the unit of the wish: mm, um, frames or stops
    """
    return max(1.0, abs(request.wishes[wish]))


def is_better_miss(entry: tuple[float, Candidate], other: tuple[float, Candidate]) -> bool:
    """Whether this misses by less, or by as much with a better score."""
    return (entry[0], entry[1].order) < (other[0], other[1].order)


def widest_of_each(figures: Figures) -> IntArray:
    """Places of the widest mark of each arrangement for each ring that governs: the others lose detail and win nothing."""
    ring = np.where(figures.governed_by_lens, 2, np.where(~np.isnan(figures.light_loss), 1, 0))
    _, first = np.unique(figures.row * 3 + ring, return_index=True)
    return first
