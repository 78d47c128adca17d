"""Shelves: all stacks that can stand between one kind of rear face and one end, in the order in which they are looked up.

For a front part that needs a certain length, stacks without bellows are found by their length; bellows are drawn out to
that length where they reach it, and stand at the nearer end of their range where they do not.
"""

from collections.abc import Iterator, Sequence
from functools import cached_property

import numpy as np
from msgspec import Struct

from closeup_service.gear.kit import Bellows
from closeup_service.gear.ring_chains import DECIMALS
from closeup_service.gear.search.joints import Joint, Use
from closeup_service.gear.search.stacks import Run, Table, concatenate, run_starts, shortest_length
from closeup_service.optics.arithmetic import BoolArray, FloatArray, IntArray

ROUNDING = 1e-12
MOST_REACHING = 8
"""Of stacks of one pile with equally many parts that bellows draw out to one length, the shortest so many are compared."""


class Pile(Struct, frozen=True, dict=True):
    """The stacks of one run of blocks, with the joint to the front part."""

    run: Run
    start: Joint
    table: Table

    @property
    def rings(self) -> frozenset[str]:
        """Rings that each of its stacks takes."""
        return self.run.rings | set(self.start.ids)

    @cached_property
    def by_count(self) -> list[tuple[int, IntArray]]:
        """Rows with so many parts, shortest first; fewest parts first."""
        counts = self.table.count
        rows = [(int(count), np.flatnonzero(counts == count)) for count in np.unique(counts)]
        return [(count, own[np.argsort(self.table.length[own], kind="stable")]) for count, own in rows]

    def select_using(self, part: str) -> "Pile":
        """Those of its stacks that use a part."""
        if part in self.rings:
            return self
        parts = ((each, bit) for block in self.run.blocks for each, bit in zip(block.parts, block.bits, strict=True))
        own = sum(bit for each, bit in parts if each.id == part)
        return Pile(self.run, self.start, self.table.take_rows(np.flatnonzero((self.table.members & own) != 0)))

    def uses(self, row: int, length: float) -> tuple[Use, ...]:
        """Parts of one stack as they are used for a total length, from the subject on.

        Parameters
        ----------
        length : float, mm
        """
        members = int(self.table.members[row])
        found = list(self.start.uses)
        for block, joint in zip(reversed(self.run.blocks), reversed(self.run.joints), strict=True):
            for part, bit in zip(reversed(block.parts), reversed(block.bits), strict=True):
                if members & bit:
                    use: Use = {"use": part.id}
                    if isinstance(part, Bellows):
                        use = {**use, "length_mm": bellows_length(part, length - float(self.table.length[row]))}
                    found.append(use)
            found += joint.uses
        return tuple(found)

    def openings(self, rows: IntArray) -> FloatArray:
        """Openings of some stacks, (stacks, openings, 3): place behind the front part, 1 where it moves with it, radius.

        What stands behind the bellows keeps its distance from the camera, and so moves away from the front part.

        Returns
        -------
        array, place in mm, 0 or 1, and radius in mm
        """
        members, length = self.table.members[rows], self.table.length[rows]
        at, moves = np.zeros(len(rows)), 0.0 if self.run.bellows is None else 1.0
        found: list[tuple[FloatArray, float, float | FloatArray]] = []
        for joint, block in zip(self.run.joints, self.run.blocks, strict=True):
            found += [(at + joint.length - place, moves, radius) for place, radius in joint.openings]
            at = at + joint.length
            for part, bit in zip(block.parts, block.bits, strict=True):
                taken = (members & bit) != 0
                end = at + np.where(taken, shortest_length(part), 0.0)
                radius = np.where(
                    taken, np.inf if part.clear_diameter_mm is None else part.clear_diameter_mm / 2, np.inf
                )
                behind, moves = moves, 0.0 if isinstance(part, Bellows) else moves
                if part.clear_diameter_mm is not None:
                    found += [(at, behind, radius), (end, moves, radius)]
                at = end
        found += [(at + self.start.length - place, 0.0, radius) for place, radius in self.start.openings]
        rows_of = [
            np.stack([length - place, 0 * length + moving, 0 * length + r], axis=1) for place, moving, r in found
        ]
        return np.stack(rows_of, axis=1) if rows_of else np.zeros((len(rows), 0, 3))


def slope_of(openings: FloatArray, stack: IntArray, drawn: FloatArray, length: FloatArray, image: float) -> FloatArray:
    """Greatest distance of an opening from the image over its radius: the less, the wider the cone.

    `openings` are as `Pile.openings` gives them; each row names its stack, its length, and how much of that is drawn out.

    Parameters
    ----------
    openings : array, place in mm, 0 or 1, and radius in mm, shape (stacks, openings, 3)
    drawn : array, how far the bellows are drawn out beyond their shortest, mm
    length : array, mm
    image : float, from the end's face to the image that it takes, mm

    Returns
    -------
    array, ratio
    """
    found = np.zeros(len(stack))
    for number in range(openings.shape[1]):
        place, moves, radius = openings[stack, number].T
        found = np.maximum(found, (image + length - place - moves * drawn) / radius)
    return found


def bellows_length(bellows: Bellows, beyond_shortest: float) -> float:
    """Length of bellows that are so far beyond their shortest [mm]; rounding never leads beyond either end.

    Parameters
    ----------
    beyond_shortest : float, mm

    Returns
    -------
    float, mm
    """
    return min(max(bellows.minimum_length_mm + beyond_shortest, bellows.minimum_length_mm), bellows.maximum_length_mm)


class Lengths(Struct, frozen=True):
    """Stacks of one length each, shortest first, each length once: the pile and the row there."""

    length: FloatArray
    pile: IntArray
    row: IntArray

    def __len__(self) -> int:
        return len(self.length)


class Shelf:
    """The stacks between one kind of rear face and one end."""

    def __init__(self, piles: Sequence[Pile], image: float, resolution: float) -> None:
        self.piles = tuple(piles)
        self.image = image
        self.resolution = resolution
        self.plain = self.lengths([pile for pile in self.piles if pile.run.bellows is None], longest=False)
        drawn = [(place, pile) for place, pile in enumerate(self.piles) if pile.run.bellows is not None]
        self.drawn = sorted(drawn, key=lambda each: int(each[1].table.count.min()))
        bellows = [pile for _, pile in self.drawn]
        self.shortest, self.longest = self.lengths(bellows, longest=False), self.lengths(bellows, longest=True)

    @property
    def entries(self) -> int:
        """Stacks of different lengths, each bellows at either end."""
        return len(self.plain) + len(self.shortest) + len(self.longest)

    def exclude_rings(self, rings: frozenset[str]) -> "Shelf":
        """The stacks that leave these rings free."""
        kept = [pile for pile in self.piles if not pile.rings & rings]
        return self if len(kept) == len(self.piles) else Shelf(kept, self.image, self.resolution)

    def select_using(self, part: str) -> "Shelf":
        """The stacks that use a part."""
        piles = [pile for pile in (each.select_using(part) for each in self.piles) if len(pile.table)]
        return Shelf(piles, self.image, self.resolution)

    def lengths(self, piles: Sequence[Pile], *, longest: bool) -> Lengths:
        """Each length once, as the best stack gives it."""
        if not piles:
            return Lengths(np.zeros(0), np.zeros(0, dtype=int), np.zeros(0, dtype=int))
        place_of = {id(pile): place for place, pile in enumerate(self.piles)}
        all_of = concatenate([pile.table for pile in piles])
        sizes = [len(pile.table) for pile in piles]
        length = all_of.length + (np.repeat([pile.table.range_mm for pile in piles], sizes) if longest else 0.0)
        best = all_of.best_of_each(length, all_of.drawn if longest else all_of.slope, self.resolution)
        best = best[np.argsort(length[best], kind="stable")]
        pile = np.repeat([place_of[id(pile)] for pile in piles], sizes)
        row = np.concatenate([np.arange(size) for size in sizes])
        return Lengths(length[best], pile[best], row[best])

    def spans(
        self, exact: FloatArray, low: FloatArray, high: FloatArray
    ) -> Iterator[tuple[Lengths, IntArray, IntArray]]:
        """Yield the lengths within each interval as places from and to; bellows at an end only beyond their reach.

        Parameters
        ----------
        exact : array, lengths that would be exact, mm
        low, high : array, least and greatest lengths, mm
        """
        for lengths, least, most in (
            (self.plain, low, high),
            (self.shortest, np.maximum(low, np.nextafter(exact, np.inf)), high),
            (self.longest, low, np.minimum(high, np.nextafter(exact, -np.inf))),
        ):
            start = np.searchsorted(lengths.length, least, "left")
            stop = np.searchsorted(lengths.length, most, "right")
            unknown = np.isnan(least) | np.isnan(most)
            yield lengths, start, np.where(unknown, start, np.maximum(start, stop))

    def count(self, exact: FloatArray, low: FloatArray, high: FloatArray) -> IntArray:
        """At most how many stacks each interval has: every length in it, and one drawn out exactly.

        Parameters
        ----------
        exact : array, lengths that would be exact, mm
        low, high : array, least and greatest lengths, mm

        Returns
        -------
        array, number of stacks
        """
        found = np.zeros(len(exact), dtype=np.int64)
        for _, start, stop in self.spans(exact, low, high):
            found += stop - start
        return found + bool(self.drawn)

    def find(
        self, exact: FloatArray, low: FloatArray, high: FloatArray
    ) -> tuple[IntArray, IntArray, IntArray, FloatArray]:
        """Place of the interval, pile, row there, and length of every stack that fits.

        Parameters
        ----------
        exact : array, lengths that would be exact, mm
        low, high : array, least and greatest lengths, mm

        Returns
        -------
        four arrays, the last one lengths, mm
        """
        parts = []
        for lengths, start, stop in self.spans(exact, low, high):
            front, place = spread_places(start, stop)
            parts.append((front, lengths.pile[place], lengths.row[place], lengths.length[place]))
        parts.append(self.reach_exactly(exact, low, high))
        front, pile, row, length = (np.concatenate(columns) for columns in zip(*parts, strict=True))
        return front, pile, row, length

    def reach_exactly(
        self, exact: FloatArray, low: FloatArray, high: FloatArray
    ) -> tuple[IntArray, IntArray, IntArray, FloatArray]:
        """The best stack with bellows drawn out exactly, where one reaches so far: fewest parts, then the widest cone.

        Parameters
        ----------
        exact : array, lengths that would be exact, mm
        low, high : array, least and greatest lengths, mm

        Returns
        -------
        four arrays: place of the interval, pile, row there, and length, mm
        """
        best = np.full((2, len(exact)), np.inf)
        pile_of, row_of = np.full(len(exact), -1), np.zeros(len(exact), dtype=int)
        wanted = np.flatnonzero((exact >= low) & (exact <= high))
        for place, pile in self.drawn:
            front, row = select_reaching(pile, exact, wanted, best[0])
            found = self.rank_stacks(pile, row, exact[front])
            order = np.lexsort((found[1], front))
            order = order[run_starts(front[order])]
            order = order[is_before(found[:, order], best[:, front[order]])]
            best[:, front[order]], pile_of[front[order]], row_of[front[order]] = found[:, order], place, row[order]
        front = np.flatnonzero(pile_of >= 0)
        return front, pile_of[front], row_of[front], exact[front]

    def rank_stacks(self, pile: Pile, rows: IntArray, length: FloatArray) -> FloatArray:
        """Parts, and slope, of some stacks that are drawn out to these lengths.

        Parameters
        ----------
        length : array, mm

        Returns
        -------
        array, number of parts and slope, ratio, shape (2, stacks)
        """
        kinds, kind = np.unique(rows, return_inverse=True)
        drawn = length - pile.table.length[rows]
        slope = slope_of(pile.openings(kinds), kind.reshape(-1), drawn, length, self.image)
        return np.stack([pile.table.count[rows], np.round(slope, DECIMALS)])


def is_before(first: FloatArray, second: FloatArray) -> BoolArray:
    """Columns of the first whose figures come before those of the second, the upper figure deciding first."""
    earlier, alike = np.zeros(first.shape[1], dtype=bool), np.ones(first.shape[1], dtype=bool)
    for own, other in zip(first, second, strict=True):
        earlier |= alike & (own < other)
        alike &= own == other
    return earlier


def select_reaching(pile: Pile, exact: FloatArray, wanted: IntArray, most: FloatArray) -> tuple[IntArray, IntArray]:
    """Stacks of a pile that reach each of the wanted lengths exactly, with the fewest parts that do, and no more than `most`.

    Returns the place of the length and the row of the stack; of many that reach it, the shortest few.

    Parameters
    ----------
    exact : array, lengths, mm
    wanted : array, places of the wanted ones among them
    most : array, number of parts
    """
    fronts, rows, range_mm = [wanted[:0]], [wanted[:0]], pile.table.range_mm
    for count, own in pile.by_count:
        wanted = wanted[most[wanted] >= count]
        if not len(wanted):
            break
        lengths = pile.table.length[own]
        start = np.searchsorted(lengths, exact[wanted] - range_mm, "left")
        stop = np.minimum(np.searchsorted(lengths, exact[wanted], "right"), start + MOST_REACHING)
        front, place = spread_places(start, stop)
        within = (lengths[place] + range_mm >= exact[wanted[front]]) & (lengths[place] <= exact[wanted[front]])
        fronts.append(wanted[front[within]])
        rows.append(own[place[within]])
        left = np.ones(len(wanted), dtype=bool)
        left[front[within]] = False
        wanted = wanted[left]
    return np.concatenate(fronts), np.concatenate(rows)


def spread_places(start: IntArray, stop: IntArray) -> tuple[IntArray, IntArray]:
    """Every place from each start to its stop, with the number of the start."""
    count = np.maximum(stop - start, 0)
    number = np.repeat(np.arange(len(start)), count)
    return number, np.arange(len(number)) - np.repeat(np.cumsum(count) - count, count) + np.repeat(start, count)
