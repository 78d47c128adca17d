"""Load: concurrency changes no answer, nothing grows; processes die, reload and end under it."""

import contextlib
import json
import os
import re
import shutil
import signal
import socket
import subprocess
import threading
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
import requests

from attacked import Attacked
from kits import changed, sound
from log_lines import messages_of
from processes_of import children, descriptors_of, memory_of
from running_service import COMMAND, clean_environment, free_port, is_alive, until
from service_client import Service
from wire import Wire

PATH = "/v1/effective-f-number"
QUERY = PATH + "?f_number=8&magnification=1"
GET = f"GET {QUERY} HTTP/1.1\r\nHost: localhost\r\n\r\n".encode()
TOO_MUCH = json.dumps({"f_number": 256, "magnification": 1e308, "pupil_magnification": 1e-308}).encode()
FAR = b'{"focal_length_mm": 5000, "f_number": 256, "magnification": 0.0001, "circle_of_confusion_mm": 10}'
TABLE = json.dumps(
    {
        "camera": {"register_mm": 18.0, "sensor": "23.5x15.6"},
        "train": [
            {"element": "lens", "focal_length_mm": 35, "f_number": 8, "register_mm": 45.46},
            {"element": "spacer", "length_mm": 31},
        ],
        "columns": {"/train/1/length_mm": [0, 31, 1e4, 1e-9]},
    }
).encode()
MOST_GROWTH_BYTES = 8 * 1024 * 1024
SOON_S = 30.0


class Master:
    """A service whose first process the test holds."""

    def __init__(self, process: subprocess.Popen[bytes], port: int, log: Path) -> None:
        self.process, self.port, self.log = process, port, log
        self.url = f"http://127.0.0.1:{port}"

    def workers(self) -> set[int]:
        return set(children(self.process.pid))


@contextlib.contextmanager
def mastered(log: Path, *options: str) -> Iterator[Master]:
    """Run the service; end it, and what a killed first process would leave in shared memory."""
    port = free_port()
    with log.open("wb") as sink:
        command = [COMMAND, "--port", str(port), *options]
        process = subprocess.Popen(command, stdout=sink, stderr=sink, env=clean_environment())
    try:
        assert until(lambda: is_alive(port)), log.read_text()
        yield Master(process, port, log)
    finally:
        process.terminate()
        process.wait(SOON_S)
        for left in Path("/dev/shm").glob(f"closeup-counts-{process.pid}-*"):
            shutil.rmtree(left, ignore_errors=True)  # another test's service may be sweeping it up


class Asking:
    """Clients that ask all the while, each request on a connection of its own; what failed is kept."""

    def __init__(self, url: str, clients: int = 4) -> None:
        self._url, self._done = url, threading.Event()
        self._threads = [threading.Thread(target=self._ask) for _ in range(clients)]
        self.answered = 0
        self.failed: list[str] = []

    def _ask(self) -> None:
        while not self._done.is_set():
            try:
                status = requests.get(self._url + QUERY, timeout=SOON_S).status_code
                self.answered += 1
                if status != 200:
                    self.failed.append(str(status))
            except requests.RequestException as error:
                self.failed.append(repr(error))

    def __enter__(self) -> "Asking":
        for thread in self._threads:
            thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._done.set()
        for thread in self._threads:
            thread.join()


def test_company_changes_no_answer(attacked: Attacked) -> None:
    """F32"""
    asked = [
        (PATH, b'{"f_number": 8, "magnification": 1}'),
        (PATH, TOO_MUCH),
        ("/v1/depth-of-field", FAR),
        ("/v1/set-ups/table", TABLE),
        (PATH, b"{"),
    ]

    def answer(number: int) -> tuple[int, bytes]:
        service = Service(attacked.service.url, attacked.service.port)
        got = service.post(*asked[number % len(asked)])
        service.session.close()
        return got.status_code, re.sub(rb'"request_id":"[^"]*"', b"", got.content)

    alone = [answer(number) for number in range(len(asked))]
    assert {status for status, _ in alone} >= {200, 400, 422}
    with ThreadPoolExecutor(12) as pool:
        for number, got in enumerate(pool.map(answer, range(60 * len(asked)))):
            assert got == alone[number % len(asked)]


def asked_often(port: int, requests_: int) -> None:
    """Good and refused requests in turn, over kept connections, a new one now and then."""
    bad = GET.replace(b"f_number=8", b"f_number=x")
    lost = GET.replace(PATH.encode(), b"/nothing")
    for begun in range(0, requests_, 250):
        with Wire(port) as wire:
            for number in range(begun, min(begun + 250, requests_)):
                wire.send((GET, bad, lost, GET)[number % 4].replace(b"magnification=1", b"magnification=1.%d" % number))
                assert wire.answer().status in (200, 404, 422)


def test_nothing_grows(tmp_path: Path) -> None:
    """F33"""
    with mastered(tmp_path / "log", "--workers", "1", "--threads", "2") as master:
        (worker,) = master.workers()
        asked_often(master.port, 2000)
        before = memory_of(worker), descriptors_of(worker)
        asked_often(master.port, 8000)
        assert until(lambda: descriptors_of(worker) <= before[1] + 2)
        assert memory_of(worker) - before[0] < MOST_GROWTH_BYTES


def test_a_killed_worker_is_replaced(tmp_path: Path) -> None:
    """F34"""
    with mastered(tmp_path / "log", "--workers", "2") as master, Asking(master.url) as asking:
        first = master.workers()
        killed = min(first)
        os.kill(killed, signal.SIGKILL)
        assert until(lambda: len(master.workers() - {killed}) == 2, 6)
        reached = asking.answered
        assert until(lambda: asking.answered > reached + 50)
    assert len(asking.failed) <= 4  # what was in flight


def test_workers_without_their_master_free_the_port(tmp_path: Path) -> None:
    """F35"""
    with mastered(tmp_path / "log", "--workers", "2") as master, Wire(master.port) as kept:
        kept.send(GET)
        assert kept.answer().status == 200
        master.process.kill()
        master.process.wait(SOON_S)

        def is_free() -> bool:
            with socket.socket() as probe, contextlib.suppress(OSError):
                probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
                probe.bind(("127.0.0.1", master.port))
                probe.listen(1)
                return True
            return False

        assert until(is_free)


def test_a_reload_under_load_fails_no_request_and_reads_the_kit_again(tmp_path: Path) -> None:
    """F36"""
    kit = tmp_path / "kit.json"
    kit.write_text(json.dumps(sound()), encoding="utf-8")
    with mastered(tmp_path / "log", "--workers", "2", "--kit", str(kit)) as master:
        first = master.workers()
        with Asking(master.url) as asking:
            kit.write_text(json.dumps(changed("/name", "Another kit")), encoding="utf-8")
            master.process.send_signal(signal.SIGHUP)
            assert until(lambda: len(master.workers()) == 2 and not master.workers() & first)
        assert (asking.failed, asking.answered > 0) == ([], True)
        assert requests.get(f"{master.url}/v1/kit", timeout=SOON_S).json()["kit"]["name"] == "Another kit"
        kit.write_text("{", encoding="utf-8")
        second = master.workers()
        master.process.send_signal(signal.SIGHUP)
        assert until(lambda: len(master.workers()) == 2 and not master.workers() & second)
        assert requests.get(f"{master.url}/v1/kit", timeout=SOON_S).json()["kit"]["name"] == "Another kit"
    assert [each for each in messages_of(master.log) if each.endswith("The former kit stays.")]


def test_told_to_end_it_answers_what_it_has_and_takes_nothing_new(tmp_path: Path) -> None:
    """F37"""
    body = b'{"f_number": 8, "magnification": 1}'
    head = f"POST {PATH} HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: {len(body)}\r\n\r\n"
    with mastered(tmp_path / "log", "--workers", "1") as master, Wire(master.port) as wire:
        wire.send(head.encode() + body[:5])
        time.sleep(0.5)
        master.process.send_signal(signal.SIGTERM)
        assert until(lambda: not is_alive(master.port), 10)
        wire.send(body[5:])
        assert wire.answer("POST").status == 200
        assert master.process.wait(20) == 0


@pytest.mark.parametrize("output", ["/dev/full"])
def test_a_log_that_is_full_stops_no_request(output: str) -> None:
    port = free_port()
    with open(output, "wb") as sink:
        service = subprocess.Popen([COMMAND, "--port", str(port)], stdout=sink, stderr=sink, env=clean_environment())
    try:
        assert until(lambda: is_alive(port))
        assert requests.get(f"http://127.0.0.1:{port}{QUERY}", timeout=SOON_S).status_code == 200
    finally:
        service.terminate()
        assert service.wait(SOON_S) == 0
