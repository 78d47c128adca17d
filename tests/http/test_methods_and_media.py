"""Methods, media types, encodings, caching."""

import gzip
import json
from collections.abc import Mapping
from typing import Any

import pytest

from closeup_service.operations.registry import operations
from service_client import Service

PATH = "/v1/effective-f-number"
QUERY = PATH + "?f_number=8&magnification=1&pupil_magnification=1"
BODY = b'{"f_number": 8, "magnification": 1, "pupil_magnification": 1}'
LONG = "/v1/catalogue/threads"
PROBLEM = "application/problem+json"


@pytest.mark.parametrize("path", [QUERY, LONG, "/openapi.json", "/healthz", "/docs"])
def test_head_mirrors_get_without_content(service: Service, path: str) -> None:
    """S02"""
    got, head = service.get(path), service.ask("HEAD", path)
    assert head.status_code == got.status_code == 200
    assert head.content == b""
    for name in ("Content-Type", "Content-Length", "ETag", "Cache-Control"):
        assert head.headers.get(name) == got.headers.get(name), name


@pytest.mark.parametrize("operation", operations(), ids=lambda operation: operation.operation_id)
def test_options_lists_the_documented_methods(service: Service, operation: Any) -> None:
    """S03"""
    answer = service.ask("OPTIONS", operation.path)
    assert answer.status_code in (200, 204)
    allowed = {method.strip() for method in answer.headers["Allow"].split(",")}
    assert allowed == {*operation.methods, *(["HEAD"] if "GET" in operation.methods else []), "OPTIONS"}


@pytest.mark.parametrize("method", ["PUT", "PATCH", "DELETE", "TRACE"])
def test_other_methods_are_a_problem_with_allow(service: Service, method: str) -> None:
    """S04"""
    answer = service.ask(method, PATH)
    assert answer.status_code == 405
    assert {"GET", "POST"} <= {name.strip() for name in answer.headers["Allow"].split(",")}
    assert answer.headers["Content-Type"] == PROBLEM
    assert answer.json()["status"] == 405


@pytest.mark.parametrize("method", ["BREW", "G3T", "GETT"])
def test_an_unknown_method_is_refused(service: Service, method: str) -> None:
    """S05"""
    assert service.ask(method, PATH).status_code in (405, 501)


def test_the_same_request_gives_the_same_bytes(service: Service) -> None:
    """S06"""
    assert (
        len({service.get(QUERY).content for _ in range(5)} | {service.post(PATH, BODY).content for _ in range(5)}) == 1
    )


@pytest.mark.parametrize("path", [QUERY, LONG, "/openapi.json"])
def test_get_carries_a_tag_and_leave_to_keep(service: Service, path: str) -> None:
    """S07 S09"""
    answer = service.get(path)
    assert answer.headers["ETag"].startswith('"')
    assert "max-age=" in answer.headers["Cache-Control"]


@pytest.mark.parametrize("path", [QUERY, LONG])
@pytest.mark.parametrize("listed", ["{tag}", 'W/"other", {tag}', "*"])
def test_what_the_client_has_is_not_sent_again(service: Service, path: str, listed: str) -> None:
    """S08"""
    tag = service.get(path).headers["ETag"]
    answer = service.get(path, headers={"If-None-Match": listed.format(tag=tag)})
    assert answer.status_code == 304
    assert answer.content == b""
    assert answer.headers["ETag"] == tag
    assert "Cache-Control" in answer.headers


@pytest.mark.parametrize("path", ["/nothing", PATH, PATH + "?f_number=0"])
def test_errors_are_not_kept(service: Service, path: str) -> None:
    """S10"""
    answer = service.get(path)
    assert answer.status_code >= 400
    assert answer.headers["Cache-Control"] == "no-store"


def test_long_answers_are_compressed_for_who_wants_it(service: Service) -> None:
    """S11"""
    plain = service.get(LONG, headers={"Accept-Encoding": "identity"})
    packed = service.ask("GET", LONG, headers={"Accept-Encoding": "br, gzip;q=0.5"}, stream=True)
    assert packed.headers["Content-Encoding"] == "gzip"
    assert gzip.decompress(packed.raw.read(decode_content=False)) == plain.content
    assert packed.headers["ETag"] != plain.headers["ETag"]
    assert packed.headers["Vary"] == plain.headers["Vary"] == "Accept-Encoding"


@pytest.mark.parametrize("accepted", ["identity", "gzip;q=0", "br", ""])
def test_compression_that_is_not_wanted_is_not_used(service: Service, accepted: str) -> None:
    """S11"""
    assert "Content-Encoding" not in service.get(LONG, headers={"Accept-Encoding": accepted}).headers


@pytest.mark.parametrize(
    "accepted",
    [
        "*/*",
        "application/*",
        "APPLICATION/JSON",
        "text/html, application/json;q=0.1",
        "text/*;q=1, */*;q=0.2",
        "application/json; charset=utf-8",
    ],
)
def test_accept_is_honoured(service: Service, accepted: str) -> None:
    """S12"""
    answer = service.get(QUERY, headers={"Accept": accepted})
    assert answer.status_code == 200
    assert answer.headers["Content-Type"] == "application/json"


def test_no_accept_header_accepts_everything(service: Service) -> None:
    """S12"""
    with service.wire() as wire:
        wire.send(f"GET {QUERY} HTTP/1.1\r\nHost: localhost\r\n\r\n".encode())
        assert wire.answer().status == 200


@pytest.mark.parametrize("accepted", ["text/html", "application/json;q=0", "image/png, text/plain"])
def test_nothing_acceptable_is_a_problem(service: Service, accepted: str) -> None:
    """S13"""
    answer = service.get(QUERY, headers={"Accept": accepted})
    assert answer.status_code == 406
    assert answer.headers["Content-Type"] == PROBLEM


def test_a_client_of_plain_json_alone_gets_its_errors_as_json(service: Service) -> None:
    """S14"""
    answer = service.get(PATH, headers={"Accept": "application/json"})
    assert answer.status_code == 422
    assert answer.headers["Content-Type"] == "application/json"
    assert answer.json()["type"] == "/problems/invalid-fields"


@pytest.mark.parametrize(
    "sent",
    [
        "text/plain",
        "application/xml",
        "application/x-www-form-urlencoded",
        "multipart/form-data",
        "application/json; charset=utf-16",
    ],
)
def test_other_media_types_are_refused_and_the_right_one_is_named(service: Service, sent: str) -> None:
    """S15"""
    answer = service.post(PATH, BODY, Content_Type=sent)
    assert answer.status_code == 415
    assert answer.headers["Accept"] == "application/json"
    assert answer.headers["Content-Type"] == PROBLEM


def test_a_body_without_media_type_is_refused(service: Service) -> None:
    """S15"""
    assert service.ask("POST", PATH, data=BODY).status_code == 415


@pytest.mark.parametrize(
    "sent", ["Application/JSON", "application/json; charset=UTF-8", 'application/json;charset="utf-8"']
)
def test_the_media_type_may_be_written_in_any_case_and_with_its_charset(service: Service, sent: str) -> None:
    """S16"""
    assert service.post(PATH, BODY, Content_Type=sent).status_code == 200


@pytest.mark.parametrize("encoding", ["gzip", "br", "deflate", "gzip, identity"])
def test_a_compressed_body_is_refused_unread(service: Service, encoding: str) -> None:
    """S17"""
    answer = service.post(PATH, gzip.compress(BODY), Content_Encoding=encoding)
    assert answer.status_code == 415
    assert answer.headers["Accept-Encoding"] == "identity"


def in_query(members: Mapping[str, Any]) -> dict[str, Any]:
    return {name: ",".join(map(str, value)) if isinstance(value, list) else value for name, value in members.items()}


def holds_object(value: object) -> bool:
    return isinstance(value, dict) or (isinstance(value, list) and any(map(holds_object, value)))


def test_get_and_post_give_the_same_answer(service: Service) -> None:
    """S06"""
    for operation in operations():
        for example in operation.examples if "GET" in operation.methods else ():
            document = {"document": json.dumps(example.request)}
            members = in_query(example.request) if operation.by_query == "fields" else document
            if any(map(holds_object, example.request.values())) and members is not document:
                continue  # a query of fields holds no object
            got = service.get(operation.path, params=members)
            assert got.content == service.post(operation.path, json.dumps(example.request).encode()).content
