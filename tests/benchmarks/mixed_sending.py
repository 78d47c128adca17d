"""The mix of requests sent over connections that stay open: by wrk, or else by a client of our own."""

import http.client
import random
import shutil
import subprocess
import threading
import time
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from statistics import median, quantiles

from mixed_requests import Asked, as_lua

CONNECTIONS = 16
LONGEST_S = 20.0
WRK = shutil.which("wrk")


@dataclass
class Told:
    """What some seconds of the load came to."""

    requests: int = 0
    refused: int = 0
    broken: int = 0
    late: int = 0
    median_ms: float = 0.0
    last_hundredth_ms: float = 0.0
    longest_ms: float = 0.0


@dataclass
class Heard:
    """What one connection has heard."""

    statuses: Counter[int] = field(default_factory=Counter)
    milliseconds: list[float] = field(default_factory=list)
    broken: int = 0
    late: int = 0


def send_mix(asked: Sequence[Asked], port: int, turn: int, seconds: int, folder: Path) -> Told:
    """Send the mix for some seconds."""
    return by_wrk(asked, port, turn, seconds, folder) if WRK else by_threads(asked, port, turn, seconds)


def by_wrk(asked: Sequence[Asked], port: int, turn: int, seconds: int, folder: Path) -> Told:
    """Let wrk send it."""
    script = folder / "mix.lua"
    script.write_text(as_lua(list(asked)), encoding="ascii")
    line = [str(WRK), "-t1", f"-c{CONNECTIONS}", f"-d{seconds}s", "--timeout", f"{LONGEST_S:g}s", "-s", str(script)]
    ended = subprocess.run(
        [*line, f"http://127.0.0.1:{port}", "--", str(turn)], capture_output=True, text=True, check=True
    )
    found = next(each for each in ended.stdout.splitlines() if each.startswith("told ")).split()[1:]
    return Told(*map(int, found[:4]), *map(float, found[4:]))


def by_threads(asked: Sequence[Asked], port: int, turn: int, seconds: int) -> Told:
    """Send it from a thread for each connection."""
    end = time.monotonic() + seconds
    heard = [Heard() for _ in range(CONNECTIONS)]
    threads = [
        threading.Thread(target=send_until, args=(asked, port, random.Random(f"{turn} {number}"), end, each))
        for number, each in enumerate(heard)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    times = sorted(took for each in heard for took in each.milliseconds)
    statuses = sum((each.statuses for each in heard), Counter[int]())
    refused = sum(number for status, number in statuses.items() if status >= 400)
    broken, late = sum(each.broken for each in heard), sum(each.late for each in heard)
    return Told(len(times), refused, broken, late, median(times), quantiles(times, n=100)[98], times[-1])


def send_until(asked: Sequence[Asked], port: int, draw: random.Random, end: float, heard: Heard) -> None:
    """Send requests of the mix by their weights over one connection, and over another where that breaks."""
    weights = [each.weight for each in asked]
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=LONGEST_S)
    while time.monotonic() < end:
        for each in draw.choices(asked, weights, k=50):
            started = time.perf_counter()
            try:
                connection.request(each.method, each.target, each.body or None, each.headers)
                answer = connection.getresponse()
                answer.read()
            except TimeoutError:
                heard.late += 1
                connection.close()
            except (OSError, http.client.HTTPException):
                heard.broken += 1
                connection.close()
            else:
                heard.statuses[answer.status] += 1
                heard.milliseconds.append((time.perf_counter() - started) * 1000)
    connection.close()
