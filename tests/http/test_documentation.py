"""The published document and the pages."""

import json
import re
from typing import Any

import jsonschema
import pytest
import requests

from closeup_service.web.operations import OPERATIONS
from ruler_pictures import pictures
from service_client import Service


@pytest.fixture(scope="module")
def document(service: Service) -> dict[str, Any]:
    answer: dict[str, Any] = service.get("/openapi.json").json()
    return answer


def operations(document: dict[str, Any]) -> list[tuple[str, str, dict[str, Any]]]:
    return [(path, method, operation) for path, item in document["paths"].items() for method, operation in item.items()]


def nodes(value: Any) -> list[dict[str, Any]]:
    """Every object within a schema."""
    if isinstance(value, dict):
        return [value, *(node for member in value.values() for node in nodes(member))]
    return [node for item in value for node in nodes(item)] if isinstance(value, list) else []


def test_the_document_is_served_as_json_at_a_stable_address(service: Service) -> None:
    """D01"""
    answer = service.get("/openapi.json")
    assert answer.status_code == 200
    assert answer.headers["Content-Type"] == "application/json"
    assert answer.json()["openapi"] == "3.1.0"


def test_the_api_catalogue_leads_to_the_document(service: Service) -> None:
    """D02"""
    answer = service.get("/.well-known/api-catalog")
    assert answer.headers["Content-Type"] == "application/linkset+json"
    target = answer.json()["linkset"][0]["service-desc"][0]["href"]
    assert service.get(target).json()["openapi"] == "3.1.0"


def test_the_document_states_version_contact_and_licence(document: dict[str, Any]) -> None:
    """D03"""
    assert re.fullmatch(r"\d+\.\d+\.\d+", document["info"]["version"])
    assert document["info"]["license"]["identifier"] == "MIT"
    assert document["info"]["contact"]["url"].startswith("https://")


def test_every_operation_has_a_unique_id_summary_description_and_tag(document: dict[str, Any]) -> None:
    """D04"""
    described = [operation for _, _, operation in operations(document)]
    assert len({operation["operationId"] for operation in described}) == len(described)
    for operation in described:
        assert operation["summary"]
        assert operation["description"]
        assert operation["tags"][0] in {tag["name"] for tag in document["tags"]}


def test_every_operation_documents_its_errors_as_problems(document: dict[str, Any]) -> None:
    """D05"""
    for path, method, operation in operations(document):
        refusals = {status: body for status, body in operation["responses"].items() if status >= "400"}
        assert {"400", "405", "500"} <= set(refusals), (path, method)
        by_the_application = {status: body for status, body in refusals.items() if status != "414"}
        for body in by_the_application.values():
            assert set(body["content"]) == {"application/problem+json"}


def test_every_body_has_examples_that_fit_its_schema(document: dict[str, Any]) -> None:
    """D06"""
    for _, _, operation in operations(document):
        bodies = [operation.get("requestBody", {}), operation["responses"]["200"]]
        for content in (first_content(body) for body in bodies if "content" in body):
            for example in content.get("examples", {}).values():
                validate(document, content["schema"], example["value"])
    posting = [operation for _, method, operation in operations(document) if method == "post"]
    assert all(first_content(operation["requestBody"])["examples"] for operation in posting)


def first_content(body: dict[str, Any]) -> dict[str, Any]:
    """JSON, or the form of a request with files."""
    content: dict[str, Any] = body["content"]
    found: dict[str, Any] = content.get("application/json") or content["multipart/form-data"]
    return found


def validate(document: dict[str, Any], schema: dict[str, Any], value: Any) -> None:
    jsonschema.Draft202012Validator({**schema, "components": document["components"]}).validate(value)


def test_every_quantity_states_its_unit(document: dict[str, Any]) -> None:
    """D07"""
    found = 0
    for name, schema in quantities(document["components"]["schemas"]):
        unit = schema["x-unit"].lower()
        endings = (f"_{unit.replace('/', '_')}", f"_{unit.replace('/', '_per_')}")
        assert unit == "1" or name.endswith(endings) or name in ("minimum", "maximum", "value"), name
        found += 1
    assert found > 50


def quantities(schemas: dict[str, Any]) -> list[tuple[str, dict[str, Any]]]:
    """Every number with a unit, and the name of its member; a list's items go by the name of the list."""
    named = [(name, value) for node in nodes(schemas) for name, value in node.items() if isinstance(value, dict)]
    within = [(name, value["items"]) for name, value in named if value.get("type") == "array"]
    return [(name, value) for name, value in named + within if name != "items" and "x-unit" in value]


def test_request_schemas_are_closed_and_bounded(document: dict[str, Any]) -> None:
    """D08"""
    asked = {
        first_content(operation["requestBody"])["schema"]["$ref"]
        for _, m, operation in operations(document)
        if m == "post"
    }
    for name, schema in reachable(document, asked).items():
        if "oneOf" in schema:
            continue
        assert schema.get("additionalProperties") is False or "maxProperties" in schema or "items" in schema, name
        for member, value in [
            *schema.get("properties", {}).items(),
            ("items", schema.get("items", {})),
            (name, schema),
        ]:
            kind = value.get("type")
            if kind == "number":
                assert {"minimum", "maximum"} <= set(value), (name, member)
            if kind == "string":
                assert "enum" in value or "maxLength" in value, (name, member)
            if kind == "array":
                assert "maxItems" in value, (name, member)


def reachable(document: dict[str, Any], references: set[str]) -> dict[str, dict[str, Any]]:
    found: dict[str, dict[str, Any]] = {}
    waiting = set(references)
    while waiting:
        name = waiting.pop().rsplit("/", 1)[-1]
        if name not in found:
            found[name] = document["components"]["schemas"][name]
            waiting |= {node["$ref"] for node in nodes(found[name]) if "$ref" in node}
    return found


def test_bodies_are_objects_at_the_top_level(document: dict[str, Any]) -> None:
    """D09"""
    for _, _, operation in operations(document):
        schema = operation["responses"]["200"]["content"]["application/json"]["schema"]
        assert document["components"]["schemas"][schema["$ref"].rsplit("/", 1)[-1]]["type"] == "object"


def test_the_documentation_page_needs_nothing_from_elsewhere(service: Service) -> None:
    """D10"""
    text = service.get("/docs").text
    assert '<html lang="en">' in text
    assert "<title>" in text
    assert "<script" not in text
    assert not re.findall(r'(?:src|href)="(?:https?:)?//', text)


def test_every_operation_schema_status_and_parameter_is_on_the_page(service: Service, document: dict[str, Any]) -> None:
    """D10"""
    text = service.get("/docs").text
    for path, _, operation in operations(document):
        assert path in text
        assert all(status in text for status in operation["responses"])
        assert all(parameter["name"] in text for parameter in operation.get("parameters", ()))
    for name, schema in document["components"]["schemas"].items():
        assert f'id="schema-{name}"' in text
        assert all(member in text for member in schema.get("properties", ()))


@pytest.mark.parametrize("operation", OPERATIONS, ids=lambda operation: operation.operation_id)
def test_documented_examples_run_and_fit_their_schema(
    service: Service, document: dict[str, Any], operation: Any
) -> None:
    """S01 P05"""
    for example in operation.examples:
        answer = sent(service, operation, example)
        assert answer.status_code == 200, answer.text
        described = document["paths"][operation.path]["post"]["responses"]["200"]
        validate(
            document,
            described["content"]["application/json"]["schema"],
            json.loads(answer.text, parse_constant=pytest.fail),
        )


def sent(service: Service, operation: Any, example: Any) -> requests.Response:
    if not operation.takes_photographs:
        return service.post(operation.path, json.dumps(example.request).encode())
    files = [(operation.photographs, (name, pictures()[name])) for name in example.photographs]
    return service.ask("POST", operation.path, data=example.request, files=files)


def test_a_version_is_visible_in_every_path_of_the_api(document: dict[str, Any]) -> None:
    """O04"""
    sums = [path for path, item in document["paths"].items() if "operate" not in next(iter(item.values()))["tags"]]
    assert sums
    assert all(path.startswith("/v1/") for path in sums)
