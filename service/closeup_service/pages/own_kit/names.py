"""Ids of parts, made of the names that people give them."""

from __future__ import annotations

import re
from collections.abc import Collection

from closeup_service.gear.catalogue import MOUNTS
from closeup_service.pages.asking import Members
from closeup_service.pages.own_kit.groups import all_parts, id_of

OTHERS = re.compile(r"[^a-z0-9]+")
LONGEST = 56
NAMELESS = "part"


def as_id(name: str) -> str:
    """Id that is like a name."""
    return OTHERS.sub("-", name.lower()).strip("-")[:LONGEST].strip("-") or NAMELESS


def free_id(name: str, taken: Collection[str]) -> str:
    """Id that is like a name and that nothing has yet."""
    own, number = as_id(name), 2
    found = own
    while found in taken:
        found, number = f"{own}-{number}", number + 1
    return found


def taken_ids(listing: Members) -> set[str]:
    """Ids that a kit, or the catalogue of mounts, holds already."""
    return {*MOUNTS, *(id_of(part) for _, part in all_parts(listing))}
