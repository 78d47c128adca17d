"""Chains of rings from one joining face to another, out of a kit's own rings and, where these do not do, bought ones.

A chain starts at an open face; each ring takes it with one face and leaves its other face open; the chain is complete when
the open face joins the end. Every ring is used once and no kind of open face comes twice. The chains come in the order:
fewest parts, then fewest steps below the lens's own thread, then shortest, then widest, then by the rings' ids.

The search is A* over (parts, steps below, length), added up lexicographically. Its bound is the exact distance to the end
if rings could be used twice, found backwards by Dijkstra's algorithm, so it never passes over a better chain.
"""

import heapq
import math
from collections.abc import Sequence
from typing import TypeAlias

from msgspec import Struct

from closeup_service.gear.catalogue import THREADS
from closeup_service.gear.kit import Face, Kit, Open, Ring, RingTable, open_of, rings_by_coupling
from closeup_service.gear.standard_rings import StandardRing, standard_rings

MOST_PARTS = 12
MOST_STEPS = 200_000
"""The search ends after this many rings tried at the end of partial chains: some tenths of a second."""

MOST_PURCHASES = 3

DECIMALS = 9
"""Lengths are compared, and stated, to this many places of a mm: the order of adding must not decide."""

Cost: TypeAlias = tuple[int, int, float]
"""Parts, steps below the lens's own thread, length [mm]."""

Entry: TypeAlias = tuple[Cost, float, tuple[str, ...], Cost, tuple[Ring, ...], tuple[Open, ...]]
"""A partial chain: bound of the whole, least clear diameter with its sign turned, ids, cost so far, rings, open faces.

The ids differ, so rings are never compared.
"""


class Chain(Struct, frozen=True):
    """Rings in order from start to end.

    `extension_mm` is None where a bought ring's thickness is not known; `assumed_extension_mm` then counts the usual one.
    `narrowest_mm` is the least opening that the light meets: a ring's clear diameter, or its threads' where that is not
    known; None where neither is. `buy` are those of the rings that must be bought.
    """

    rings: tuple[Ring, ...]
    steps_below: int
    assumed_extension_mm: float
    narrowest_mm: float | None
    buy: tuple[Ring, ...]

    @property
    def extension_mm(self) -> float | None:
        """Total thickness, where every ring's is known."""
        known = all(not isinstance(ring, StandardRing) or ring.length_known for ring in self.rings)
        return self.assumed_extension_mm if known else None


class Found(Struct, frozen=True):
    """Chains, best first; `cut` where the search ended before it was through, so that more may exist.

    `tried` counts the rings that were tried at the end of partial chains.
    """

    chains: tuple[Chain, ...]
    cut: bool
    tried: int = 0


def owned_chains(kit: Kit, start: Face, end: Face, most: int) -> Found:
    """Seek chains out of the kit's own rings that are at hand; one without rings where start and end join."""
    return Seeker(kit.rings_by_coupling, start, end).best(most)


def chains_to_buy(kit: Kit, start: Face, end: Face, most: int) -> Found:
    """Seek chains with as few bought rings as it takes, out of the kit's that are not owned and of standard sizes."""
    table, bought = add_rings_on_sale(kit, start, end)
    found = Found((), cut=False)
    for purchases in range(1, MOST_PURCHASES + 1):
        found = Seeker(table, start, end, bought, purchases).best(most)
        if found.chains:
            break
    return found


def add_rings_on_sale(kit: Kit, start: Face, end: Face) -> tuple[RingTable, frozenset[str]]:
    """Rings at hand and those that can be bought, and which of them are bought."""
    owned = [ring for ring in kit.rings if ring.owned and ring.available]
    shelf = [ring for ring in kit.rings if not ring.owned] + list(standard_rings(start, end, kit))
    return rings_by_coupling([*owned, *shelf]), frozenset(ring.id for ring in shelf)


def ends_joined_otherwise(kit: Kit, start: Face, end: Face) -> list[Face]:
    """Which of the two ends, were it of the other gender or side, could be joined to the other end."""
    table, bought = add_rings_on_sale(kit, start, end)
    pairs = (start.counterpart(), (start.counterpart(), end)), (end.counterpart(), (start, end.counterpart()))
    return [
        turned
        for turned, (first, last) in pairs
        if first.joins(last) or Seeker(table, first, last, bought, MOST_PURCHASES).best(1).chains
    ]


class Seeker:
    """Seeks the best chains over one table of rings."""

    def __init__(
        self, table: RingTable, start: Face, end: Face, bought: frozenset[str] = frozenset(), purchases: int = 0
    ) -> None:
        self.table = table
        self.start = start
        self.end = end
        self.bought = bought
        self.purchases = purchases
        self.own = own_diameter(start, end)
        self.wanted: Open = (end.coupling, not end.plug)

    def best(self, most: int) -> Found:
        """At most so many chains, best first."""
        opening = open_of(self.start)
        if opening != self.wanted and opening not in self.table:
            return Found((), cut=False)
        to_end = distances(self.table, self.wanted, self.own)
        if opening not in to_end:
            return Found((), cut=False)
        found: list[Chain] = []
        heap: list[Entry] = [(to_end[opening], -math.inf, (), (0, 0, 0.0), (), (opening,))]
        tried = 0
        while heap and len(found) < most and tried < MOST_STEPS:
            _, narrow, ids, cost, rings, path = heapq.heappop(heap)
            if path[-1] == self.wanted:
                found.append(chain_of(rings, cost, self.bought))
                continue
            choices = self.table.get(path[-1], ())
            tried += len(choices)
            for ring, left in choices:
                opening = open_of(left)
                if opening in path or opening not in to_end or not self.may_add(ring, ids):
                    continue
                reached = add_costs(cost, step_cost(ring, left, self.own))
                bound = add_costs(reached, to_end[opening])
                if bound[0] <= MOST_PARTS:
                    wide = -math.inf if ring.clear_diameter_mm is None else -ring.clear_diameter_mm
                    chain = (*ids, ring.id), reached, (*rings, ring), (*path, opening)
                    heapq.heappush(heap, (bound, max(narrow, wide), *chain))
        return Found(tuple(found), tried >= MOST_STEPS, tried)

    def may_add(self, ring: Ring, ids: Sequence[str]) -> bool:
        """Whether the ring is still free, and within what may be bought."""
        if ring.id in ids:
            return False
        return ring.id not in self.bought or sum(name in self.bought for name in ids) < self.purchases


def own_diameter(start: Face, end: Face) -> float:
    """Diameter of the lens's own thread: that of the start, or of the end where the start is none; 0 where neither is.

    Returns
    -------
    float, mm
    """
    return next((diameter for face in (start, end) if (diameter := thread_diameter(face)) is not None), 0.0)


def thread_diameter(face: Face) -> float | None:
    """Major diameter of a face's thread [mm]; None for a bayonet.

    Returns
    -------
    float or None, mm
    """
    kind, _, name = face.coupling.partition(" ")
    return THREADS[name].diameter_mm if kind == "thread" else None


def step_cost(ring: Ring, left: Face, own: float) -> Cost:
    """Cost of one more ring that leaves this face open.

    Parameters
    ----------
    own : float, diameter of the lens's own thread, mm

    Returns
    -------
    tuple, 1 ring, 1 where it steps below the own thread, and its length, mm
    """
    diameter = thread_diameter(left)
    return 1, int(diameter is not None and diameter < own), ring.length_mm


def add_costs(first: Cost, second: Cost) -> Cost:
    """Sum of two costs."""
    return first[0] + second[0], first[1] + second[1], round(first[2] + second[2], DECIMALS)


def distances(table: RingTable, wanted: Open, own: float) -> dict[Open, Cost]:
    """Least cost from every kind of open face to the wanted one, if rings could be used twice (Dijkstra, backwards).

    Parameters
    ----------
    own : float, diameter of the lens's own thread, mm

    Returns
    -------
    dict of costs: rings, steps below the own thread, and length, mm
    """
    into: dict[Open, list[tuple[Open, Cost]]] = {}
    for before, choices in table.items():
        for ring, left in choices:
            into.setdefault(open_of(left), []).append((before, step_cost(ring, left, own)))
    found: dict[Open, Cost] = {}
    heap: list[tuple[Cost, Open]] = [((0, 0, 0.0), wanted)]
    while heap:
        cost, opening = heapq.heappop(heap)
        if opening in found:
            continue
        found[opening] = cost
        for before, more in into.get(opening, ()):
            if before not in found:
                heapq.heappush(heap, (add_costs(cost, more), before))
    return found


def chain_of(rings: tuple[Ring, ...], cost: Cost, bought: frozenset[str]) -> Chain:
    """Chain of these rings."""
    openings = [opening for ring in rings if (opening := opening_of(ring)) is not None]
    buy = tuple(ring for ring in rings if ring.id in bought)
    return Chain(rings, cost[1], cost[2], min(openings, default=None), buy)


def opening_of(ring: Ring) -> float | None:
    """Widest that the light can be where it passes the ring [mm].

    Returns
    -------
    float or None, mm
    """
    if ring.clear_diameter_mm is not None:
        return ring.clear_diameter_mm
    return min(
        (width for face in (ring.front, ring.rear) if (width := thread_diameter(face)) is not None), default=None
    )
