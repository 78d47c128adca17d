"""Copies of the service that are lost, and replaced one by one: behind the proxy not one request fails."""

import json
import os
import signal
import threading
import time
from collections.abc import Iterator
from http.client import IncompleteRead
from pathlib import Path

import pytest

from running_proxy import Proxy, running_proxy
from running_service import is_alive, until
from service_client import Service
from service_copies import Copy
from standing_in import standing_in
from wire import Wire

CLIENTS = 4
PAUSE_S = 0.02
"""Of each client between two requests: each takes a port, and the machine has only so many in a minute."""
LONGEST_WAIT_S = 20.0
KILLS = 3
CHANGES = {"settings/limits.conf": {"burst=1200": "burst=60000"}}


@pytest.fixture(scope="module")
def copies(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Copy, Copy]]:
    folder = tmp_path_factory.mktemp("copies")
    pair = Copy(folder / "a"), Copy(folder / "b")
    try:
        for copy in pair:
            copy.start()
        yield pair
    finally:
        for copy in pair:
            copy.end()


@pytest.fixture(scope="module")
def balanced(tmp_path_factory: pytest.TempPathFactory, copies: tuple[Copy, Copy]) -> Iterator[Proxy]:
    folder = tmp_path_factory.mktemp("balanced") / "root"
    with running_proxy(folder, [copy.port for copy in copies], CHANGES) as proxy:
        yield proxy


class Load:
    """Clients that ask on and on, half of them by POST, each question a new one."""

    def __init__(self, port: int) -> None:
        self.port = port
        self.sent = 0
        self.failed: list[str] = []
        self.cut = 0
        """Answers of which only the beginning came: what has begun no proxy can ask for again."""
        self._over = threading.Event()
        self._lock = threading.Lock()
        self._threads = [threading.Thread(target=self._ask, args=(number,)) for number in range(CLIENTS)]

    def __enter__(self) -> "Load":
        for thread in self._threads:
            thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._over.set()
        for thread in self._threads:
            thread.join()

    def wait_for(self, more: int) -> None:
        """Wait until so many more requests are answered."""
        goal, deadline = self.sent + more, time.monotonic() + LONGEST_WAIT_S
        while self.sent < goal and time.monotonic() < deadline:
            time.sleep(0.01)
        assert self.sent >= goal

    def _ask(self, client: int) -> None:
        number = 0
        while not self._over.is_set():
            number += 1
            f_number = 1 + client + number / 1e5
            fault = self._fault_of(f_number, posted=number % 2 == 0)
            with self._lock:
                self.sent += 1
                self.failed += [fault] if fault else []
            self._over.wait(PAUSE_S)

    def _fault_of(self, f_number: float, posted: bool) -> str | None:
        path, query = "/v1/effective-f-number", f"f_number={f_number}&magnification=1&pupil_magnification=1"
        body = json.dumps({"f_number": f_number, "magnification": 1, "pupil_magnification": 1})
        head = f"Host: localhost\r\nContent-Type: application/json\r\nContent-Length: {len(body)}\r\n\r\n{body}"
        request = (
            f"POST {path} HTTP/1.1\r\n{head}" if posted else f"GET {path}?{query} HTTP/1.1\r\nHost: localhost\r\n\r\n"
        )
        try:
            with Wire(self.port).send(request.encode()) as wire:
                answer = wire.answer("POST" if posted else "GET")
            right = answer.status == 200 and json.loads(answer.body)["effective_f_number"] == pytest.approx(
                2 * f_number
            )
            return None if right else f"{answer.status} {answer.body!r}"
        except IncompleteRead:
            with self._lock:
                self.cut += 1
            return None
        except (OSError, ValueError) as error:
            return repr(error)


def test_a_killed_worker_is_replaced_and_no_request_fails(balanced: Proxy, copies: tuple[Copy, Copy]) -> None:
    copy = copies[0]
    with Load(balanced.port) as load:
        for _ in range(KILLS):
            load.wait_for(100)
            before = copy.workers
            os.kill(before[0], signal.SIGKILL)
            assert until(lambda before=before: len(set(copy.workers) - set(before)) == 1)  # type: ignore[misc]
        load.wait_for(100)
    assert load.failed == []
    assert load.cut <= KILLS


def test_a_killed_copy_frees_its_port_and_no_request_fails(balanced: Proxy, copies: tuple[Copy, Copy]) -> None:
    copy = copies[0]
    with Load(balanced.port) as load:
        load.wait_for(100)
        workers = copy.workers
        copy.end(signal.SIGKILL)
        load.wait_for(100)
        assert until(lambda: not any(is_there(worker) for worker in workers))
        copy.start()
        load.wait_for(100)
    assert load.failed == []


def is_there(pid: int) -> bool:
    """Whether a process lives; one that has ended and waits to be noticed does not."""
    try:
        return (Path("/proc") / str(pid) / "stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except OSError:
        return False


@pytest.fixture
def frozen(copies: tuple[Copy, Copy]) -> Iterator[Copy]:
    """One of the copies, stopped: the machine goes on taking connections for it, and nobody answers."""
    copy = copies[0]
    processes = [copy.pid, *copy.workers]
    for process in processes:
        os.kill(process, signal.SIGSTOP)
    try:
        yield copy
    finally:
        for process in processes:
            os.kill(process, signal.SIGCONT)


def test_a_frozen_copy_is_left_out_and_no_small_request_fails(balanced: Proxy, frozen: Copy) -> None:
    """Within the time that a client waits here, far below the time that heavy requests have."""
    with Load(balanced.port) as load:
        load.wait_for(16)
    assert load.failed == []
    assert not is_alive(frozen.port)


def test_a_slow_answer_is_waited_for_where_no_copy_is_quicker(tmp_path: Path) -> None:
    with standing_in() as port, running_proxy(tmp_path / "root", [port]) as proxy:
        service = Service(proxy.url, proxy.port)
        answers = service.get("/?wait_s=3"), service.post("/?wait_s=3&a=1", b"{}")
        assert [answer.status_code for answer in answers] == [200, 200]
        service.session.close()


def test_both_copies_are_replaced_one_by_one_and_no_request_fails(balanced: Proxy, copies: tuple[Copy, Copy]) -> None:
    with Load(balanced.port) as load:
        for copy in copies:
            load.wait_for(100)
            copy.end()
            load.wait_for(50)
            copy.start()
        load.wait_for(100)
    assert load.failed == []


def test_both_copies_reload_at_once_and_no_request_fails(balanced: Proxy, copies: tuple[Copy, Copy]) -> None:
    before = [set(copy.workers) for copy in copies]
    with Load(balanced.port) as load:
        load.wait_for(50)
        for copy in copies:
            os.kill(copy.pid, signal.SIGHUP)
        assert until(lambda: all(len(set(copy.workers) - old) == 2 for copy, old in zip(copies, before, strict=True)))
        load.wait_for(100)
    assert load.failed == []


def test_the_proxy_itself_reloads_and_no_request_fails(balanced: Proxy) -> None:
    with Load(balanced.port) as load:
        load.wait_for(50)
        os.kill(balanced.pid, signal.SIGHUP)
        load.wait_for(200)
    assert load.failed == []


def test_what_was_asked_before_is_answered_while_no_copy_is_there(balanced: Proxy, copies: tuple[Copy, Copy]) -> None:
    service = Service(balanced.url, balanced.port)
    known = service.get("/v1/cautions")
    for copy in copies:
        copy.end()
    try:
        again, other = service.get("/v1/cautions"), service.get("/v1/catalogue/mounts")
    finally:
        for copy in copies:
            copy.start()
    assert (again.status_code, again.content) == (200, known.content)
    assert other.status_code == 502
    assert service.get("/v1/catalogue/mounts").status_code == 200
    service.session.close()
