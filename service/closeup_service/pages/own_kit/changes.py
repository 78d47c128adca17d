"""A kit with a part added, changed or taken away; every change is a copy."""

from __future__ import annotations

from closeup_service.language import mark, tr
from closeup_service.pages.asking import Members
from closeup_service.pages.own_kit.excerpt import mounts_in
from closeup_service.pages.own_kit.groups import PartMembers, all_parts, id_of, parts_in
from closeup_service.pages.own_kit.names import free_id, taken_ids

NEW_NAME = mark("My kit")
FIRST, NAME = "id", "name"


def new_kit(name: str) -> dict[str, object]:
    """Kit without parts."""
    return {"name": name or tr(NEW_NAME)}


def find(listing: Members, part_id: str) -> tuple[str, PartMembers] | None:
    """Part of this id with its group."""
    return next(((group, part) for group, part in all_parts(listing) if id_of(part) == part_id), None)


def add(listing: Members, group: str, part: Members) -> dict[str, object]:
    """Kit with one part more, under an id of its own."""
    own = {FIRST: free_id(str(part.get(NAME, "")), taken_ids(listing)), **without_id(part)}
    return {**listing, group: [*parts_in(listing, group), own]}


def change(listing: Members, group: str, part_id: str, part: Members) -> dict[str, object]:
    """Kit with this part in place of the one of this id; added where there is none any more."""
    if not any(id_of(each) == part_id for each in parts_in(listing, group)):
        return add(listing, group, part)
    own, place = {FIRST: part_id, **without_id(part)}, place_of(listing, group, part_id)
    return {**listing, group: [own if at == place else each for at, each in enumerate(parts_in(listing, group))]}


def place_of(listing: Members, group: str, part_id: str) -> int:
    """Place of a part in its group; the last where it has no id yet."""
    parts = parts_in(listing, group)
    return next((place for place, part in enumerate(parts) if id_of(part) == part_id), len(parts) - 1)


def remove(listing: Members, part_id: str) -> dict[str, object]:
    """Kit without the part of this id."""
    kept = {
        group: [each for each in parts_in(listing, group) if id_of(each) != part_id] for group, _ in all_parts(listing)
    }
    return {name: kept.get(name, value) for name, value in listing.items() if kept.get(name, True)}


def without_id(part: Members) -> dict[str, object]:
    """What a part states but for its id."""
    return {name: value for name, value in part.items() if name != FIRST}


def parts_with_mount(listing: Members, mount: str) -> list[str]:
    """Names of the parts that have a mount."""
    return [part["name"] for _, part in all_parts(listing) if mount in mounts_in(part)]
