"""What one core answers, and how its time grows: `python tests/benchmarks/sizing.py [--json FILE]`. Nothing passes or fails.

One process of the service, pinned to a core where the system lets us; one client asks over one kept connection. Answers in
a second are counted by the processor time that the service took, so that what else the machine does hardly matters. How the
time grows with a table's rows and a search's arrangements is processor time within one process, without HTTP.
"""

import argparse
import http.client
import json
import os
import platform
import statistics
import sys
import tempfile
import time
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1] / "support"))

from closeup_service.gear.search.arrangements import search as search_kit
from closeup_service.gear.search.work import Work
from closeup_service.http.app import create_app
from closeup_service.operations.plan.search import operation as search
from closeup_service.operations.set_up.table import operation as table
from in_process_calls import wsgi
from large_kit import large_kit
from processes import children, memory_of
from requests_asked import TABLE
from rows import Measure, cpu
from ruler_pictures import as_pixels, jpeg, ruler
from running_service import running_service
from subjects.searching import asked_of
from subjects.tables import body_of
from uploads import form

LONGEST_S = 5.0
LEAST, MOST = 5, 3000
ROWS = (1, 100, 1000, 10_000)
KITS = ((1, 1), (3, 3), (10, 4), (30, 6))
"""Lenses and tubes of each kit."""
SUBJECT_WIDTH_MM = 20.0
TURNS = 5
JSON = {"Content-Type": "application/json"}
Asked = tuple[str, str, bytes | None, dict[str, str]]


def asked() -> Iterator[tuple[str, Asked]]:
    """Every kind of request that is measured."""
    yield "GET effective-f-number", ("GET", "/v1/effective-f-number?f_number=8&magnification=1.5", None, {})
    rows = dict(table.OPERATION.examples[0].request)
    set_up = {name: rows[name] for name in ("camera", "train")}
    set_up["train"] = [rows["train"][0], {"element": "spacer", "length_mm": 31}]
    yield "POST set-ups/evaluate", ("POST", "/v1/set-ups/evaluate", json.dumps(set_up).encode(), JSON)
    rows["columns"] = {"/train/1/length_mm": [5 + number / 200 for number in range(10_000)]}
    yield "table of 10,000 rows, 3 fields", ("POST", table.OPERATION.path, json.dumps(rows).encode(), JSON)
    wanted = json.dumps(search.OPERATION.examples[0].request).encode()
    yield "search of the demo kit", ("POST", search.OPERATION.path, wanted, JSON)
    body, kind = form({"tick_pitch_mm": 0.5}, [jpeg(as_pixels(ruler(2000, 1500, 140.0)))])
    yield "photograph of 3 megapixels", ("POST", "/v1/scale-reading/photo", body, {"Content-Type": kind})


def cpu_s(process: int) -> float:
    """Processor seconds of a process so far, all its threads."""
    numbers = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()
    return (int(numbers[11]) + int(numbers[12])) / os.sysconf("SC_CLK_TCK")


def measure(port: int, worker: int, request: Asked) -> tuple[float, float]:
    """Answers in a processor second, and the median in milliseconds."""
    connection, times = http.client.HTTPConnection("127.0.0.1", port, timeout=60), []
    for number in range(MOST + 3):
        if number == 3:
            before, began = cpu_s(worker), time.perf_counter()
        started = time.perf_counter()
        connection.request(*request)
        answer = connection.getresponse()
        answer.read()
        if answer.status != 200:
            sys.exit(f"{request[1]}: {answer.status}")
        times.append((time.perf_counter() - started) * 1000)
        if number >= LEAST + 3 and time.perf_counter() - began > LONGEST_S:
            break
    connection.close()
    return (len(times) - 3) / (cpu_s(worker) - before), statistics.median(times[3:])


def memory_mb(port: int, workers: int) -> float:
    """Memory of the service once every process has answered."""
    small = dict(asked())["GET effective-f-number"]
    for _ in range(100 * workers):
        connection = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
        connection.request(*small)
        connection.getresponse().read()
        connection.close()
    (master,) = [each for each in children(os.getpid()) if children(each)]
    return sum(map(memory_of, [master, *children(master)])) / 1e6


def growth() -> Iterator[tuple[str, float]]:
    """Processor milliseconds of tables by their rows, then of searches by their arrangements."""
    app = create_app()
    for count in ROWS:
        yield (
            f"table of {count:,} rows",
            steady_ms(cpu(wsgi(app, "POST", TABLE, body_of(count)), max(1, 1000 // count))),
        )
    for lenses, tubes in KITS:
        kit = large_kit()
        kit |= {"lenses": kit["lenses"][:lenses], "tubes": kit["tubes"][:tubes]}
        wanted = asked_of(kit, SUBJECT_WIDTH_MM)
        count = search_kit(wanted, Work()).plan.arrangements
        yield f"search of {count:,} arrangements", steady_ms(cpu(partial(searched, wanted), 1))


def searched(wanted: Any) -> None:
    """Search a kit."""
    search_kit(wanted, Work())


def steady_ms(measure: Measure) -> float:
    """Median of some turns, in milliseconds, after one that does not count."""
    measure()
    return 1000 * statistics.median(measure() for _ in range(TURNS))


def main() -> None:
    """Measure each kind, then the memory of one and of three processes."""
    parser = argparse.ArgumentParser(description="What one core answers.")
    parser.add_argument("--json", metavar="FILE", help="write the figures there too")
    given = parser.parse_args()
    loads, memory = [], []
    with tempfile.TemporaryDirectory() as folder:
        log = Path(folder) / "log"
        with running_service(log, "--workers", "1") as port:
            (master,) = [each for each in children(os.getpid()) if children(each)]
            (worker,) = children(master)
            memory.append(memory_mb(port, 1))
            os.sched_setaffinity(worker, {max(os.sched_getaffinity(0))})
            for what, request in asked():
                per_second, milliseconds = measure(port, worker, request)
                loads.append({"what": what, "per_second": per_second, "milliseconds": milliseconds})
                print(f"{what:28} {per_second:9.1f} a second of one core   median {milliseconds:8.2f} ms", flush=True)
        with running_service(log, "--workers", "3") as port:
            memory.append(memory_mb(port, 3))
    further = (memory[1] - memory[0]) / 2
    machine = f"{platform.python_implementation()} {platform.python_version()}, {platform.machine()}"
    print(f"{machine}: {memory[0]:.0f} MB with one process, {further:.1f} MB for each further one")
    grown = {}
    for what, milliseconds in growth():
        grown[what] = milliseconds
        print(f"{what:32} {milliseconds:8.2f} ms of one core", flush=True)
    if given.json:
        figures = {
            "machine": machine,
            "loads": loads,
            "growth_ms": grown,
            "first_worker_mb": memory[0],
            "further_worker_mb": further,
        }
        Path(given.json).write_text(json.dumps(figures, indent=2), encoding="utf-8")


if __name__ == "__main__":
    main()
