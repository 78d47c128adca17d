"""Mounts, threads and lenses of the kit to choose from, by the names that people use."""

from collections.abc import Iterable

from closeup_service.advice.figures import decimal
from closeup_service.gear.catalogue import MOUNTS, THREADS, Mount, Thread, pitch_of
from closeup_service.gear.kit import Kit, Lens
from closeup_service.language import later, tr
from closeup_service.pages.task import Choice

REGISTER_DIGITS = 5
FILTER = "filter"


def mounts(kit: Kit) -> list[Choice]:
    """Mounts of the catalogue and the kit's own, the shortest register first."""
    found = sorted(kit.all_mounts.values(), key=lambda each: each.register_mm)
    return [Choice(each.id, mount_words(each)) for each in found]


def mount_words(mount: Mount) -> str:
    """Usual name of a mount, with its register where the name does not tell it; one of the kit's own is called as there."""
    name = mount.names[0]
    said = tr(name) if mount.id in MOUNTS else name
    if "register" in name:
        return said
    return tr("{name}, register {register} mm", name=said, register=decimal(mount.register_mm, REGISTER_DIGITS))


def thread_words(thread: Thread) -> str:
    """Usual name of a thread, with its pitch where the name does not tell it, in words that are said later."""
    name = later(thread.names[0])
    return name if "pitch" in name else later("{name}, {pitch}", name=name, pitch=pitch_of(thread))


def thread_choices(threads: Iterable[Thread]) -> tuple[Choice, ...]:
    """Threads to choose from, the narrowest first."""
    found = sorted(threads, key=lambda each: each.diameter_mm)
    return tuple(Choice(each.id, thread_words(each)) for each in found)


FILTER_THREADS = thread_choices(each for each in THREADS.values() if each.use == FILTER)
ALL_THREADS = thread_choices(THREADS.values())


def kit_lenses(kit: Kit) -> list[Choice]:
    """Lenses of the kit."""
    return [Choice(each.id, each.name) for each in kit.lenses if each.owned]


def lens_of(kit: Kit, chosen: object) -> Lens | None:
    """Lens of the kit that was chosen; None where it has none of that name."""
    part = kit.by_id.get(str(chosen))
    return part if isinstance(part, Lens) else None
