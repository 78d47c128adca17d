"""The real service, once for all tests, and a client by socket and one within this process."""

import http.client
import os
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from closeup_client import Client

LONGEST_START_S = 60.0


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


def answers(port: int) -> bool:
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=5)
    try:
        connection.request("GET", "/healthz")
        return connection.getresponse().status == 200
    except OSError:
        return False
    finally:
        connection.close()


def wait_for(service: subprocess.Popen[bytes], port: int, log: Path) -> None:
    deadline = time.monotonic() + LONGEST_START_S
    while not answers(port):
        if service.poll() is not None or time.monotonic() > deadline:
            pytest.fail(f"The service did not start:\n{log.read_text()}")
        time.sleep(0.05)


@pytest.fixture(scope="session")
def service_url(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    port = free_port()
    log = tmp_path_factory.mktemp("service") / "log"
    program = str(Path(sys.executable).with_name("closeup-service"))
    command = [program, "--port", str(port), "--workers", "1", "--threads", "4"]
    environment = {name: value for name, value in os.environ.items() if not name.startswith("CLOSEUP_")}
    with log.open("wb") as sink:
        service = subprocess.Popen(command, stdout=sink, stderr=sink, env=environment)
    try:
        wait_for(service, port, log)
        yield f"http://127.0.0.1:{port}"
    finally:
        service.terminate()
        service.wait(30)


@pytest.fixture
def by_socket(service_url: str) -> Iterator[Client]:
    with Client(service_url) as client:
        yield client


@pytest.fixture(scope="session")
def in_process() -> Iterator[Client]:
    with Client.in_process() as client:
        yield client


@pytest.fixture(params=["by_socket", "in_process"])
def client(request: pytest.FixtureRequest) -> Client:
    found: Client = request.getfixturevalue(request.param)
    return found
