"""The check of breaking changes itself: each kind is told, and nothing harmless is."""

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breaking_changes import breaking_changes
from document_changes import (
    ASK,
    FOCAL,
    LOSS,
    POST,
    REAL,
    SENSOR,
    TRAIN,
    Change,
    Json,
    add_value,
    after,
    at,
    drop,
    drop_value,
    put,
)
from thoroughness import up_to

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
        put("#/components/schemas/EffectiveFNumberAnswer/properties/light_loss_stops", type=["number", "null"]),
        "answer #/components/schemas/EffectiveFNumberAnswer/properties/light_loss_stops: type null may now come",
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
    assert breaking_changes(REAL, after(*(change for name, change in HARMLESS.items() if name not in apart))) == []


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


@settings(max_examples=up_to(20))
@given(st.sets(st.sampled_from(sorted(HARMLESS.keys() - {"values unlisted", "minimum", "answer kinds as types"}))))
def test_harmless_changes_stay_harmless_together(names: set[str]) -> None:
    assert breaking_changes(REAL, after(*(HARMLESS[name] for name in sorted(names)))) == []
