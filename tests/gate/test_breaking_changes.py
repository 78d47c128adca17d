"""The check of breaking changes itself: each kind is told, nothing harmless is, and an independent validator agrees."""

import copy
import json
from collections.abc import Callable, Iterator
from itertools import product
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from breaking_changes import breaking_changes

Json = dict[str, Any]
Change = Callable[[Json], None]
REAL: Json = json.loads((Path(__file__).parents[2] / "openapi" / "openapi.json").read_text())
SENSOR = "#/components/schemas/Camera/properties/sensor"
LOSS = "#/components/schemas/SetUpAnswer/properties/light_loss_stops"
FOCAL = "#/components/schemas/Lens/properties/focal_length_mm"
ASK = "#/paths/~1v1~1magnification/get"
POST = "#/paths/~1v1~1magnification/post"
TRAIN = "#/components/schemas/SetUpRequest/properties/train"


def at(document: Any, pointer: str) -> Any:
    for key in pointer.split("/")[1:]:
        name = key.replace("~1", "/").replace("~0", "~")
        document = document[int(name)] if isinstance(document, list) else document[name]
    return document


def put(pointer: str, **members: Any) -> Change:
    return lambda document: at(document, pointer).update(members)


def drop(pointer: str) -> Change:
    place, name = pointer.rsplit("/", 1)
    key = name.replace("~1", "/")

    def dropped(document: Json) -> None:
        holder = at(document, place)
        holder.pop(int(name) if isinstance(holder, list) else key)

    return dropped


def drop_value(pointer: str, value: Any) -> Change:
    return lambda document: at(document, pointer).remove(value)


def add_value(pointer: str, value: Any) -> Change:
    return lambda document: at(document, pointer).append(value)


def after(*changes: Change, of: Json = REAL) -> Json:
    changed: Json = json.loads(json.dumps(of))
    for change in changes:
        change(changed)
    return changed


NEW_HEADER = {"X-Cost": {"required": True, "schema": {"type": "integer"}}}
LENS = "#/components/schemas/Lens"
SOME_ANSWER = "#/components/schemas/MagnificationAnswer"

BREAKS: dict[str, tuple[Change, str]] = {
    "server gone": (put("#/servers/0", url="/other"), "server /: removed"),
    "path": (drop("#/paths/~1v1~1magnification"), "/v1/magnification: path removed"),
    "method": (drop(POST), "POST /v1/magnification: method removed"),
    "operation id": (put(ASK, operationId="x"), "GET /v1/magnification: operationId findMagnification became x"),
    "security": (put("#", security=[{"key": []}]), "GET /v1/magnification: security none no longer enough"),
    "parameter": (drop(f"{ASK}/parameters/0"), "GET /v1/magnification: query parameter mounting removed"),
    "parameter required": (
        put(f"{ASK}/parameters/0", required=True),
        "GET /v1/magnification: query parameter mounting is newly required",
    ),
    "new required parameter": (
        add_value(f"{ASK}/parameters", {"name": "key", "in": "header", "required": True, "schema": {}}),
        "GET /v1/magnification: header parameter key is newly required",
    ),
    "parameter narrowed": (
        put(f"{ASK}/parameters/2/schema", maximum=999),
        f"request {ASK}/parameters/2/schema: maximum 1000.0 became maximum 999",
    ),
    "style": (put(f"{ASK}/parameters/0", style="form"), "query parameter mounting: style None became form"),
    "parameter as content": (
        lambda document: at(document, f"{ASK}/parameters/0").update(
            content={"application/json": {"schema": at(document, f"{ASK}/parameters/0").pop("schema")}}
        ),
        "query parameter mounting: is written another way",
    ),
    "body": (drop(f"{POST}/requestBody"), "POST /v1/magnification: request body removed"),
    "new required body": (
        put(ASK, requestBody={"required": True, "content": {}}),
        "GET /v1/magnification: request body is newly required",
    ),
    "request media type": (
        drop(f"{POST}/requestBody/content/application~1json"),
        "POST /v1/magnification: request body: media type application/json removed",
    ),
    "success status": (drop(f"{ASK}/responses/200"), "GET /v1/magnification: status 200 removed"),
    "new success status": (
        put(f"{ASK}/responses", **{"202": {"description": "Later."}}),
        "GET /v1/magnification: status 202 may now come",
    ),
    "answer media type": (
        drop(f"{ASK}/responses/200/content/application~1json"),
        "GET /v1/magnification: status 200: media type application/json removed",
    ),
    "header": (drop(f"{ASK}/responses/200/headers/RateLimit"), "status 200: header RateLimit removed"),
    "header schema": (
        put("#/components/headers/Retry-After/schema", type="string"),
        "answer #/components/headers/Retry-After/schema: type string may now come",
    ),
    "request member": (drop(SENSOR), "request #/components/schemas/Camera: member sensor removed"),
    "member of a kind": (drop(FOCAL), f"request {LENS}: member focal_length_mm removed"),
    "member required": (
        add_value("#/components/schemas/Solve/required", "minimum"),
        "request #/components/schemas/Solve: member minimum is newly required",
    ),
    "request type": (put(FOCAL, type="string"), f"request {FOCAL}: type number no longer taken"),
    "request type narrowed": (put(FOCAL, type="integer"), f"request {FOCAL}: type number no longer taken"),
    "request value": (drop_value(f"{SENSOR}/enum", "36x24"), f'request {SENSOR}: value "36x24" no longer taken'),
    "minimum": (put(FOCAL, minimum=1), f"request {FOCAL}: minimum 0.5 became minimum 1"),
    "minimum excluded": (
        put(FOCAL, exclusiveMinimum=0.5),
        f"request {FOCAL}: minimum 0.5 became minimum 0.5 and exclusiveMinimum 0.5",
    ),
    "maximum": (put(FOCAL, maximum=4999), f"request {FOCAL}: maximum 5000.0 became maximum 4999"),
    "maximum excluded": (put(FOCAL, exclusiveMaximum=5000), "became maximum 5000.0 and exclusiveMaximum 5000"),
    "fewest items": (put(TRAIN, minItems=2), f"request {TRAIN}: minItems 1 became minItems 2"),
    "most items": (put(TRAIN, maxItems=31), f"request {TRAIN}: maxItems 32 became maxItems 31"),
    "shortest text": (
        put("#/components/schemas/Solve/properties/unknown", minLength=2),
        "minLength 1 became minLength 2",
    ),
    "longest text": (
        put("#/components/schemas/Solve/properties/unknown", maxLength=63),
        "maxLength 64 became maxLength 63",
    ),
    "pattern": (put("#/components/schemas/Solve/properties/unknown", pattern="^/"), "became pattern ^/"),
    "format": (put(FOCAL, format="float"), f"request {FOCAL}: format double became format float"),
    "unit": (put(FOCAL, **{"x-unit": "m"}), f"request {FOCAL}: unit mm became m"),
    "kind": (
        drop("#/components/schemas/Element/oneOf/1"),
        "request #/components/schemas/Element: kind spacer no longer",
    ),
    "discriminator": (
        put("#/components/schemas/Element/discriminator", propertyName="kind"),
        "request #/components/schemas/Element: discriminator element became kind",
    ),
    "answer member": (drop(LOSS), "answer #/components/schemas/SetUpAnswer: member light_loss_stops removed"),
    "optional answer member": (
        drop("#/components/schemas/SetUpAnswer/properties/solved"),
        "answer #/components/schemas/SetUpAnswer: member solved removed",
    ),
    "answer member optional": (
        drop_value("#/components/schemas/SetUpAnswer/required", "light_loss_stops"),
        "answer #/components/schemas/SetUpAnswer: member light_loss_stops is no longer always present",
    ),
    "answer type widened": (
        put(f"{SOME_ANSWER}/properties/magnification", type=["number", "null"]),
        f"answer {SOME_ANSWER}/properties/magnification: type null may now come",
    ),
    "integer became number": (
        put("#/components/schemas/SetUpAnswer/properties/aperture_stop", type=["number", "null"]),
        "aperture_stop: type number may now come",
    ),
    "answer value": (
        add_value("#/components/schemas/HealthAnswer/properties/status/enum", "warn"),
        'answer #/components/schemas/HealthAnswer/properties/status: value "warn" may now come',
    ),
    "answer values unlisted": (
        drop("#/components/schemas/HealthAnswer/properties/status/enum"),
        'answer #/components/schemas/HealthAnswer/properties/status: any value beside "pass" may now come',
    ),
    "answer above its maximum": (
        put("#/components/schemas/SetUpAnswer/properties/aperture_stop", maximum=63),
        "maximum 31 became maximum 63",
    ),
    "answer unit": (put(f"{SOME_ANSWER}/properties/extension_mm", **{"x-unit": "m"}), "unit mm became m"),
    "answer kind": (
        add_value("#/components/schemas/AssumedValue/oneOf", {"type": "boolean"}),
        "answer #/components/schemas/AssumedValue: kind #/components/schemas/AssumedValue/oneOf/2 may now come",
    ),
    "problem type": (
        put("#/components/schemas/Problem/properties/type", pattern="^urn:[a-z]+$"),
        "answer #/components/schemas/Problem/properties/type: pattern ^/problems/[a-z-]+$ became pattern ^urn:[a-z]+$",
    ),
    "problem code": (
        drop("#/components/schemas/Problem/properties/code"),
        "answer #/components/schemas/Problem: member code removed",
    ),
    "keyword unknown": (put(FOCAL, multipleOf=2), f"request {FOCAL}: multipleOf is not understood by this check"),
    "reference with company": (
        put("#/components/schemas/SetUpRequest/properties/camera", maxProperties=1),
        "request #/components/schemas/Camera (now #/components/schemas/SetUpRequest/properties/camera)",
    ),
}
TOLD_AT_SEVERAL_PLACES = {"security", "discriminator", "reference with company"}

HARMLESS: dict[str, Change] = {
    "path": put("#/paths", **{"/v1/new": {"get": {"responses": {}}}}),
    "method": put("#/paths/~1healthz", post={"responses": {}}),
    "optional parameter": add_value(f"{ASK}/parameters", {"name": "new", "in": "query", "schema": {"type": "number"}}),
    "parameter order": lambda document: at(document, f"{ASK}/parameters").reverse(),
    "parameter widened": put(f"{ASK}/parameters/2/schema", maximum=2000),
    "optional body": put(ASK, requestBody={"content": {}}),
    "body optional": put(f"{POST}/requestBody", required=False),
    "request media type": put(f"{POST}/requestBody/content", **{"application/cbor": {}}),
    "refusal": put(f"{ASK}/responses", **{"451": {"description": "Not here."}}),
    "refusal gone": drop(f"{ASK}/responses/414"),
    "answer header": put(f"{ASK}/responses/200/headers", **NEW_HEADER),
    "answer media type": put(f"{ASK}/responses/200/content", **{"application/cbor": {}}),
    "texts": put(FOCAL, description="f", title="f", examples=[1], deprecated=True, **{"x-note": "f"}),
    "operation texts": put(ASK, summary="s", description="d", tags=["refer"], deprecated=True),
    "version": put("#/info", version="0.1.1", description="d"),
    "request member": put("#/components/schemas/Camera/properties", new={"type": "number", "minimum": 3}),
    "member optional": drop_value("#/components/schemas/Solve/required", "target"),
    "request opened": drop("#/components/schemas/Camera/additionalProperties"),
    "request type": put(FOCAL, type=["number", "string"], minLength=1, pattern="^f"),
    "request value": add_value(f"{SENSOR}/enum", "60x45"),
    "values unlisted": drop(f"{SENSOR}/enum"),
    "minimum": put(FOCAL, minimum=0.25),
    "minimum below": lambda document: at(document, FOCAL).update(exclusiveMinimum=0, minimum=-1),
    "no maximum": drop(f"{FOCAL}/maximum"),
    "items": put(TRAIN, minItems=0, maxItems=64),
    "no pattern": drop("#/components/schemas/Solve/properties/unknown/pattern"),
    "request kind": add_value(
        "#/components/schemas/Element/oneOf",
        {"type": "object", "required": ["element"], "properties": {"element": {"enum": ["mirror"]}}},
    ),
    "kind order": lambda document: at(document, "#/components/schemas/Element/oneOf").reverse(),
    "order of inline kinds": lambda document: at(document, "#/components/schemas/AssumedValue/oneOf").reverse(),
    "answer member": put("#/components/schemas/SetUpAnswer/properties", new={"type": "number"}),
    "answer member required": add_value("#/components/schemas/SetUpAnswer/required", "solved"),
    "answer type narrowed": put(LOSS, type="number"),
    "answer integer": put(f"{SOME_ANSWER}/properties/magnification", type="integer"),
    "answer within limits": put("#/components/schemas/SetUpAnswer/properties/aperture_stop", minimum=1, maximum=3),
    "answer value named": put("#/components/schemas/Remark/properties/code", enum=["infinity"]),
    "answer kind gone": drop("#/components/schemas/AssumedValue/oneOf/1"),
    "answer kinds as types": put("#/components/schemas", AssumedValue={"type": "number", "format": "double"}),
}


def renamed_component(document: Json) -> Json:
    written = json.dumps(document).replace('#/components/schemas/Lens"', '#/components/schemas/Objektiv"')
    renamed: Json = json.loads(written)
    renamed["components"]["schemas"]["Objektiv"] = renamed["components"]["schemas"].pop("Lens")
    return renamed


@pytest.mark.parametrize("name", BREAKS)
def test_each_kind_of_break_is_told_once_with_its_place(name: str) -> None:
    change, expected = BREAKS[name]
    told = breaking_changes(REAL, after(change))
    assert any(expected in line for line in told)
    assert len(told) == 1 or name in TOLD_AT_SEVERAL_PLACES


@pytest.mark.parametrize("name", HARMLESS)
def test_a_harmless_change_is_not_told(name: str) -> None:
    assert breaking_changes(REAL, after(HARMLESS[name])) == []


def test_all_harmless_changes_at_once_are_harmless() -> None:
    apart = {"optional body", "values unlisted", "minimum", "answer kind gone", "answer kinds as types"}
    assert breaking_changes(REAL, after(*(HARMLESS[name] for name in HARMLESS.keys() - apart))) == []


def test_the_name_of_a_component_is_not_on_the_wire() -> None:
    assert breaking_changes(REAL, renamed_component(REAL)) == []


def test_a_break_within_a_renamed_kind_is_still_told() -> None:
    narrowed = renamed_component(after(put(FOCAL, minimum=1)))
    assert breaking_changes(REAL, narrowed)


def test_a_required_header_that_becomes_optional_is_told() -> None:
    headers = f"{ASK}/responses/200/headers"
    released = after(put(headers, **NEW_HEADER))
    told = breaking_changes(released, after(put(f"{headers}/X-Cost", required=False), of=released))
    assert told == ["GET /v1/magnification: status 200: header X-Cost is no longer always present"]


def test_a_reference_that_leads_nowhere_is_an_error() -> None:
    with pytest.raises(LookupError, match="leads nowhere"):
        breaking_changes(REAL, after(drop("#/components/schemas/Camera")))


# Every member of every request.


def request_members(schema: Any, place: str, seen: set[str]) -> Iterator[str]:
    """Pointers of all members that a request can name, found without the check's own walk."""
    if isinstance(schema, list):
        for index, entry in enumerate(schema):
            yield from request_members(entry, f"{place}/{index}", seen)
    if not isinstance(schema, dict) or place in seen:
        return
    seen.add(place)
    if "$ref" in schema:
        yield from request_members(at(REAL, schema["$ref"]), schema["$ref"], seen)
    for name in schema.get("properties", {}):
        yield f"{place}/properties/{name}"
        yield from request_members(schema["properties"][name], f"{place}/properties/{name}", seen)
    for keyword in ("items", "oneOf", "anyOf"):
        yield from request_members(schema.get(keyword), f"{place}/{keyword}", seen)


def all_request_members() -> list[str]:
    seen: set[str] = set()
    found: list[str] = []
    for path, item in REAL["paths"].items():
        if "post" in item:
            (media_type,) = item["post"]["requestBody"]["content"]
            body = f"#/paths/{path.replace('/', '~1')}/post/requestBody/content/{media_type.replace('/', '~1')}"
            found += request_members(at(REAL, f"{body}/schema"), f"{body}/schema", seen)
    return found


REQUEST_MEMBERS = all_request_members()
WITHOUT_ANSWERS = after(
    *(
        put(f"#/paths/{path.replace('/', '~1')}/{method}", responses={})
        for path, item in REAL["paths"].items()
        for method in item
    )
)


def test_the_members_of_requests_were_found() -> None:
    assert {SENSOR, FOCAL, TRAIN} <= set(REQUEST_MEMBERS)
    assert len(REQUEST_MEMBERS) > 80


@pytest.mark.parametrize("pointer", REQUEST_MEMBERS)
def test_no_member_of_a_request_may_go(pointer: str) -> None:
    place, name = pointer.split("/properties/")
    assert breaking_changes(WITHOUT_ANSWERS, after(drop(pointer), of=WITHOUT_ANSWERS)) == [
        f"request {place}: member {name} removed"
    ]


@settings(max_examples=20, deadline=None)
@given(st.sets(st.sampled_from(REQUEST_MEMBERS), min_size=2, max_size=6))
def test_however_many_members_of_requests_go_it_is_told(gone: set[str]) -> None:
    assert breaking_changes(WITHOUT_ANSWERS, after(*(drop(pointer) for pointer in gone), of=WITHOUT_ANSWERS))


@settings(max_examples=20, deadline=None)
@given(st.sets(st.sampled_from(sorted(HARMLESS.keys() - {"values unlisted", "minimum", "answer kinds as types"}))))
def test_harmless_changes_stay_harmless_together(names: set[str]) -> None:
    assert breaking_changes(REAL, after(*(HARMLESS[name] for name in sorted(names)))) == []


# Schemas alone, against an independent validator.


def asking(schema: Any, **components: Any) -> Json:
    body = {"content": {"application/json": {"schema": schema}}}
    return {"paths": {"/x": {"post": {"requestBody": body}}}, "components": {"schemas": components}}


def answering(schema: Any, **components: Any) -> Json:
    answer = {"content": {"application/json": {"schema": schema}}}
    return {"paths": {"/x": {"get": {"responses": {"200": answer}}}}, "components": {"schemas": components}}


CLOSED = {"type": "object", "additionalProperties": False}
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
