"""Limits, framing, and staying in step; all bounded in count and time."""

import json
from concurrent.futures import ThreadPoolExecutor

import pytest

from service_client import Service
from wire import PATH, chunked, posted

QUERY = PATH + "?f_number=8&magnification=1"
BODY = b'{"f_number": 8, "magnification": 1}'
GET = f"GET {QUERY} HTTP/1.1\r\nHost: localhost\r\n\r\n".encode()
MEGABYTE = 1024 * 1024


def test_a_body_over_the_limit_is_refused(service: Service) -> None:
    """L01 L09"""
    answer = service.post(PATH, b'{"f_number": 8' + b" " * 3 * MEGABYTE + b"}")
    assert answer.status_code == 413
    assert answer.json()["type"] == "/problems/content-too-large"


def test_a_body_declared_over_the_limit_is_refused_before_it_is_sent(service: Service) -> None:
    """L01"""
    with service.wire() as wire:
        wire.send(posted(f"Content-Length: {10**9}"))
        assert wire.answer("POST").status == 413


def test_a_chunked_body_over_the_limit_is_refused(service: Service) -> None:
    """L01"""
    with service.wire() as wire:
        wire.send(posted("Transfer-Encoding: chunked", chunked(*[b" " * 65536] * 24)))
        assert wire.answer("POST").status == 413


def test_a_chunked_body_is_read_like_any_other(service: Service) -> None:
    """L01"""
    with service.wire() as wire:
        wire.send(posted("Transfer-Encoding: chunked", chunked(BODY[:5], BODY[5:])))
        assert wire.answer("POST").status == 200


def test_the_longest_train_works_and_a_longer_one_is_refused_with_a_pointer(service: Service) -> None:
    """L02"""

    def train(spacers: int) -> bytes:
        lens = {"element": "lens", "focal_length_mm": 50, "f_number": 4, "register_mm": 44}
        parts = [lens] + [{"element": "spacer", "length_mm": 1}] * spacers
        return json.dumps({"camera": {"register_mm": 44}, "train": parts}).encode()

    assert service.post("/v1/set-ups/evaluate", train(31)).status_code == 200
    refused = service.post("/v1/set-ups/evaluate", train(32))
    assert refused.status_code == 422
    assert [error["pointer"] for error in refused.json()["errors"]] == ["/train"]


@pytest.mark.parametrize(
    "request_",
    [
        f"GET /{'a' * 9000} HTTP/1.1\r\nHost: localhost\r\n\r\n",
        f"GET / HTTP/1.1\r\nHost: localhost\r\nX-Long: {'a' * 70000}\r\n\r\n",
        "GET / HTTP/1.1\r\nHost: localhost\r\n" + "X-Many: a\r\n" * 200 + "\r\n",
    ],
    ids=["target", "header", "headers"],
)
def test_overlong_targets_and_headers_are_refused(service: Service, request_: str) -> None:
    """L03"""
    with service.wire() as wire:
        wire.send(request_.encode())
        assert 400 <= wire.answer().status < 500


@pytest.mark.parametrize(
    "request_",
    [
        f"GET {QUERY} HTTP/1.1\r\n\r\n".encode(),
        posted("Content-Length: 35\r\nTransfer-Encoding: chunked", chunked(BODY)),
        posted("Content-Length: 35\r\nContent-Length: 36", BODY),
        posted("Content-Length: -1", BODY),
        posted("Content-Length: 3x", BODY),
        posted("Transfer-Encoding: chunked", b"zz\r\nabc\r\n0\r\n\r\n"),
        b"GET  / HTTP/1.1\r\nHost: localhost\r\n\r\n",
        b"GET / HTTP/9.9\r\nHost: localhost\r\n\r\n",
        b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03\r\n\r\n",
    ],
    ids=[
        "no host",
        "two framings",
        "two lengths",
        "negative length",
        "odd length",
        "bad chunk",
        "two spaces",
        "odd version",
        "TLS",
    ],
)
def test_malformed_framing_is_refused(service: Service, request_: bytes) -> None:
    """L04"""
    with service.wire() as wire:
        wire.send(request_)
        assert wire.answer().status in (400, 501, 505)


@pytest.mark.parametrize(
    "first",
    [
        f"GET /nothing HTTP/1.1\r\nHost: localhost\r\nContent-Length: {len(BODY)}\r\n\r\n".encode() + BODY,
        posted(f"Content-Length: {len(BODY)}", BODY).replace(b"application/json", b"text/plain"),
        posted(f"Content-Length: {len(BODY)}", BODY).replace(b"POST", b"PUT"),
        posted("Content-Length: 1", b"{"),
        posted("Transfer-Encoding: chunked", chunked(BODY)).replace(b"application/json", b"text/plain"),
    ],
    ids=["not found", "media type", "method", "not JSON", "chunked media type"],
)
def test_after_an_early_error_the_connection_stays_in_step(service: Service, first: bytes) -> None:
    """L05"""
    with service.wire() as wire:
        wire.send(first)
        assert 400 <= wire.answer().status < 500
        try:
            wire.send(GET)
        except ConnectionError:
            return
        if not wire.peeked():
            return
        assert wire.answer().status == 200


def test_expect_continue_works(service: Service) -> None:
    """L06"""
    with service.wire() as wire:
        wire.send(posted(f"Content-Length: {len(BODY)}\r\nExpect: 100-continue"))
        assert wire.line().startswith(b"HTTP/1.1 100")
        wire.send(BODY)
        assert wire.answer("POST").status == 200


def test_a_hundred_requests_twenty_at_once_get_their_own_bytes(service: Service) -> None:
    """L08"""

    def ask(number: int) -> tuple[int, int, float]:
        with service.wire() as wire:
            path = f"{PATH}?f_number={number}&magnification=1&pupil_magnification=1"
            wire.send(f"GET {path} HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n".encode())
            answer = wire.answer()
            return number, answer.status, json.loads(answer.body)["effective_f_number"]

    with ThreadPoolExecutor(20) as pool:
        for number, status, effective in pool.map(ask, range(1, 101)):
            assert (status, effective) == (200, 2 * number)


def test_liveness_and_readiness_are_quick_and_not_kept(service: Service) -> None:
    """O01 O02"""
    for path in ("/healthz", "/readyz"):
        answer = service.get(path)
        assert answer.status_code == 200
        assert answer.headers["Cache-Control"] == "no-store"


def test_metrics_count_over_all_workers_without_unbounded_labels(service: Service) -> None:
    """O03"""
    before = counted(service)
    for number in range(20):
        service.get(f"/nothing-{number}")
        service.get(QUERY)
    text = service.get("/metrics").text
    assert "nothing-" not in text
    after = counted(service)
    assert (
        after['operation="findEffectiveFNumber",status_class="2xx"']
        - before.get('operation="findEffectiveFNumber",status_class="2xx"', 0)
        == 20
    )
    assert after['operation="none",status_class="4xx"'] - before.get('operation="none",status_class="4xx"', 0) == 20


def counted(service: Service) -> dict[str, float]:
    lines = [line for line in service.get("/metrics").text.splitlines() if line.startswith("closeup_requests_total{")]
    return {line.split("{")[1].split("}")[0]: float(line.rsplit(" ", 1)[1]) for line in lines}


@pytest.mark.parametrize(
    "path", ["/v1/effective-f-number/", "//v1/effective-f-number", "//evil.example/", "/v1//magnification"]
)
def test_stray_slashes_lead_nowhere_else(service: Service, path: str) -> None:
    """O05"""
    with service.wire() as wire:
        wire.send(f"GET {path} HTTP/1.1\r\nHost: localhost\r\n\r\n".encode())
        answer = wire.answer()
        assert answer.status in (404, 308)
        assert "evil" not in (answer.headers["Location"] or "")


def test_a_client_of_http_1_0_is_served(service: Service) -> None:
    """O06"""
    with service.wire() as wire:
        wire.send(f"GET {QUERY} HTTP/1.0\r\n\r\n".encode())
        assert wire.answer().status == 200
        assert wire.is_closed()


def test_after_all_of_this_the_service_is_alive(service: Service) -> None:
    """O07"""
    assert service.get("/healthz").elapsed.total_seconds() < 3
