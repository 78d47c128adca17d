"""A kit as its page lists it: every part with its name and what it states in a line."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from msgspec import Struct

from closeup_service.advice import figures
from closeup_service.gear.catalogue import THREADS
from closeup_service.gear.kit import Kit
from closeup_service.language import mark, tr
from closeup_service.optics.vocabulary import VOCABULARY
from closeup_service.pages.asking import Members
from closeup_service.pages.own_kit.groups import GROUPS, PartMembers, Words, parts_in
from closeup_service.pages.own_kit.joints import MOUNT, THREAD, mount_words, thread_words
from closeup_service.schemas.describing import label

TOLD = (
    *("focal_length_mm", "length_mm", "minimum_length_mm", "maximum_length_mm", "power_dpt", "factor", "magnification"),
    *("numerical_aperture", "register_mm", "mount", "rear_thread", "thread", "front_thread", "sensor", "front", "rear"),
)
LABELS = {
    "minimum_length_mm": mark("shortest length"),
    "maximum_length_mm": mark("longest length"),
    "front_thread": mark("filter thread"),
    "rear_thread": mark("thread"),
}
NOT_AT_HAND, NOT_OWNED = mark("not at hand"), mark("not owned")


class ShownPart(Struct, frozen=True):
    """One part: its id, its name, and what it states."""

    id: str
    name: str
    told: str


class ShownGroup(Struct, frozen=True):
    """The parts of one group."""

    group: str
    words: Words
    parts: tuple[ShownPart, ...]


def groups_of(listing: Members, kit: Kit) -> list[ShownGroup]:
    """Every group that has parts."""
    found = [
        ShownGroup(group, words, tuple(shown_part(part, kit) for part in parts_in(listing, group)))
        for group, words in GROUPS.items()
    ]
    return [each for each in found if each.parts]


def shown_part(part: PartMembers, kit: Kit) -> ShownPart:
    """One part in a line."""
    return ShownPart(part["id"], part["name"], ", ".join(facts(part, kit)))


def facts(part: PartMembers, kit: Kit) -> Iterator[str]:
    """What a part states, most telling first."""
    lengths = [each["focal_length_mm"] for each in part.get("settings", ())]
    yield from (write("focal_length_mm", value) for value in dict.fromkeys(lengths))
    stated: Members = part
    for name in TOLD:
        value = stated.get(name)
        if isinstance(value, int | float):
            yield write(name, value)
        elif value is not None:
            yield f"{label_of(name)}: {words_of(name, value, kit)}"
    if part.get("available") is False:
        yield tr(NOT_AT_HAND)
    if part.get("owned") is False:
        yield tr(NOT_OWNED)


def label_of(name: str) -> str:
    """Words for what a part states."""
    own = LABELS.get(name)
    return tr(own) if own else label(name)


def write(name: str, value: float) -> str:
    """Write a number with its label."""
    known = VOCABULARY.get(name)
    unit = known.unit if known is not None else "mm" if name.endswith("_mm") else ""
    return f"{label_of(name)} {figures.format_stated(value, name, unit)}"


def words_of(name: str, value: object, kit: Kit) -> str:
    """Words for a mount, a thread, a sensor, or a face that is one of the first two."""
    if isinstance(value, Mapping):
        name, value = next((kind, value[kind]) for kind in (MOUNT, THREAD) if kind in value)
    text = str(value)
    if name == MOUNT and text in kit.all_mounts:
        return mount_words(kit.all_mounts[text])
    return tr(thread_words(THREADS[text])) if text in THREADS else text.replace("x", " × ")
