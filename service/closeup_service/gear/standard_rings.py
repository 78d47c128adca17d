"""Rings of standard sizes that can be bought: which there are is common practice, their thickness often not known."""

import json
from collections.abc import Iterator, Mapping
from functools import cache
from importlib.resources import files
from itertools import permutations, product
from typing import TypedDict

from closeup_service.gear.catalogue import MOUNTS, THREADS, Mount
from closeup_service.gear.kit import Face, Gender, Kit, Ring, RingKind, mount_face, thread_face
from closeup_service.language import later, mark


class StandardRing(Ring, frozen=True, kw_only=True):
    """A ring to be bought; where `length_known` is false its length is the usual one."""

    length_known: bool
    source: str


class Group(TypedDict, total=False):
    """Rings of one kind in the table: which there are, their usual length, and who says so."""

    source: str
    source_status: str
    usual_length_mm: float
    least_length_mm: float
    largest_step_mm: float
    threads: list[str]
    mounts: list[str]
    bridges: list[str]
    pairs: list[list[str]]


def standard_rings(start: Face, end: Face, kit: Kit) -> Iterator[StandardRing]:
    """Every standard ring that may help between the two faces; those with a mount only for mounts that are there.

    The bridging screw mounts are always there: their adapters lead to nearly every camera.
    """
    there = [kit.all_mounts[name] for name in sorted(available_mounts(start, end, kit))]
    bridges = [MOUNTS[name] for name in table()["mount_adapters"]["bridges"]]
    yield from thread_rings()
    for mount in there:
        yield from reversing_rings(mount)
    pairs = [*permutations(there, 2), *product(bridges, there), *permutations(bridges, 2)]
    for lens_mount, camera_mount in dict.fromkeys(pairs):
        yield from mount_adapters(lens_mount, camera_mount)
        yield from thin_adapters(lens_mount, camera_mount)


def available_mounts(start: Face, end: Face, kit: Kit) -> set[str]:
    """Mounts of the catalogue that the two faces or the kit's rings have; for a mount of the kit's own nothing is sold."""
    faces = [start, end, *(face for ring in kit.rings for face in (ring.front, ring.rear))]
    without = {mount.id for mount in kit.mounts} | set(table()["not_made_for"]["mounts"])
    return {face.mount for face in faces if face.mount is not None} - without


STEP_RING = mark("step ring {first} external - {second} internal")
COUPLING_RING = mark("coupling ring {first} external - {second} external")
BUSHING = mark("bushing {first} external - {second} internal")
REDUCING_RING = mark("reducing ring {first} external - {second} internal")


@cache
def table() -> Mapping[str, Group]:
    """Read the table that ships with the package."""
    text = files(__package__).joinpath("data", "standard_rings.json").read_text(encoding="utf-8")
    read: Mapping[str, Group] = json.loads(text)
    return read


@cache
def thread_rings() -> tuple[StandardRing, ...]:
    """Step rings, coupling rings, bushings and reducing rings, which join thread to thread."""
    steps: Group = table()["step_rings"]
    couplings: Group = table()["coupling_rings"]
    rings = [
        thread_ring(STEP_RING, (outer, "external"), (inner, "internal"), steps)
        for outer, inner in permutations(steps["threads"], 2)
        if abs(THREADS[outer].diameter_mm - THREADS[inner].diameter_mm) <= steps["largest_step_mm"]
    ]
    rings += [
        thread_ring(COUPLING_RING, (first, "external"), (second, "external"), couplings)
        for index, first in enumerate(couplings["threads"])
        for second in couplings["threads"][index:]
    ]
    rings += [
        thread_ring(what, (outer, "external"), (inner, "internal"), table()[group])
        for what, group in ((BUSHING, "bushings"), (REDUCING_RING, "reducing_rings"))
        for inner, outer in table()[group]["pairs"]
    ]
    return tuple(rings)


def thread_ring(text: str, first: tuple[str, Gender], second: tuple[str, Gender], record: Group) -> StandardRing:
    """Ring between two threads, each with its gender; `text` names it by them."""
    faces = thread_face(*first), thread_face(*second)
    name = later(text, first=first[0], second=second[0])
    return standard_record("step-ring", name, faces, record["usual_length_mm"], record, length_known=False)


def reversing_rings(mount: Mount) -> Iterator[StandardRing]:
    """Reversing rings for one mount."""
    record: Group = table()["reversing_rings"]
    for thread in record["threads"]:
        faces = thread_face(thread, "external"), mount_face(mount, "lens")
        name = later("reversing ring {thread} external - mount {mount} lens side", thread=thread, mount=mount.id)
        yield standard_record("reversing-ring", name, faces, record["usual_length_mm"], record, length_known=False)


def mount_adapters(lens_mount: Mount, camera_mount: Mount) -> Iterator[StandardRing]:
    """Adapter that keeps infinity focus, where there is room for one."""
    record: Group = table()["mount_adapters"]
    length = round(lens_mount.register_mm - camera_mount.register_mm, 6)
    if length >= record["least_length_mm"]:
        faces = mount_face(lens_mount, "body"), mount_face(camera_mount, "lens")
        name = later(
            "mount adapter, lenses of {lens} to cameras of {camera}", lens=lens_mount.id, camera=camera_mount.id
        )
        yield standard_record("mount-adapter", name, faces, length, record, length_known=True)


def thin_adapters(lens_mount: Mount, camera_mount: Mount) -> Iterator[StandardRing]:
    """Adapter without glass where the registers leave no room for one that keeps infinity focus."""
    record: Group = table()["thin_adapters"]
    if [lens_mount.id, camera_mount.id] in record["pairs"]:
        faces = mount_face(lens_mount, "body"), mount_face(camera_mount, "lens")
        name = later(
            "thin adapter, lenses of {lens} to cameras of {camera}", lens=lens_mount.id, camera=camera_mount.id
        )
        yield standard_record("mount-adapter", name, faces, record["usual_length_mm"], record, length_known=False)


def standard_record(
    kind: RingKind,
    name: str,
    faces: tuple[Face, Face],
    length: float,
    record: Group,
    *,
    length_known: bool,
) -> StandardRing:
    """Record of a ring on sale; its name is its id, which no part of a kit can have.

    Parameters
    ----------
    length : float, mm
    """
    return StandardRing(
        id=name,
        name=name,
        owned=False,
        front=faces[0],
        rear=faces[1],
        kind=kind,
        length_mm=length,
        length_known=length_known,
        source=record["source"],
    )
