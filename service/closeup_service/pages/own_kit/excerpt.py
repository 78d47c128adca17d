"""The parts of an own kit that a request uses, written into the request itself: then it is the same to everybody."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from closeup_service.gear.kit_faults import PART_GROUPS
from closeup_service.language import mark, tr
from closeup_service.operations.operation import Operation
from closeup_service.pages.asking import Members, OwnKit
from closeup_service.pages.own_kit.groups import PartMembers, id_of, parts_in

KIT, USE, MOUNT = "kit", "use", "mount"
NAME = mark("Parts of this set-up")
PRIVATE = ("serial_number", "location", "price")
"""What an owner notes of a part, and no result depends on."""
NEEDS_WHOLE_KIT = frozenset(("searchSetUps", "findRingChains", "listKit"))


def with_parts(asked: Operation, members: Members, own: OwnKit) -> Members | None:
    """Request that holds the parts of an own kit that it uses; None where it would have to hold the whole kit."""
    if not asked.takes_kit or KIT in members:
        return members
    if asked.operation_id in NEEDS_WHOLE_KIT:
        return None
    used = set(uses(members))
    return {**members, KIT: excerpt(own.listing, used)} if used else members


def uses(value: object) -> Iterator[str]:
    """Id of every part that is named."""
    if isinstance(value, Mapping):
        if isinstance(value.get(USE), str):
            yield value[USE]
        value = list(value.values())
    if isinstance(value, list | tuple):
        for each in value:
            yield from uses(each)


def excerpt(listing: Members, used: Collection[str]) -> dict[str, object]:
    """Kit of these parts alone, with the mounts that they name; without what only their owner needs to know."""
    groups = {group: [share(part) for part in parts_in(listing, group) if id_of(part) in used] for group in PART_GROUPS}
    held = {group: parts for group, parts in groups.items() if parts}
    named = set(mounts_in(list(held.values())))
    mounts = [mount for mount in parts_in(listing, "mounts") if id_of(mount) in named]
    return {"name": tr(NAME), **({"mounts": mounts} if mounts else {}), **held}


def share(part: PartMembers) -> Members:
    """Part for others to see."""
    return {name: value for name, value in part.items() if name not in PRIVATE}


def mounts_in(value: object) -> Iterator[str]:
    """Every mount that is named."""
    if isinstance(value, Mapping):
        if isinstance(value.get(MOUNT), str):
            yield value[MOUNT]
        value = list(value.values())
    if isinstance(value, list | tuple):
        for each in value:
            yield from mounts_in(each)
