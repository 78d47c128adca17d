"""The real service on a free port of the loopback interface, started and ended by the tests."""

import http.client
import os
import random
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

LONGEST_START_S = 60.0
LONGEST_END_S = 30.0
DRAW = random.SystemRandom()
"""Not the one that tests seed: those run side by side would draw the same."""
COMMAND = str(Path(sys.executable).with_name("closeup-service"))


def free_port() -> int:
    """A free port below those that systems give to clients: one of these might take it before the service does."""
    while True:
        port = DRAW.randrange(20_000, 32_000)
        with socket.socket() as probe, suppress(OSError):
            probe.bind(("127.0.0.1", port))
            return port


def clean_environment(**more: str) -> dict[str, str]:
    """Surroundings without settings of a service; byte code is kept from one start to the next, as people have it."""
    left_out = ("CLOSEUP_", "PROMETHEUS_", "PYTHONDONTWRITEBYTECODE")
    return {name: value for name, value in os.environ.items() if not name.startswith(left_out)} | more


def is_alive(port: int) -> bool:
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=5)
    try:
        connection.request("GET", "/healthz")
        return connection.getresponse().status == 200
    except OSError:
        return False
    finally:
        connection.close()


def until(met: Callable[[], bool], longest_s: float = LONGEST_END_S) -> bool:
    """Whether something comes to be in time."""
    deadline = time.monotonic() + longest_s
    while time.monotonic() < deadline:
        if met():
            return True
        time.sleep(0.05)
    return False


@contextmanager
def running_service(log: Path, *options: str, port: int = 0, **environment: str) -> Iterator[int]:
    """Run `closeup-service` with the options, on a free port unless one is given; yields its port."""
    port = port or free_port()
    with log.open("wb") as sink:
        service = subprocess.Popen(
            [COMMAND, "--port", str(port), *options], stdout=sink, stderr=sink, env=clean_environment(**environment)
        )
    try:
        deadline = time.monotonic() + LONGEST_START_S
        while not is_alive(port):
            if service.poll() is not None or time.monotonic() > deadline:
                raise RuntimeError(f"The service did not start:\n{log.read_text()}")
            time.sleep(0.05)
        yield port
    finally:
        service.terminate()
        service.wait(LONGEST_END_S)
