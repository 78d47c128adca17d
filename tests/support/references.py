"""References of a published document followed, so that what it says once stands again wherever it counts."""

from collections.abc import Container
from typing import Any

Json = dict[str, Any]


def written_out(document: Json, kept: Container[str]) -> Json:
    """The document with every reference replaced by what it leads to, but those kept; unused components are gone.

    `kept` holds pointers of components, such as `#/components/schemas/Lens`.
    """
    components = {
        section: {name: value for name, value in entries.items() if f"#/components/{section}/{name}" in kept}
        for section, entries in document["components"].items()
    }
    left = {section: entries for section, entries in components.items() if entries}
    whole: Json = _followed(document | {"components": left}, document, kept)
    return whole


class _Everything:
    """Holds whatever is looked for."""

    def __contains__(self, value: object) -> bool:
        return True


def without_all_of(document: Json) -> Json:
    """The document with what its objects take over by allOf written into them; all other references stay."""
    whole: Json = _followed(document, document, _Everything())
    return whole


def _followed(value: Any, document: Json, kept: Container[str]) -> Any:
    if isinstance(value, list):
        return [_followed(entry, document, kept) for entry in value]
    if not isinstance(value, dict):
        return value
    if isinstance(value.get("$ref"), str) and value["$ref"] not in kept:
        return _followed(_target(value, document), document, kept)
    followed = {key: _followed(entry, document, kept) for key, entry in value.items() if key != "allOf"}
    parts = [_target(entry, document) if "$ref" in entry else entry for entry in value.get("allOf", [])]
    return _merged(followed, [_followed(part, document, kept) for part in parts])


def _merged(schema: Json, parts: list[Json]) -> Json:
    """The schema of an object with all that it takes over from others."""
    if not parts:
        return schema
    members = {name: member for part in [*parts, schema] for name, member in part.get("properties", {}).items()}
    required = sorted({name for part in [*parts, schema] for name in part.get("required", ())})
    return schema | {"properties": members} | ({"required": required} if required else {})


def _target(reference: Json, document: Json) -> Any:
    if set(reference) != {"$ref"}:
        raise ValueError(f"a reference with company: {sorted(reference)}")
    target: Any = document
    for key in reference["$ref"].removeprefix("#/").split("/"):
        target = target[key.replace("~1", "/").replace("~0", "~")]
    return target


def objects_of(document: Json) -> set[str]:
    """Pointers of the schemas of objects and choices, and of the headers: what has a name of its own to its readers."""
    components = document["components"]
    named = {name for name, schema in components["schemas"].items() if {"properties", "oneOf"} & schema.keys()}
    mappings = {name for name, schema in components["schemas"].items() if "additionalProperties" in schema}
    return {f"#/components/schemas/{name}" for name in named | mappings} | {
        f"#/components/headers/{name}" for name in components.get("headers", {})
    }
