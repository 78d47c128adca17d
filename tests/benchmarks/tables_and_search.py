"""What tables and searches cost: `PYTHONPATH=tests/support python tests/benchmarks/tables_and_search.py`.

Nothing here passes or fails.
"""

import io
import os
import resource
import sys
import time
from collections.abc import Callable
from statistics import median
from typing import Any

import numpy as np
import orjson

from closeup_service.gear.search import search
from closeup_service.gear.search_asked import ARRANGEMENTS, Asked
from closeup_service.optics.arithmetic import Columns
from closeup_service.optics.set_up import evaluate
from closeup_service.schemas.fields import load
from closeup_service.schemas.kit import read_kit
from closeup_service.web.app import create_app
from closeup_service.web.operations import set_up, table
from large_kit import large_kit

ROWS, ROUNDS = 10_000, 25
FIELDS = (
    "magnification", "subject_width_mm", "subject_height_mm", "working_distance_mm", "clearance_mm", "subject_to_sensor_mm",
    "rig_length_mm", "effective_f_number", "numerical_aperture", "light_loss_stops", "depth_of_field.front_depth_mm",
    "depth_of_field.rear_depth_mm", "depth_of_field.total_mm", "diffraction.subject_resolution_um",
)  # fmt: skip


def table_request() -> bytes:
    """10,000 rows of two columns, 14 outputs."""
    draw = np.random.default_rng(1)
    columns = {
        "/train/0/f_number": draw.uniform(2, 22, ROWS).round(3).tolist(),
        "/train/1/length_mm": draw.uniform(20, 150, ROWS).round(3).tolist(),
    }
    train = [set_up.REVERSED_35, {"element": "spacer"}]
    return orjson.dumps({"camera": set_up.CAMERA, "train": train, "columns": columns, "fields": FIELDS})


def posting(body: bytes) -> Callable[[], bytes]:
    """Call of the bare application, without a client's own costs."""
    app = create_app()

    def call() -> bytes:
        surroundings = {
            "REQUEST_METHOD": "POST", "PATH_INFO": "/v1/set-ups/table", "SERVER_NAME": "x", "SERVER_PORT": "80",
            "SERVER_PROTOCOL": "HTTP/1.1", "HTTP_HOST": "x", "CONTENT_TYPE": "application/json", "wsgi.version": (1, 0),
            "CONTENT_LENGTH": str(len(body)), "wsgi.input": io.BytesIO(body), "wsgi.url_scheme": "http",
            "wsgi.errors": sys.stderr,
        }  # fmt: skip
        chunks = app(surroundings, lambda *told: io.BytesIO().write)
        answer = b"".join(chunks)
        chunks.close()  # type: ignore[attr-defined]  # the application's own response
        return answer

    return call


def cpu_of(call: Callable[[], Any]) -> float:
    """CPU seconds of one call."""
    started = time.process_time()
    call()
    return time.process_time() - started


def time_table() -> None:
    """The table against orjson alone, which reads the request and writes the answer."""
    body = table_request()
    call = posting(body)
    answer = orjson.loads(call())

    def floor() -> bytes:
        orjson.loads(body)
        return orjson.dumps(answer)

    pairs = [(cpu_of(call), cpu_of(floor)) for _ in range(ROUNDS)]
    own, least = (median(times) * 1e3 for times in zip(*pairs, strict=True))
    ratio = median(a / b for a, b in pairs)
    print(f"table, {ROWS} rows, {len(FIELDS)} outputs  {own:7.2f} ms   orjson alone {least:6.2f} ms   {ratio:5.2f} x")
    document = table.with_numpy_numbers(load(table.OPERATION.request_schema, orjson.loads(body))["document"])  # type: ignore[arg-type]

    def core() -> object:
        with np.errstate(all="ignore"):
            return evaluate(document, Columns(ROWS))

    seconds = median(cpu_of(core) for _ in range(ROUNDS * 4))
    print(f"core, evaluated rows per second        {ROWS / seconds / 1e6:7.1f} million")


def time_search() -> None:
    """A search of the large kit, with the whole memory of the process."""
    kit = read_kit(large_kit(), "request")
    wishes = {"least_working_distance_mm": 60.0}
    for width in (40.0, 20.0, 8.0):
        asked = Asked(
            kit, kit.cameras_by_id["camera"], 23.5 / width, 0.05, wishes, 1.0, frozenset(ARRANGEMENTS), 10, {}
        )  # fmt: skip
        result = search(asked)
        seconds = median(cpu_of(lambda asked=asked: search(asked)) for _ in range(3))  # type: ignore[misc]
        print(
            f"search, subject {width:4.0f} mm   {seconds:6.2f} s   {result.arrangements / seconds / 1e6:5.1f} million "
            f"arrangements/s   {result.found.framed} framed, {result.found.hits} set-ups meet the wishes"
        )
    print(f"greatest memory of the process         {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:7.0f} MB")


if __name__ == "__main__":
    if hasattr(os, "sched_setaffinity"):
        os.sched_setaffinity(0, {min(os.sched_getaffinity(0))})
    time_table()
    time_search()
