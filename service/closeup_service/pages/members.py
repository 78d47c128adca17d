"""The schemas of the published document as tables for people."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from msgspec import Struct

from closeup_service.schemas.describing import without_unit

if TYPE_CHECKING:
    from closeup_service.published.document_types import JsonSchema

PREFIX = "#/components/schemas/"


class Member(Struct, frozen=True):
    """One row of a table of members."""

    name: str
    type: str
    unit: str
    bounds: str
    presence: str
    meaning: str


def members(schema: JsonSchema, schemas: Mapping[str, JsonSchema]) -> list[Member]:
    """Describe the members of one schema; a closed object is asked for, an open one answered."""
    presence = "needed" if schema.get("additionalProperties") is False else "always"
    required = schema.get("required", ())
    return [
        member(name, described, presence if name in required else "", schemas)
        for name, described in schema.get("properties", {}).items()
    ]


def member(name: str, schema: JsonSchema, presence: str, schemas: Mapping[str, JsonSchema]) -> Member:
    """Describe one member for people; one that only refers to a schema has the words of that schema."""
    inner = schema.get("items", schema)
    unit = inner.get("x-unit", "")
    told = schemas[type_of(schema)] if "$ref" in schema else schema
    meaning = without_unit(told.get("description", ""))
    return Member(name, type_of(schema), "" if unit == "1" else unit, bounds_of(inner), presence, meaning)


def bounds_of(schema: JsonSchema) -> str:
    """Bounds of a number, or the choices of a text."""
    if "enum" in schema:
        return ", ".join(str(value) for value in schema["enum"] if value is not None)
    low, high = schema.get("minimum"), schema.get("maximum")
    return "" if low is None or high is None else f"{low:.12g} to {high:.12g}"


def type_of(schema: JsonSchema) -> str:
    """Type in words, or the name of the schema that the member refers to."""
    if "$ref" in schema:
        return name_of(schema["$ref"])
    if "oneOf" in schema:
        return " or ".join(type_of(choice) for choice in schema["oneOf"])
    kind = schema.get("type", "")
    if isinstance(kind, list):
        return " or ".join(kind)
    return f"list of {type_of(schema['items'])}" if kind == "array" else str(kind)


def name_of(reference: str) -> str:
    """Name of the schema that a reference leads to."""
    return reference.rsplit("/", 1)[-1]


def reachable_schemas(
    start: object, schemas: Mapping[str, JsonSchema], elsewhere: frozenset[str] = frozenset()
) -> list[str]:
    """Names of the schemas that a part of the document leads to, in the order of reading; not through those elsewhere."""
    found: dict[str, None] = {}
    waiting = list(references(start))
    while waiting:
        name = waiting.pop(0)
        if name not in found and name not in elsewhere:
            found[name] = None
            waiting += references(schemas[name])
    return list(found)


def references(value: object) -> Iterator[str]:
    """Yield the names of the schemas that a part of the document refers to itself."""
    if isinstance(value, Mapping):
        if str(value.get("$ref", "")).startswith(PREFIX):
            yield name_of(value["$ref"])
        for inner in value.values():
            yield from references(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from references(inner)
