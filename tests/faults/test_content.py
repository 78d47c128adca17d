"""Hostile content of proper requests: bodies, queries, paths, headers; what reaches the answer and the log."""

import gzip
import itertools
import json

import pytest

from attacked import Attacked
from log_lines import lines_of, requests_of
from running_service import until

PATH = "/v1/effective-f-number"
QUERY = PATH + "?f_number=8&magnification=1"
SET_UPS = "/v1/set-ups/evaluate"
ESCAPE = "\x1b]0;title\x07"


@pytest.mark.parametrize(
    "body",
    [
        b'{"train": ' + b"[" * 200_000,
        b'{"train": ' + b'[{"a":' * 50_000,
        b'{"a":' * 100_000 + b"1" + b"}" * 100_000,
    ],
    ids=["open lists", "open pairs", "closed objects"],
)
@pytest.mark.parametrize("path", [PATH, SET_UPS, "/v1/set-ups/table"])
def test_nesting_is_refused_before_it_is_followed(attacked: Attacked, path: str, body: bytes) -> None:
    """F17"""
    assert attacked.service.post(path, body).status_code == 400


@pytest.mark.parametrize("digits", ["9" * 5000, "-" + "9" * 5000, "1" * 500_000])
@pytest.mark.parametrize("place", ['{{"f_number": {0}, "magnification": 1}}', '{{"a": [{0}, {0}]}}'])
def test_endless_integers_are_refused(attacked: Attacked, digits: str, place: str) -> None:
    """F19"""
    answer = attacked.service.post(PATH, place.format(digits).encode())
    assert answer.status_code in (400, 413)
    assert "99999" not in answer.text


def alike(count: int) -> list[str]:
    """Names whose parts are hashed alike by functions that add up: "Aa" and "BB" are the classic pair."""
    return ["".join(each) for each in itertools.islice(itertools.product(("Aa", "BB"), repeat=15), count)]


def test_twenty_thousand_members_are_refused(attacked: Attacked) -> None:
    """F20"""
    assert attacked.service.post(PATH, json.dumps(dict.fromkeys(alike(20_000), 1)).encode()).status_code in (400, 413)


@pytest.mark.parametrize("encoding", ["gzip", "deflate", "br", "zstd", "gzip, gzip"])
def test_nothing_is_inflated(attacked: Attacked, encoding: str) -> None:
    """F21"""
    bomb = gzip.compress(b"0" * 50_000_000)
    assert attacked.service.post(PATH, bomb, Content_Encoding=encoding).status_code == 415


@pytest.mark.parametrize("kind", ["text/xml", "application/jsonx", "*/*", "application/json, text/html", "json", ";"])
def test_other_media_types_are_refused(attacked: Attacked, kind: str) -> None:
    """F22"""
    assert attacked.service.post(PATH, b"{}", Content_Type=kind).status_code in (400, 415)


@pytest.mark.parametrize(
    "value",
    [
        "1" * 4000 + "x",
        "1e" + "9" * 4000,
        "0." + "0" * 4000 + "!",
        "%20" * 1500,
        "a" * 3000 + "!",
        "(" * 2000 + ")" * 2000,
        "%00",
        "%F0%9F%92%A5",
        "';--",
        "${7*7}{{7*7}}",
        "../../etc/passwd",
    ],
)
@pytest.mark.parametrize("name", ["f_number", "mounting", "sensor"])
@pytest.mark.parametrize("path", [PATH, "/v1/magnification"])
def test_hostile_values_are_refused(attacked: Attacked, path: str, name: str, value: str) -> None:
    """F23"""
    answer = attacked.service.get(f"{path}?{name}={value}")
    assert answer.status_code in (400, 422)
    assert len(answer.content) < 5000


@pytest.mark.parametrize(
    "target",
    [
        "/pages/../../../../etc/passwd",
        "/pages/..%2f..%2f..%2fetc%2fpasswd",
        "/pages/%2e%2e/%2e%2e/etc/passwd",
        "/pages/..%5c..%5cweb%5cserve.py",
        "/pages/page.css%00.html",
        "/../../etc/passwd",
        "/embed/0.1.0/../../../etc/passwd",
        "http://evil.example/etc/passwd",
        "file:///etc/passwd",
        "//evil.example/%2e%2e",
    ],
)
def test_paths_lead_nowhere_else(attacked: Attacked, target: str) -> None:
    """F24"""
    with attacked.service.wire() as wire:
        wire.send(f"GET {target} HTTP/1.1\r\nHost: localhost\r\n\r\n".encode())
        answer = wire.answer()
    assert answer.status in (400, 404)
    assert b"root:" not in answer.body
    assert "evil" not in str(answer.headers)


@pytest.mark.parametrize(
    "request_",
    [
        f"GET {QUERY}&a=%0d%0aX-Evil:%20yes%1b[31m HTTP/1.1\r\nHost: localhost\r\n",
        "GET /a%0d%0aX-Evil:%20yes HTTP/1.1\r\nHost: localhost\r\n",
        f"GET {QUERY} HTTP/1.1\r\nHost: localhost\r\nUser-Agent: {ESCAPE}\r\n",
        f"GET {QUERY} HTTP/1.1\r\nHost: localhost\r\nReferer: a{ESCAPE}b\r\n",
        f"GET {QUERY} HTTP/1.1\r\nHost: localhost\r\nX-Request-Id: a{ESCAPE}b\r\n",
        f"GET {QUERY} HTTP/1.1\r\nHost: localhost\r\nUser-Agent: a\rX-Evil: yes\r\n",
        f"GET {QUERY}{ESCAPE} HTTP/1.1\r\nHost: localhost\r\n",
        f"GET {QUERY}\x7f\x80\xff HTTP/1.1\r\nHost: localhost\r\n",
    ],
)
def test_nothing_that_is_sent_writes_a_header_or_a_line_of_the_log(attacked: Attacked, request_: str) -> None:
    """F25"""
    with attacked.service.wire() as wire:
        wire.send(f"{request_}Connection: close\r\n\r\n".encode("latin-1"))
        answer = wire.answer()
    assert "X-Evil" not in answer.headers
    assert "\x1b" not in str(answer.headers)
    assert lines_of(attacked.log)  # read line by line, each JSON without a control sign


@pytest.mark.parametrize("header", ["Host", "X-Forwarded-Host", "Forwarded", "X-Forwarded-Proto", "X-Forwarded-Prefix"])
@pytest.mark.parametrize("path", [QUERY, "/nothing", "/problems", "/docs/findFlash", "/openapi.json"])
def test_a_foreign_host_is_repeated_nowhere(attacked: Attacked, path: str, header: str) -> None:
    """F26"""
    value = "host=evil.example" if header == "Forwarded" else "evil.example"
    answer = attacked.service.get(path, headers={header: value})
    assert "evil" not in answer.text + str(answer.headers)


def test_the_id_of_an_answer_is_that_of_its_line(attacked: Attacked) -> None:
    """F29"""
    answers = [attacked.service.get(path) for path in (QUERY, PATH, "/nothing", "/docs")]
    ids = {answer.headers["X-Request-Id"] for answer in answers}
    assert until(lambda: ids <= {each["request_id"] for each in requests_of(attacked.log)})  # written after the answer
    found = {each["request_id"]: each for each in requests_of(attacked.log)}
    for answer in answers:
        line = found[answer.headers["X-Request-Id"]]
        assert (line["status"], line["bytes"]) == (answer.status_code, int(answer.headers["Content-Length"]))
