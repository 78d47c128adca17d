"""The catalogue: sensor and film formats, lens mounts and threads, read once from the package data.

Every record names where its value comes from. ``source_status`` says how far to trust that:
``published``: the named source, or a public text that quotes it, was read. ``from-memory``: the value is well
known or its source is named, but none was read. ``common-practice``: a fact of the trade without a source.
"""

import json
import re
from collections.abc import Callable, Iterable, Mapping
from importlib.resources import files
from math import hypot
from types import MappingProxyType
from typing import Any, Literal, TypeVar

from msgspec import Struct
from msgspec.structs import asdict

from closeup_service.language import later, tr

SourceStatus = Literal["published", "from-memory", "common-practice"]


class Sensor(Struct, frozen=True):
    """A sensor or film format: the picture area, landscape but for the few that stand upright in their cameras."""

    id: str
    width_mm: float
    height_mm: float
    names: tuple[str, ...]
    source: str
    source_status: SourceStatus

    @property
    def diagonal_mm(self) -> float:
        """Corner to corner of the picture area [mm]."""
        return hypot(self.width_mm, self.height_mm)


class Mount(Struct, frozen=True):
    """How a lens joins a camera.

    The register runs from the flange to the sensor, in air [mm]. The throat is the opening of a bayonet
    [mm], where it is known. A thread mount names its thread. The throat is added to the id of a further
    bayonet with the same register, the register to that of a further mount with the same thread.
    """

    id: str
    register_mm: float
    kind: Literal["thread", "bayonet"]
    throat_mm: float | None
    thread: str | None
    names: tuple[str, ...]
    source: str
    source_status: SourceStatus


class Thread(Struct, frozen=True):
    """A screw thread by its nominal major diameter and its pitch [mm], with its chief use."""

    id: str
    diameter_mm: float
    pitch_mm: float
    use: Literal["filter", "mount", "objective"]
    names: tuple[str, ...]
    source: str
    source_status: SourceStatus


Record = TypeVar("Record", Sensor, Mount, Thread)


def _load(file_name: str, kind: Callable[..., Record]) -> Mapping[str, Record]:
    text = files(__package__).joinpath("data", file_name).read_text(encoding="utf-8")
    rows: list[dict[str, Any]] = json.loads(text)["records"]
    records = [kind(**(row | {"names": tuple(row["names"])})) for row in rows]
    return MappingProxyType({record.id: record for record in records})


SENSORS: Mapping[str, Sensor] = _load("sensors.json", Sensor)
MOUNTS: Mapping[str, Mount] = _load("mounts.json", Mount)
THREADS: Mapping[str, Thread] = _load("threads.json", Thread)

MM_PER_INCH = 25.4
WHOLE_TURNS = 1e-9
"""A thread cut by turns to the inch has a whole number of them within rounding; no metric pitch has."""

MEASURES = re.compile(r"([0-9]{1,4}(?:\.[0-9]{1,4})?)x([0-9]{1,4}(?:\.[0-9]{1,4})?)")
_SENSORS_BY_MEASURES = {(sensor.width_mm, sensor.height_mm): sensor.id for sensor in SENSORS.values()}


def sensor_id(written: str) -> str:
    """Id of the sensor of these measures, whatever zeros end them: 17.3x13 is 17.3x13.0; any other text as it is."""
    measures = MEASURES.fullmatch(written)
    return written if measures is None else _SENSORS_BY_MEASURES.get((float(measures[1]), float(measures[2])), written)


def turned_sensor(written: str) -> str | None:
    """Id of the sensor of these measures with width and height exchanged, where there is one."""
    width, by, height = written.partition("x")
    turned = sensor_id(f"{height}x{width}")
    return turned if by and turned in SENSORS else None


def describe_pitch(thread: Thread) -> str:
    """Pitch of a thread in words."""
    return tr(pitch_of(thread))


def pitch_of(thread: Thread) -> str:
    """Pitch of a thread, in words that are said later: in turns to the inch where it was cut by them."""
    turns = MM_PER_INCH / thread.pitch_mm
    whole = round(turns)
    return (
        later("{whole} turns to the inch", whole=whole)
        if abs(turns - whole) < WHOLE_TURNS
        else later("pitch {pitch_mm:g} mm", pitch_mm=thread.pitch_mm)
    )


def _as_record(entry: Sensor | Mount | Thread) -> dict[str, object]:
    record = asdict(entry) | {"names": list(entry.names)}
    if isinstance(entry, Sensor):
        record["diagonal_mm"] = entry.diagonal_mm
    return record


def as_records(entries: Iterable[Sensor | Mount | Thread]) -> list[dict[str, object]]:
    """Return the entries as plain dicts, in their order, names as lists, sensors with their diagonal."""
    return [_as_record(entry) for entry in entries]
