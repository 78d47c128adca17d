"""Purchases: the one part that, bought, lets something meet every wish."""

from collections.abc import Iterator
from dataclasses import dataclass, fields, replace
from typing import Any

from closeup_service.gear.kit import CloseUpLens, Face, Kit, Ring, Tube, mount_face, open_of, thread_face
from closeup_service.gear.ring_chains import chains_to_buy
from closeup_service.gear.search import arrangements_of, hits_of, is_too_large
from closeup_service.gear.search_asked import MOST_CANDIDATES, Asked
from closeup_service.gear.search_found import Candidate
from closeup_service.gear.search_joints import Joints
from closeup_service.gear.search_units import usable

GROUPS = ("tubes", "reversing_rings", "step_rings", "mount_adapters", "close_up_lenses")
STANDARD_POWERS = (1.0, 2.0, 3.0, 4.0, 10.0)
"""Powers in which close-up lenses are sold [dpt] (common practice, no source)."""

STANDARD_TUBES = (10.0, 16.0, 21.0, 31.0)
"""Lengths in which tubes are sold [mm] (common practice, no source)."""

LEAST_TRIES, MOST_TRIES = 3, 60
MOST_PAIRS = 40


@dataclass(frozen=True, slots=True)
class Purchase:
    """A part to buy, and the best set-up with it; `price` is None where it is not known."""

    part: Any
    in_kit: bool
    price: float | None
    asked: Asked
    candidate: Candidate


@dataclass(frozen=True, slots=True)
class Bought:
    """What there is to buy, and whether more would have been tried but for time or the size of the kit."""

    purchase: Purchase | None
    cut: bool


def purchase_within(asked: Asked, budget: float, arrangements: int) -> Bought:
    """Seek the cheapest part of a known price that closes the gap, or else the best of unknown price.

    Parts with which the kit would be too large for one search are passed over.
    """
    tries = min(MOST_TRIES, max(LEAST_TRIES, 2 * MOST_CANDIDATES // max(arrangements, 1)))
    cut = False
    best: Purchase | None = None
    for tried, (group, part, in_kit) in enumerate(on_sale(asked, budget)):
        if tried == tries:
            cut = True
            break
        if part.price is None and best is not None and best.price is not None:
            break
        with_part = replace(asked, kit=kit_with(asked.kit, group, part), best=1)
        if is_too_large(arrangements_of(with_part)):
            cut = True
            continue
        found = tried_out(with_part, part, in_kit)
        if found is not None and (best is None or order_of(found) < order_of(best)):
            best = found
    return Bought(best, cut)


def order_of(purchase: Purchase) -> tuple[float, Any]:
    """Cheapest first, then best."""
    return (0.0 if purchase.price is None else purchase.price), purchase.candidate.order


def tried_out(with_part: Asked, part: Any, in_kit: bool) -> Purchase | None:
    """Search the kit with the part."""
    found = hits_of(with_part, Joints(with_part.kit))
    return Purchase(part, in_kit, part.price, with_part, found.best[0]) if found.best else None


def kit_with(kit: Kit, group: str, part: Any) -> Kit:
    """Kit that owns the part."""
    others = tuple(each for each in getattr(kit, group) if each.id != part.id)
    members: dict[str, Any] = {group: (*others, replace(part, owned=True, available=True))}
    return replace(kit, **members)


def on_sale(asked: Asked, budget: float) -> Iterator[tuple[str, Any, bool]]:
    """Yield what may be bought, with its place in the kit: what the kit lists by price, then standard sizes."""
    listed = [(group, part) for group in GROUPS for part in getattr(asked.kit, group) if not part.owned]
    priced = [(group, part) for group, part in listed if part.price is not None and part.price <= budget]
    yield from ((group, part, True) for group, part in sorted(priced, key=lambda each: (each[1].price, each[1].id)))
    yield from ((group, part, True) for group, part in listed if part.price is None)
    yield from ((group, part, False) for group, part in standard(asked))


def standard(asked: Asked) -> Iterator[tuple[str, Any]]:
    """Yield parts of standard sizes, whose prices nobody states."""
    if asked.allows("tubes"):
        yield from (("tubes", tube) for tube in standard_tubes(asked))
    for ring in joining_rings(asked):
        group = {"reversing-ring": "reversing_rings", "mount-adapter": "mount_adapters"}.get(ring.kind, "step_rings")
        yield group, ring
    if asked.allows("close-up-lens"):
        threads = sorted(
            {lens.front.thread for lens in usable(asked.kit.lenses) if lens.front is not None and lens.front.thread}
        )
        for thread in threads:
            yield from (("close_up_lenses", standard_close_up(thread, power)) for power in STANDARD_POWERS)


def standard_tubes(asked: Asked) -> Iterator[Tube]:
    """Yield tubes for the camera's mount."""
    mount = asked.kit.all_mounts[asked.camera.mount]
    for length in STANDARD_TUBES:
        name = f"tube {length:g} mm for {mount.id}"
        yield Tube(
            id=name,
            name=name,
            owned=False,
            front=mount_face(mount, "body"),
            rear=mount_face(mount, "lens"),
            length_mm=length,
        )


def standard_close_up(thread: str, power: float) -> CloseUpLens:
    """Close-up lens of a standard power."""
    name = f"close-up lens {power:g} dpt in {thread}"
    return CloseUpLens(
        id=name,
        name=name,
        owned=False,
        front=thread_face(thread, "internal"),
        rear=thread_face(thread, "external"),
        power_dpt=power,
    )


def joining_rings(asked: Asked) -> Iterator[Ring]:
    """Yield single rings on sale that join what no ring at hand joins."""
    kit, joints = asked.kit, Joints(asked.kit)
    seen = set(kit.by_id)
    pairs = [pair for pair in open_pairs(asked) if joints.between(*pair) is None]
    for start, end in pairs[:MOST_PAIRS]:
        for chain in chains_to_buy(kit, start, end, 1).chains:
            if len(chain.buy) == 1 and chain.buy[0].id not in seen:
                seen.add(chain.buy[0].id)
                yield Ring(**{each.name: getattr(chain.buy[0], each.name) for each in fields(Ring)})


def open_pairs(asked: Asked) -> Iterator[tuple[Face, Face]]:
    """Yield pairs of faces that a set-up may have to join, each kind once."""
    kit, lenses = asked.kit, usable(asked.kit.lenses)
    fronts = [lens.front for lens in lenses if lens.front is not None]
    before = [part.rear for part in (*usable(kit.close_up_lenses), *usable(kit.objectives))]
    starts = [*(lens.rear for lens in lenses), *fronts, *before]
    ends = [asked.camera.flange, *(part.front for part in (*usable(kit.tubes), *usable(kit.bellows)))]
    pairs = [(start, end) for start in starts for end in ends]
    pairs += [(start, end) for start in (*before, *fronts) for end in fronts]
    seen = set()
    for start, end in pairs:
        kind = open_of(start), open_of(end)
        if kind not in seen:
            seen.add(kind)
            yield start, end
