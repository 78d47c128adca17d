"""Searches of a large invented kit: arrangements gone through in a second, and memory."""

import tracemalloc

from closeup_service.gear.search.arrangements import search
from closeup_service.gear.search.request import ARRANGEMENTS, ASSUMED_WISHES, Request
from closeup_service.gear.search.work import Work
from closeup_service.schemas.kit import read_kit
from large_kit import large_kit, many_parts
from rows import Effort, Row, alone, cpu

WIDTHS_MM = (40.0, 20.0, 8.0)
SENSOR_WIDTH_MM = 23.5


def asked_of(kit: object, width_mm: float) -> Request:
    """A search of the kit for a subject this wide."""
    read = read_kit(kit, "request")  # type: ignore[arg-type]
    wishes = {**ASSUMED_WISHES, "least_working_distance_mm": 60.0}
    return Request(
        read, read.cameras_by_id["camera"], SENSOR_WIDTH_MM / width_mm, 0.05, wishes, 1.0,
        frozenset(ARRANGEMENTS), 10, 2, {}, frozenset(ASSUMED_WISHES),
    )  # fmt: skip


def rows(effort: Effort) -> list[Row]:
    """Speed and memory for subjects of three sizes."""
    fewer = Effort(max(2, effort.pairs // 5), effort.share)
    kits = {"": large_kit(), ", 15 tubes and 40 rings": many_parts(1)}
    return [
        row
        for name, kit in kits.items()
        for width in WIDTHS_MM
        for row in rows_of(name, asked_of(kit, width), width, fewer)
    ]


def rows_of(name: str, asked: Request, width_mm: float, effort: Effort) -> list[Row]:
    """Speed and memory for one subject."""
    count, seconds = search(asked, Work()).plan.arrangements, cpu(lambda: search(asked, Work()), 1)
    what = f"search{name}, subject {width_mm:g} mm"
    return [
        alone(f"{what}, arrangements", lambda: count / seconds(), effort, unit="per s"),
        alone(f"{what}, CPU", seconds, effort, unit="s"),
        Row(f"{what}, memory while searching", memory_of_a_search(asked), "byte"),
    ]


def memory_of_a_search(asked: Request) -> float:
    """Most that a search holds at once, of objects and columns."""
    tracemalloc.start()
    search(asked, Work())
    most = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return float(most)
