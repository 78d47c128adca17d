"""From a kit's listing, checked and with its defaults filled in, to its records."""

import hashlib
import json
from collections.abc import Iterator, Mapping, Sequence
from importlib.resources import files
from typing import Any

from closeup_service.gear.catalogue import SENSORS, Mount
from closeup_service.gear.kit import (
    Bellows,
    Camera,
    CloseUpLens,
    Converter,
    EdgeWidth,
    Face,
    Kit,
    Lens,
    Objective,
    Origin,
    Ring,
    RingKind,
    Setting,
    Tube,
    merge_own_mounts,
    mount_face,
    thread_face,
)
from closeup_service.language import tr
from closeup_service.optics.aperture_series import USUAL_SERIES, Mark, list_marks, marks_of_ring

Members = Mapping[str, Any]
Mounts = Mapping[str, Mount]

RING_MEMBERS = ("aperture_series", "least_f_number", "greatest_f_number", "f_numbers")
FOR_ALL_SETTINGS = (
    *RING_MEMBERS,
    "front_diameter_mm",
    "front_protrusion_mm",
    "image_circle_mm",
    "focusing_travel_mm",
    "sharp_from_f_number",
    "measured_edge_width",
    "calibrated_on",
)
"""What a lens may state once for all its settings."""
WORDS = ("name", "location")
"""What is said of a part, or of a kit, in words."""


def kit_of(listing: Members, origin: Origin) -> Kit:
    """Build the kit's records."""
    own = tuple(own_mount(row) for row in listing["mounts"])
    mounts = merge_own_mounts(own)
    return Kit(
        name=listing["name"],
        origin=origin,
        revision=revision_of(listing),
        listing=listing,
        currency=listing.get("currency"),
        mounts=own,
        cameras=tuple(camera_of(row, mounts) for row in listing["cameras"]),
        lenses=tuple(lens_of(row, mounts) for row in listing["lenses"]),
        tubes=tuple(Tube(**row | faces_of(row, mounts)) for row in listing["tubes"]),
        bellows=tuple(Bellows(**row | faces_of(row, mounts)) for row in listing["bellows"]),
        reversing_rings=rings_of(listing["reversing_rings"], "reversing-ring", mounts),
        step_rings=rings_of(listing["step_rings"], "step-ring", mounts),
        mount_adapters=rings_of(listing["mount_adapters"], "mount-adapter", mounts),
        close_up_lenses=tuple(close_up_lens_of(row) for row in listing["close_up_lenses"]),
        converters=tuple(converter_of(row, mounts) for row in listing["converters"]),
        objectives=tuple(objective_of(row) for row in listing["objectives"]),
    )


def revision_of(listing: Members) -> str:
    """Hash (BLAKE2b, 128 bits) of the listing as canonical JSON: sorted names, no blanks."""
    canonical = json.dumps(listing, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.blake2b(canonical.encode(), digest_size=16).hexdigest()


def own_mount(row: Members) -> Mount:
    """Record of a mount that the kit describes itself."""
    thread = row.get("thread")
    return Mount(
        id=row["id"],
        register_mm=row["register_mm"],
        kind="bayonet" if thread is None else "thread",
        throat_mm=None,
        thread=thread,
        names=(row["name"],),
        source="this kit",
        source_status="common-practice",
    )


def camera_of(row: Members, mounts: Mounts) -> Camera:
    """Camera on its mount, its sensor by its measures."""
    mount, sensor = mounts[row["mount"]], SENSORS.get(row.get("sensor", ""))
    measures = {} if sensor is None else {"sensor_width_mm": sensor.width_mm, "sensor_height_mm": sensor.height_mm}
    known = {"sensor": None} | dict(row) | measures
    return Camera(**known, register_mm=mount.register_mm, flange=mount_face(mount, "body"))


def lens_of(row: Members, mounts: Mounts) -> Lens:
    """Lens with its faces and settings."""
    members = {name: value for name, value in row.items() if name not in FOR_ALL_SETTINGS}
    mount_id, front = members.pop("mount", None), members.pop("front_thread", None)
    rear_thread, mount = members.pop("rear_thread", None), mounts.get(mount_id or "")
    register = None if mount is None else mount.register_mm
    common = {name: row[name] for name in FOR_ALL_SETTINGS if name in row}
    settings = tuple(setting_of(setting, common, register) for setting in members.pop("settings"))
    return Lens(
        **members,
        mount=mount_id,
        register_mm=register,
        front=None if front is None else thread_face(front, "internal"),
        rear=thread_face(rear_thread, "external") if mount is None else mount_face(mount, "lens"),
        calibrated_on=row.get("calibrated_on"),
        settings=settings,
    )


def setting_of(row: Members, common: Members, register: float | None) -> Setting:
    """One setting, with what the lens states for all; a setting's own ring replaces the lens's as a whole.

    Parameters
    ----------
    register : float or None, flange to sensor, mm
    """
    if any(name in row for name in RING_MEMBERS):
        common = {name: value for name, value in common.items() if name not in RING_MEMBERS}
    stated = {**common, **row}
    members = {name: value for name, value in stated.items() if name not in RING_MEMBERS}
    if "rear_principal_plane_mm" not in row and register is not None:
        members.setdefault("register_mm", register)
    if "measured_edge_width" in members:
        members["measured_edge_width"] = EdgeWidth(**members["measured_edge_width"])
    return Setting(**members, marks=marks_of(stated))


def marks_of(row: Members) -> tuple[Mark, ...]:
    """Stops of the ring as stated: a list, or a series between two ends, which are stops even where no series has them."""
    if "f_numbers" in row:
        return list_marks(row["f_numbers"])
    if "least_f_number" not in row:
        return ()
    ends = row["least_f_number"], row["greatest_f_number"]
    marks = {
        mark.nominal: mark
        for mark in (*list_marks(list(ends)), *marks_of_ring(row.get("aperture_series", USUAL_SERIES), *ends))
    }
    return tuple(marks[nominal] for nominal in sorted(marks))


def face_of(row: Members, mounts: Mounts) -> Face:
    """Face as the kit states it."""
    if "mount" in row:
        return mount_face(mounts[row["mount"]], row["side"])
    return thread_face(row["thread"], row["gender"])


def faces_of(row: Members, mounts: Mounts) -> dict[str, Face]:
    """Both faces of a tube, bellows or ring."""
    return {name: face_of(row[name], mounts) for name in ("front", "rear")}


def rings_of(rows: Sequence[Members], kind: RingKind, mounts: Mounts) -> tuple[Ring, ...]:
    """Rings of one kind."""
    return tuple(Ring(**{**row, **faces_of(row, mounts)}, kind=kind) for row in rows)


def close_up_lens_of(row: Members) -> CloseUpLens:
    """Close-up lens; its front thread is assumed the same as its rear one."""
    members = dict(row)
    thread = members.pop("thread")
    front = members.pop("front_thread", thread)
    return CloseUpLens(**members, front=thread_face(front, "internal"), rear=thread_face(thread, "external"))


def converter_of(row: Members, mounts: Mounts) -> Converter:
    """Converter between two sides of one mount."""
    mount = mounts[row["mount"]]
    front, rear = mount_face(mount, "body"), mount_face(mount, "lens")
    return Converter(**row, front=front, rear=rear, register_mm=mount.register_mm)


def objective_of(row: Members) -> Objective:
    """Objective by its shoulder's thread."""
    members = {name: value for name, value in row.items() if name != "thread"}
    return Objective(**members, rear=thread_face(row["thread"], "external"))


def demo_text() -> bytes:
    """Text of the invented demo kit that ships with the package."""
    return files(__package__).joinpath("data", "demo_kit.json").read_bytes()


def words_of(listing: Members) -> Iterator[str]:
    """What a listing says in words: names, and where parts are."""
    yield from (listing[member] for member in WORDS if member in listing)
    for parts in listing.values():
        if isinstance(parts, list):
            yield from (part[member] for part in parts for member in WORDS if member in part)


def say_words(listing: Members) -> dict[str, Any]:
    """Say the words of a listing in the language that is spoken."""
    return {
        member: [say_own_words(part) for part in parts] if isinstance(parts, list) else parts
        for member, parts in say_own_words(listing).items()
    }


def say_own_words(members: Members) -> dict[str, Any]:
    """Say the words of one part, or of the kit itself."""
    return {member: tr(value) if member in WORDS else value for member, value in members.items()}
