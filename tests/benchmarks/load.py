"""Requests per second that a server answers to many connections at once, from the client's core."""

import re
import shutil
import subprocess
import time

from machine import cores
from persistent import Connection, prepared
from rows import Measure

CONNECTIONS = 16
WRK = shutil.which("wrk")
PER_SECOND = re.compile(r"Requests/sec:\s+([\d.]+)")
CLIENT = "wrk" if WRK else "a client of our own"


def requests_per_second(port: int, path: str, seconds: float) -> Measure:
    """Measure it by the load generator wrk, or by a slower client of our own where it is not installed."""
    return lambda: by_wrk(port, path, seconds) if WRK else by_connections(port, path, seconds)


def by_wrk(port: int, path: str, seconds: float) -> float:
    """Let wrk ask for some whole seconds."""
    length = f"-d{max(1, round(seconds))}s"
    command = [
        "taskset",
        "-c",
        str(cores()[1]),
        str(WRK),
        "-t1",
        f"-c{CONNECTIONS}",
        length,
        f"http://127.0.0.1:{port}{path}",
    ]
    told = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    found = PER_SECOND.search(told)
    if found is None or "Non-2xx" in told or "Socket errors" in told:
        raise RuntimeError(f"Some requests were not answered:\n{told}")
    return float(found[1])


def by_connections(port: int, path: str, seconds: float) -> float:
    """Ask over every connection, then read every answer, again and again."""
    connections, request = [Connection(port) for _ in range(CONNECTIONS)], prepared("GET", path)
    started, answered = time.perf_counter(), 0
    while time.perf_counter() - started < seconds:
        for connection in connections:
            connection.send(request)
        for connection in connections:
            connection.receive()
        answered += CONNECTIONS
    taken = time.perf_counter() - started
    for connection in connections:
        connection.close()
    return answered / taken
