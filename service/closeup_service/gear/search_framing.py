"""Framing: which stack fills the frame behind which front, in closed form.

Behind a front everything is empty space up to the camera, or up to a converter before it, so that the magnification is
linear in the stack's length: m = -(alpha + beta L). The lengths that fill the frame are an interval; stacks of one length
are found in it by bisection, and bellows are drawn out to fill the frame exactly, or as nearly as they go.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import numpy.typing as npt

from closeup_service.gear.ring_chains import DECIMALS
from closeup_service.gear.search_asked import Asked
from closeup_service.gear.search_fronts import Fronts, filled_up
from closeup_service.gear.search_joints import Joint, Joints, Use
from closeup_service.gear.search_stacks import Stack, Stacks
from closeup_service.gear.search_units import Row, Unit, converter_unit, through, usable
from closeup_service.optics.elements import DESIGN_LENGTH_TOLERANCE_MM
from closeup_service.optics.matrices import INFINITY_FOCUS, Matrix

Column = npt.NDArray[Any]
FRONTS_PER_BLOCK = 2048
INFINITY_ERROR_MM = 0.5
"""An infinity-corrected objective is sought only before a lens that is focused at infinity within this."""

ROUNDING = 1e-12


@dataclass(frozen=True, slots=True)
class End:
    """What stands behind the stack: nothing but the camera, or a converter. `matrix` runs from the stack to the sensor."""

    uses: tuple[Use, ...]
    rings: tuple[str, ...]
    matrix: Matrix
    length: float
    openings: tuple[Row, ...]
    powered: int


@dataclass(frozen=True, slots=True)
class Shelf:
    """Stacks between two kinds of face, fewest parts first, then by ids; `fixed` are those of one length, shortest first.

    `rings` tells stacks with the same rings by the same number.
    """

    stacks: tuple[Stack, ...]
    parts: Column
    shortest: Column
    longest: Column
    fixed: Column
    bellows: Column
    rings: Column
    openings: Column


@dataclass(frozen=True, slots=True)
class Framed:
    """Fronts and stacks that fill the frame: one row each."""

    fronts: Fronts
    shelf: Shelf
    end: End
    front: Column
    stack: Column
    length: Column

    def taken(self, index: Column) -> "Framed":
        """Some of the rows, by a mask or by their places."""
        return replace(self, front=self.front[index], stack=self.stack[index], length=self.length[index])


def ends_of(asked: Asked, joints: Joints) -> Iterator[tuple[Any, End]]:
    """Yield what can stand behind a stack, with the face that it turns to it."""
    camera = asked.camera
    register = camera.register_mm
    yield camera.flange, End((), (), Matrix(1.0, register, 0.0, 1.0), register, (), 0)
    if not asked.allows("converter"):
        return
    for converter in usable(asked.kit.converters):
        joint = joints.between(converter.rear, camera.flange)
        if joint is not None:
            yield converter.front, with_converter(converter_unit(converter, register), joint, register)


def with_converter(unit: Unit, joint: Joint, register: float) -> End:
    """Converter before the camera."""
    before = Matrix(1.0, unit.front_gap, 0.0, 1.0)
    a, b = through(unit.matrix.a, unit.matrix.b, before)
    c, d = through(unit.matrix.c, unit.matrix.d, before)
    behind = Matrix(a, b, c, d)
    openings = []
    for place, radius in joint.openings:
        at = behind.after_gap(place)
        openings.append((at.a, at.b, radius))
    sensor = behind.after_gap(joint.length + register)
    length = unit.front_gap + unit.length + joint.length + register
    return End((*unit.uses, *joint.uses), joint.ids, sensor, length, tuple(openings), 1)


def shelf_of(stacks: Sequence[Stack], end: End) -> Shelf:
    """Stacks in their order; of those with the same length and the same rings the first alone."""
    usable_ones = [stack for stack in stacks if not set(stack.rings) & set(end.rings)]
    seen: set[tuple[float, frozenset[str]]] = set()
    ordered = []
    for stack in sorted(usable_ones, key=lambda stack: (len(stack.uses), stack.ids)):
        if stack.bellows is None:
            kind = round(stack.shortest, DECIMALS), frozenset(stack.rings)
            if kind in seen:
                continue
            seen.add(kind)
        ordered.append(stack)
    shortest = np.array([stack.shortest for stack in ordered])
    longest = np.array([stack.longest for stack in ordered])
    ranges = np.array([stack.bellows is not None for stack in ordered], dtype=bool)
    fixed = np.flatnonzero(~ranges)
    sets = sorted({stack.rings for stack in ordered})
    openings = filled_up(
        [[(place, float(moves), radius) for place, radius, moves in stack.openings] for stack in ordered]
    )
    return Shelf(
        tuple(ordered),
        np.array([len(stack.uses) for stack in ordered]),
        shortest,
        longest,
        fixed[np.argsort(shortest[fixed], kind="stable")],
        np.flatnonzero(ranges),
        np.array([sets.index(stack.rings) for stack in ordered], dtype=int),
        openings,
    )


def framed(asked: Asked, stacks: Stacks, joints: Joints, groups: Sequence[Fronts]) -> Iterator[Framed]:
    """Yield everything that fills the frame, block by block."""
    for face, end in ends_of(asked, joints):
        for fronts in groups:
            converted = fronts.sources and fronts.sources[0].converter is not None
            if not fronts.sources or (converted and end.powered):
                continue
            found = stacks.between(fronts.rear, face)
            if converted:
                found = [stack for stack in found if len(stack.uses) > len(stack.rings)]
            if not found:
                continue
            shelf = shelf_of(found, end)
            for start in range(0, len(fronts), FRONTS_PER_BLOCK):
                block = fronts.taken(np.arange(start, min(start + FRONTS_PER_BLOCK, len(fronts))))
                yield framed_block(asked, block, shelf, end)


def framed_block(asked: Asked, fronts: Fronts, shelf: Shelf, end: End) -> Framed:
    """Frame one block of fronts, with the image inverted and, where several parts have glass, upright."""
    alpha = end.matrix.a * fronts.a + end.matrix.b * fronts.c
    beta = end.matrix.a * fronts.c
    several = fronts.powered + end.powered > 1
    found = []
    for sign in (1.0, -1.0):
        sought = np.arange(len(fronts)) if sign > 0 else np.flatnonzero(several)
        found.append(lengths_for(asked, shelf, sought, alpha[sought], beta[sought], sign))
    front, stack, length = (np.concatenate(parts) for parts in zip(*found, strict=True))
    rows = Framed(fronts, shelf, end, front, stack, length)
    rows = rows.taken(allowed(asked, rows))
    return rows.taken(first_of_each_length(rows.front, rows.length, rows.stack))


def lengths_for(
    asked: Asked, shelf: Shelf, rows: Column, alpha: Column, beta: Column, sign: float
) -> tuple[Column, Column, Column]:
    """Fronts, stacks and lengths that fill the frame; `sign` is 1 for an inverted image, -1 for an upright one."""
    wanted = asked.magnification
    exact = (-sign * wanted - alpha) / beta
    wide = (-sign * wanted / (1 + asked.tolerance) - alpha) / beta
    narrow = (-sign * wanted / (1 - asked.tolerance) - alpha) / beta
    low, high = np.minimum(wide, narrow), np.maximum(wide, narrow)
    slack = ROUNDING * (np.abs(low) + np.abs(high) + 1)
    front, stack = of_one_length(shelf, low - slack, high + slack)
    drawn_front, drawn_stack, drawn = of_bellows(shelf, exact, low - slack, high + slack)
    fronts = np.concatenate([front, drawn_front])
    stacks = np.concatenate([stack, drawn_stack])
    lengths = np.concatenate([shelf.shortest[stack], drawn])
    return rows[fronts], stacks, lengths


def of_one_length(shelf: Shelf, low: Column, high: Column) -> tuple[Column, Column]:
    """Fronts and stacks of one length within the interval."""
    lengths = shelf.shortest[shelf.fixed]
    start, stop = np.searchsorted(lengths, low, "left"), np.searchsorted(lengths, high, "right")
    count = np.maximum(np.where(np.isnan(low), 0, stop - start), 0)
    front = np.repeat(np.arange(len(low)), count)
    place = np.arange(len(front)) - np.repeat(np.cumsum(count) - count, count) + np.repeat(start, count)
    return front, shelf.fixed[place]


def of_bellows(shelf: Shelf, exact: Column, low: Column, high: Column) -> tuple[Column, Column, Column]:
    """Fronts and stacks with bellows drawn out as far as fills the frame best.

    Of those with the same rings that fill it exactly, the first alone.
    """
    shortest, longest = shelf.shortest[shelf.bellows], shelf.longest[shelf.bellows]
    if not len(shortest):
        nothing = np.array([], dtype=int)
        return nothing, nothing, np.array([])
    length = np.clip(exact[:, None], shortest, longest)
    covers = length == exact[:, None]
    fits = (length >= low[:, None]) & (length <= high[:, None])
    later = np.zeros_like(covers)
    rings = shelf.rings[shelf.bellows]
    for kind in np.unique(rings):
        alike = np.flatnonzero(rings == kind)
        later[:, alike] = covers[:, alike] & (np.cumsum(covers[:, alike], axis=1) > 1)
    front, place = np.nonzero(fits & ~later)
    return front, shelf.bellows[place], length[front, place]


def first_of_each_length(front: Column, length: Column, stack: Column) -> Column:
    """Rows of which no earlier stack gives the same front the same length; the shelf's order says which is earlier."""
    rounded = np.round(length, DECIMALS)
    order = np.lexsort((stack, rounded, front))
    new = np.ones(len(order), dtype=bool)
    new[1:] = (np.diff(front[order]) != 0) | (np.diff(rounded[order]) != 0)
    return order[new]


def allowed(asked: Asked, rows: Framed) -> Column:
    """Rows that the optics allow, and whose joints take no ring twice."""
    fronts, end = rows.fronts, rows.end
    front, length = rows.front, rows.length
    a = fronts.behind_a[front] + length * fronts.behind_c[front]
    at_sensor = end.matrix.a * a + end.matrix.b * fronts.behind_c[front]
    power = end.matrix.c * a + end.matrix.d * fronts.behind_c[front]
    good = ~(fronts.loose[front] & ~(np.abs(at_sensor) < INFINITY_FOCUS))
    good &= ~(fronts.infinity[front] & ~(np.abs(at_sensor / power) <= INFINITY_ERROR_MM))
    design = fronts.design[front]
    off = np.abs(length + asked.camera.register_mm - design) > DESIGN_LENGTH_TOLERANCE_MM
    good &= np.isnan(design) | (~off & (end.powered == 0))
    frame = asked.magnification / np.abs(magnification_of(rows))
    good &= np.abs(frame - 1) <= asked.tolerance * (1 + 1e-9) + ROUNDING
    result: Column = good & distinct(rows)
    return result


def magnification_of(rows: Framed) -> Column:
    """Magnification of each row, positive when the image is inverted."""
    c = rows.fronts.c[rows.front]
    at_stack = rows.fronts.a[rows.front] + rows.length * c
    signed: Column = -(rows.end.matrix.a * at_stack + rows.end.matrix.b * c)
    return signed


def distinct(rows: Framed) -> Column:
    """Rows whose front, stack and end have no ring in common."""
    ids = rows.fronts.ring_ids
    behind = [{*stack.rings, *rows.end.rings} for stack in rows.shelf.stacks]
    other = np.array([[ring in rings for ring in ids] for rings in behind], dtype=np.float32).reshape(
        len(behind), len(ids)
    )
    if not other.any():
        return np.ones(len(rows.front), dtype=bool)
    shared: Column = rows.fronts.rings @ other.T
    good: Column = shared[rows.front, rows.stack] == 0
    return good
