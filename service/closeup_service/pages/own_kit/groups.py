"""What people call the parts of a kit, by the groups of a kit file, in the order in which pages list them."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Required, TypedDict, cast

from msgspec import Struct

from closeup_service.language import mark
from closeup_service.pages.asking import Members


class Words(Struct, frozen=True):
    """Words for one part of a group, for all of them, and for adding one, said where they are shown."""

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
    "lenses": Words(mark("Lens"), mark("Lenses"), mark("Add a lens")),
    "cameras": Words(mark("Camera"), mark("Cameras"), mark("Add a camera")),
    "reversing_rings": Words(mark("Reversing ring"), mark("Reversing rings"), mark("Add a reversing ring")),
    "step_rings": Words(
        mark("Step ring or coupling ring"), mark("Step rings and coupling rings"), mark("Add a step ring")
    ),
    "mount_adapters": Words(mark("Mount adapter"), mark("Mount adapters"), mark("Add a mount adapter")),
    "tubes": Words(mark("Extension tube"), mark("Extension tubes"), mark("Add an extension tube")),
    "bellows": Words(mark("Bellows or helicoid"), mark("Bellows and helicoids"), mark("Add bellows")),
    "close_up_lenses": Words(mark("Close-up lens"), mark("Close-up lenses"), mark("Add a close-up lens")),
    "converters": Words(mark("Teleconverter"), mark("Teleconverters"), mark("Add a teleconverter")),
    "objectives": Words(mark("Microscope objective"), mark("Microscope objectives"), mark("Add an objective")),
    "mounts": Words(mark("Mount"), mark("Mounts that the catalogue does not list"), mark("Add a mount")),
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
