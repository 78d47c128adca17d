"""Framing: which stack fills the frame behind which front part, in closed form; first counted, then worked out in blocks."""

from collections.abc import Callable, Iterator, Sequence

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from closeup_service.gear.search.ends import End, ends_of
from closeup_service.gear.search.fronts import NO_OPENING, Fronts
from closeup_service.gear.search.joints import Joints
from closeup_service.gear.search.request import Request
from closeup_service.gear.search.shelf import ROUNDING, Pile, Shelf, slope_of
from closeup_service.gear.search.stacks import (
    EXACT_MM,
    RESOLUTIONS_MM,
    Block,
    Stacks,
    TooFine,
    blocks_of,
    keys_of,
    run_starts,
)
from closeup_service.gear.search.units import usable_parts
from closeup_service.gear.search.windows import INFINITY_ERROR_MM, Windows, windows_of
from closeup_service.gear.search.work import WORK_PER_FRONT, Work, refusal_of_size
from closeup_service.language import tr
from closeup_service.optics.arithmetic import BoolArray, FloatArray, IntArray
from closeup_service.optics.matrices import INFINITY_FOCUS
from closeup_service.set_ups.elements import DESIGN_LENGTH_TOLERANCE_MM

ROWS_PER_BLOCK = 50_000
FEW_SPACERS = 8
"""So few tubes and bellows have few lengths."""
MOST_HELD = 1_000_000
"""Stacks of different lengths that one search holds at once."""


class Picked(Struct, frozen=True):
    """Stacks that are used in some rows, one row each; `openings` as `Pile.openings` gives them."""

    piles: tuple[Pile, ...]
    pile: IntArray
    row: IntArray
    parts: IntArray
    shortest: FloatArray
    openings: FloatArray

    def stack(self, place: int) -> tuple[Pile, int]:
        """Pile of one stack, and its row there."""
        return self.piles[int(self.pile[place])], int(self.row[place])


class Framed(Struct, frozen=True):
    """Fronts and stacks that fill the frame: one row each."""

    fronts: Fronts
    stacks: Picked
    end: End
    front: IntArray
    stack: IntArray
    length: FloatArray

    def take_rows(self, index: IntArray) -> "Framed":
        """Some of the rows, by a mask or by their places."""
        return replace(self, front=self.front[index], stack=self.stack[index], length=self.length[index])


class Piece(Struct, frozen=True):
    """Front parts with one kind of rear face and the stacks that leave their rings free, before one end."""

    fronts: Fronts
    shelf: Shelf
    end: End
    windows: tuple[Windows, Windows]

    @property
    def rows(self) -> IntArray:
        """At most how many stacks are found for each front part."""
        found: IntArray = sum(
            (self.shelf.count(each.exact, each.low, each.high) for each in self.windows),
            np.zeros(len(self.fronts), dtype=int),
        )
        return found

    def select_using(self, part: str) -> Iterator["Piece"]:
        """Yield what of it uses a part."""
        if any(use["use"] == part for use in self.end.uses):
            yield self
            return
        own = np.array([any(use["use"] == part for use in source.uses) for source in self.fronts.sources], dtype=bool)
        for index, shelf in ((np.flatnonzero(own), self.shelf), (np.flatnonzero(~own), self.shelf.select_using(part))):
            if len(index) and shelf.piles:
                windows = self.windows[0].take_rows(index), self.windows[1].take_rows(index)
                yield Piece(self.fronts.take_rows(index), shelf, self.end, windows)


class Plan(Struct, frozen=True):
    """All that a search goes through, counted before it is done.

    `resolution` is the difference from which on lengths differ [mm]; `work` is in units of `search_work`.
    """

    pieces: tuple[Piece, ...]
    resolution: float
    arrangements: int
    work: int

    @property
    def coarse(self) -> bool:
        """Whether lengths that differ count as the same."""
        return self.resolution > EXACT_MM

    def frame(self, request: Request) -> Iterator[Framed]:
        """Yield everything that fills the frame, block by block."""
        for piece in self.pieces:
            rows = piece.rows
            place = np.cumsum(rows) // ROWS_PER_BLOCK
            for block in np.unique(place):
                index = np.flatnonzero((place == block) & (rows > 0))
                if len(index):
                    yield frame_block(request, piece, index)


def plan_search(
    request: Request,
    joints: Joints,
    groups: Sequence[Fronts],
    work: Work,
    *,
    every_mark: bool = True,
    using: str | None = None,
) -> Plan:
    """Plan a search at the finest resolution whose work is covered; `using` names a part that every set-up must use.

    Raises
    ------
    TooManyCandidates
        Where none is.
    """
    blocks = blocks_of(
        usable_parts(request.kit.tubes) if request.allows("tubes") else [],
        usable_parts(request.kit.bellows) if request.allows("bellows") else [],
    )
    passes = 2 if every_mark and set(request.wishes) - request.assumed_wishes else 1

    def attempted(resolution: float) -> Plan | None:
        """Plan at one resolution, where its work is covered."""
        work.go_on()
        try:
            pieces = tuple(pieces_of(request, joints, groups, blocks, resolution))
        except TooFine:
            return None
        pieces = pieces if using is None else tuple(part for piece in pieces for part in piece.select_using(using))
        cost = passes * sum(work_of(piece, every_mark) for piece in pieces)
        count = sum(len(piece.fronts) * piece.shelf.entries for piece in pieces)
        return Plan(pieces, resolution, count, cost) if work.covers(cost) else None

    with np.errstate(all="ignore"):
        plan = finest_plan(attempted, few=sum(len(block.parts) for block in blocks) <= FEW_SPACERS)
    if plan is None:
        raise refusal_of_size(tr("This kit can be put together in more ways than one search goes through."))
    return plan


def finest_plan(attempted: Callable[[float], Plan | None], *, few: bool) -> Plan | None:
    """Finest plan that can be had; of many spacers the coarsest is tried first, so that a refusal costs little."""
    exact, *coarser, coarsest = RESOLUTIONS_MM
    best = None
    if not few:
        best = attempted(coarsest)
        if best is None:
            return None
    plan = attempted(exact)
    if plan is not None:
        return plan
    best = best or attempted(coarsest)
    for resolution in reversed(coarser) if best else ():
        plan = attempted(resolution)
        if plan is None:
            break
        best = plan
    return best


def work_of(piece: Piece, every_mark: bool) -> int:
    """Units of work that a piece takes."""
    fronts = piece.fronts
    marks = [(~np.isnan(each)).sum(axis=1) for each in (fronts.marks, fronts.front_marks)]
    each_row = np.maximum(marks[0] + marks[1], 1) if every_mark else 1
    return int((piece.rows * each_row).sum()) + WORK_PER_FRONT * len(fronts) + piece.shelf.entries


def pieces_of(
    request: Request, joints: Joints, groups: Sequence[Fronts], blocks: Sequence[Block], resolution: float
) -> Iterator[Piece]:
    """Yield the pieces of a search.

    Parameters
    ----------
    resolution : float, lengths that differ by less count as the same, mm

    Raises
    ------
    TooFine
        Where they would hold too many stacks at once.
    """
    held = 0
    for end in ends_of(request, joints):
        stacks = Stacks(joints, blocks, end.front, end.image, resolution)
        for fronts in groups:
            converted = bool(fronts.sources) and fronts.sources[0].converter is not None
            if not fronts.sources:
                continue
            if converted and end.powered:
                continue
            shelf = shelf_of(stacks, fronts, end, with_parts=converted)
            for taken, rings in split_by_rings(fronts, end, shelf):
                left = shelf.exclude_rings(rings)
                held += left.entries
                if held > MOST_HELD:
                    raise TooFine
                if left.piles:
                    yield Piece(taken, left, end, windows_of(request, taken, end))


def shelf_of(stacks: Stacks, fronts: Fronts, end: End, *, with_parts: bool) -> Shelf:
    """Shelf of the stacks between these fronts and an end; behind a converter, only those that have parts."""
    piles = [
        Pile(run, joint, run.table.add_joint(joint, stacks.image))
        for run, joint in stacks.seek_between(fronts.rear)
        if (run.blocks or not with_parts) and not (run.rings | set(joint.ids)) & end.rings
    ]
    return Shelf(piles, stacks.image, stacks.resolution)


def split_by_rings(fronts: Fronts, end: End, shelf: Shelf) -> Iterator[tuple[Fronts, frozenset[str]]]:
    """Yield the fronts that take the same of the rings that stacks or the end need, with these rings."""
    needed = end.rings.union(*(pile.rings for pile in shelf.piles))
    places = [place for place, ring in enumerate(fronts.ring_ids) if ring in needed]
    if not places:
        yield fronts, frozenset()
        return
    kinds, kind_of = np.unique(fronts.rings[:, places], axis=0, return_inverse=True)
    for number, kind in enumerate(kinds):
        rings = frozenset(fronts.ring_ids[place] for place, taken in zip(places, kind, strict=True) if taken)
        if not rings & end.rings:
            yield fronts.take_rows(np.flatnonzero(kind_of.reshape(-1) == number)), rings


def frame_block(request: Request, piece: Piece, index: IntArray) -> Framed:
    """Frame some of a piece's fronts, with the image inverted and, where several parts have glass, upright."""
    fronts, shelf = piece.fronts.take_rows(index), piece.shelf
    found = [shelf.find(own.exact, own.low, own.high) for own in (each.take_rows(index) for each in piece.windows)]
    front, pile, row, length = (np.concatenate(columns) for columns in zip(*found, strict=True))
    stacks, stack = pick_stacks(shelf, pile, row)
    rows = Framed(fronts, stacks, piece.end, front, stack, length)
    rows = rows.take_rows(np.flatnonzero(select_allowed(request, rows)))
    return rows.take_rows(best_of_each_length(rows, shelf))


def pick_stacks(shelf: Shelf, pile: IntArray, row: IntArray) -> tuple[Picked, IntArray]:
    """The stacks in use, each once, and which of them each row uses."""
    most = max(len(pile.table) for pile in shelf.piles)
    codes, stack = np.unique(pile * most + row, return_inverse=True)
    pile, row = codes // most, codes % most
    counts, shortest = np.zeros(len(codes), dtype=int), np.zeros(len(codes))
    found = []
    for place in np.unique(pile):
        own = np.flatnonzero(pile == place)
        table = shelf.piles[place].table
        counts[own], shortest[own] = table.count[row[own]], table.length[row[own]]
        found.append((own, shelf.piles[place].openings(row[own])))
    openings = np.tile(NO_OPENING, (len(codes), max((own.shape[1] for _, own in found), default=0), 1))
    for index, own in found:
        openings[index, : own.shape[1]] = own
    return Picked(shelf.piles, pile, row, counts, shortest, openings), stack.reshape(-1)


def best_of_each_length(rows: Framed, shelf: Shelf) -> IntArray:
    """Of rows with the same front and the same length that with the fewest parts, then the widest cone."""
    stacks, stack = rows.stacks, rows.stack
    keys = keys_of(rows.length, shelf.resolution)
    slope = slope_of(stacks.openings, stack, rows.length - stacks.shortest[stack], rows.length, shelf.image)
    order = np.lexsort((slope, stacks.parts[stack], keys, rows.front))
    new = np.zeros(len(order), dtype=bool)
    for column in (rows.front, keys):
        new[run_starts(column[order])] = True
    kept: IntArray = order[new]
    return kept


def select_allowed(request: Request, rows: Framed) -> BoolArray:
    """Rows that the optics allow and that fill the frame."""
    fronts, end = rows.fronts, rows.end
    front, length = rows.front, rows.length
    a = fronts.behind_a[front] + length * fronts.behind_c[front]
    at_sensor = end.matrix.a * a + end.matrix.b * fronts.behind_c[front]
    power = end.matrix.c * a + end.matrix.d * fronts.behind_c[front]
    good = ~(fronts.loose[front] & ~(np.abs(at_sensor) < INFINITY_FOCUS))
    good &= ~(fronts.infinity[front] & ~(np.abs(at_sensor / power) <= INFINITY_ERROR_MM))
    design = fronts.design[front]
    off = np.abs(length + request.camera.register_mm - design) > DESIGN_LENGTH_TOLERANCE_MM
    good &= np.isnan(design) | (~off & (end.powered == 0))
    frame = request.magnification / np.abs(magnification_of(rows))
    filled: BoolArray = good & (np.abs(frame - 1) <= request.tolerance * (1 + 1e-9) + ROUNDING)
    return filled


def magnification_of(rows: Framed) -> FloatArray:
    """Magnification of each row, positive when the image is inverted.

    Returns
    -------
    array, sensor/subject, one for each row
    """
    c = rows.fronts.c[rows.front]
    at_stack = rows.fronts.a[rows.front] + rows.length * c
    signed: FloatArray = -(rows.end.matrix.a * at_stack + rows.end.matrix.b * c)
    return signed
