"""How long small calls wait beside the largest table and beside a photograph of 24 megapixels: one worker, wall-clock.

Another client asks for GET effective-f-number all the while, one every 5 ms or so.
"""

import threading
import time
from collections.abc import Callable
from statistics import median, quantiles

from persistent import Connection, prepared
from processes import service, serving
from requests_asked import GET_PATH, TABLE
from rows import Effort, Row
from running_service import free_port
from ruler_pictures import as_pixels, jpeg, ruler
from subjects.tables import body_of
from uploads import form

SMALL = prepared("GET", GET_PATH)
LONG_S = 6.0
PAUSE_S = 0.005


def rows(effort: Effort) -> list[Row]:
    """Median and 99th percentile alone and beside both."""
    port, seconds = free_port(), LONG_S * max(effort.share, 0.5)
    with serving(service(port), port, "/healthz"):
        alone = beside(port, time.sleep, seconds)
        table = beside(port, repeated(port, prepared("POST", TABLE, body_of(10_000))), seconds)
        photograph = beside(port, repeated(port, photograph_request()), seconds)
    return [
        *told("small call, alone", alone, alone),
        *told("small call beside a table of 10,000 rows", table, alone),
        *told("small call beside a photograph of 24 megapixels", photograph, alone),
    ]


def told(what: str, times: list[float], alone: list[float]) -> list[Row]:
    """Rows of a median and a 99th percentile, against those alone."""
    pairs = ((", median", median(times), median(alone)), (", 99 % within", last(times), last(alone)))
    if times is alone:
        return [Row(what + kind, value) for kind, value, _ in pairs]
    return [Row(what + kind, value, "s", "small call, alone", least, value / least) for kind, value, least in pairs]


def last(times: list[float]) -> float:
    """99th percentile."""
    return quantiles(times, n=100)[-1]


def beside(port: int, load: Callable[[float], None], seconds: float) -> list[float]:
    """Seconds of small calls while a load runs for so long."""
    loading, times = threading.Thread(target=load, args=(seconds,)), []
    connection = Connection(port)
    connection.ask(SMALL)
    loading.start()
    while loading.is_alive():
        started = time.perf_counter()
        connection.ask(SMALL)
        times.append(time.perf_counter() - started)
        time.sleep(PAUSE_S)
    connection.close()
    return times


def repeated(port: int, request: bytes) -> Callable[[float], None]:
    """Load: the same request again and again."""

    def load(seconds: float) -> None:
        connection, ends = Connection(port), time.monotonic() + seconds
        while time.monotonic() < ends:
            connection.ask(request)
        connection.close()

    return load


def photograph_request() -> bytes:
    """Request with the photograph of a ruler."""
    body, media_type = form({"tick_pitch_mm": 0.5}, [jpeg(as_pixels(ruler(6000, 4000, 400.0)))])
    return prepared("POST", "/v1/scale-reading/photo", body, media_type)
