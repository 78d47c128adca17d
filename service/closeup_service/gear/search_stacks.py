"""Stacks: every set of tubes, with or without one bellows, joined by rings between a lens and what is behind it.

The order within a set is that which takes the fewest rings, then the least length, then the first by id; the lens sees
of a stack only how long it is, and where its openings stand.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import chain, combinations

from closeup_service.gear.kit import Bellows, Face, Open, Tube, open_of
from closeup_service.gear.ring_chains import DECIMALS
from closeup_service.gear.search_joints import NO_JOINT, Joint, Joints, Use, openings_of

Cost = tuple[int, float, tuple[str, ...]]
"""Rings, their length [mm], ids of all in order."""


@dataclass(frozen=True)
class Middle:
    """A set of tubes and bellows in one order, with the rings between them."""

    parts: tuple[Tube | Bellows, ...]
    joints: tuple[Joint, ...]

    @cached_property
    def run(self) -> "Stack":
        """The same as a stack without joints at its ends."""
        return stack_of(self.parts, (NO_JOINT, *self.joints, NO_JOINT))

    @cached_property
    def rings_length(self) -> float:
        """Length of the rings between."""
        return sum(joint.length for joint in self.joints)

    @property
    def ids(self) -> tuple[str, ...]:
        """Ids of parts and rings in order."""
        behind = (*self.joints, None)
        return tuple(
            name
            for part, joint in zip(self.parts, behind, strict=True)
            for name in (part.id, *(joint.ids if joint else ()))
        )

    @property
    def front(self) -> Face:
        """Face towards the lens."""
        return self.parts[0].front

    @property
    def rear(self) -> Face:
        """Face towards the camera."""
        return self.parts[-1].rear


@dataclass(frozen=True, slots=True)
class Stack:
    """A stack from face to face; `openings` behind the bellows, marked true, move with them.

    `longest` exceeds `shortest` where bellows stand in it.
    """

    uses: tuple[Use, ...]
    rings: tuple[str, ...]
    shortest: float
    longest: float
    bellows: int | None
    bellows_at_shortest: float
    openings: tuple[tuple[float, float, bool], ...]

    @property
    def ids(self) -> tuple[str, ...]:
        """Ids in order."""
        return tuple(use["use"] for use in self.uses)

    def used(self, length: float) -> tuple[Use, ...]:
        """Parts as they are used for a length of the whole."""
        if self.bellows is None:
            return self.uses
        drawn = self.bellows_at_shortest + (length - self.shortest)
        drawn = min(max(drawn, self.bellows_at_shortest), self.bellows_at_shortest + (self.longest - self.shortest))
        return (
            *self.uses[: self.bellows],
            {**self.uses[self.bellows], "length_mm": drawn},
            *self.uses[self.bellows + 1 :],
        )


class Stacks:
    """Every stack of a kit, by the faces that it stands between."""

    def __init__(self, joints: Joints, tubes: Sequence[Tube], bellows: Sequence[Bellows]) -> None:
        self.joints = joints
        self.middles = [list(self.orders(parts)) for parts in sets_of(tubes, bellows)]

    def orders(self, parts: tuple[Tube | Bellows, ...]) -> Iterator[Middle]:
        """Yield the orders of a set that can be the best between some faces.

        One that costs more than another between the same kinds of face, and takes all of that one's rings, never is.
        """
        by_kind: dict[tuple[Open, Open], list[Middle]] = {}
        for order, joints in self.orderings(parts, (), ()):
            middle = Middle(order, joints)
            by_kind.setdefault((open_of(middle.front), open_of(middle.rear)), []).append(middle)
        for middles in by_kind.values():
            kept: list[frozenset[str]] = []
            for middle in sorted(middles, key=lambda each: cost_of(each.joints, each.ids)):
                rings = frozenset(ring for joint in middle.joints for ring in joint.ids)
                if not any(before <= rings for before in kept):
                    kept.append(rings)
                    yield middle

    def orderings(
        self, left: tuple[Tube | Bellows, ...], placed: tuple[Tube | Bellows, ...], joints: tuple[Joint, ...]
    ) -> Iterator[tuple[tuple[Tube | Bellows, ...], tuple[Joint, ...]]]:
        """Yield every order that rings join; of parts with the same faces the first by id comes first."""
        if not left:
            yield placed, joints
        tried = set()
        for index, part in enumerate(left):
            kind = (part.front, part.rear)
            if kind in tried:
                continue
            tried.add(kind)
            joint = self.joints.between(placed[-1].rear, part.front) if placed else None
            if placed and joint is None:
                continue
            more = joints if joint is None else (*joints, joint)
            yield from self.orderings(left[:index] + left[index + 1 :], (*placed, part), more)

    def between(self, start: Face, end: Face) -> list[Stack]:
        """Every stack between two faces; the first is that without tubes, where rings alone join them."""
        direct = self.joints.between(start, end)
        found = [] if direct is None else [stack_of((), (direct,))]
        for orders in self.middles:
            best: tuple[Cost, Stack] | None = None
            for middle in orders:
                before, behind = self.joints.between(start, middle.front), self.joints.between(middle.rear, end)
                if before is None or behind is None:
                    continue
                stack = between_joints(before, middle.run, behind)
                if len(set(stack.rings)) == len(stack.rings):
                    cost = (
                        len(stack.rings),
                        round(before.length + middle.rings_length + behind.length, DECIMALS),
                        stack.ids,
                    )
                    if best is None or cost < best[0]:
                        best = cost, stack
            if best is not None:
                found.append(best[1])
        return found


def sets_of(tubes: Sequence[Tube], bellows: Sequence[Bellows]) -> Iterator[tuple[Tube | Bellows, ...]]:
    """Yield every set of tubes, with or without one of the bellows; the empty one left out."""
    ordered = sorted(tubes, key=lambda tube: tube.id)
    subsets = chain.from_iterable(combinations(ordered, size) for size in range(len(ordered) + 1))
    for subset in subsets:
        together: list[tuple[Tube | Bellows, ...]] = [(*subset, one) for one in bellows]
        if subset:
            yield subset
        yield from (tuple(sorted(parts, key=lambda part: part.id)) for parts in together)


def cost_of(joints: Sequence[Joint], ids: tuple[str, ...]) -> Cost:
    """Cost by which one order is chosen before another."""
    return sum(len(joint.ids) for joint in joints), round(sum(joint.length for joint in joints), DECIMALS), ids


def between_joints(before: Joint, run: Stack, behind: Joint) -> Stack:
    """Stack with joints at its ends."""
    start, end = before.length, before.length + run.shortest
    moves = run.bellows is not None
    openings = [(place, radius, False) for place, radius in before.openings]
    openings += [(start + place, radius, moving) for place, radius, moving in run.openings]
    openings += [(end + place, radius, moves) for place, radius in behind.openings]
    return Stack(
        (*before.uses, *run.uses, *behind.uses),
        (*before.ids, *run.rings, *behind.ids),
        end + behind.length,
        start + run.longest + behind.length,
        None if run.bellows is None else run.bellows + len(before.ids),
        run.bellows_at_shortest,
        tuple(openings),
    )


def stack_of(parts: Sequence[Tube | Bellows], joints: Sequence[Joint]) -> Stack:
    """Stack of these parts, a joint before, between and behind them."""
    uses: list[Use] = list(joints[0].uses)
    openings = [(place, radius, False) for place, radius in joints[0].openings]
    length, range_, place, at_shortest = joints[0].length, 0.0, None, 0.0
    for part, joint in zip(parts, joints[1:], strict=True):
        if isinstance(part, Bellows):
            place, at_shortest = len(uses), part.minimum_length_mm
            own, range_ = part.minimum_length_mm, part.maximum_length_mm - part.minimum_length_mm
        else:
            own = part.length_mm
        moving = place is not None and not isinstance(part, Bellows)
        faces = openings_of(length, own, part.clear_diameter_mm)
        openings += [
            (at, radius, moving or (place is not None and side == 1)) for side, (at, radius) in enumerate(faces)
        ]
        uses.append({"use": part.id})
        length += own
        openings += [(length + at, radius, place is not None) for at, radius in joint.openings]
        uses += joint.uses
        length += joint.length
    rings = tuple(ring for joint in joints for ring in joint.ids)
    return Stack(tuple(uses), rings, length, length + range_, place, at_shortest, tuple(openings))
