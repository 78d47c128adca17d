"""Answers of `refer`, as they are made.

Written by `python -m closeup_service.published.record_types` from the service's schemas; not to be edited.
"""

from collections.abc import Mapping, Sequence
from typing import Any, Required, TypedDict

from closeup_service.records.shared_answers import Answer, Caution


class Record(TypedDict, total=False):
    """What every record of the catalogue says of itself."""

    id: Required[str]
    names: Required[Sequence[str]]
    source: Required[str]
    source_status: Required[str]


class SensorRecord(Record, total=False):
    """Sensor or film format."""

    width_mm: Required[float]
    height_mm: Required[float]
    diagonal_mm: Required[float]


class SensorsAnswer(TypedDict, total=False):
    """All sensor formats."""

    records: Required[Sequence[SensorRecord]]


class MountRecord(Record, total=False):
    """Lens mount."""

    register_mm: Required[float]
    kind: Required[str]
    throat_mm: Required[float | None]
    thread: Required[str | None]


class MountsAnswer(TypedDict, total=False):
    """All mounts."""

    records: Required[Sequence[MountRecord]]


class ThreadRecord(Record, total=False):
    """Thread of a filter, mount or objective."""

    diameter_mm: Required[float]
    pitch_mm: Required[float]
    use: Required[str]


class ThreadsAnswer(TypedDict, total=False):
    """All threads."""

    records: Required[Sequence[ThreadRecord]]


class CautionRecord(Caution, total=False):
    """A caution in general words, and when it applies."""

    applies_to: Required[str]


class CautionsAnswer(TypedDict, total=False):
    """All cautions, people first."""

    records: Required[Sequence[CautionRecord]]


class KitAnswer(Answer, total=False):
    """A kit as it was read, its defaults filled in, and its revision."""

    revision: Required[str]
    origin: Required[str]
    parts: Required[int]
    kit: Required[Mapping[str, Any]]
    whole_kit: Mapping[str, Any]
