"""The answers in the published document: of the first example of each operation, every list of records as short as may be.

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
    )


CUT = "Lists of records are cut short."


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
    success = operation["responses"]["200"]
    content: dict[str, Content] = {
        media_type: {**described, "examples": first_cut(described, schemas)} if "examples" in described else described
        for media_type, described in success["content"].items()
    }
    return {**operation, "responses": {**operation["responses"], "200": {**success, "content": content}}}


def first_cut(described: Content, schemas: Mapping[str, JsonSchema]) -> dict[str, DocumentExample]:
    """Return the first of the examples, cut, which it says."""
    name, example = next(iter(described["examples"].items()))
    value = cut(example["value"], described["schema"], schemas)
    if value == example["value"]:
        return {name: {"summary": example["summary"], "value": value}}
    return {name: {"summary": example["summary"], "description": CUT, "value": value}}


def cut(value: object, schema: JsonSchema, schemas: Mapping[str, JsonSchema]) -> object:
    """Cut lists of records to one, or as many as their schema wants; lists of numbers and words stay whole."""
    if "$ref" in schema:
        schema = schemas[schema["$ref"].rsplit("/", 1)[-1]]
    if isinstance(value, Mapping):
        known = schema.get("properties", {})
        unknown: JsonSchema = {}
        return {name: cut(member, known.get(name, unknown), schemas) for name, member in value.items()}
    if not isinstance(value, list) or "items" not in schema:
        return value
    kept = value[: max(1, schema.get("minItems", 0))] if value and isinstance(value[0], Mapping) else value
    return [cut(item, schema["items"], schemas) for item in kept]
