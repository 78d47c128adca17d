"""What people call the parts of a kit, by the groups of a kit file, in the order in which pages list them."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Required, TypedDict, cast

from msgspec import Struct

from closeup_service.pages.asking import Members


class Words(Struct, frozen=True):
    """Words for one part of a group, for all of them, and for adding one."""

    one: str
    several: str
    add: str


class SettingMembers(TypedDict, total=False):
    """Setting of a lens in a kit that was read."""

    id: Required[str]
    focal_length_mm: Required[float]


class PartMembers(TypedDict, total=False):
    """Part of a kit that was read: what every part states, and what pages look at."""

    id: Required[str]
    name: Required[str]
    available: bool
    owned: bool
    settings: Sequence[SettingMembers]


GROUPS: Mapping[str, Words] = {
    "lenses": Words("Lens", "Lenses", "Add a lens"),
    "cameras": Words("Camera", "Cameras", "Add a camera"),
    "reversing_rings": Words("Reversing ring", "Reversing rings", "Add a reversing ring"),
    "step_rings": Words("Step ring or coupling ring", "Step rings and coupling rings", "Add a step ring"),
    "mount_adapters": Words("Mount adapter", "Mount adapters", "Add a mount adapter"),
    "tubes": Words("Extension tube", "Extension tubes", "Add an extension tube"),
    "bellows": Words("Bellows or helicoid", "Bellows and helicoids", "Add bellows"),
    "close_up_lenses": Words("Close-up lens", "Close-up lenses", "Add a close-up lens"),
    "converters": Words("Teleconverter", "Teleconverters", "Add a teleconverter"),
    "objectives": Words("Microscope objective", "Microscope objectives", "Add an objective"),
    "mounts": Words("Mount", "Mounts that the catalogue does not list", "Add a mount"),
}


def id_of(part: PartMembers) -> str:
    """Id of a part."""
    return part["id"]


def parts_in(listing: Members, group: str) -> Sequence[PartMembers]:
    """Parts of one group of a kit that was read."""
    return cast("Sequence[PartMembers]", listing.get(group, ()))


def all_parts(listing: Members) -> Iterator[tuple[str, PartMembers]]:
    """Every part with its group, in the order of pages."""
    return ((group, part) for group in GROUPS for part in parts_in(listing, group))
