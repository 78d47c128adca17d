"""Bodies that trickle are given up in seconds; those that only take their time are read."""

import threading
import time
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path

import pytest

from closeup_service.operations.asking.limits import LEAST_BYTES_PER_S, SLOW_START_S
from log_lines import messages_of, requests_of
from running_service import running_service, until
from service_client import Service
from wire import Wire

THREADS = 4
PAUSE_S = 0.1
HEAD = "POST {} HTTP/1.1\r\nHost: localhost\r\nContent-Type: {}\r\n{}\r\n\r\n"
MULTIPART = "multipart/form-data; boundary=frontier"
PART = b'--frontier\r\nContent-Disposition: form-data; name="photo"; filename="p.jpg"\r\n\r\n'
UPLOAD = HEAD.format("/v1/scale-reading/photo", MULTIPART, "Content-Length: 30000000").encode() + PART
TRICKLES = {
    "upload": (UPLOAD, b"a"),
    "JSON": (HEAD.format("/v1/magnification", "application/json", "Content-Length: 100000").encode(), b" "),
    "chunks": (
        HEAD.format("/v1/magnification", "application/json", "Transfer-Encoding: chunked").encode(),
        b"1\r\n \r\n",
    ),
}
SMALL = "/v1/effective-f-number?f_number=8&magnification=1"


@contextmanager
def trickling(port: int, count: int, head: bytes, drop: bytes) -> Iterator[list[Wire]]:
    """Clients that send a little again and again, for as long as the connection takes it."""
    over = threading.Event()

    def drip(wire: Wire) -> None:
        try:
            wire.send(head)
            while not over.wait(PAUSE_S):
                wire.send(drop)
        except OSError:
            return

    with ExitStack() as stack:
        wires = [stack.enter_context(Wire(port, timeout=60)) for _ in range(count)]
        threads = [threading.Thread(target=drip, args=(wire,)) for wire in wires]
        for each in threads:
            each.start()
        try:
            yield wires
        finally:
            over.set()
            for each in threads:
                each.join()


@pytest.mark.parametrize("kind", TRICKLES)
def test_a_trickle_in_every_thread_blocks_nobody_for_long(tmp_path: Path, kind: str) -> None:
    """F02"""
    log = tmp_path / "log"
    with (
        running_service(log, "--workers", "1", "--threads", str(THREADS)) as port,
        trickling(port, THREADS, *TRICKLES[kind]) as wires,
    ):
        time.sleep(10 * PAUSE_S)
        assert Service(f"http://127.0.0.1:{port}", port).get(SMALL).status_code == 200
        answers = [wire.answer("POST") for wire in wires]
        assert {answer.status for answer in answers} == {408}
        assert {answer.headers["Content-Type"] for answer in answers} == {"application/problem+json"}
        assert all(wire.is_closed() for wire in wires)
    assert [line["status"] for line in requests_of(log) if line["method"] == "POST"] == [408] * THREADS
    assert not [each for each in messages_of(log) if "rror" in each]


def test_a_slow_body_at_the_rate_allowed_is_read(tmp_path: Path) -> None:
    body = b'{"f_number": 8, "magnification": 1}'.ljust(int(2 * SLOW_START_S * LEAST_BYTES_PER_S))
    head = HEAD.format("/v1/effective-f-number", "application/json", f"Content-Length: {len(body)}").encode()
    piece = int(LEAST_BYTES_PER_S * PAUSE_S * 2)
    with running_service(tmp_path / "log", "--workers", "1", "--threads", "1") as port, Wire(port) as wire:
        wire.send(head)
        for start in range(0, len(body), piece):
            wire.send(body[start : start + piece])
            time.sleep(PAUSE_S)
        assert wire.answer("POST").status == 200
        assert until(lambda: Service(f"http://127.0.0.1:{port}", port).get(SMALL).status_code == 200)
