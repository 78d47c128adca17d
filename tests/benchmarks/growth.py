"""How cost grows with rows, candidates, workers and cores: `python tests/benchmarks/growth.py --json FILE`.

The file is drawn at /growth when it is written to `service/closeup_service/pages/growth.json`. Rows and candidates: CPU within
one process. Workers and cores: requests per second that wrk gets over 16 connections; it shares the last core with the
service where that has all of them.
"""

import argparse
import json
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from statistics import median
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "support"))

import machine
from closeup_service.gear.search.arrangements import search
from closeup_service.gear.search.work import Work
from closeup_service.http.app import create_app
from in_process_calls import wsgi
from large_kit import large_kit
from load import requests_per_second
from processes import memory_of, quiet_port, service, serving
from requests_asked import GET_PATH, TABLE
from rows import Measure, cpu, settle
from subjects.searching import asked_of
from subjects.tables import body_of

ROWS = (1, 3, 10, 30, 100, 300, 1000, 3000, 10_000)
KITS = ((1, 1), (2, 2), (3, 3), (5, 4), (10, 4), (15, 5), (20, 6), (30, 6))
"""Lenses and tubes of each kit."""
WORKERS = (1, 2, 3, 4, 6, 8)
TURNS = 5
SECONDS = 3.0
SUBJECT_WIDTH_MM = 20.0
Figures = dict[str, float]


def over_rows() -> Iterator[Figures]:
    """CPU of a table by its rows."""
    app = create_app()
    settle()
    for count in ROWS:
        measure = cpu(wsgi(app, "POST", TABLE, body_of(count)), max(1, 1000 // count))
        yield {"rows": count, "cpu_s": steady(measure)}


def over_candidates() -> Iterator[Figures]:
    """CPU of a search by the arrangements of the kit."""
    for lenses, tubes in KITS:
        kit = large_kit()
        kit |= {"lenses": kit["lenses"][:lenses], "tubes": kit["tubes"][:tubes]}
        asked = asked_of(kit, SUBJECT_WIDTH_MM)
        count = search(asked, Work()).plan.arrangements
        yield {"candidates": count, "cpu_s": steady(cpu(lambda asked=asked: search(asked, Work()), 1))}  # type: ignore[misc]


def over_workers() -> Iterator[Figures]:
    """Requests per second and memory by workers, all on every core."""
    for workers in WORKERS:
        yield {"workers": workers, **under_load(workers, machine.ALLOWED)}


def over_cores() -> Iterator[Figures]:
    """Requests per second by cores, two workers for each."""
    for count in range(1, len(machine.ALLOWED) + 1):
        yield {"cores": count, **under_load(2 * count, machine.ALLOWED[:count])}


def under_load(workers: int, on_cores: tuple[int, ...]) -> Figures:
    """Requests per second, CPU for each, and memory of a running service."""
    port = quiet_port()
    with serving(service(port, workers), port, "/healthz", on_cores=on_cores) as served:
        measure, before = requests_per_second(port, GET_PATH, SECONDS), served.cpu_s
        rates = [measure() for _ in range(TURNS)]
        spent, memory = served.cpu_s - before, sum(map(memory_of, served.family))
    return {"per_s": median(rates), "cpu_s": spent / (sum(rates) * SECONDS), "memory_bytes": memory}


def steady(measure: Measure) -> float:
    """Median of some turns after one that does not count."""
    measure()
    return median(measure() for _ in range(TURNS))


def main() -> None:
    """Measure, print and write."""
    parser = argparse.ArgumentParser(description="How cost grows with rows, candidates, workers and cores.")
    parser.add_argument("--json", metavar="FILE", type=Path, required=True)
    given = parser.parse_args()
    machine.pin(machine.cores()[1])
    found: dict[str, Any] = {
        "date": time.strftime("%Y-%m-%d"),
        "machine": machine.told(machine.described()).partition("\n")[0],
    }
    for name, measured in (
        ("rows", over_rows), ("candidates", over_candidates), ("workers", over_workers), ("cores", over_cores),
    ):  # fmt: skip
        found[name] = []
        for figures in measured():
            found[name].append(figures)
            print(name, *(f"{key}={value:.4g}" for key, value in figures.items()), flush=True)
    given.json.write_text(json.dumps(found, indent=1) + "\n")


if __name__ == "__main__":
    main()
