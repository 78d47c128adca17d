"""The published document and the pages."""

import json
import re
from html import unescape
from typing import Any

import jsonschema
import pytest
import requests

from closeup_service.operations import registry
from closeup_service.published import document as documents
from closeup_service.published import problem_examples
from closeup_service.running.settings import Settings
from references import written_out
from ruler_pictures import pictures
from service_client import Service


@pytest.fixture(scope="module")
def document(service: Service) -> dict[str, Any]:
    """The document as it is served, written out but for the schemas that have names of their own."""
    whole: Any = documents.written_out(Settings())
    return written_out(service.get("/openapi.json").json(), pointers(whole["components"]))


def pointers(components: dict[str, Any]) -> set[str]:
    """Pointers of all components."""
    return {f"#/components/{section}/{name}" for section, entries in components.items() for name in entries}


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


@pytest.mark.parametrize("path", ["/v1", "/v1/"])
def test_the_resources_are_listed_with_their_addresses_and_methods(service: Service, path: str) -> None:
    """D02"""
    answer = service.get(path)
    assert answer.status_code == 200
    assert len(answer.content) < 8000
    records = answer.json()["records"]
    assert [record["address"] for record in records] == [operation.path for operation in registry.operations()]
    assert len({record["name"] for record in records}) == len(records)
    for record in records:
        allowed = service.ask("OPTIONS", record["address"]).headers["Allow"].split(", ")
        assert set(record["methods"]) == set(allowed) - {"HEAD", "OPTIONS"}
        assert record["summary"].strip()


def test_the_list_of_resources_is_kept_and_takes_no_parameters(service: Service) -> None:
    """S07 Q01"""
    tag = service.get("/v1/").headers["ETag"]
    assert service.get("/v1/", headers={"If-None-Match": tag}).status_code == 304
    assert service.get("/v1/?page=2").status_code == 422
    assert service.get("/v1/", headers={"Accept": "image/gif"}).status_code == 406


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
        assert 0 < len(operation["summary"]) <= 80
        assert operation["description"]
        assert operation["tags"][0] in {tag["name"] for tag in document["tags"]}


def test_every_operation_documents_its_errors_as_problems(document: dict[str, Any]) -> None:
    """D05"""
    for path, method, operation in operations(document):
        refusals = {status: body for status, body in operation["responses"].items() if status >= "400"}
        assert {"400", "500"} <= set(refusals), (path, method)
        for status, body in refusals.items():
            once_by_the_server = ["text/html"] if status == "414" else []
            assert set(body["content"]) == {"application/problem+json", *once_by_the_server}


def test_every_body_has_examples_that_fit_its_schema(document: dict[str, Any]) -> None:
    """D06"""
    for _, _, operation in operations(document):
        bodies = [operation.get("requestBody", {}), operation["responses"]["200"]]
        for content in (first_content(body) for body in bodies if "content" in body):
            for example in content.get("examples", {}).values():
                validate(document, content["schema"], example["value"])
    posting = [operation for _, method, operation in operations(document) if method == "post"]
    assert all(first_content(operation["requestBody"])["examples"] for operation in posting)


def test_every_parameter_has_an_example_that_is_taken(service: Service, document: dict[str, Any]) -> None:
    """D11"""
    tried = 0
    for path, _, operation in operations(document):
        for parameter in operation.get("parameters", ()):
            if "schema" in parameter:
                validate(document, parameter["schema"], parameter["example"])
                query = {parameter["name"]: as_sent(parameter["example"])}
                wrong = [told for told in faults(service.get(path, params=query)) if told.startswith(OF_THE_VALUE)]
                assert not wrong, (path, parameter["name"])
            else:
                examples = parameter["content"]["application/json"]["examples"].values()
                sent = [json.dumps(example["value"]) for example in examples]
                assert [service.get(path, params={parameter["name"]: each}).status_code for each in sent] == [200]
            tried += 1
    assert tried > 300


OF_THE_VALUE = (
    "Give a number",
    "Give a whole",
    "Give one of: ",
    "Give true",
    "Give an id",
    "Unknown",
    "Null",
    "This is no",
)
"""How faults begin that find fault with a value and not with what goes with it."""


def as_sent(value: Any) -> Any:
    """A value as a query holds it."""
    return json.dumps(value) if isinstance(value, bool) else value


def faults(answer: requests.Response) -> list[str]:
    """What is wrong with parameters."""
    return [each["detail"] for each in answer.json().get("errors", ())]


def test_every_problem_has_examples_that_fit_its_schema(document: dict[str, Any]) -> None:
    """D11"""
    for path, method, operation in operations(document):
        for status, response in operation["responses"].items():
            if status < "400":
                continue
            content = response["content"]["application/problem+json"]
            assert content["examples"], (path, method, status)
            for slug, example in content["examples"].items():
                validate(document, content["schema"], example["value"])
                assert example["value"]["status"] == int(status)
                assert example["value"]["type"] == f"/problems/{slug}"
                assert example["value"]["request_id"]


@pytest.mark.parametrize("slug", problem_examples.ASKED)
def test_what_a_request_is_refused_with_is_what_the_example_says(
    service: Service, document: dict[str, Any], slug: str
) -> None:
    """D11"""
    operation_id, request = problem_examples.ASKED[slug]
    path = registry.operation_named(operation_id).path
    told = service.post(path, json.dumps(request).encode(), X_Request_Id=problem_examples.REQUEST_ID).json()
    content = document["paths"][path]["post"]["responses"]["422"]["content"]["application/problem+json"]
    assert content["examples"][slug]["value"] == told


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


def pages(service: Service, document: dict[str, Any]) -> dict[str, str]:
    """Text of the index and of every operation's page, by address."""
    names = [next(iter(item.values()))["operationId"] for item in document["paths"].values()]
    return {address: service.get(address).text for address in ("/docs", *(f"/docs/{name}" for name in names))}


OWN_SCRIPTS = ("page",)


def test_the_documentation_needs_nothing_from_elsewhere(service: Service, document: dict[str, Any]) -> None:
    """D10"""
    for text in pages(service, document).values():
        assert '<html lang="en">' in text
        assert "<title>" in text
        assert re.findall(r"<script[^>]*>", text) == [f'<script src="/pages/{name}.js" defer>' for name in OWN_SCRIPTS]
        assert not re.findall(r'(?:src|href)="(?:https?:)?//', text)


def test_every_operation_status_and_parameter_is_on_its_page(service: Service, document: dict[str, Any]) -> None:
    """D10"""
    for path, _, operation in operations(document):
        text = service.get(f"/docs/{operation['operationId'].removesuffix('ByPost')}").text
        assert f"<code>{path}</code>" in text
        assert operation["summary"] in unescape(text)
        statuses = set(re.findall(r"<tr><td>(\d{3})\b", text))
        assert set(operation["responses"]) <= statuses
        for parameter in operation.get("parameters", ()):
            assert f'name="{parameter["name"]}"' in text
            assert f"<code>{parameter['name']}</code>" in text


def test_every_schema_is_described_where_the_index_says(service: Service, document: dict[str, Any]) -> None:
    """D10"""
    told = pages(service, document)
    for name, schema in document["components"]["schemas"].items():
        found = re.search(rf'id="schema-{name}"><a href="(/docs/\w+)#schema-{name}"', told["/docs"])
        text = told[found[1] if found else "/docs"]
        _, heading, described = text.partition(f'<h3 id="schema-{name}">')
        assert heading, name
        section = unescape(described.partition("<h")[0])
        assert schema["description"].partition(" [")[0] in section
        for member, inner in schema.get("properties", {}).items():
            assert f"<code>{member}</code>" in section
            assert inner.get("x-unit", "1") in ("1", *re.findall(r"[\w/]+", section))
            assert all(str(choice) in section for choice in inner.get("enum", ()) if choice is not None)


def test_addresses_within_the_old_single_page_still_lead_to_what_they_name(service: Service, document: Any) -> None:
    text = service.get("/docs").text
    for _, _, operation in operations(document):
        assert f'id="{operation["operationId"].removesuffix("ByPost")}"' in text
    for name in document["components"]["schemas"]:
        assert f'id="schema-{name}"' in text
    assert 'id="problems"' in text


@pytest.mark.parametrize("operation", registry.operations(), ids=lambda operation: operation.operation_id)
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
