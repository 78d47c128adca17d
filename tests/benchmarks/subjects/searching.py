"""Searches of a large invented kit: arrangements gone through in a second, and memory."""

import tracemalloc

from closeup_service.gear.search import arrangements_of, search
from closeup_service.gear.search_asked import ARRANGEMENTS, Asked
from closeup_service.schemas.kit import read_kit
from large_kit import large_kit
from rows import Effort, Row, alone, cpu

WIDTHS_MM = (40.0, 20.0, 8.0)
SENSOR_WIDTH_MM = 23.5


def asked_of(kit: object, width_mm: float) -> Asked:
    """A search of the kit for a subject this wide."""
    read = read_kit(kit, "request")  # type: ignore[arg-type]
    return Asked(
        read, read.cameras_by_id["camera"], SENSOR_WIDTH_MM / width_mm, 0.05, {"least_working_distance_mm": 60.0}, 1.0,
        frozenset(ARRANGEMENTS), 10, {},
    )  # fmt: skip


def rows(effort: Effort) -> list[Row]:
    """Speed and memory for subjects of three sizes."""
    fewer = Effort(max(2, effort.pairs // 5), effort.share)
    return [row for width in WIDTHS_MM for row in rows_of(asked_of(large_kit(), width), width, fewer)]


def rows_of(asked: Asked, width_mm: float, effort: Effort) -> list[Row]:
    """Speed and memory for one subject."""
    count, seconds = arrangements_of(asked), cpu(lambda: search(asked), 1)
    return [
        alone(f"search, subject {width_mm:g} mm, arrangements", lambda: count / seconds(), effort, unit="per s"),
        Row(f"search, subject {width_mm:g} mm, memory while searching", memory_of_a_search(asked), "byte"),
    ]


def memory_of_a_search(asked: Asked) -> float:
    """Most that a search holds at once, of objects and columns."""
    tracemalloc.start()
    search(asked)
    most = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return float(most)
