"""What the proxy keeps of the service's answers, and what it never keeps."""

import gzip
import json
import re
from itertools import count
from urllib.parse import quote

import pytest
import requests

from service_client import Service

DRAWING = "/v1/set-ups/drawing?document="
SET_UP = {
    "camera": {"sensor": "23.5x15.6", "register_mm": 18.0},
    "train": [
        {"element": "lens", "focal_length_mm": 80, "f_number": 8, "register_mm": 44.0},
        {"element": "spacer", "length_mm": 40},
    ],
}
QUERY = "/v1/effective-f-number?magnification=1&f_number="
LONG_PAGE = "/physics"
numbers = count(7)


def fresh() -> str:
    """Return an address that nobody has asked yet."""
    return f"{QUERY}{next(numbers) / 7:.6f}"


def state(answer: requests.Response) -> str | None:
    return answer.headers.get("Cache-Status")


def test_a_second_question_is_a_hit_with_the_same_bytes(through: Service) -> None:
    path = fresh()
    first, second = through.get(path), through.get(path)
    assert (state(first), state(second)) == ("closeup; fwd=miss", "closeup; hit")
    assert first.content == second.content
    for name in ("ETag", "Cache-Control", "Content-Type", "Date", "Access-Control-Allow-Origin"):
        assert first.headers[name] == second.headers[name]


def test_a_hit_has_a_request_id_of_its_own_and_no_cookie(through: Service) -> None:
    """H01 H08"""
    path = fresh()
    ids = [through.get(path).headers["X-Request-Id"] for _ in range(3)]
    assert len(set(ids)) == 3
    hit = through.get(path, headers={"X-Request-Id": "mine-1"})
    assert state(hit) == "closeup; hit"
    assert hit.raw.headers.getlist("X-Request-Id") == ["mine-1"]
    assert len(hit.raw.headers.getlist("Date")) == 1
    assert "Set-Cookie" not in hit.headers


def test_a_known_tag_is_answered_from_the_cache_without_content(through: Service) -> None:
    """S08"""
    path = fresh()
    tag = through.get(path).headers["ETag"]
    for given in (tag, f'"other", W/{tag}', "*"):
        answer = through.get(path, headers={"If-None-Match": given})
        assert (answer.status_code, answer.content) == (304, b"")
        assert state(answer) == "closeup; hit"
        assert answer.headers["ETag"] == tag
        assert "Cache-Control" in answer.headers
    assert through.get(path, headers={"If-None-Match": '"other"'}).status_code == 200


def test_a_known_tag_is_answered_without_content_the_first_time_too(through: Service, service_url: str) -> None:
    path = fresh()
    tag = requests.get(service_url + path, timeout=20).headers["ETag"]
    assert through.get(path, headers={"If-None-Match": tag}).status_code == 304
    assert len(through.get(path).content) > 0


@pytest.mark.parametrize("first", ["gzip", "identity"])
def test_who_did_not_ask_for_gzip_never_gets_it(through: Service, first: str) -> None:
    """S11"""
    path = f"{LONG_PAGE}?first={first}"
    asked = [first, "gzip, deflate, br, zstd", "identity", "gzip;q=0", "br", "GZIP;q=0.5", "gzip; q=0.0, br"]
    answers = [plainly(through, path, each) for each in asked]
    for spelling, (headers, body) in zip(asked, answers, strict=True):
        wanted = spelling.lower() in ("gzip", "gzip, deflate, br, zstd", "gzip;q=0.5")
        assert (headers.get("Content-Encoding") == "gzip") is wanted, spelling
        assert (b"<html" in (gzip.decompress(body) if wanted else body)) is True
        assert headers["ETag"].endswith('-gzip"') is wanted
        assert "Accept-Encoding" in headers["Vary"]
    assert sum(headers["Cache-Status"] == "closeup; fwd=miss" for headers, _ in answers) <= 2


def plainly(service: Service, path: str, encoding: str) -> tuple[dict[str, str], bytes]:
    """Ask without a library that unpacks what it gets."""
    with service.wire() as wire:
        wire.send(f"GET {path} HTTP/1.1\r\nHost: localhost\r\nAccept-Encoding: {encoding}\r\n\r\n".encode())
        answer = wire.answer()
    return dict(answer.headers.items()), answer.body


def test_each_media_type_is_kept_apart(through: Service) -> None:
    """S12"""
    path = DRAWING + quote(json.dumps(SET_UP))
    types = ["image/svg+xml", "application/json", "image/svg+xml", "text/html;q=0.1, image/svg+xml", "*/*"]
    found = [through.get(path, headers={"Accept": each}) for each in types]
    assert [answer.headers["Content-Type"].partition(";")[0] for answer in found] == [
        "image/svg+xml",
        "application/json",
        "image/svg+xml",
        "image/svg+xml",
        "application/json",
    ]
    assert state(found[2]) == "closeup; hit"
    assert all("Accept" in answer.headers["Vary"] for answer in found)


def test_each_name_of_the_service_is_kept_apart(through: Service) -> None:
    for host in ("one.example", "two.example", "one.example"):
        page = through.get("/put-it-on-your-site", headers={"Host": host})
        assert f"http://{host}/" in page.text


@pytest.mark.parametrize("first", ["GET", "HEAD"])
def test_head_is_get_without_content(through: Service, first: str) -> None:
    """S02"""
    path = fresh()
    through.ask(first, path)
    got, head = through.get(path), through.ask("HEAD", path)
    assert (got.status_code, head.status_code, head.content) == (200, 200, b"")
    assert int(head.headers["Content-Length"]) == len(got.content)
    for name in ("ETag", "Content-Type", "Cache-Control"):
        assert head.headers[name] == got.headers[name]


def test_answers_to_post_are_not_kept(through: Service) -> None:
    body = b'{"f_number": 8, "magnification": 0.77}'
    answers = [through.post("/v1/effective-f-number", body) for _ in range(2)]
    assert [(answer.status_code, state(answer)) for answer in answers] == [(200, None)] * 2
    assert answers[0].headers["X-Request-Id"] != answers[1].headers["X-Request-Id"]


@pytest.mark.parametrize(
    ("path", "status"), [("/nothing", 404), (QUERY + "eight", 422), ("/v1/set-ups/table", 405), ("/tasks/nothing", 404)]
)
def test_errors_are_not_kept(through: Service, path: str, status: int) -> None:
    """S10"""
    answers = [through.get(path) for _ in range(2)]
    assert [answer.status_code for answer in answers] == [status] * 2
    assert {state(answer) for answer in answers} == {"closeup; fwd=miss"}


@pytest.mark.parametrize("path", ["/healthz", "/readyz"])
def test_health_is_not_kept(through: Service, path: str) -> None:
    """O01 O02"""
    for _ in range(2):
        answer = through.get(path)
        assert (answer.status_code, answer.headers["Cache-Control"], state(answer)) == (200, "no-store", None)


def without_id(content: bytes) -> bytes:
    """Answer without the id of its request, which a problem states."""
    return re.sub(rb'"request_id":"[^"]*"', b"", content)


def test_the_proxy_repeats_the_service_to_the_letter(through: Service, service_url: str) -> None:
    """Beside its own fields; every field once."""
    own = {"server", "connection", "x-request-id", "cache-status", "ratelimit-policy", "date", "transfer-encoding"}
    for path in (fresh(), "/", "/openapi.json", "/nothing"):
        direct, passed = requests.get(service_url + path, timeout=20), through.get(path)
        assert without_id(direct.content) == without_id(passed.content)
        names = [name.lower() for name, _ in passed.raw.headers.items()]
        assert sorted(names) == sorted(set(names))
        for name, value in direct.headers.items():
            if name.lower() not in own | {"content-length"}:
                assert passed.headers[name] == value
