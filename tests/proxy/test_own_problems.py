"""What the proxy says itself is a problem like any other of the service."""

import json
import re
from collections.abc import Iterator
from typing import Any

import pytest

from closeup_service.http import headers
from closeup_service.operations.asking.problem_types import PROBLEM_TYPES
from running_proxy import SHIPPED, Proxy, running_proxy
from running_service import free_port
from service_client import Service
from standing_in import standing_in
from wire import Answer, Wire

MALFORMED_HOSTS = (
    *(
        b'a"><x',
        b"a@b",
        b"a b",
        b"a/b",
        b"a\\b",
        b"a?b",
        b"a#b",
        b"a%41",
        b"a,b",
        b"a:b",
        b"a:80:80",
        b":80",
        b"[::1",
        b"::1",
    ),
    *(b"[x]", b"-a", b".", b"\xc3\xa4", b"a" * 300),
)
MEMBERS = {"type", "title", "status", "detail", "errors"}


@pytest.fixture(scope="module")
def faulty(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Service]:
    """Return what is asked through a proxy whose service fails as the query says."""
    hasty = {
        "service.conf": {"read_timeout 2s": "read_timeout 1s"},
        "site.conf": {"read_timeout 60s": "read_timeout 1s"},
    }
    folder = tmp_path_factory.mktemp("faulty") / "root"
    with standing_in() as port, running_proxy(folder, [port], hasty) as proxy:
        service = Service(proxy.url, proxy.port)
        yield service
        service.session.close()


def check(status: int, found: Any, sent: Any) -> None:
    """Hold a refusal against what the service promises of its own."""
    assert set(found) == MEMBERS
    assert (found["status"], found["errors"]) == (status, [])
    assert sent["Cache-Control"] == "no-store"
    assert sent["Access-Control-Allow-Origin"] == "*"
    assert sent["Access-Control-Expose-Headers"] == headers.EXPOSED
    assert "frame-ancestors 'none'" in sent["Content-Security-Policy"]
    for name, value in headers.PROTECTIVE:
        assert sent[name] == value
    assert re.fullmatch(r"[0-9a-f]{32}", sent["X-Request-Id"])
    assert sent["RateLimit-Policy"].startswith('"default";q=')
    assert sent["Server"] == "nginx"


@pytest.mark.parametrize(
    ("path", "status"),
    [("/metrics", 404), ("/?silent=1", 502), ("/?wait_s=3", 504)],
)
def test_a_refusal_of_the_proxy_has_the_shape_of_the_service(faulty: Service, path: str, status: int) -> None:
    """P01 H01 H04 S10"""
    answer = faulty.get(path)
    assert answer.status_code == status
    assert answer.headers["Content-Type"] == "application/problem+json"
    check(status, answer.json(), answer.headers)
    head = faulty.ask("HEAD", path)
    assert (head.status_code, head.content) == (status, b"")


@pytest.mark.parametrize(
    ("request_", "status"),
    [
        (b"nonsense\r\n\r\n", 400),
        (b"GET / HTTP/1.1\r\n\r\n", 400),
        (b"TRACE / HTTP/1.1\r\nHost: localhost\r\n\r\n", 405),
        (b"POST / HTTP/1.1\r\nHost: localhost\r\nContent-Length: 1048577\r\n\r\n", 413),
        (b"GET /%b HTTP/1.1\r\nHost: localhost\r\n\r\n" % (b"a" * 9000), 414),
        (b"GET /%b HTTP/1.1\r\nHost: localhost\r\n\r\n" % (b"a" * 90000), 414),
        (b"GET / HTTP/1.1\r\nHost: localhost\r\nX: %b\r\n\r\n" % (b"a" * 20000), 431),
        (b"GET / HTTP/1.1\r\nHost: localhost\r\nAccept: %b\r\n\r\n" % (b"a" * 5000), 431),
        (b'GET /?cache=max-age%3D60 HTTP/1.1\r\nHost: localhost\r\nIf-Match: "x"\r\n\r\n', 412),
        (b"POST / HTTP/1.1\r\nHost: localhost\r\nTransfer-Encoding: gzip\r\n\r\n", 501),
        (b"GET / HTTP/9.9\r\nHost: localhost\r\n\r\n", 505),
        *((b"GET / HTTP/1.1\r\nHost: %b\r\n\r\n" % host, 400) for host in MALFORMED_HOSTS),
    ],
    ids=[
        *("nonsense", "no host", "trace", "body", "address", "long address", "field", "field that is passed on"),
        *("condition", "coding", "version"),
        *map(repr, MALFORMED_HOSTS),
    ],
)
def test_so_has_the_refusal_of_what_is_no_request_for_the_service(
    faulty: Service, request_: bytes, status: int
) -> None:
    """P01 H01 H04 S10"""
    answer = asked(faulty.port, request_)
    assert answer.status == status
    assert answer.headers["Content-Type"] == "application/problem+json"
    check(status, json.loads(answer.body), answer.headers)
    assert (answer.headers["Allow"] is not None) is (status == 405)


@pytest.mark.parametrize("path", ["/", "/healthz", "/v1/cautions", "/metrics"])
def test_a_malformed_host_is_refused_everywhere_and_not_repeated(faulty: Service, path: str) -> None:
    answer = asked(faulty.port, b'GET %b HTTP/1.1\r\nHost: evil"><x\r\n\r\n' % path.encode())
    assert (answer.status, b"evil" in answer.body) == (400, False)


@pytest.mark.parametrize(
    "host", ["localhost", "A.example", "a_b:8000", "a.example.", "127.0.0.1:1", "[::1]", "[::1]:80"]
)
def test_names_and_addresses_are_passed_on(faulty: Service, host: str) -> None:
    answer = asked(faulty.port, f"GET / HTTP/1.1\r\nHost: {host}\r\n\r\n".encode())
    assert ["host", host] in json.loads(answer.body)["fields"]


def asked(port: int, request: bytes) -> Answer:
    with Wire(port).send(request) as wire:
        return wire.answer()


def test_who_accepts_plain_json_alone_gets_the_refusal_as_json(faulty: Service) -> None:
    """S14"""
    for accept, media_type in [
        ("application/json", "application/json"),
        ("application/json, application/problem+json", "application/problem+json"),
        ("application/json, */*;q=0.1", "application/problem+json"),
        ("image/png", "application/problem+json"),
    ]:
        answer = faulty.get("/metrics", headers={"Accept": accept})
        assert (answer.status_code, answer.headers["Content-Type"]) == (404, media_type)


def test_no_copy_at_all_is_said_with_the_time_to_wait(tmp_path_factory: pytest.TempPathFactory) -> None:
    with running_proxy(tmp_path_factory.mktemp("alone") / "root", [free_port()]) as proxy:
        service = Service(proxy.url, proxy.port)
        for answer in (service.get("/v1/cautions"), service.post("/v1/magnification", b"{}")):
            assert answer.status_code == 502
            assert int(answer.headers["Retry-After"]) > 0
        service.session.close()


def test_a_refusal_of_the_service_is_passed_on_as_it_is(faulty: Service) -> None:
    for status in (400, 404, 413, 429, 500, 502, 503, 504):
        answer = faulty.get(f"/?status={status}")
        assert answer.status_code == status
        assert "fields" in answer.json()


@pytest.mark.parametrize(
    "path", ["/metrics", "//metrics", "/%6detrics", "/x/../metrics", "/./metrics", "/metrics/", "/metrics?x=1"]
)
def test_metrics_are_hidden_under_any_spelling(through: Service, path: str) -> None:
    """O03"""
    with through.wire() as wire:
        wire.send(f"GET {path} HTTP/1.1\r\nHost: localhost\r\n\r\n".encode())
        answer = wire.answer()
    assert answer.status == 404
    assert b"closeup_requests" not in answer.body


def test_the_listener_within_tells_of_health_and_connections_alone(proxy: Proxy) -> None:
    within = Service(f"http://127.0.0.1:{proxy.port_within}", proxy.port_within)
    assert within.get("/healthz").json() == {"status": "pass"}
    assert "Active connections" in within.get("/connections").text
    assert {within.get(path).status_code for path in ("/metrics", "/", "/v1/cautions")} == {404}
    within.session.close()


def stated(name: str) -> dict[int, str]:
    """What the shipped files say by status."""
    text = (SHIPPED / "nginx" / "problems.conf").read_text(encoding="utf-8")
    block = text.partition(f"map $status ${name} {{")[2].partition("}")[0]
    lines = re.findall(r'^\s+(\d{3}|default) "?([^";]*)"?;$', block, re.MULTILINE)
    return {int(status) if status != "default" else 500: value for status, value in lines}


TYPES = stated("problem_type")


@pytest.mark.parametrize(("status", "slug"), TYPES.items())
def test_every_type_is_one_that_the_service_explains(service_url: str, status: int, slug: str) -> None:
    """P02"""
    kind = PROBLEM_TYPES[slug]
    assert (kind.status, kind.title) == (status, stated("problem_title")[status])
    page = Service(service_url, 0)
    assert page.get(f"/problems/{slug}").status_code == 200
    page.session.close()
