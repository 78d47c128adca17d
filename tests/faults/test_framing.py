"""Framing that is broken, doubled or half there, over bare connections."""

import http.client
import json
import socket
import struct

import pytest

from attacked import Attacked
from log_lines import lines_of
from wire import PATH, Wire, posted

QUERY = PATH + "?f_number=8&magnification=1"
BODY = b'{"f_number": 8, "magnification": 1}'
GET = f"GET {QUERY} HTTP/1.1\r\nHost: localhost\r\n\r\n".encode()
SMUGGLED = b"GET /smuggled HTTP/1.1\r\nHost: localhost\r\n\r\n"


def statuses_until_closed(wire: Wire) -> list[int]:
    """Statuses of all answers until the other side closes."""
    found = []
    while True:
        try:
            found.append(wire.answer("POST").status)
        except (http.client.BadStatusLine, ConnectionError):
            return found


@pytest.mark.parametrize(
    "body",
    [
        b"zz\r\nabc\r\n0\r\n\r\n",
        b"5\r\nabc",
        b"3\r\nabcdef\r\n0\r\n\r\n",
        b"-1\r\n\r\n",
        b"0x3\r\nabc\r\n0\r\n\r\n",
        b"ffffffffffffffffffff\r\n",
        b"1" * 5000,
        b'3;x="\x00"\r\n{ }\r\n0\r\n\r\n',
    ],
    ids=["no number", "cut short", "longer than said", "negative", "prefixed", "endless", "no line end", "extension"],
)
def test_broken_chunking_is_refused_and_closed_without_a_logged_stack(attacked: Attacked, body: bytes) -> None:
    """F08"""
    with attacked.service.wire() as wire:
        wire.send(posted("Transfer-Encoding: chunked", body))
        wire.socket.shutdown(socket.SHUT_WR)
        assert statuses_until_closed(wire) == [400]
    assert not [each for each in lines_of(attacked.log) if "stack" in each]


@pytest.mark.parametrize(
    ("head", "body"),
    [
        ("Content-Length: 5\r\nTransfer-Encoding: chunked", b"0\r\n\r\n" + SMUGGLED),
        ("Transfer-Encoding: chunked\r\nContent-Length: 100", b"0\r\n\r\n" + SMUGGLED),
        ("Content-Length: 2\r\nContent-Length: 50", b"{}" + SMUGGLED),
        ("Content-Length: 2, 50", b"{}" + SMUGGLED),
        ("Content-Length: +2", b"{}" + SMUGGLED),
        ("Content-Length: 0x2", b"{}" + SMUGGLED),
        ("Transfer-Encoding: xchunked", b"0\r\n\r\n" + SMUGGLED),
        ("Transfer-Encoding: chunked, identity", b"0\r\n\r\n" + SMUGGLED),
        ("Transfer-Encoding: identity, chunked, chunked", b"0\r\n\r\n" + SMUGGLED),
        ("Transfer-Encoding : chunked", b"0\r\n\r\n" + SMUGGLED),
        ("Transfer-Encoding: gzip, chunked", b"0\r\n\r\n" + SMUGGLED),
    ],
)
def test_doubtful_framing_has_one_answer_and_ends_the_connection(attacked: Attacked, head: str, body: bytes) -> None:
    """F09"""
    with attacked.service.wire() as wire:
        wire.send(posted(head, body))
        found = statuses_until_closed(wire)
    assert len(found) == 1
    assert found[0] in (400, 501)
    assert "/smuggled" not in attacked.log.read_text(encoding="utf-8")


@pytest.mark.parametrize("host", ["", "Host:\r\n", "Host: \r\n"])
def test_a_request_without_host_is_refused(attacked: Attacked, host: str) -> None:
    """F11"""
    with attacked.service.wire() as wire:
        wire.send(f"GET {QUERY} HTTP/1.1\r\n{host}\r\n".encode())
        assert wire.answer().status == 400


@pytest.mark.parametrize("method", ["TRACE", "BREW", "CONNECT", "PROPFIND", "get", "G\x01T"])
def test_other_methods_are_refused_and_nothing_is_echoed(attacked: Attacked, method: str) -> None:
    """F12"""
    with attacked.service.wire() as wire:
        wire.send(
            f"{method} {PATH} HTTP/1.1\r\nHost: localhost\r\nX-Secret: e7c1\r\nConnection: close\r\n\r\n".encode()
        )
        answer = wire.answer()
    assert answer.status in (400, 405, 501)
    assert answer.status != 405 or "GET" in answer.headers["Allow"]
    assert b"e7c1" not in answer.body


def test_requests_sent_together_are_answered_in_their_order(attacked: Attacked) -> None:
    """F13"""
    with attacked.service.wire() as wire:
        wire.send(b"".join(GET.replace(b"f_number=8", b"f_number=%d&pupil_magnification=1" % n) for n in range(1, 9)))
        found: list[float] = []
        while len(found) < 8:
            try:
                found.append(json.loads(wire.answer().body)["effective_f_number"])
            except (http.client.BadStatusLine, ConnectionError):
                break
    assert found == [2 * n for n in range(1, len(found) + 1)]
    assert found


def test_a_client_that_has_said_all_is_still_answered(attacked: Attacked) -> None:
    """F14"""
    with attacked.service.wire() as wire:
        wire.send(GET)
        wire.socket.shutdown(socket.SHUT_WR)
        assert wire.answer().status == 200


def test_clients_that_reset_leave_no_trace(attacked: Attacked) -> None:
    """F14"""
    for sent in (b"", GET[:20], GET, posted("Content-Length: 100", b"{"), GET * 5):
        for _ in range(5):
            client = socket.create_connection(("127.0.0.1", attacked.service.port), timeout=10)
            client.sendall(sent)
            client.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
            client.close()
    assert attacked.service.get(QUERY).status_code == 200
    assert not [each for each in lines_of(attacked.log) if "stack" in each]
