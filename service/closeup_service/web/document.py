"""The OpenAPI document, made from the operation records.

`python -m closeup_service.web.document openapi/openapi.json` writes it; with `--check` it fails when the file is stale.
"""

import functools
import json
import sys
from collections.abc import Sequence
from importlib.metadata import version
from pathlib import Path
from typing import Any

from apispec import APISpec
from apispec.ext.marshmallow import MarshmallowPlugin
from apispec.ext.marshmallow.openapi import OpenAPIConverter
from flask import Flask, Response
from marshmallow import Schema, fields

from closeup_service.schemas.train import ELEMENTS, Element
from closeup_service.web import strict_json
from closeup_service.web.operation import Operation
from closeup_service.web.operations import OPERATIONS
from closeup_service.web.problems import MOST_FAULTS, PROBLEM_JSON

OPENAPI_VERSION = "3.1.0"
TAGS = {
    "plan": "Before the shot: what fills the frame, with which parts.",
    "set up": "One set-up: distances, true aperture, depth.",
    "refer": "Formats, mounts and threads, each with its source.",
    "operate": "Whether the service is alive, and this document.",
}
DESCRIPTION = (
    "The sums of close-up photography for lenses mounted normally or reversed, tubes, bellows, close-up lenses, converters, "
    "coupled lenses and microscope objectives, by Gaussian optics of thick lenses with pupils. Units end the names: mm, nm, "
    "um, dpt. Every answer says what it assumed. Some schema-valid requests describe what cannot be: those get 422."
)


def schema_name(schema: Any) -> str:
    """Component name of a schema: its class name without the word Schema."""
    kind = schema if isinstance(schema, type) else type(schema)
    return kind.__name__.removesuffix("Schema")


def element_choice(self: OpenAPIConverter, field: fields.Field[Any], **kwargs: Any) -> dict[str, Any]:
    """One of the elements, told apart by `element`; called by apispec as a method of its converter."""
    del kwargs
    if not isinstance(field, Element):
        return {}
    references = {kind: self.resolve_nested_schema(schema) for kind, schema in ELEMENTS.items()}
    mapping = {kind: reference["$ref"] for kind, reference in references.items()}
    return {
        "oneOf": list(references.values()),
        "discriminator": {"propertyName": "element", "mapping": mapping},
    }


def constant_kind(self: OpenAPIConverter, field: fields.Field[Any], **kwargs: Any) -> dict[str, Any]:
    """Write a closed list of one word as a constant too."""
    del self, kwargs
    metadata: dict[str, Any] = {}
    for validator in field.validators:
        choices: Sequence[str] = getattr(validator, "choices", ())
        if len(choices) == 1:
            metadata["const"] = choices[0]
    return metadata


@functools.cache
def published() -> dict[str, Any]:
    """Return the whole document."""
    plugin = MarshmallowPlugin(schema_name_resolver=schema_name)
    spec = APISpec(
        title="closeup-optics",
        version=version("closeup-optics"),
        openapi_version=OPENAPI_VERSION,
        plugins=[plugin],
        info={
            "description": DESCRIPTION,
            "license": {"name": "MIT", "identifier": "MIT"},
            "contact": {"name": "The closeup-optics contributors", "url": "https://closeup-optics.example/"},
        },
        servers=[{"url": "/", "description": "This service"}],
        security=[{}],
        tags=[{"name": name, "description": text} for name, text in TAGS.items()],
    )
    assert plugin.converter is not None
    plugin.converter.add_attribute_function(element_choice)
    plugin.converter.add_attribute_function(constant_kind)
    spec.components.schema("Problem", PROBLEM_SCHEMA)
    for operation in OPERATIONS:
        spec.path(path=operation.path, operations=path_item(operation, plugin.converter))
    for path, item in operating_paths().items():
        spec.path(path=path, operations=item)
    document: dict[str, Any] = json.loads(json.dumps(spec.to_dict()))
    return document


PROBLEM_SCHEMA: dict[str, Any] = {
    "type": "object",
    "description": "Problem details (RFC 9457).",
    "required": ["type", "title", "status", "detail"],
    "properties": {
        "type": {"type": "string", "description": "Stable address of the kind of problem.", "maxLength": 200},
        "title": {"type": "string", "description": "Constant title of the kind.", "maxLength": 200},
        "status": {"type": "integer", "format": "int32", "minimum": 400, "maximum": 599},
        "detail": {
            "type": "string",
            "description": "What happened and what would mend it.",
            "maxLength": 4000,
        },
        "code": {"type": "string", "description": "Kind of impossibility.", "maxLength": 64},
        "errors": {
            "type": "array",
            "maxItems": MOST_FAULTS,
            "items": {
                "type": "object",
                "required": ["pointer", "detail"],
                "properties": {
                    "pointer": {
                        "type": "string",
                        "description": "JSON pointer (RFC 6901) of the member, or /name of the query parameter.",
                        "maxLength": 4000,
                    },
                    "detail": {"type": "string", "maxLength": 4000},
                },
            },
        },
    },
}


def path_item(operation: Operation, converter: OpenAPIConverter) -> dict[str, Any]:
    """Describe the operation's methods."""
    return {method.lower(): described(operation, method, converter) for method in operation.methods}


def described(operation: Operation, method: str, converter: OpenAPIConverter) -> dict[str, Any]:
    """Describe one method of one operation."""
    posting = method == "POST"
    name = operation.operation_id
    item: dict[str, Any] = {
        "operationId": f"{name}ByPost" if posting else name,
        "summary": operation.summary,
        "description": operation.description,
        "tags": [operation.tag],
        "responses": responses(operation, posting),
    }
    if posting:
        item["requestBody"] = {
            "required": True,
            "content": {"application/json": {"schema": operation.request_schema, "examples": examples(operation)}},
        }
    elif operation.by_query == "fields":
        item["parameters"] = query_parameters(operation, converter)
    elif operation.by_query == "document":
        item["parameters"] = [document_parameter(operation)]
    return item


def examples(operation: Operation) -> dict[str, Any]:
    """Return the operation's examples, each of which runs."""
    return {example.name: {"summary": example.summary, "value": example.request} for example in operation.examples}


def query_parameters(operation: Operation, converter: OpenAPIConverter) -> list[dict[str, Any]]:
    """One parameter for each field."""
    assert operation.request_schema is not None
    parameters = []
    for name, field in operation.request_schema.fields.items():
        schema = converter.field2property(field)
        description = schema.pop("description", "")
        parameters.append(
            {
                "name": name,
                "in": "query",
                "required": field.required,
                "description": description,
                "schema": schema,
            }
        )
    return parameters


def document_parameter(operation: Operation) -> dict[str, Any]:
    """Describe the whole document as URL-encoded JSON."""
    return {
        "name": "document",
        "in": "query",
        "required": True,
        "description": "The request body of POST, as URL-encoded JSON.",
        "content": {"application/json": {"schema": operation.request_schema, "examples": examples(operation)}},
    }


def responses(operation: Operation, posting: bool) -> dict[str, Any]:
    """Describe every status that can occur."""
    statuses = {
        400: "The request cannot be parsed.",
        404: "There is nothing at this address.",
        405: "This method is not offered here.",
        500: "The service made a mistake.",
    }
    if operation.request_schema is not None:
        statuses |= {422: "Some fields are not valid, or describe what cannot be."}
    if posting:
        statuses |= {413: "The body is too large.", 415: "The body is not JSON."}
    answers: dict[str, Any] = {
        "200": {
            "description": "The answer.",
            "content": {"application/json": {"schema": operation.answer_schema}},
        }
    }
    if not posting:
        answers["304"] = {"description": "Not changed since the entity tag given."}
    for status, description in sorted(statuses.items()):
        answers[str(status)] = problem_response(description)
    return answers


def problem_response(description: str) -> dict[str, Any]:
    """Describe an answer that refuses."""
    return {
        "description": description,
        "content": {PROBLEM_JSON: {"schema": {"$ref": "#/components/schemas/Problem"}}},
    }


class HealthAnswer(Schema):
    """The process is alive and ready."""

    status = fields.String(required=True, metadata={"description": "Always pass.", "const": "pass"})


def operating_paths() -> dict[str, dict[str, Any]]:
    """Describe the addresses that are not sums."""
    health = {"schema": HealthAnswer()}
    anything = {"schema": {"type": "object", "description": "An OpenAPI 3.1 document."}}
    return {
        "/healthz": {"get": operating("isAlive", "Whether the process is alive", health)},
        "/readyz": {"get": operating("isReady", "Whether the process is ready for requests", health)},
        "/openapi.json": {"get": operating("readDocument", "This document", anything)},
    }


def operating(operation_id: str, summary: str, content: dict[str, Any]) -> dict[str, Any]:
    """Describe one address that is not a sum."""
    return {
        "operationId": operation_id,
        "summary": summary,
        "description": f"{summary}.",
        "tags": ["operate"],
        "responses": {
            "200": {"description": f"{summary}.", "content": {"application/json": content}},
            "405": problem_response("This method is not offered here."),
        },
    }


def register(app: Flask) -> None:
    """Serve the document."""
    body = strict_json.dumps(published())

    def openapi() -> Response:
        return Response(body, content_type="application/json", headers={"Cache-Control": "public, max-age=3600"})

    app.add_url_rule("/openapi.json", "openapi", openapi)


def as_text() -> str:
    """Return the document as it is committed."""
    return json.dumps(published(), indent=2, ensure_ascii=False) + "\n"


def main(arguments: list[str]) -> int:
    """Write the document, or with --check say whether the file is current."""
    check = "--check" in arguments
    path = Path(next(argument for argument in arguments if argument != "--check"))
    if not check:
        path.write_text(as_text(), encoding="utf-8")
        return 0
    if path.exists() and path.read_text(encoding="utf-8") == as_text():
        return 0
    sys.stderr.write(f"{path} is stale: run python -m closeup_service.web.document {path}\n")
    return 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
