"""Bodies, header fields and framing: refused by the proxy where the service would refuse, and passed on where it would not."""

import http.client
import json

import pytest

from closeup_service.operations.registry import operations
from closeup_service.running.settings import Settings
from service_client import Service
from wire import PATH, Wire, chunked, posted

QUERY = PATH + "?f_number=8&magnification=1"
BODY = b'{"f_number": 8, "magnification": 1}'
PHOTOGRAPHS = Settings().limits.most_bytes
BY_POST = {
    each.path: PHOTOGRAPHS if each.takes_photographs else each.most_content_bytes
    for each in operations()
    if "POST" in each.methods
} | {"/tasks/ruler": PHOTOGRAPHS}


def is_of_the_proxy(problem: dict[str, object]) -> bool:
    return problem["type"] == "/problems/content-too-large" and problem["detail"] == "Send a smaller body."


@pytest.mark.parametrize(("path", "most_bytes"), BY_POST.items())
def test_as_much_is_taken_as_the_service_takes_and_no_more(through: Service, path: str, most_bytes: int) -> None:
    """L01: one byte more is refused before it is sent; the last byte that may come is waited for."""
    with through.wire() as wire:
        wire.send(posted(f"Content-Length: {most_bytes + 1}", path=path))
        refused = wire.answer("POST")
    assert refused.status == 413
    assert is_of_the_proxy(json.loads(refused.body))
    with through.wire() as wire:
        wire.send(posted(f"Content-Length: {most_bytes}\r\nExpect: 100-continue", path=path))
        assert wire.line().startswith(b"HTTP/1.1 100")


def test_a_body_of_the_largest_size_reaches_the_service(through: Service) -> None:
    largest = b'{"f_number": 8, "magnification": 1}'.ljust(BY_POST[PATH])
    assert through.post(PATH, largest).status_code == 200
    assert through.post(PATH, largest + b" ").status_code == 413


def test_who_sends_too_much_can_read_that_it_was_too_much(through: Service) -> None:
    """L09"""
    answer = through.post(PATH, b" " * 3_000_000)
    assert answer.status_code == 413
    assert is_of_the_proxy(answer.json())


def test_a_chunked_body_is_counted_as_it_comes(through: Service) -> None:
    """L01"""
    with through.wire() as wire:
        wire.send(posted("Transfer-Encoding: chunked", chunked(*[b" " * 65536] * 24)))
        assert wire.answer("POST").status == 413
    with through.wire() as wire:
        wire.send(posted("Transfer-Encoding: chunked", chunked(BODY[:5], BODY[5:])))
        assert wire.answer("POST").status == 200


def test_a_compressed_body_is_refused_and_not_unpacked(through: Service) -> None:
    """S17"""
    answer = through.post(PATH, BODY, Content_Encoding="gzip")
    assert answer.status_code == 415
    assert answer.headers["Accept-Encoding"] == "identity"


@pytest.mark.parametrize(
    ("request_", "statuses"),
    [
        (f"GET {QUERY} HTTP/1.1\r\n\r\n".encode(), {400}),
        (posted("Content-Length: 35\r\nTransfer-Encoding: chunked", chunked(BODY)), {400}),
        (posted("Content-Length: 35\r\nContent-Length: 36", BODY), {400}),
        (posted("Content-Length: -1", BODY), {400}),
        (posted("Content-Length: 3x", BODY), {400}),
        (posted("Transfer-Encoding: xchunked", chunked(BODY)), {400, 501}),
        (posted("Transfer-Encoding: gzip, chunked", chunked(BODY)), {400, 501}),
        (posted("Transfer-Encoding: chunked", b"zz\r\nabc\r\n0\r\n\r\n"), {400}),
        (b"GET  / HTTP/1.1\r\nHost: a b\r\n\r\n", {400}),
        (b"GET / HTTP/9.9\r\nHost: localhost\r\n\r\n", {400, 505}),
        (b"GET / HTTP/1.1\r\nHost: localhost\r\nHost: other\r\n\r\n", {400}),
        (b"GET /%00 HTTP/1.1\r\nHost: localhost\r\n\r\n", {400}),
        (b"TRACE / HTTP/1.1\r\nHost: localhost\r\n\r\n", {405}),
        (b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03\r\n\r\n", {400}),
        (b"\r\n\x00\xff\r\n\r\n", {400}),
    ],
    ids=[
        "no host",
        "two framings",
        "two lengths",
        "negative length",
        "odd length",
        "odd coding",
        "two codings",
        "bad chunk",
        "odd host",
        "odd version",
        "two hosts",
        "zero byte",
        "trace",
        "TLS",
        "noise",
    ],
)
def test_malformed_requests_get_one_answer_and_the_end(through: Service, request_: bytes, statuses: set[int]) -> None:
    """L04"""
    with through.wire() as wire:
        wire.send(request_)
        answer = wire.answer()
        assert answer.status in statuses
        assert b"nginx/" not in answer.body
        wire.socket.settimeout(20)
        assert answer.status == 405 or wire.is_closed()


@pytest.mark.parametrize(
    ("length", "status"), [(8190, 200), (8191, 414), (12000, 414), (40000, 414)], ids=["most", "over", "far", "absurd"]
)
def test_a_request_line_may_be_as_long_as_the_service_takes_it(through: Service, length: int, status: int) -> None:
    """L03"""
    start, end = "GET /physics?", " HTTP/1.1"
    with through.wire() as wire:
        wire.send(f"{start}{'a' * (length - len(start + end))}{end}\r\nHost: localhost\r\n\r\n".encode())
        assert wire.answer().status == status


@pytest.mark.parametrize(
    ("fields", "status"),
    [
        ("X-Long: " + "a" * 12000, 200),
        ("X-Long: " + "a" * 20000, 431),
        ("X-Many: a\r\n" * 200 + "X-Last: a", 200),
        ("X-Many: aaaaaaaaaaaaaaaaaaaaaaa\r\n" * 3000 + "X-Last: a", 431),
    ],
    ids=["long", "too long", "many", "too many"],
)
def test_header_fields_that_the_service_does_not_read_never_reach_it(
    through: Service, fields: str, status: int
) -> None:
    """L03"""
    with through.wire() as wire:
        wire.send(f"GET {QUERY} HTTP/1.1\r\nHost: localhost\r\n{fields}\r\n\r\n".encode())
        assert wire.answer().status == status


def test_header_fields_without_an_end_are_cut_off(through: Service) -> None:
    with through.wire() as wire:
        wire.send(b"GET / HTTP/1.1\r\nHost: localhost\r\n")
        try:
            for _ in range(2000):
                wire.send(b"X-Endless: " + b"a" * 1000 + b"\r\n")
        except (BrokenPipeError, ConnectionResetError):
            return
        assert wire.answer().status == 431


def test_pipelined_requests_are_answered_in_order(through: Service) -> None:
    with through.wire() as wire:
        paths = [f"{PATH}?magnification=1&pupil_magnification=1&f_number={number}" for number in range(1, 11)]
        wire.send(b"".join(f"GET {path} HTTP/1.1\r\nHost: localhost\r\n\r\n".encode() for path in paths))
        answers = [json.loads(wire.answer().body)["effective_f_number"] for _ in paths]
    assert answers == [2.0 * number for number in range(1, 11)]


def test_expect_continue_works(through: Service) -> None:
    """L06"""
    with through.wire() as wire:
        wire.send(posted(f"Content-Length: {len(BODY)}\r\nExpect: 100-continue"))
        assert wire.line().startswith(b"HTTP/1.1 100")
        wire.send(BODY)
        assert wire.answer("POST").status == 200


def test_a_client_of_http_1_0_is_served(through: Service) -> None:
    """O06"""
    with through.wire() as wire:
        wire.send(f"GET {QUERY} HTTP/1.0\r\n\r\n".encode())
        assert wire.answer().status == 200
        assert wire.is_closed()


def test_a_client_that_goes_away_is_no_hindrance(through: Service, service_port: int) -> None:
    for _ in range(20):
        with through.wire() as wire:
            wire.send(posted("Content-Length: 35", BODY[:9]))
    assert through.get("/healthz").status_code == 200
    with Wire(service_port) as wire:
        wire.send(b"GET /healthz HTTP/1.1\r\nHost: localhost\r\n\r\n")
        assert wire.answer().status == http.client.OK
