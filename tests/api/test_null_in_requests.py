"""Null in a request: where answers have it, it says that nothing is known; anywhere else it is refused."""

import json
from collections.abc import Iterator, Mapping
from typing import Any

import pytest
from flask.testing import FlaskClient
from marshmallow import Schema, fields

from asking import CAMERA, LENS, SET_UPS, answered, pointers, refused, set_up, spacer
from closeup_service.operations.asking.media_types import JSON
from closeup_service.operations.operation import Example, Operation
from closeup_service.operations.registry import operations
from closeup_service.schemas.null_members import NULL_IN_ANSWERS, may_be_null, schema_of
from references import objects_of, written_out

Members = dict[str, Any]
ASKED = [
    pytest.param(operation, example, id=f"{operation.path} {example.name}")
    for operation in operations()
    for example in operation.examples
    if not example.photographs
]


def with_nulls(schema: Schema, members: Mapping[str, Any]) -> Members:
    """The request with null for everything that it leaves out and that may be null, but the length that is solved."""
    given = {name: within(schema.fields[name], value) for name, value in members.items()}
    nulls = {
        name: None
        for name, field in schema.fields.items()
        if name not in members and may_be_null(type(schema), name, field)
    }
    return given | nulls


def within(field: fields.Field[Any], value: Any) -> Any:
    if isinstance(field, fields.List) and isinstance(value, list):
        return [within(field.inner, each) for each in value]
    schema = schema_of(field, value)
    return value if schema is None else with_nulls(schema, value)


@pytest.mark.parametrize(("operation", "example"), ASKED)
def test_null_is_as_good_as_nothing(api: FlaskClient, operation: Operation, example: Example) -> None:
    schema = operation.request_schema
    assert schema is not None
    request = with_nulls(schema, example.request)
    plain = api.post(operation.path, json=example.request, headers={"Accept": JSON})
    assert plain.status_code == 200
    assert api.post(operation.path, json=request, headers={"Accept": JSON}).data == plain.data
    if operation.by_query == "document":
        sent = api.get(operation.path, query_string={"document": json.dumps(request)}, headers={"Accept": JSON})
        assert sent.data == plain.data


def test_most_requests_may_hold_nulls() -> None:
    asked = {id(each.values[1]): (each.values[0], each.values[1]) for each in ASKED}
    holding = [
        example
        for operation, example in asked.values()
        if with_nulls(operation.request_schema, example.request) != example.request  # type: ignore[union-attr]
    ]
    assert len(holding) > len(asked) * 0.8


def schemas_in(document: Members, place: Any, found: set[str]) -> set[str]:
    """Names of all schemas that are reached from a place."""
    if isinstance(place, list):
        for each in place:
            schemas_in(document, each, found)
    elif isinstance(place, dict):
        name = place.get("$ref", "").removeprefix("#/components/schemas/")
        if name in document["components"]["schemas"] and name not in found:
            found.add(name)
            schemas_in(document, document["components"]["schemas"][name], found)
        schemas_in(document, list(place.values()), found)
    return found


def numbers_of(document: Members, names: set[str]) -> Iterator[tuple[str, str, bool, bool]]:
    """Schema, name, whether it may be null and whether it is required, of every number."""
    for schema in names:
        described = document["components"]["schemas"][schema]
        for name, member in described.get("properties", {}).items():
            types = member.get("type", [])
            if "number" in types:
                yield schema, name, "null" in types, name in described.get("required", ())


def test_what_an_answer_leaves_null_a_request_may_give_as_null(api: FlaskClient) -> None:
    published = api.get("/openapi.json").get_json()
    document = written_out(published, objects_of(published))
    described = [operation for item in document["paths"].values() for operation in item.values()]
    in_answers = schemas_in(document, [operation["responses"]["200"] for operation in described], set())
    in_requests = schemas_in(document, [operation.get("requestBody") for operation in described], set())
    null_in_answers = {name for _, name, null, _ in numbers_of(document, in_answers) if null}
    taken = {
        (schema, name): null
        for schema, name, null, required in numbers_of(document, in_requests - in_answers)
        if name in null_in_answers and not required
    }
    assert {place for place, null in taken.items() if not null} == set()
    assert {name for (_, name), null in taken.items() if null} == NULL_IN_ANSWERS


def test_no_parameter_of_a_query_is_null(api: FlaskClient) -> None:
    published = api.get("/openapi.json").get_json()
    document = written_out(published, ())
    for item in document["paths"].values():
        for parameter in item["get"].get("parameters", ()) if "get" in item else ():
            assert "null" not in parameter.get("schema", {}).get("type", ""), parameter["name"]


def test_an_answer_can_be_sent_back(api: FlaskClient) -> None:
    request = {"subject_width_mm": 15, "sensor": "23.5x15.6"}
    answer = answered(api, "/v1/magnification", request)
    known = ("extension_mm", "working_distance_mm")
    back = {name: answer[name] for name in known if name in answer}
    assert None in back.values()
    assert answered(api, "/v1/magnification", request | back) == answer


def test_a_null_length_is_the_open_one(api: FlaskClient) -> None:
    solve = {"unknown": "/train/1/length_mm", "target": {"magnification": 2, "working_distance_mm": None}}
    left_out = answered(api, SET_UPS, set_up(LENS, {"element": "spacer"}, solve=solve))
    null = answered(api, SET_UPS, set_up(LENS, {"element": "spacer", "length_mm": None}, solve=solve))
    assert null == left_out
    assert null["solved"]["value"] > 0


@pytest.mark.parametrize(
    ("path", "request_", "expected"),
    [
        ("/v1/effective-f-number", {"f_number": None, "magnification": 1}, {"/f_number"}),
        ("/v1/effective-f-number", {"f_number": 8, "magnification": 1, "mounting": None}, {"/mounting"}),
        ("/v1/depth-of-field", {"f_number": 8, "magnification": 1, "wavelength_nm": None}, {"/wavelength_nm"}),
        (SET_UPS, {"camera": CAMERA | {"register_mm": None}, "train": [LENS]}, {"/camera/register_mm"}),
        (SET_UPS, {"camera": CAMERA, "train": [LENS, None]}, {"/train/1"}),
        (SET_UPS, set_up(LENS, spacer(3) | {"magnification": None}), {"/train/1/magnification"}),
        ("/v1/magnification", {"subject_width_mm": None, "sensor": "36x24"}, {"/subject_width_mm"}),
    ],
)
def test_null_where_answers_have_none_is_refused(
    api: FlaskClient, path: str, request_: Members, expected: set[str]
) -> None:
    assert expected <= pointers(refused(api, path, request_))


def test_the_unit_of_what_is_solved_is_stated(api: FlaskClient) -> None:
    published = api.get("/openapi.json").get_json()
    schemas = written_out(published, objects_of(published))["components"]["schemas"]
    for schema, name in (("Solve", "minimum"), ("Solve", "maximum"), ("Solved", "value")):
        member = schemas[schema]["properties"][name]
        assert member["x-unit"] == "mm"
        assert "in mm" in member["description"]
    for schema, name in (("Solve", "unknown"), ("Solved", "pointer")):
        assert "in mm" in schemas[schema]["properties"][name]["description"]
