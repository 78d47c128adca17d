"""Small requests beside a crowd of heavy ones: `PYTHONPATH=tests/support python tests/benchmarks/crowd.py [--heavy 32]`.

The heavy clients ask without end, and each waits after a refusal for as long as it is told, or not at all with `--rude`.
Meanwhile one client asks small requests in turn on connections of its own; what these take is told, alone and beside each kind
of heavy request. The goal is a median below 50 ms without one failure. With `--proxied` all go through the shipped proxy to two
copies, the heavy ones from an address of their own.
"""

import argparse
import http.client
import random
import sys
import tempfile
import threading
import time
from collections import Counter
from contextlib import ExitStack
from pathlib import Path
from statistics import median, quantiles

sys.path.insert(0, str(Path(__file__).parents[1] / "support"))

from heavy_requests import HEAVY
from running_proxy import running_proxy
from running_service import running_service

SMALL = "/v1/effective-f-number?f_number=8&magnification="
"""Each of another magnification, which no cache holds."""
OTHER_ADDRESS = ("127.0.0.2", 0)
PAUSE_S = 0.02
GOAL_MS = 50.0
JSON = {"Content-Type": "application/json"}


def asked(port: int, method: str, path: str, body: bytes | None = None) -> http.client.HTTPResponse:
    """Ask once, on a connection of its own; what has a body comes from another address."""
    source = OTHER_ADDRESS if body else None
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=60, source_address=source)
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
        if answer.status in (429, 503) and not rude:
            over.wait(float(answer.headers["Retry-After"]))


def small_ms(port: int, seconds: float) -> tuple[list[float], int]:
    """Milliseconds that small requests take for some seconds, and how many failed."""
    found: list[float] = []
    failed, end = 0, time.monotonic() + seconds
    while time.monotonic() < end:
        started = time.perf_counter()
        failed += asked(port, "GET", f"{SMALL}{1 + len(found) / 1e6 + random.random()}").status != 200
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
    parser.add_argument("--proxied", action="store_true", help="through the shipped proxy, to two copies")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder, ExitStack() as stack:
        copies = [
            stack.enter_context(running_service(Path(folder) / f"log-{copy}")) for copy in range(1 + given.proxied)
        ]
        port = copies[0]
        if given.proxied:
            port = stack.enter_context(running_proxy(Path(folder) / "proxy", copies)).port
        show("alone", *small_ms(port, given.seconds / 3), Counter())
        for name, (path, body) in HEAVY.items():
            show(name, *beside(port, path, body, given.heavy, given.seconds, given.rude))


if __name__ == "__main__":
    main()
