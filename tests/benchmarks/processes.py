"""Servers in processes of their own, on one core, and what they take: CPU and memory of the whole family."""

import contextlib
import http.client
import random
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from closeup_service.running.settings import Settings
from machine import cores
from running_service import clean_environment

HERE = Path(__file__).parent
BIN = Path(sys.executable).parent
LONGEST_START_S = 60.0
LONGEST_END_S = 30.0
POLL_S = 0.002
QUIET_PORTS = range(20_000, 30_000)


@dataclass(frozen=True)
class Served:
    """A server that answers."""

    port: int
    pid: int
    start_s: float

    @property
    def family(self) -> list[int]:
        """Processes of the server: the first and all below it."""
        found = [self.pid]
        for pid in found:
            found += children(pid)
        return found

    @property
    def cpu_s(self) -> float:
        """CPU seconds that all its threads have taken so far."""
        threads = (each for pid in self.family for each in Path(f"/proc/{pid}/task").glob("*/schedstat"))
        return sum(int(each.read_text().split()[0]) for each in threads) / 1e9


def children(pid: int) -> list[int]:
    """Processes that a process has started."""
    listed = Path(f"/proc/{pid}/task").glob("*/children")
    return [int(each) for threads in listed for each in threads.read_text().split()]


def memory_of(pid: int, member: str = "Pss") -> int:
    """Bytes of a process: `Pss` shares what is shared with others in equal parts, `Rss` counts it in full."""
    lines = Path(f"/proc/{pid}/smaps_rollup").read_text().splitlines()
    return next(int(line.split()[1]) * 1024 for line in lines if line.startswith(f"{member}:"))


def service(port: int, workers: int = 1) -> list[str]:
    """Command of our service."""
    return [str(BIN / "closeup-service"), "--port", str(port), "--workers", str(workers)]


def gunicorn(app: str, port: int, workers: int = 1) -> list[str]:
    """Command of another application on the same server with the same settings."""
    where = ["--chdir", str(HERE), "--bind", f"127.0.0.1:{port}", "--workers", str(workers)]
    threads = [
        "--worker-class",
        "gthread",
        "--threads",
        str(Settings().threads),
        "--keep-alive",
        "15",
        "--graceful-timeout",
        "5",
        "--preload",
    ]
    return [str(BIN / "gunicorn"), *where, *threads, "--no-control-socket", "--log-level", "warning", app]


def uvicorn(app: str, port: int) -> list[str]:
    """Command of an asynchronous application on its own server."""
    where = ["--app-dir", str(HERE), "--host", "127.0.0.1", "--port", str(port)]
    return [str(BIN / "uvicorn"), *where, "--no-access-log", "--log-level", "warning", app]


def quiet_port() -> int:
    """Return a free port that the system gives no client: who asks one of those again and again may meet himself there."""
    for port in random.sample(QUIET_PORTS, len(QUIET_PORTS)):
        with socket.socket() as probe, contextlib.suppress(OSError):
            probe.bind(("127.0.0.1", port))
            return port
    raise RuntimeError("No port is free.")


@contextmanager
def serving(
    command: Sequence[str],
    port: int,
    path: str,
    *,
    on_cores: Sequence[int] = (),
    environment: Mapping[str, str] | None = None,
) -> Iterator[Served]:
    """Run a server, by default on the server's core alone; yields it as soon as it has answered."""
    wanted = on_cores or cores()[:1]
    started = time.perf_counter()
    with tempfile.TemporaryFile() as log:
        server = subprocess.Popen(
            ["taskset", "-c", ",".join(map(str, wanted)), *command],
            env=clean_environment(**(environment or {})),
            stdout=subprocess.DEVNULL,
            stderr=log,
        )
        try:
            while not answers(port, path):
                if server.poll() is not None or time.perf_counter() - started > LONGEST_START_S:
                    log.seek(0)
                    raise RuntimeError(f"{command[0]} does not answer:\n{log.read().decode()}")
                time.sleep(POLL_S)
            yield Served(port, server.pid, time.perf_counter() - started)
        finally:
            server.terminate()
            server.wait(LONGEST_END_S)


def answers(port: int, path: str) -> bool:
    """Whether a server answers with what was asked."""
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=10)
    try:
        connection.request("GET", path)
        return connection.getresponse().status == 200
    except OSError:
        return False
    finally:
        connection.close()
