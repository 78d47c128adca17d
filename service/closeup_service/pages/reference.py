"""What the pages of cautions and of the catalogue list, in the words that people use."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, cast

from msgspec import Struct

from closeup_service.advice.caution_texts import ORDER, TEXTS, GeneralCaution
from closeup_service.advice.figures import decimal
from closeup_service.gear.catalogue import (
    MOUNTS,
    SENSORS,
    THREADS,
    Mount,
    Sensor,
    Thread,
    pitch_of,
)
from closeup_service.language import mark, tr
from closeup_service.operations.asking.refusals import Refusal
from closeup_service.pages.asking import Studio

if TYPE_CHECKING:
    from closeup_service.records.answers import LensClassesAnswer, LensClassRecord

DIGITS = 5
"""Significant digits of a size or a register."""
PUBLISHED = "published"
SURE: Mapping[str, str] = {
    PUBLISHED: mark("published designs"),
    "from-memory": mark("from memory"),
    "common-practice": mark("common practice"),
}
"""Where a record of the catalogue comes from."""
CONCERNS: Mapping[str, str] = {"people": mark("People"), "animals": mark("Animals"), "gear": mark("Gear")}
USES: Mapping[str, str] = {
    "filter": mark("Filter threads"),
    "mount": mark("Threads of lenses and mounts"),
    "objective": mark("Threads of objectives"),
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
    return [Concern(key, tr(CONCERNS[key]), tuple(each for each in found if each["concerns"] == key)) for key in ORDER]


def listings(studio: Studio) -> list[Listing]:
    """Everything that the catalogue holds."""
    return [sensor_listing(), mount_listing(), *map(thread_listing, USES), lens_listing(studio)]


def sensor_listing() -> Listing:
    """Sensor and film formats, the largest first."""
    found = sorted(SENSORS.values(), key=lambda each: -each.diagonal_mm)
    return Listing(
        "sensors",
        tr("Sensors and film formats"),
        tr("The picture area, by the names that are usual."),
        (tr("Width × height"), tr("Diagonal")),
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
        tr("Lens mounts and their registers"),
        tr("The register is the distance from the flange of the camera to its sensor."),
        (tr("Register"), tr("Joins by"), tr("Opening")),
        tuple(map(mount_entry, found)),
    )


def mount_entry(mount: Mount) -> Entry:
    """One mount."""
    joint = tr("bayonet") if mount.thread is None else tr("thread {thread}", thread=mount.thread)
    throat = tr("not known") if mount.throat_mm is None else f"{length(mount.throat_mm)} mm"
    return entry(mount, (f"{length(mount.register_mm)} mm", joint, tr("thread") if mount.thread else throat))


def thread_listing(use: str) -> Listing:
    """Threads of one use, the narrowest first."""
    found = sorted((each for each in THREADS.values() if each.use == use), key=lambda each: each.diameter_mm)
    return Listing(
        f"threads-{use}",
        tr(USES[use]),
        tr("Two threads join only where both the diameter and the pitch agree."),
        (tr("Diameter"), tr("Pitch"), tr("Written")),
        tuple(map(thread_entry, found)),
    )


def thread_entry(thread: Thread) -> Entry:
    """One thread."""
    in_words = pitch_of(thread)
    pitch = f"{length(thread.pitch_mm)} mm" if in_words.startswith("pitch") else tr(in_words)
    return entry(thread, (f"{length(thread.diameter_mm)} mm", pitch, thread.id))


def lens_listing(studio: Studio) -> Listing:
    """Kinds of lenses whose unknown data can be estimated."""
    answer = studio.ask("listLensClasses", {})
    assert not isinstance(answer, Refusal)
    told: LensClassesAnswer = cast("LensClassesAnswer", answer)
    return Listing(
        "lenses",
        tr("Kinds of lenses that can be estimated"),
        tr("Published designs of these lenses tell the likely data of a lens of which only the engravings are known."),
        (tr("Focal lengths"), tr("Usual widest aperture"), tr("Usual register"), tr("Published designs")),
        tuple(map(lens_entry, told["records"])),
    )


def lens_entry(record: LensClassRecord) -> Entry:
    """One kind of lens."""
    low, high, register = record["focal_length_from_mm"], record["focal_length_to_mm"], record["register_mm"]
    figures = (
        tr("{low} to {high} mm", low=length(low), high=length(high)),
        f"f/{decimal(record['usual_f_number'])}",
        f"{length(register)} mm" if register else tr("no mount"),
        str(sum(each["records"] for each in record["classes"])),
    )
    return Entry(record["names"][0], "", figures, tr(SURE[record["source_status"]]))


def entry(record: Sensor | Mount | Thread, figures: tuple[str, ...]) -> Entry:
    """A record of the catalogue with its figures."""
    first, *others = record.names
    source = record.source if record.source_status == PUBLISHED else SURE[record.source_status]
    return Entry(tr(first), ", ".join(map(tr, others)), figures, tr(source))


def length(value_mm: float) -> str:
    """Write a length of the catalogue [mm], without its unit."""
    return decimal(value_mm, DIGITS)
