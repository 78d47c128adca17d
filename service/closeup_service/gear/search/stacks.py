"""Stacks: tubes and at most one bellows between the front part and what stands before the camera.

Stacks are not spelled out one by one. From the camera on, block by block, a table holds every total length that the tubes
can give, each length once: with the fewest parts and rings, and of these the widest cone of light. Tubes that join one
another directly are one block, in which the narrower stand nearer to the camera, where the cone is narrower.
"""

from collections.abc import Iterator, Sequence

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from closeup_service.gear.kit import Bellows, Face, Open, Tube, open_of
from closeup_service.gear.search.joints import Joint, Joints
from closeup_service.gear.search.work import refusal_of_size
from closeup_service.language import tr
from closeup_service.optics.arithmetic import FloatArray, IntArray

EXACT_MM = 1e-6
RESOLUTIONS_MM = (EXACT_MM, 0.01, 0.1, 0.3, 1.0)
"""Lengths that differ by less are the same; the finest is taken whose stacks one search can go through."""

MOST_ENTRIES = 200_000
MOST_RUNS = 1_000
MOST_SPACERS = 60
"""Tubes and bellows of one kit: each is a bit of a number."""


class TooFine(Exception):
    """More lengths than one search can go through; a coarser resolution may have fewer."""


class Block(Struct, frozen=True):
    """What stands together, from the camera on: tubes that join one another directly, or one other tube, or a bellows."""

    parts: tuple[Tube | Bellows, ...]
    bits: tuple[int, ...]

    @property
    def front(self) -> Face:
        """Face towards the subject."""
        return self.parts[-1].front

    @property
    def rear(self) -> Face:
        """Face towards the camera."""
        return self.parts[0].rear

    @property
    def bellows(self) -> Bellows | None:
        """The bellows, where it is one."""
        return self.parts[0] if isinstance(self.parts[0], Bellows) else None


class Table(Struct, frozen=True):
    """Lengths that can be reached, one row each.

    `length` runs from the camera's side [mm], bellows at their shortest; `count` is of parts and rings; `members` is a bit for
    each part. `slope` is the greatest distance of an opening from the image over its radius, the bellows at their shortest,
    `drawn` the same at their longest: the less, the wider the cone. `range_mm` is how far bellows in it can be drawn out.
    """

    length: FloatArray
    count: IntArray
    slope: FloatArray
    drawn: FloatArray
    members: IntArray
    range_mm: float = 0.0

    def __len__(self) -> int:
        return len(self.length)

    def take_rows(self, index: IntArray) -> "Table":
        """Some of the rows."""
        ends = self.slope[index], self.drawn[index]
        return Table(self.length[index], self.count[index], *ends, self.members[index], self.range_mm)

    def narrow(self, distance: FloatArray, radius: float) -> tuple[FloatArray, FloatArray]:
        """Both slopes with an opening so far from the image, the bellows at their shortest.

        Parameters
        ----------
        distance : array, opening to image, mm
        radius : float, of the opening, mm

        Returns
        -------
        two arrays, distance over radius, ratio
        """
        return np.maximum(self.slope, distance / radius), np.maximum(self.drawn, (distance + self.range_mm) / radius)

    def add_joint(self, joint: Joint, image: float) -> "Table":
        """The same with a joint in front.

        Parameters
        ----------
        image : float, from the end's face to the image that it takes, mm
        """
        found = replace(self, length=self.length + joint.length, count=self.count + len(joint.ids))
        for place, radius in joint.openings:
            slope, drawn = found.narrow(image + found.length - place, radius)
            found = replace(found, slope=slope, drawn=drawn)
        return found

    def add_part(self, part: Tube | Bellows, bit: int, image: float) -> "Table":
        """The same with one more part in front of each.

        Parameters
        ----------
        image : float, from the end's face to the image that it takes, mm
        """
        length = self.length + shortest_length(part)
        range_mm = self.range_mm + (longest_length(part) - shortest_length(part))
        found = Table(length, self.count + 1, self.slope, self.drawn, self.members | bit, range_mm=range_mm)
        if part.clear_diameter_mm is None:
            return found
        slope, drawn = found.narrow(image + length, part.clear_diameter_mm / 2)
        return replace(found, slope=slope, drawn=drawn)

    def best_of_each(self, length: FloatArray, slope: FloatArray, resolution: float) -> IntArray:
        """Places of the best of each of these lengths: fewest parts, then the widest cone; in the order of the lengths.

        Parameters
        ----------
        length : array, mm
        slope : array, distance of an opening from the image over its radius, ratio
        resolution : float, lengths that differ by less count as the same, mm
        """
        keys = keys_of(length, resolution)
        order = np.lexsort((slope, self.count, keys))
        return order[run_starts(keys[order])]

    def merge(self, resolution: float) -> "Table":
        """Each length once, or twice where the cone is widest by one stack with its bellows closed, by another drawn out.

        Parameters
        ----------
        resolution : float, lengths that differ by less count as the same, mm
        """
        best = [self.best_of_each(self.length, slope, resolution) for slope in (self.slope, self.drawn)]
        return self.take_rows(best[0] if self.slope is self.drawn else np.union1d(*best))


def columns_of(table: Table) -> tuple[FloatArray, IntArray, FloatArray, FloatArray, IntArray]:
    """Columns of a table in their order."""
    return table.length, table.count, table.slope, table.drawn, table.members


class Run(Struct, frozen=True):
    """Blocks with the joints behind them, from the camera on, and the lengths that they reach; `open` awaits the next."""

    blocks: tuple[Block, ...]
    joints: tuple[Joint, ...]
    open: Face
    rings: frozenset[str]
    table: Table
    bellows: Bellows | None


def shortest_length(part: Tube | Bellows) -> float:
    """Least length of a part [mm]."""
    return part.minimum_length_mm if isinstance(part, Bellows) else part.length_mm


def longest_length(part: Tube | Bellows) -> float:
    """Greatest length of a part [mm]."""
    return part.maximum_length_mm if isinstance(part, Bellows) else part.length_mm


def keys_of(length: FloatArray, resolution: float) -> IntArray:
    """Whole numbers that are equal for lengths that count as the same.

    Parameters
    ----------
    length : array, mm
    resolution : float, lengths that differ by less count as the same, mm
    """
    keys: IntArray = np.rint(length / resolution).astype(np.int64)
    return keys


def run_starts(ordered: IntArray) -> IntArray:
    """Places at which a new value begins in an ordered column."""
    new = np.ones(len(ordered), dtype=bool)
    new[1:] = np.diff(ordered) != 0
    return np.flatnonzero(new)


def concatenate(tables: Sequence[Table]) -> Table:
    """All rows of several tables with bellows of the same range, or of ones whose range no longer matters."""
    columns = (np.concatenate(each) for each in zip(*map(columns_of, tables), strict=True))
    length, count, slope, drawn, members = columns
    return Table(length, count, slope, drawn, members, tables[0].range_mm)


def blocks_of(tubes: Sequence[Tube], bellows: Sequence[Bellows]) -> list[Block]:
    """Blocks of a kit.

    Raises
    ------
    TooManyCandidates
        Before any are made.
    """
    if len(tubes) + len(bellows) > MOST_SPACERS:
        count = len(tubes) + len(bellows)
        raise refusal_of_size(
            tr(
                "{count} tubes and bellows are more than the {most_spacers} that one search combines.",
                count=count,
                most_spacers=MOST_SPACERS,
            )
        )
    spacers: list[Tube | Bellows] = [*tubes, *bellows]
    bit_of = {part.id: 1 << place for place, part in enumerate(spacers)}
    kinds: dict[tuple[Open, Open] | str, list[Tube | Bellows]] = {}
    for part in spacers:
        joins = isinstance(part, Tube) and part.rear.joins(part.front)
        kinds.setdefault((open_of(part.front), open_of(part.rear)) if joins else part.id, []).append(part)
    ordered = [sorted(parts, key=order_from_camera) for parts in kinds.values()]
    return [Block(tuple(parts), tuple(bit_of[part.id] for part in parts)) for parts in ordered]


def order_from_camera(part: Tube | Bellows) -> tuple[float, float]:
    """Order from the camera on; an unknown diameter is the widest.

    Returns
    -------
    two floats, clear diameter and least length, mm
    """
    return (np.inf if part.clear_diameter_mm is None else part.clear_diameter_mm), shortest_length(part)


class Stacks:
    """Every stack before one end of the set-up: the camera, or a converter before it."""

    def __init__(self, joints: Joints, blocks: Sequence[Block], end: Face, image: float, resolution: float) -> None:
        """Go through all runs of blocks; `image` is the distance from the end's face to the image that it takes [mm].

        Raises
        ------
        TooFine
            Where the lengths are too many at this resolution.
        TooManyCandidates
            Where the runs are too many at any.
        """
        self.joints = joints
        self.image = image
        self.resolution = resolution
        nothing = Table(np.zeros(1), np.zeros(1, dtype=int), np.zeros(1), np.zeros(1), np.zeros(1, dtype=np.int64))
        self.runs = [Run((), (), end, frozenset(), nothing, None)]
        self.entries = 0
        for run in self.runs:
            for block in blocks:
                self.add(run, block)

    def add(self, run: Run, block: Block) -> None:
        """Add the run with one more block in front, where rings join it."""
        if block in run.blocks or (run.bellows is not None and block.bellows is not None):
            return
        joint = self.joints.seek_between(block.rear, run.open)
        if joint is None or run.rings & set(joint.ids):
            return
        table = self.extend(run.table.add_joint(joint, self.image), block)
        self.entries += len(table)
        if self.entries > MOST_ENTRIES:
            raise TooFine
        if len(self.runs) >= MOST_RUNS:
            raise refusal_of_size(
                tr(
                    "Tubes with different faces at their two ends, and rings, can be put in too many orders.",
                )
            )
        joined = (*run.blocks, block), (*run.joints, joint), block.front, run.rings | set(joint.ids)
        self.runs.append(Run(*joined, table, run.bellows or block.bellows))

    def extend(self, behind: Table, block: Block) -> Table:
        """Lengths with at least one part of the block in front."""
        found: list[Table] = []
        for part, bit in zip(block.parts, block.bits, strict=True):
            more = concatenate([*found, behind]).add_part(part, bit, self.image)
            found = [concatenate([*found, more]).merge(self.resolution)]
            if self.entries + len(found[0]) > MOST_ENTRIES:
                raise TooFine
        return found[0]

    def seek_between(self, start: Face) -> Iterator[tuple[Run, Joint]]:
        """Yield every run that a front part with this rear face can stand before, with the joint to it."""
        for run in self.runs:
            joint = self.joints.seek_between(start, run.open)
            if joint is not None and not run.rings & set(joint.ids):
                yield run, joint
