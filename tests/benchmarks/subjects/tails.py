"""How long small calls wait beside the largest table and beside a photograph of 24 megapixels: one worker, wall-clock.

Another client asks for GET effective-f-number all the while, one every 5 ms or so.
"""

import threading
import time
from collections.abc import Callable, Sequence
from statistics import median, quantiles

from persistent import Connection, prepared
from processes import quiet_port, service, serving
from requests_asked import GET_PATH, TABLE
from rows import Effort, Row, spread_of
from ruler_pictures import as_pixels, jpeg, ruler
from subjects.tables import body_of
from uploads import form

SMALL = prepared("GET", GET_PATH)
LONG_S = 3.0
PAUSE_S = 0.005


def rows(effort: Effort) -> list[Row]:
    """Median and 99th percentile alone and beside both, in turns."""
    port, seconds = quiet_port(), LONG_S * max(effort.share, 0.3)
    with serving(service(port), port, "/healthz"):
        table = repeated(port, prepared("POST", TABLE, body_of(10_000)))
        photograph = repeated(port, photograph_request())
        loads = (time.sleep, table, photograph)
        turns = [[beside(port, load, seconds) for load in loads] for _ in range(max(3, effort.pairs // 3))]
    quiet, by_table, by_photograph = (figures_of(times) for times in zip(*turns, strict=True))
    return [
        *told("small call", quiet, None),
        *told("small call beside a table of 10,000 rows", by_table, quiet),
        *told("small call beside a photograph of 24 megapixels", by_photograph, quiet),
    ]


def told(what: str, found: list[list[float]], quiet: list[list[float]] | None) -> list[Row]:
    """Rows of the medians and the 99th percentiles of all turns, against those alone."""
    kinds = (", median", ", 99 % within")
    if quiet is None:
        return [Row(what + kind, median(own), spread=spread_of(own)) for kind, own in zip(kinds, found, strict=True)]
    rows = []
    for kind, own, least in zip(kinds, found, quiet, strict=True):
        ratios = [a / b for a, b in zip(own, least, strict=True)]
        rows.append(
            Row(what + kind, median(own), "s", "small call alone", median(least), median(ratios), spread_of(ratios))
        )
    return rows


def figures_of(turns: Sequence[Sequence[float]]) -> list[list[float]]:
    """Median of every turn, and 99th percentile of every turn."""
    return [[median(times) for times in turns], [last(times) for times in turns]]


def last(times: Sequence[float]) -> float:
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
