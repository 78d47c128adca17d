"""Records that the service lists, each with its source: formats, mounts, threads, cautions."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from closeup_client.answer import Caution


@dataclass(frozen=True, kw_only=True)
class CautionRecord(Caution):
    """A caution of the whole list, in general words, and what it applies to."""

    applies_to: str
    raw: Mapping[str, Any] = field(repr=False, compare=False)


@dataclass(frozen=True, kw_only=True)
class Record:
    """What every record of the catalogue says of itself, its source included."""

    id: str
    names: tuple[str, ...]
    source: str
    source_status: str
    raw: Mapping[str, Any] = field(repr=False, compare=False)


@dataclass(frozen=True, kw_only=True)
class SensorRecord(Record):
    """A sensor or film format by its picture area, in mm."""

    width_mm: float
    height_mm: float
    diagonal_mm: float


@dataclass(frozen=True, kw_only=True)
class MountRecord(Record):
    """A lens mount: its register and throat in mm, and its thread in the catalogue where it is one."""

    register_mm: float
    kind: str
    throat_mm: float | None
    thread: str | None


@dataclass(frozen=True, kw_only=True)
class ThreadRecord(Record):
    """A thread of a filter, mount or objective: major diameter and pitch in mm."""

    diameter_mm: float
    pitch_mm: float
    use: str
