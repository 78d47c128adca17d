"""What the service gets to see of a request, and what the log of the proxy keeps of it."""

import json
import re
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from running_proxy import Proxy, running_proxy
from service_client import Service
from standing_in import standing_in

WEB = Path(__file__).parents[2] / "service" / "closeup_service" / "http"
TRACE = "0af7651916cd43dd8448eb211c80319c"
SECRET = "12.3456789"
LONGEST_WAIT_S = 10.0
TOLD = {
    *("time", "request_id", "client", "method", "path", "status", "duration_s", "sent_bytes"),
    *("cache", "copies", "copies_status"),
}
"""What a line of the log holds; the page /privacy tells it in words."""

LISTED = {
    "# set_real_ip_from 192.0.2.10": "set_real_ip_from 127.0.0.9",
    "default 0;\n  # club.example 0;": "default 1;\n  club.example 0;",
    'default "*";': 'default "";\n  https://club.example $http_origin;',
}
SENT = {"accept-language": "de"}
"""What is sent where not any value is passed on."""

OF_A_CONNECTION = {"host", "transfer-encoding"}
"""Each connection has its own."""


@pytest.fixture(scope="module")
def seen(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Service]:
    """Return a proxy before a server that tells what it was sent."""
    with standing_in() as port, running_proxy(tmp_path_factory.mktemp("seen") / "root", [port]) as proxy:
        service = Service(proxy.url, proxy.port)
        yield service
        service.session.close()


@pytest.fixture(scope="module")
def listed(tmp_path_factory: pytest.TempPathFactory, service_port: int) -> Iterator[Proxy]:
    """Return a proxy with a list of names, of proxies and of origins."""
    folder = tmp_path_factory.mktemp("listed") / "root"
    with running_proxy(folder, [service_port], {"settings/addresses.conf": LISTED}) as proxy:
        yield proxy


def fields(seen: Service, **sent: str) -> dict[str, list[str]]:
    """Return the header fields that the service gets."""
    answer = seen.get("/", headers={name.replace("_", "-"): value for name, value in sent.items()}).json()
    names = {name for name, _ in answer["fields"]}
    return {name: [value for each, value in answer["fields"] if each == name] for name in names}


def test_forwarded_fields_are_written_anew(seen: Service) -> None:
    got = fields(seen, X_Forwarded_For="203.0.113.7", X_Forwarded_Proto="https", X_Forwarded_Host="evil.example")
    assert got["x-forwarded-for"] == ["127.0.0.1"]
    assert got["x-forwarded-proto"] == ["http"]
    assert "x-forwarded-host" not in got


def test_the_service_gets_only_what_it_reads(seen: Service) -> None:
    got = fields(seen, Cookie="a=b", Authorization="Basic eDp5", Referer="http://a.example/", User_Agent="x", Via="y")
    assert set(got) <= {
        *("host", "connection", "accept", "accept-encoding", "x-request-id", "x-forwarded-for", "x-forwarded-proto")
    }


def test_everything_that_the_service_reads_is_passed_on(seen: Service) -> None:
    text = "".join(path.read_text(encoding="utf-8") for path in WEB.glob("*.py"))
    read = {name.lower().replace("_", "-") for name in re.findall(r"HTTP_([A-Z_]+)", text)}
    assert {"accept", "origin", "traceparent", "content-encoding"} <= read
    got = fields(seen, **{name.replace("-", "_"): SENT.get(name, "gzip") for name in read - OF_A_CONNECTION})
    assert read - OF_A_CONNECTION <= set(got)


@pytest.mark.parametrize(
    ("sent", "expected"),
    [
        ({"X-Request-Id": "sane-1.2_3"}, "sane-1.2_3"),
        ({"X-Request-Id": "sane", "traceparent": f"00-{TRACE}-b7ad6b7169203331-01"}, "sane"),
        ({"traceparent": f"00-{TRACE}-b7ad6b7169203331-01"}, TRACE),
        ({"X-Request-Id": "a b", "traceparent": f"00-{TRACE}-b7ad6b7169203331-01"}, TRACE),
        ({"traceparent": f"ff-{TRACE}-b7ad6b7169203331-01"}, None),
        ({"traceparent": f"00-{'0' * 32}-b7ad6b7169203331-01"}, None),
        ({"X-Request-Id": "x" * 65}, None),
        ({"X-Request-Id": '"};alert(1)'}, None),
        ({}, None),
    ],
)
def test_the_request_id_is_one_from_client_to_service_and_back(
    seen: Service, through: Service, sent: dict[str, str], expected: str | None
) -> None:
    """H01 H02"""
    answer = seen.get("/", headers=sent)
    (sent_back,) = answer.raw.headers.getlist("X-Request-Id")
    assert dict(answer.json()["fields"])["x-request-id"] == sent_back
    assert sent_back == expected if expected else re.fullmatch(r"[0-9a-f]{32}", sent_back)
    of_the_service = through.post("/v1/magnification", b"{}", **sent)
    assert of_the_service.raw.headers.getlist("X-Request-Id") == [of_the_service.headers["X-Request-Id"]]
    assert expected in (None, of_the_service.headers["X-Request-Id"])


def logged(log: Path, request_id: str) -> dict[str, Any]:
    """Return the line of one request; every line is JSON."""
    deadline = time.monotonic() + LONGEST_WAIT_S
    while time.monotonic() < deadline:
        lines = [json.loads(line) for line in log.read_text(encoding="utf-8").splitlines()]
        for line in lines:
            if line["request_id"] == request_id:
                found: dict[str, Any] = line
                return found
        time.sleep(0.05)
    raise AssertionError(log.read_text())


def test_the_log_has_a_line_of_json_for_each_request_without_what_was_asked(proxy: Proxy, through: Service) -> None:
    path = "/v1/magnification"
    through.get(f"{path}?sensor=36x24&subject_width_mm={SECRET}", headers={"X-Request-Id": "first"})
    through.post(
        path, f'{{"subject_width_mm": {SECRET}}}'.encode(), X_Request_Id="second", Referer=f"http://a/{SECRET}"
    )
    line = logged(proxy.log, "first")
    assert (line["method"], line["path"], line["status"], line["client"]) == ("GET", path, 200, "127.0.0.1")
    assert (line["cache"], line["copies_status"]) == ("MISS", "200")
    assert set(line) == TOLD
    assert logged(proxy.log, "second")["status"] == 422
    assert SECRET not in proxy.log.read_text(encoding="utf-8")


def test_a_failure_puts_no_query_into_the_log_either(tmp_path: Path) -> None:
    with standing_in() as port, running_proxy(tmp_path / "root", [port]) as proxy:
        service = Service(proxy.url, proxy.port)
        answer = service.get(f"/?silent=1&subject_width_mm={SECRET}", headers={"X-Request-Id": "failed"})
        service.session.close()
        assert answer.status_code == 502
        assert logged(proxy.log, "failed")["status"] == 502
        assert SECRET not in proxy.log.read_text(encoding="utf-8")


def test_nobody_writes_lines_into_the_log(proxy: Proxy, through: Service) -> None:
    hostile = {"escape": b'/%0d%0a{"a":1}"\\', "bytes": b"/\xff\xc3", "control": b"/\x1b[31m"}
    for name, path in hostile.items():
        with through.wire() as wire:
            wire.send(b"GET %b HTTP/1.1\r\nHost: localhost\r\nX-Request-Id: %b\r\n\r\n" % (path, name.encode()))
            assert wire.answer().status in (400, 404)
    assert logged(proxy.log, "escape")["path"] == hostile["escape"].decode()
    assert logged(proxy.log, "bytes")["path"] == ""
    assert b"\x1b" not in proxy.log.read_bytes()


def test_any_name_will_do_unless_names_are_listed(through: Service, listed: Proxy) -> None:
    evil = {"Host": "evil.example"}
    assert through.get("/healthz", headers=evil).status_code == 200
    service = Service(listed.url, listed.port)
    refused = service.get("/v1/cautions", headers=evil)
    assert refused.status_code == 400
    assert refused.json()["type"] == "/problems/bad-request"
    assert "evil" not in refused.text + str(refused.headers)
    assert service.get("/v1/cautions", headers={"Host": "club.example:8080"}).status_code == 200
    assert service.get("/healthz", headers=evil).status_code == 200
    service.session.close()


def test_with_a_list_of_origins_others_cannot_read_a_refusal(listed: Proxy) -> None:
    """H04"""
    service = Service(listed.url, listed.port)
    for origin, allowed in [("https://club.example", "https://club.example"), ("https://evil.example", None)]:
        headers = service.get("/metrics", headers={"Origin": origin, "Host": "club.example"}).headers
        assert headers.get("Access-Control-Allow-Origin") == allowed
        assert ("Access-Control-Expose-Headers" in headers) is (allowed is not None)
    service.session.close()


def test_the_preflight_of_a_browser_succeeds(through: Service) -> None:
    """H05"""
    asked = {"Origin": "https://club.example", "Access-Control-Request-Method": "POST"}
    answer = through.ask("OPTIONS", "/v1/magnification", headers=asked)
    assert answer.status_code in (200, 204)
    assert answer.headers["Access-Control-Allow-Origin"] == "*"
    assert "POST" in answer.headers["Access-Control-Allow-Methods"]
