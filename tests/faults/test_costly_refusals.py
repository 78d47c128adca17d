"""What is refused costs no more than what is taken: lengths are judged before items, and looking ends after 100 faults."""

import json
import sys
from collections.abc import Iterator, Mapping
from typing import Any

import pytest
from flask.testing import FlaskClient
from marshmallow import Schema, fields, validate

from closeup_service.operations.registry import operations
from closeup_service.schemas.fields import declared_fields
from closeup_service.schemas.items import Items
from closeup_service.schemas.train import ELEMENTS
from costly_requests import KIT, REFUSED, TABLE, kit_of_tubes

MOST_RATIO = 2


def written(request: Mapping[str, object]) -> bytes:
    return json.dumps(request, separators=(",", ":")).encode()


def tubes(length: int) -> bytes:
    """A kit of sound tubes, of about so many bytes."""
    return written(kit_of_tubes(length // len(written(kit_of_tubes(1)["kit"]["tubes"][0]))))  # type: ignore[index]


def list_fields(schema: type[Schema], seen: frozenset[type[Schema]] = frozenset()) -> Iterator[fields.List[Any]]:
    """Every list of a request, those within others too."""
    for field in declared_fields(schema).values():
        inner: Any = field
        while isinstance(inner, fields.List):
            yield inner
            inner = inner.inner
        nested = inner.nested if isinstance(inner, fields.Nested) else None
        if isinstance(nested, type) and issubclass(nested, Schema) and nested not in seen:
            yield from list_fields(nested, seen | {nested})


def test_every_list_of_a_request_is_judged_by_its_length_first() -> None:
    """F43"""
    asked = [each.request_type for each in operations() if each.request_type] + [
        type(each) for each in ELEMENTS.values()
    ]
    found = [field for schema in asked for field in list_fields(schema)]
    assert len(found) > 20
    assert {type(field) for field in found} == {Items}
    assert all(any(isinstance(check, validate.Length) for check in field.validators) for field in found)


def work(api: FlaskClient, path: str, body: bytes) -> int:
    """Calls of functions, of Python or C, that a request takes: a measure that no other load on the machine changes."""
    calls = 0

    def count(frame: object, event: str, argument: object) -> None:
        nonlocal calls
        del frame, argument
        calls += event in ("call", "c_call")

    sys.setprofile(count)
    try:
        api.post(path, data=body, content_type="application/json")
    finally:
        sys.setprofile(None)
    return calls


@pytest.mark.parametrize("name", REFUSED)
def test_a_refusal_takes_no_more_work_than_a_sound_kit_of_its_size(api: FlaskClient, name: str) -> None:
    path, request = REFUSED[name]
    body = written(request)
    api.post(path, data=body, content_type="application/json")
    api.post(KIT, data=tubes(1000), content_type="application/json")
    refused = api.post(path, data=body, content_type="application/json")
    taken = api.post(KIT, data=tubes(len(body)), content_type="application/json")
    assert (refused.status_code, taken.status_code) == (422, 200)
    assert work(api, path, body) <= MOST_RATIO * work(api, KIT, tubes(len(body)))


@pytest.mark.parametrize(("name", "pointer"), [("many names", "/fields"), ("many elements", "/train")])
def test_a_list_that_is_too_long_is_one_fault(api: FlaskClient, name: str, pointer: str) -> None:
    path, request = REFUSED[name]
    found = api.post(path, data=written(request), content_type="application/json").get_json()["errors"]
    assert [fault["pointer"] for fault in found if fault["pointer"].startswith(pointer)] == [pointer]


def test_at_most_a_hundred_faults_are_found_and_listed(api: FlaskClient) -> None:
    problem = api.post(KIT, data=written({"kit": {"tubes": [{}] * 3000}}), content_type="application/json").get_json()
    assert len(problem["errors"]) == 100
    assert problem["detail"] == "100 fields or more are not valid: the first 100 are listed."
    assert (
        api.get("/openapi.json").get_json()["components"]["schemas"]["Problem"]["properties"]["errors"]["maxItems"]
        == 100
    )


@pytest.mark.parametrize(
    "body",
    [b'{"kit":{"tubes":[' + b"{}," * 5_000_000 + b"{}]}}", b'{"\\u006bit":{"tubes":[' + b"1.5," * 3_700_000 + b"1]}}"],
    ids=["objects", "numbers behind an escape"],
)
def test_more_values_than_any_request_has_are_refused_unread(api: FlaskClient, body: bytes) -> None:
    calls = work(api, TABLE, body)
    assert api.post(TABLE, data=body, content_type="application/json").status_code == 400
    assert calls < 5000
