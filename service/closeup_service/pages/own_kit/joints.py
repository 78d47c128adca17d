"""How parts join, as forms ask it: one list of threads and mounts, and whether the part goes into the next or takes it in."""

from __future__ import annotations

import re
from collections.abc import Mapping

from closeup_service.advice.figures import decimal, plain_decimal
from closeup_service.gear.catalogue import MOUNTS, THREADS, Mount, Thread
from closeup_service.gear.kit import Kit
from closeup_service.language import later, mark, tr
from closeup_service.pages.task import Choice

ENTERS, TAKES = "enters", "takes"
SIDES = (
    Choice(ENTERS, mark("male thread, or mount as on a lens")),
    Choice(TAKES, mark("female thread, or mount as on a camera")),
)
GENDERS: Mapping[str, Mapping[str, str]] = {
    ENTERS: {"thread": "external", "mount": "lens"},
    TAKES: {"thread": "internal", "mount": "body"},
}
THREAD, MOUNT = "thread", "mount"
METRIC = re.compile(r"M(?P<diameter>[0-9.]+)x(?P<pitch>.+)")
SIDE, GENDER = "side", "gender"
BETWEEN = ":"
WITH_REGISTER = mark("{name}, register {register} mm")
WITH_ID, WITH_MEASURES = "{name} ({id})", "{name} (M{diameter} × {pitch})"
"""The same in every language."""
OWN_THREAD = mark("no mount: {thread}")


def mount_choices(kit: Kit) -> list[Choice]:
    """Mounts of the catalogue, and the kit's own first."""
    own = [mount for name, mount in kit.all_mounts.items() if name not in MOUNTS]
    return [Choice(mount.id, mount_words(mount)) for mount in (*own, *MOUNTS.values())]


def mount_words(mount: Mount) -> str:
    """Name of a mount, with its register where the name does not tell it; one of the kit's own is called as there."""
    name = mount.names[0]
    said = tr(name) if mount.id in MOUNTS else name
    if plain_decimal(mount.register_mm, 5) in name:
        return said
    return tr(WITH_REGISTER, name=said, register=decimal(mount.register_mm, 5))


def thread_choices(*uses: str) -> tuple[Choice, ...]:
    """Threads of the catalogue with these uses."""
    return tuple(Choice(each.id, thread_words(each)) for each in THREADS.values() if each.use in uses)


def thread_words(thread: Thread) -> str:
    """Name of a thread with its measures, in words that are said later."""
    name, measures = later(thread.names[0]), METRIC.fullmatch(thread.id)
    if measures is None:
        return later(WITH_ID, name=name, id=thread.id)
    return later(WITH_MEASURES, name=name, **measures.groupdict())


FILTER_THREADS = thread_choices("filter", "mount")
ALL_THREADS = thread_choices("filter", "mount", "objective")
OBJECTIVE_THREADS = thread_choices("objective", "mount", "filter")


def joint_choices(kit: Kit) -> list[Choice]:
    """Everything that a face may be."""
    threads = [Choice(f"{THREAD}{BETWEEN}{each.value}", tr(each.label)) for each in ALL_THREADS]
    return [*(Choice(f"{MOUNT}{BETWEEN}{each.value}", each.label) for each in mount_choices(kit)), *threads]


def lens_joint_choices(kit: Kit) -> list[Choice]:
    """What a lens may join the camera by: a mount, or a thread of its own."""
    threads = thread_choices("mount", "objective", "filter")
    mounts = [Choice(f"{MOUNT}{BETWEEN}{each.value}", each.label) for each in mount_choices(kit)]
    return [*mounts, *(Choice(f"{THREAD}{BETWEEN}{each.value}", rear_words(each)) for each in threads)]


def rear_words(thread: Choice) -> str:
    """Words for a thread at the rear of a lens."""
    return tr(OWN_THREAD, thread=tr(thread.label))


def face_of(joint: str, side: str) -> dict[str, str]:
    """Face of a kit file."""
    kind, _, name = joint.partition(BETWEEN)
    how = GENDERS.get(side, {}).get(kind, "")
    return {kind: name, SIDE if kind == MOUNT else GENDER: how}


def texts_of_face(face: Mapping[str, object]) -> tuple[str, str]:
    """What the form says of a face: its joint, and its side."""
    kind = MOUNT if MOUNT in face else THREAD
    how = face.get(SIDE if kind == MOUNT else GENDER)
    side = next((side for side, words in GENDERS.items() if words[kind] == how), "")
    return f"{kind}{BETWEEN}{face.get(kind, '')}", side
