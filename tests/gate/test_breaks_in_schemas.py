"""The check of breaking changes on small documents; an independent validator of schemas agrees."""

import copy
import json
from collections.abc import Callable
from itertools import product
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from breaking_changes import breaking_changes
from document_changes import CLOSED, Json, answering, asking

NUMBER_OR_TEXT = [{"type": "number", "minimum": 1}, {"type": "string", "maxLength": 1}]
SCHEMAS: list[Any] = [
    {},
    *({"type": name} for name in ("null", "boolean", "integer", "number", "string", "array", "object")),
    *({"type": types} for types in (["number", "null"], ["integer", "string"], ["string", "null"])),
    *({"type": "number", **limit} for limit in ({"minimum": 1}, {"minimum": 2}, {"exclusiveMinimum": 1})),
    *({"type": "number", **limit} for limit in ({"maximum": 1}, {"maximum": 2}, {"exclusiveMaximum": 2})),
    {"minimum": 2},
    {"type": "integer", "minimum": 1, "exclusiveMinimum": 1, "maximum": 2},
    *({"type": "string", **limit} for limit in ({"minLength": 1}, {"minLength": 2}, {"maxLength": 1})),
    *({"enum": values} for values in (["a"], ["a", "b"], [1, "a"], [None], [True])),
    {"const": "a"},
    {"type": ["string", "null"], "enum": ["a", None]},
    *({"type": "array", **limit} for limit in ({"minItems": 1}, {"maxItems": 1}, {"minItems": 1, "maxItems": 2})),
    *({"type": "array", "items": items} for items in ({"type": "number"}, {"type": "integer"}, False, True)),
    CLOSED,
    *({**CLOSED, "properties": {"a": {"type": name}}} for name in ("number", "integer", "string")),
    {**CLOSED, "properties": {"a": {"type": "number"}}, "required": ["a"]},
    {**CLOSED, "properties": {"a": {"type": "number"}, "b": {"type": "number"}}},
    {**CLOSED, "properties": {"a": {"type": "number"}, "b": {"type": "number"}}, "required": ["b"]},
    *({"type": "object", "properties": {"a": {"type": name}}} for name in ("number", "integer")),
    {"type": "object", "properties": {"a": {"type": "number"}}, "required": ["a"]},
    {"type": "object", "required": ["a"]},
    *({"type": "object", "additionalProperties": {"type": name}} for name in ("number", "integer", "string")),
    *({"type": "object", **limit} for limit in ({"minProperties": 1}, {"maxProperties": 1})),
    {"oneOf": [{"type": "number"}, {"type": "string"}]},
    {"oneOf": NUMBER_OR_TEXT},
    {"oneOf": NUMBER_OR_TEXT[::-1]},
    {"oneOf": [{"type": "number"}, {"type": "null"}]},
    {"anyOf": [{"type": "number"}, {"type": "null"}]},
    {"anyOf": NUMBER_OR_TEXT},
    {"oneOf": [{**CLOSED, "properties": {"a": {"type": "number"}}, "required": ["a"]}, {"type": "null"}]},
    {"type": "object", "oneOf": [{"required": ["a"], "properties": {"b": False}}, {"required": ["b"]}]},
]
VALUES: list[Any] = [
    *(None, True, False, 0, 0.5, 1, 1.5, 2, 2.5, 3, "", "a", "b", "ab"),
    *([], [1], [1.5], ["a"], [1, 2], [1, "a", None]),
    *({}, {"a": 1}, {"a": 1.5}, {"a": "a"}, {"b": 1}, {"b": "a"}, {"a": 1, "b": 1}, {"c": 1}, {"a": 1, "c": "a"}),
]


def accepted(schema: Any) -> set[str]:
    validator = Draft202012Validator(schema)
    return {json.dumps(value) for value in VALUES if validator.is_valid(value)}


ACCEPTED = [accepted(schema) for schema in SCHEMAS]
PAIRS = list(product(range(len(SCHEMAS)), repeat=2))


def test_what_is_not_told_of_a_request_takes_nothing_back() -> None:
    for old, new in PAIRS:
        if not breaking_changes(asking(SCHEMAS[old]), asking(SCHEMAS[new])):
            assert ACCEPTED[old] <= ACCEPTED[new], (SCHEMAS[old], SCHEMAS[new])


def test_what_is_not_told_of_an_answer_adds_nothing_unforeseen() -> None:
    for old, new in PAIRS:
        if not breaking_changes(answering(SCHEMAS[old]), answering(SCHEMAS[new])):
            assert ACCEPTED[new] <= ACCEPTED[old], (SCHEMAS[old], SCHEMAS[new])


BEYOND_THE_CHECK = ("object", "enum", "const", "False", "exclusiveMinimum': 1, 'maximum'")
EXACT = [index for index, schema in enumerate(SCHEMAS) if not any(word in str(schema) for word in BEYOND_THE_CHECK)]


def test_of_types_limits_and_kinds_nothing_is_told_in_vain() -> None:
    """Of members and lists of values more is told than a validator would miss; so those stay apart."""
    for old, new in product(EXACT, repeat=2):
        if breaking_changes(asking(SCHEMAS[old]), asking(SCHEMAS[new])):
            assert not ACCEPTED[old] <= ACCEPTED[new], (SCHEMAS[old], SCHEMAS[new])


@pytest.mark.parametrize("document", [asking, answering])
@pytest.mark.parametrize("schema", SCHEMAS, ids=json.dumps)
def test_a_schema_does_not_break_itself(document: Callable[[Any], Json], schema: Any) -> None:
    assert breaking_changes(document(schema), document(copy.deepcopy(schema))) == []


LEAVES = st.sampled_from([schema for schema in SCHEMAS if schema != {}])
NESTED = st.recursive(
    LEAVES,
    lambda inner: st.one_of(
        st.builds(lambda items: {"type": "array", "items": items}, inner),
        st.builds(
            lambda members: {**CLOSED, "properties": members, "required": sorted(members)[:1]},
            st.dictionaries(st.sampled_from("abcd"), inner, min_size=1),
        ),
    ),
    max_leaves=8,
)


@given(NESTED, st.sampled_from([asking, answering]))
def test_no_nested_schema_breaks_itself(schema: Any, document: Callable[[Any], Json]) -> None:
    assert breaking_changes(document(schema), document(copy.deepcopy(schema))) == []


@given(st.dictionaries(st.sampled_from("abcd"), NESTED, min_size=1), st.data())
def test_a_member_gone_is_told_at_any_depth_and_in_both_ways(members: Json, data: st.DataObject) -> None:
    gone = data.draw(st.sampled_from(sorted(members)))
    fewer = {name: schema for name, schema in members.items() if name != gone}
    for document in (asking, answering):
        released = document({"type": "array", "items": {**CLOSED, "properties": members}})
        told = breaking_changes(released, document({"type": "array", "items": {**CLOSED, "properties": fewer}}))
        assert [line.rsplit(": ")[-1] for line in told] == [f"member {gone} removed"]


# Schemas that hold themselves.


def tree(value: Json) -> Json:
    branches = {"type": "array", "items": {"$ref": "#/components/schemas/Tree"}}
    return {**CLOSED, "properties": {"value": value, "branches": branches}}


REFERENCE = {"$ref": "#/components/schemas/Tree"}


@pytest.mark.parametrize("document", [asking, answering])
def test_a_schema_that_holds_itself_comes_to_an_end(document: Callable[..., Json]) -> None:
    number = document(REFERENCE, Tree=tree({"type": "number"}))
    assert breaking_changes(number, number) == []
    text = document(REFERENCE, Tree=tree({"type": "string"}))
    assert len(breaking_changes(number, text)) == 1


@pytest.mark.parametrize("document", [asking, answering])
def test_anything_against_a_schema_that_holds_itself_comes_to_an_end(document: Callable[..., Json]) -> None:
    anything, trees = document({}), document(REFERENCE, Tree=tree({}))
    assert bool(breaking_changes(anything, trees)) is (document is asking)
    assert breaking_changes(trees, anything)


def test_one_component_may_narrow_answers_and_widen_requests_but_not_the_reverse() -> None:
    def both(schema: Json) -> Json:
        document = asking(REFERENCE, Tree=schema)
        document["paths"]["/x"]["get"] = answering(REFERENCE)["paths"]["/x"]["get"]
        return document

    told = breaking_changes(both({"type": "number"}), both({"type": ["number", "null"]}))
    assert told == ["answer #/components/schemas/Tree: type null may now come"]
    told = breaking_changes(both({"type": ["number", "null"]}), both({"type": "number"}))
    assert told == ["request #/components/schemas/Tree: type null no longer taken"]


@pytest.mark.parametrize(("asked", "breaks"), [("new", 0), ("a", 1)])
def test_null_may_come_to_who_sends_a_member_that_the_release_does_not_know(asked: str, breaks: int) -> None:
    """A member that it knows its clients may have been sending all along."""
    released = answering({"type": "number"}, Request={"type": "object", "properties": {"a": {"type": "number"}}})
    current = answering({"type": ["number", "null"], "x-null-with": asked})
    assert len(breaking_changes(released, current)) == breaks
    assert len(breaking_changes(released, answering({"type": ["string", "null"], "x-null-with": "new"}))) == 1


def test_parameters_of_a_path_count_for_its_methods() -> None:
    parameter = {"name": "a", "in": "query", "schema": {"type": "number"}}
    inherited = {"paths": {"/x": {"parameters": [parameter], "get": {"responses": {}}}}}
    own = {"paths": {"/x": {"get": {"parameters": [parameter], "responses": {}}}}}
    neither: Json = {"paths": {"/x": {"get": {"responses": {}}}}}
    assert breaking_changes(inherited, own) == breaking_changes(own, inherited) == []
    assert (
        breaking_changes(inherited, neither) == breaking_changes(own, neither) == ["GET /x: query parameter a removed"]
    )


def test_names_of_headers_have_no_case() -> None:
    def document(name: str) -> Json:
        parameter = {"name": name, "in": "header", "schema": {}}
        answers: Json = {"200": {"headers": {name: {"schema": {}}}}}
        return {"paths": {"/x": {"get": {"parameters": [parameter], "responses": answers}}}}

    assert breaking_changes(document("X-Cost"), document("x-cost")) == []


NO_KEY_OR_KEY: tuple[list[Json], ...] = ([], [{}], [{"key": []}])
ONE_OR_TWO: tuple[list[Json], ...] = ([{"a": []}], [{"a": []}, {"b": []}])


def test_no_security_and_an_empty_one_are_the_same() -> None:
    operation: Json = {"/x": {"get": {"responses": {}}}}
    none, empty, key = (Json(paths=operation, security=ways) for ways in NO_KEY_OR_KEY)
    assert breaking_changes(none, empty) == breaking_changes(empty, none) == breaking_changes(key, none) == []
    told = ["GET /x: security none no longer enough"]
    assert breaking_changes(none, key) == breaking_changes(empty, key) == told


def test_another_way_in_may_be_added_and_none_may_go() -> None:
    operation: Json = {"/x": {"get": {"responses": {}}}}
    one, two = (Json(paths=operation, security=ways) for ways in ONE_OR_TWO)
    assert breaking_changes(one, two) == []
    assert breaking_changes(two, one) == ['GET /x: security {"b": []} no longer enough']


def test_one_kind_may_become_one_of_several() -> None:
    train, bellows = ({**CLOSED, "properties": {name: {"type": "number"}}, "required": [name]} for name in "ab")
    several = {"oneOf": [train, bellows]}
    assert breaking_changes(asking(train), asking(several)) == []
    assert breaking_changes(asking(several), asking(train))
    assert breaking_changes(answering(several), answering(train)) == []
    assert breaking_changes(answering(train), answering(several))


def test_two_unions_in_one_schema_are_not_understood() -> None:
    both = asking({"oneOf": [{"type": "number"}], "anyOf": [{"type": "number"}]})
    assert any("oneOf beside anyOf is not understood" in line for line in breaking_changes(both, both))
