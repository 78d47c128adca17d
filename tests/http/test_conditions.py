"""What a request makes conditional, expects, or asks in a way that is not spoken here: refused as a problem."""

import json

import pytest

from service_client import Service
from wire import Answer

PATH = "/v1/effective-f-number"
QUERY = f"{PATH}?f_number=8&magnification=1"
BODY = b'{"f_number": 8, "magnification": 1}'
RESOURCES = [
    QUERY,
    "/v1/cautions",
    "/v1/kit",
    "/openapi.json",
    "/",
    "/docs",
    "/tasks/fill-the-frame",
]


def answered(service: Service, request: str, body: bytes = b"") -> Answer:
    with service.wire() as wire:
        return wire.send(request.encode("latin-1") + body).answer(request.split(" ", 1)[0])


def told(answer: Answer, status: int, slug: str) -> None:
    """Hold that an answer is this problem."""
    assert (answer.status, answer.headers["Content-Type"]) == (status, "application/problem+json")
    problem = json.loads(answer.body)
    assert (problem["type"], problem["status"]) == (f"/problems/{slug}", status)
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert "frame-ancestors" in answer.headers["Content-Security-Policy"]
    assert problem["request_id"] == answer.headers["X-Request-Id"]
    assert len(answer.headers.get_all("Date") or []) == 1


@pytest.mark.parametrize("path", RESOURCES)
def test_what_if_match_does_not_name_is_not_sent(service: Service, path: str) -> None:
    tag = service.get(path).headers["ETag"]
    assert service.get(path, headers={"If-Match": "*"}).status_code == 200
    assert service.get(path, headers={"If-Match": f'"other", {tag}'}).status_code == 200
    for wrong in ('"other"', f"W/{tag}"):
        for more in ({}, {"If-None-Match": tag}):
            refused = service.get(path, headers={"If-Match": wrong, **more})
            assert (refused.status_code, refused.headers["Cache-Control"]) == (412, "no-store")
            assert refused.json()["type"] == "/problems/precondition-failed"
    assert service.ask("OPTIONS", path, headers={"If-Match": '"other"'}).status_code == 200


def test_what_has_no_entity_tag_has_no_name(service: Service) -> None:
    assert service.post(PATH, BODY, If_Match="*").status_code == 200
    assert service.post(PATH, BODY, If_Match='"other"').status_code == 412
    assert service.get("/healthz", headers={"If-Match": '"other"'}).status_code == 412
    assert service.get("/nothing-here", headers={"If-Match": '"other"'}).status_code == 404


HEAD = f"Host: localhost\r\nContent-Type: application/json\r\nContent-Length: {len(BODY)}\r\n"
OF_THE_SERVER = {
    "another expectation": (f"POST {PATH} HTTP/1.1\r\n{HEAD}Expect: tea\r\n\r\n", 417, "expectation-failed"),
    "another coding": (f"POST {PATH} HTTP/1.1\r\nHost: x\r\nTransfer-Encoding: tea\r\n\r\n", 501, "not-implemented"),
    "another version": (f"GET {QUERY} HTTP/3.0\r\nHost: x\r\n\r\n", 505, "http-version-not-supported"),
    "no version": (f"GET {QUERY} TEA\r\nHost: x\r\n\r\n", 400, "bad-request"),
    "no method": (f"1! {QUERY} HTTP/1.1\r\nHost: x\r\n\r\n", 400, "bad-request"),
    "two hosts": (f"GET {QUERY} HTTP/1.1\r\nHost: x\r\nHost: y\r\n\r\n", 400, "bad-request"),
    "a long address": (f"GET /{'a' * 9000} HTTP/1.1\r\nHost: x\r\n\r\n", 414, "uri-too-long"),
    "a long field": (f"GET / HTTP/1.1\r\nHost: x\r\nX-Long: {'a' * 70_000}\r\n\r\n", 431, "header-fields-too-large"),
}


@pytest.mark.parametrize("name", OF_THE_SERVER)
def test_what_the_server_refuses_is_a_problem_too(service: Service, name: str) -> None:
    request, status, slug = OF_THE_SERVER[name]
    told(answered(service, request), status, slug)


@pytest.mark.parametrize("host", ['a"><x', "a@b", "a b", "a/b", "a:b", "[", "ä.example", "a,b", "a'b"])
@pytest.mark.parametrize("path", ["/", QUERY, "/healthz", "/put-it-on-your-site", "/nothing-here"])
@pytest.mark.parametrize("version", ["1.0", "1.1"])
def test_a_malformed_host_is_refused_and_not_repeated(service: Service, path: str, host: str, version: str) -> None:
    """F48"""
    answer = answered(service, f"GET {path} HTTP/{version}\r\nHost: {host}\r\n\r\n")
    told(answer, 400, "bad-request")
    assert host.encode("latin-1") not in answer.body.replace(b"[]", b"")


@pytest.mark.parametrize("host", ["localhost", "127.0.0.1:8000", "[::1]:80", "a-b.example.", "a_b:", "XN--A.EXAMPLE"])
def test_a_proper_host_is_answered_to(service: Service, host: str) -> None:
    assert answered(service, f"GET {QUERY} HTTP/1.1\r\nHost: {host}\r\n\r\n").status == 200


@pytest.mark.parametrize("query", ["x=1", "f_number=8", "f_number", "=", "document=%7B%7D"])
def test_a_query_with_a_request_by_post_is_refused_as_unknown(service: Service, query: str) -> None:
    """Q01"""
    refused = service.post(f"{PATH}?{query}", BODY)
    assert refused.status_code == 422
    assert [fault["pointer"] for fault in refused.json()["errors"]] == ["/" + query.partition("=")[0]]
    assert service.post(f"{PATH}?", BODY).status_code == 200
