"""Small requests beside a crowd of heavy ones: `PYTHONPATH=tests/support python tests/benchmarks/crowd.py [--heavy 32]`.

The heavy clients ask without end, and each waits after a refusal for as long as it is told, or not at all with `--rude`.
Meanwhile one client asks small requests in turn on connections of its own; what these take is told, alone and beside each kind
of heavy request. The goal is a median below 50 ms without one failure.
"""

import argparse
import http.client
import sys
import tempfile
import threading
import time
from collections import Counter
from pathlib import Path
from statistics import median, quantiles

sys.path.insert(0, str(Path(__file__).parents[1] / "support"))

from heavy_requests import HEAVY
from running_service import running_service

SMALL = "/v1/effective-f-number?f_number=8&magnification=1.5"
PAUSE_S = 0.02
GOAL_MS = 50.0
JSON = {"Content-Type": "application/json"}


def asked(port: int, method: str, path: str, body: bytes | None = None) -> http.client.HTTPResponse:
    """Ask once, on a connection of its own."""
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
    try:
        connection.request(method, path, body, JSON if body else {})
        answer = connection.getresponse()
        answer.read()
        return answer
    finally:
        connection.close()


def ask_heavy(port: int, path: str, body: bytes, over: threading.Event, rude: bool, told: Counter[int]) -> None:
    """Ask for something heavy again and again."""
    while not over.is_set():
        answer = asked(port, "POST", path, body)
        told[answer.status] += 1
        if answer.status == 503 and not rude:
            over.wait(float(answer.headers["Retry-After"]))


def small_ms(port: int, seconds: float) -> tuple[list[float], int]:
    """Milliseconds that small requests take for some seconds, and how many failed."""
    found, failed, end = [], 0, time.monotonic() + seconds
    while time.monotonic() < end:
        started = time.perf_counter()
        failed += asked(port, "GET", SMALL).status != 200
        found.append((time.perf_counter() - started) * 1000)
        time.sleep(PAUSE_S)
    return found, failed


def show(what: str, times: list[float], failed: int, told: Counter[int]) -> None:
    """Print what small requests took."""
    middle, last = median(times), quantiles(times, n=100)[98]
    reached = "reached" if middle < GOAL_MS and not failed else "MISSED"
    print(
        f"{what:28} {len(times):5} small, {failed} failed, median {middle:6.1f} ms, 99 % {last:7.1f} ms, longest "
        f"{max(times):7.1f} ms: {reached}; heavy: {', '.join(f'{number} with {status}' for status, number in told.items())}",
        flush=True,
    )


def beside(
    port: int, path: str, body: bytes, clients: int, seconds: float, rude: bool
) -> tuple[list[float], int, Counter[int]]:
    """Ask small requests beside so many heavy clients."""
    over, told = threading.Event(), Counter[int]()
    threads = [threading.Thread(target=ask_heavy, args=(port, path, body, over, rude, told)) for _ in range(clients)]
    for each in threads:
        each.start()
    try:
        return (*small_ms(port, seconds), told)
    finally:
        over.set()
        for each in threads:
            each.join()


def main() -> None:
    """Measure alone, and beside each kind of heavy request."""
    parser = argparse.ArgumentParser(description="Small requests beside a crowd of heavy ones.")
    parser.add_argument("--heavy", type=int, default=32)
    parser.add_argument("--seconds", type=float, default=15.0)
    parser.add_argument("--rude", action="store_true", help="heavy clients do not wait after a refusal")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder, running_service(Path(folder) / "log") as port:
        show("alone", *small_ms(port, given.seconds / 3), Counter())
        for name, (path, body) in HEAVY.items():
            show(name, *beside(port, path, body, given.heavy, given.seconds, given.rude))


if __name__ == "__main__":
    main()
