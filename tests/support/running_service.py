"""The real service on a free port of the loopback interface, started and ended by the tests."""

import http.client
import os
import random
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

LONGEST_START_S = 60.0
LONGEST_END_S = 30.0
COMMAND = str(Path(sys.executable).with_name("closeup-service"))


def free_port() -> int:
    """A free port below those that the system gives to connections going out, which could take it before the service does."""
    while True:
        port = random.randrange(16_000, 32_000)
        if can_bind(port):
            return port


def can_bind(port: int) -> bool:
    with socket.socket() as probe:
        try:
            probe.bind(("127.0.0.1", port))
        except OSError:
            return False
        return True


def clean_environment(**more: str) -> dict[str, str]:
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("CLOSEUP_", "PROMETHEUS_"))}
    return kept | more


def is_alive(port: int) -> bool:
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=5)
    try:
        connection.request("GET", "/healthz")
        return connection.getresponse().status == 200
    except OSError:
        return False
    finally:
        connection.close()


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
