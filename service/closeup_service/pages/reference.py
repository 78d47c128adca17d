"""What the pages of cautions and of the catalogue list, in the words that people use."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, cast

from msgspec import Struct

from closeup_service.advice.caution_texts import ORDER, TEXTS, GeneralCaution
from closeup_service.advice.figures import decimal
from closeup_service.gear.catalogue import MOUNTS, SENSORS, THREADS, Mount, Sensor, Thread, describe_pitch
from closeup_service.operations.asking.refusals import Refusal
from closeup_service.pages.asking import Studio

if TYPE_CHECKING:
    from closeup_service.records.answers import LensClassesAnswer, LensClassRecord

DIGITS = 5
"""Significant digits of a size or a register."""
PUBLISHED = "published"
SURE: Mapping[str, str] = {
    PUBLISHED: "published designs",
    "from-memory": "from memory",
    "common-practice": "common practice",
}
"""Where a record of the catalogue comes from."""
CONCERNS: Mapping[str, str] = {"people": "People", "animals": "Animals", "gear": "Gear"}
USES: Mapping[str, str] = {
    "filter": "Filter threads",
    "mount": "Threads of lenses and mounts",
    "objective": "Threads of objectives",
}


class Concern(Struct, frozen=True):
    """Cautions that concern the same: people, animals or gear."""

    key: str
    title: str
    cautions: tuple[GeneralCaution, ...]


class Entry(Struct, frozen=True):
    """One record: its usual name, other names, its figures, and where they come from."""

    name: str
    others: str
    figures: tuple[str, ...]
    source: str


class Listing(Struct, frozen=True):
    """Records of one kind as a table; `headings` are those of the figures."""

    key: str
    title: str
    lead: str
    headings: tuple[str, ...]
    entries: tuple[Entry, ...]


def concerns() -> list[Concern]:
    """Every caution, people's first."""
    found: list[GeneralCaution] = [each.record() for each in TEXTS]
    return [Concern(key, CONCERNS[key], tuple(each for each in found if each["concerns"] == key)) for key in ORDER]


def listings(studio: Studio) -> list[Listing]:
    """Everything that the catalogue holds."""
    return [sensor_listing(), mount_listing(), *map(thread_listing, USES), lens_listing(studio)]


def sensor_listing() -> Listing:
    """Sensor and film formats, the largest first."""
    found = sorted(SENSORS.values(), key=lambda each: -each.diagonal_mm)
    return Listing(
        "sensors",
        "Sensors and film formats",
        "The picture area, by the names that are usual.",
        ("Width × height", "Diagonal"),
        tuple(map(sensor_entry, found)),
    )


def sensor_entry(sensor: Sensor) -> Entry:
    """One format."""
    size = f"{length(sensor.width_mm)} × {length(sensor.height_mm)} mm".replace(" ", "\N{NO-BREAK SPACE}")
    return entry(sensor, (size, f"{decimal(sensor.diagonal_mm)} mm"))


def mount_listing() -> Listing:
    """Lens mounts, the shortest register first."""
    found = sorted(MOUNTS.values(), key=lambda each: each.register_mm)
    return Listing(
        "mounts",
        "Lens mounts and their registers",
        "The register is the distance from the flange of the camera to its sensor.",
        ("Register", "Joins by", "Opening"),
        tuple(map(mount_entry, found)),
    )


def mount_entry(mount: Mount) -> Entry:
    """One mount."""
    joint = "bayonet" if mount.thread is None else f"thread {mount.thread}"
    throat = "not known" if mount.throat_mm is None else f"{length(mount.throat_mm)} mm"
    return entry(mount, (f"{length(mount.register_mm)} mm", joint, "thread" if mount.thread else throat))


def thread_listing(use: str) -> Listing:
    """Threads of one use, the narrowest first."""
    found = sorted((each for each in THREADS.values() if each.use == use), key=lambda each: each.diameter_mm)
    return Listing(
        f"threads-{use}",
        USES[use],
        "Two threads join only where both the diameter and the pitch agree.",
        ("Diameter", "Pitch", "Written"),
        tuple(map(thread_entry, found)),
    )


def thread_entry(thread: Thread) -> Entry:
    """One thread."""
    pitch = describe_pitch(thread).removeprefix("pitch ")
    return entry(thread, (f"{length(thread.diameter_mm)} mm", pitch, thread.id))


def lens_listing(studio: Studio) -> Listing:
    """Kinds of lenses whose unknown data can be estimated."""
    answer = studio.ask("listLensClasses", {})
    assert not isinstance(answer, Refusal)
    told: LensClassesAnswer = cast("LensClassesAnswer", answer)
    return Listing(
        "lenses",
        "Kinds of lenses that can be estimated",
        "Published designs of these lenses tell the likely data of a lens of which only the engravings are known.",
        ("Focal lengths", "Usual widest aperture", "Usual register", "Published designs"),
        tuple(map(lens_entry, told["records"])),
    )


def lens_entry(record: LensClassRecord) -> Entry:
    """One kind of lens."""
    low, high, register = record["focal_length_from_mm"], record["focal_length_to_mm"], record["register_mm"]
    figures = (
        f"{length(low)} to {length(high)} mm",
        f"f/{record['usual_f_number']:g}",
        f"{length(register)} mm" if register else "no mount",
        str(sum(each["records"] for each in record["classes"])),
    )
    return Entry(record["names"][0], "", figures, SURE[record["source_status"]])


def entry(record: Sensor | Mount | Thread, figures: tuple[str, ...]) -> Entry:
    """A record of the catalogue with its figures."""
    first, *others = record.names
    source = record.source if record.source_status == PUBLISHED else SURE[record.source_status]
    return Entry(first, ", ".join(others), figures, source)


def length(value_mm: float) -> str:
    """Write a length of the catalogue [mm], without its unit."""
    return decimal(value_mm, DIGITS)
