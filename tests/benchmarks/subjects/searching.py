"""Searches of a large invented kit: arrangements gone through in a second, and memory."""

import tracemalloc
from collections.abc import Callable
from typing import Any

from closeup_service.estimates.ensemble import estimate_lens
from closeup_service.estimates.joint import draw
from closeup_service.gear.search.arrangements import search
from closeup_service.gear.search.request import ARRANGEMENTS, ASSUMED_WISHES, Request
from closeup_service.gear.search.work import Work
from closeup_service.operations.asking.ask import answer_to, loaded
from closeup_service.operations.registry import operation_at
from closeup_service.schemas.kit import demo_kit, read_kit
from large_kit import large_kit, many_parts
from rows import Effort, Row, alone, cpu, in_turns

WIDTHS_MM = (40.0, 20.0, 8.0)
SENSOR_WIDTH_MM = 23.5
MOST_FOR_ESTIMATES = 3.0
"""A search that estimates half of its lenses may take so many times what it takes with all of them known."""


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
    searched = [
        row
        for name, kit in kits.items()
        for width in WIDTHS_MM
        for row in rows_of(name, asked_of(kit, width), width, fewer)
    ]
    return [*searched, *(row_of_estimates(width, fewer) for width in WIDTHS_MM)]


def row_of_estimates(width_mm: float, effort: Effort) -> Row:
    """A whole search request, half of the lenses estimated, against the same with all of them known."""
    whole = large_kit()
    half = {**whole, "lenses": [incomplete(lens) if place % 2 else lens for place, lens in enumerate(whole["lenses"])]}
    estimated, known = whole_search(half, width_mm), whole_search(whole, width_mm)
    what = f"search, 15 of 30 lenses estimated, subject {width_mm:g} mm"
    return in_turns(what, cpu(estimated, 1), "all lenses known", cpu(known, 1), effort, goal=MOST_FOR_ESTIMATES)


def incomplete(lens: dict[str, Any]) -> dict[str, Any]:
    """The lens with its engravings alone."""
    settings = [{"id": each["id"], "focal_length_mm": each["focal_length_mm"]} for each in lens["settings"]]
    return {**lens, "settings": settings}


def whole_search(kit: dict[str, Any], width_mm: float) -> Callable[[], object]:
    """Ask the operation as a request does, its ensembles forgotten."""
    operation = operation_at("/v1/set-ups/search")
    request = {
        "subject_width_mm": width_mm, "subject_depth_mm": 1.0, "camera": {"use": "camera"},
        "least_working_distance_mm": 60.0, "estimate_unknown": True, "kit": kit,
    }  # fmt: skip

    def ask() -> object:
        estimate_lens.cache_clear()
        draw.cache_clear()
        return answer_to(operation, loaded(operation, request), demo_kit)

    return ask


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
