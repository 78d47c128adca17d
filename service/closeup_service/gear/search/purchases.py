"""Purchases: the one part that, bought, lets something meet every wish."""

from collections.abc import Iterator
from typing import Any, TypedDict

from msgspec import Struct
from msgspec.structs import replace

from closeup_service.gear.kit import (
    Bellows,
    CloseUpLens,
    Face,
    Kit,
    Ring,
    TrainPart,
    Tube,
    mount_face,
    open_of,
    thread_face,
)
from closeup_service.gear.ring_chains import chains_to_buy
from closeup_service.gear.search.arrangements import count_fronts, hits_of, prepare
from closeup_service.gear.search.found import Candidate
from closeup_service.gear.search.framing import plan_search
from closeup_service.gear.search.joints import Joints
from closeup_service.gear.search.request import Request
from closeup_service.gear.search.units import usable_parts
from closeup_service.gear.search.work import MOST_WORK, WORK_PER_FRONT, TooManyCandidates, Work
from closeup_service.language import mark, tr

GROUPS = {
    "tubes": "tubes",
    "bellows": "bellows",
    "reversing_rings": None,
    "step_rings": None,
    "mount_adapters": None,
    "close_up_lenses": "close-up-lens",
    "lenses": None,
    "converters": "converter",
    "objectives": "objective",
}
"""Parts of a kit that may be bought, each with the arrangement that must be allowed for it."""

STANDARD_POWERS = (1.0, 2.0, 3.0, 4.0, 10.0)
"""Powers in which close-up lenses are sold [dpt] (common practice, no source)."""

STANDARD_TUBES = (10.0, 16.0, 21.0, 31.0)
"""Lengths in which tubes are sold [mm] (common practice, no source)."""

STANDARD_BELLOWS = ((40.0, 150.0),)
"""Ranges in which bellows are sold, from and to [mm] (common practice, no source)."""

WHAT_IS_TRIED = (
    "parts that the kit lists as not owned (lenses, tubes, bellows, rings, close-up lenses, converters, objectives) whose "
    "price is within the budget, cheapest first, then those without a price; then standard sizes without a price: tubes of 10, "
    "16, 21 and 31 mm and bellows of 40 to 150 mm for the camera's mount, single rings that join what nothing joins, "
    "close-up lenses of 1, 2, 3, 4 and 10 dpt for the lenses' threads"
)

MOST_TRIES = 100
MOST_PAIRS = 40


class Purchase(Struct, frozen=True):
    """A part to buy, and the best set-up with it; `price` is None where it is not known."""

    part: TrainPart
    in_kit: bool
    price: float | None
    request: Request
    candidate: Candidate


class Bought(Struct, frozen=True):
    """What there is to buy, and whether more would have been tried but for the work that it takes."""

    purchase: Purchase | None
    cut: bool


def purchase_within(request: Request, budget: float, work: Work) -> Bought:
    """Seek the cheapest part of a known price that closes the gap, or else the best of unknown price.

    All tries together take half as much work as one search may; parts for which none is left are passed over.

    Parameters
    ----------
    budget : float, in the unit of the prices
    """
    left = replace(work, left=MOST_WORK // 2)
    best: Purchase | None = None
    for tried, (group, part, in_kit) in enumerate(parts_on_sale(request, budget)):
        if part.price is None and best is not None and best.price is not None:
            return Bought(best, cut=False)
        if tried == MOST_TRIES or left.left <= 0:
            return Bought(best, cut=True)
        with_part = replace(request, kit=add_to_kit(request.kit, group, part), best=1, apertures=1)
        try:
            found = try_part(with_part, part, in_kit, left)
        except TooManyCandidates:
            return Bought(best, cut=True)
        if found is not None and (best is None or order_of(found) < order_of(best)):
            best = found
    return Bought(best, cut=False)


def order_of(purchase: Purchase) -> tuple[float, tuple[float, int, tuple[str, ...]]]:
    """Cheapest first, then best."""
    return (0.0 if purchase.price is None else purchase.price), purchase.candidate.order


def try_part(with_part: Request, part: TrainPart, in_kit: bool, work: Work) -> Purchase | None:
    """Search the kit with the part, for set-ups that use it: without it nothing meets the wishes."""
    joints, groups = prepare(with_part, work)
    work.take(count_fronts(with_part) * WORK_PER_FRONT)
    plan = plan_search(with_part, joints, groups, work, using=part.id)
    work.take(plan.work)
    found = hits_of(with_part, plan, work)
    return Purchase(part, in_kit, part.price, with_part, found.best[0]) if found.best else None


def add_to_kit(kit: Kit, group: str, part: TrainPart) -> Kit:
    """Kit that owns the part."""
    others = tuple(each for each in getattr(kit, group) if each.id != part.id)
    members: dict[str, Any] = {group: (*others, replace(part, owned=True, available=True))}
    return replace(kit, **members)


def parts_on_sale(request: Request, budget: float) -> Iterator[tuple[str, TrainPart, bool]]:
    """Yield what may be bought, with its place in the kit: what the kit lists by price, then standard sizes.

    Parameters
    ----------
    budget : float, in the unit of the prices
    """
    groups = [group for group, arrangement in GROUPS.items() if arrangement is None or request.allows(arrangement)]
    listed = [(group, part) for group in groups for part in getattr(request.kit, group) if not part.owned]
    priced = [(group, part) for group, part in listed if part.price is not None and part.price <= budget]
    yield from ((group, part, True) for group, part in sorted(priced, key=lambda each: (each[1].price, each[1].id)))
    yield from ((group, part, True) for group, part in listed if part.price is None)
    yield from ((group, part, False) for group, part in standard_parts(request))


def standard_parts(request: Request) -> Iterator[tuple[str, TrainPart]]:
    """Yield parts of standard sizes, whose prices nobody states."""
    if request.allows("tubes"):
        yield from (("tubes", tube) for tube in standard_tubes(request))
    if request.allows("bellows"):
        yield from (("bellows", bellows) for bellows in standard_bellows(request))
    for ring in joining_rings(request):
        group = {"reversing-ring": "reversing_rings", "mount-adapter": "mount_adapters"}.get(ring.kind, "step_rings")
        yield group, ring
    if request.allows("close-up-lens"):
        threads = sorted(
            {
                lens.front.thread
                for lens in usable_parts(request.kit.lenses)
                if lens.front is not None and lens.front.thread
            }
        )
        for thread in threads:
            yield from (("close_up_lenses", standard_close_up(thread, power)) for power in STANDARD_POWERS)


class SoldSpacer(TypedDict):
    """What is known of a spacer on sale."""

    id: str
    name: str
    owned: bool
    front: Face
    rear: Face


def camera_part_members(request: Request, name: str, **lengths: float) -> SoldSpacer:
    """Members of a part that is sold for the camera's mount; its id, which no part of a kit can have, is its English name."""
    mount = request.kit.all_mounts[request.camera.mount]
    return {
        "id": name.format(mount=mount.id, **lengths),
        "name": tr(name, mount=mount.id, **lengths),
        "owned": False,
        "front": mount_face(mount, "body"),
        "rear": mount_face(mount, "lens"),
    }


def standard_tubes(request: Request) -> Iterator[Tube]:
    """Yield tubes for the camera's mount."""
    for length in STANDARD_TUBES:
        yield Tube(
            **camera_part_members(request, mark("tube {length:g} mm for {mount}"), length=length), length_mm=length
        )


def standard_bellows(request: Request) -> Iterator[Bellows]:
    """Yield bellows for the camera's mount."""
    for least, most in STANDARD_BELLOWS:
        members = camera_part_members(
            request, mark("bellows {least:g} to {most:g} mm for {mount}"), least=least, most=most
        )
        yield Bellows(**members, minimum_length_mm=least, maximum_length_mm=most)


def standard_close_up(thread: str, power: float) -> CloseUpLens:
    """Close-up lens of a standard power.

    Parameters
    ----------
    power : float, dioptres

    Returns
    -------
    CloseUpLens
    """
    name = mark("close-up lens {power:g} dpt in {thread}")
    return CloseUpLens(
        id=name.format(power=power, thread=thread),
        name=tr(name, power=power, thread=thread),
        owned=False,
        front=thread_face(thread, "internal"),
        rear=thread_face(thread, "external"),
        power_dpt=power,
    )


def joining_rings(request: Request) -> Iterator[Ring]:
    """Yield single rings on sale that join what no ring at hand joins."""
    kit, joints = request.kit, Joints(request.kit)
    seen = set(kit.by_id)
    pairs = [pair for pair in open_pairs(request) if joints.seek_between(*pair) is None]
    for start, end in pairs[:MOST_PAIRS]:
        for chain in chains_to_buy(kit, start, end, 1).chains:
            if len(chain.buy) == 1 and chain.buy[0].id not in seen:
                seen.add(chain.buy[0].id)
                yield Ring(**{name: getattr(chain.buy[0], name) for name in Ring.__struct_fields__})


def open_pairs(request: Request) -> Iterator[tuple[Face, Face]]:
    """Yield pairs of faces that a set-up may have to join, each kind once."""
    kit, lenses = request.kit, usable_parts(request.kit.lenses)
    fronts = [lens.front for lens in lenses if lens.front is not None]
    before = [part.rear for part in usable_parts(kit.close_up_lenses)]
    before += [part.rear for part in usable_parts(kit.objectives)]
    starts = [*(lens.rear for lens in lenses), *fronts, *before]
    ends = [request.camera.flange, *(part.front for part in usable_parts(kit.tubes))]
    ends += [part.front for part in usable_parts(kit.bellows)]
    pairs = [(start, end) for start in starts for end in ends]
    pairs += [(start, end) for start in (*before, *fronts) for end in fronts]
    seen = set()
    for start, end in pairs:
        kind = open_of(start), open_of(end)
        if kind not in seen:
            seen.add(kind)
            yield start, end
