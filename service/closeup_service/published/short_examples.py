"""The answers in the published document: of the first example of each operation, every list of records as short as may be.

Remarks and cautions, which are much the same everywhere, are left out of them; their schemas show one.

The pages of the documentation show the answers to all examples, whole.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from closeup_service.published.document_types import (
        Content,
        Document,
        DocumentExample,
        DocumentOperation,
        JsonSchema,
        Parameter,
    )


NOTES = frozenset({"remarks", "cautions"})
MOST_PLAIN = 5
"""Numbers or words of a list that are shown."""


def with_short_examples(document: Document) -> Document:
    """Return the document with one short answer for each operation."""
    schemas = document["components"]["schemas"]
    paths = {
        path: {method: with_short_answer(operation, schemas) for method, operation in item.items()}
        for path, item in document["paths"].items()
    }
    return {**document, "paths": paths}


def with_short_answer(operation: DocumentOperation, schemas: Mapping[str, JsonSchema]) -> DocumentOperation:
    """Return the operation with the short answer to its first example, in each media type that has examples."""
    success, operation = operation["responses"]["200"], with_one_request(operation)
    content: dict[str, Content] = {
        media_type: {**described, "examples": first_cut(described, schemas)} if "examples" in described else described
        for media_type, described in success["content"].items()
    }
    return {**operation, "responses": {**operation["responses"], "200": {**success, "content": content}}}


def with_one_request(operation: DocumentOperation) -> DocumentOperation:
    """Return the operation with the first example of its request, whose answer is shown."""
    result = operation
    if "requestBody" in result:
        body = result["requestBody"]
        result = {**result, "requestBody": {**body, "content": with_first(body["content"])}}
    if "parameters" in result:
        result = {**result, "parameters": [with_one_example(each) for each in result["parameters"]]}
    return result


def with_one_example(parameter: Parameter) -> Parameter:
    """Return a parameter with the first of its examples, where it holds a whole request."""
    return {**parameter, "content": with_first(parameter["content"])} if "content" in parameter else parameter


def with_first(content: Mapping[str, Content]) -> Mapping[str, Content]:
    """Return what a request's body or parameter holds with the first of its examples."""
    return {
        media_type: {**described, "examples": dict([next(iter(described["examples"].items()))])}
        for media_type, described in content.items()
    }


def first_cut(described: Content, schemas: Mapping[str, JsonSchema]) -> dict[str, DocumentExample]:
    """Return the first of the examples, cut; the request's example of that name has the summary."""
    name, example = next(iter(described["examples"].items()))
    value = cut(example["value"], described["schema"], schemas)
    return {name: {"value": value}}


def cut(value: object, schema: JsonSchema, schemas: Mapping[str, JsonSchema]) -> object:
    """Cut lists of records to one, of numbers and words to a few, or as many as their schema wants."""
    if "$ref" in schema:
        schema = schemas[schema["$ref"].rsplit("/", 1)[-1]]
    if isinstance(value, Mapping):
        known = schema.get("properties", {})
        unknown: JsonSchema = {}
        return {
            name: [] if name in NOTES else cut(member, known.get(name, unknown), schemas)
            for name, member in value.items()
        }
    if not isinstance(value, list) or "items" not in schema:
        return value
    shown = 1 if value and isinstance(value[0], Mapping) else MOST_PLAIN
    kept = value[: max(shown, schema.get("minItems", 0))]
    return [cut(item, schema["items"], schemas) for item in kept]
