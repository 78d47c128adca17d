"""What the OpenAPI document says at several places, moved to its components and referred to.

Only the way of writing changes: with these references followed, the document says what it said.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any, cast

from msgspec import Struct

from closeup_service.published.groups import GROUPS, group_members

if TYPE_CHECKING:
    from closeup_service.published.document_types import Document, DocumentOperation, JsonSchema

SECTIONS = ("schemas", "parameters", "examples", "responses")
"""Components in the order in which they are shared: a later one holds references to earlier ones."""


class Place(Struct, frozen=True):
    """Where something stands that may stand elsewhere too: the value `holder[key]`, with what it is called and whose it is."""

    holder: Any
    key: str | int
    name: str
    owner: str

    @property
    def value(self) -> Any:
        """What stands there."""
        return self.holder[self.key]


def shared(document: Document) -> Document:
    """Return the document with everything that it says several times said once."""
    result: Document = json.loads(json.dumps(document))
    components = cast("dict[str, dict[str, object]]", result["components"])
    finders = dict(zip(SECTIONS, (members, parameters, request_examples, responses), strict=True))
    own = {section: frozenset(components.setdefault(section, {})) for section in SECTIONS}
    for section, find in finders.items():
        share(components[section], section, list(find(result)))
    group_members(cast("dict[str, JsonSchema]", components["schemas"]))
    return unshared(result, own)


def unshared(document: Document, own: Mapping[str, frozenset[str]]) -> Document:
    """Return the document with what was shared and is now referred to at one place alone written there again.

    An object keeps its name, since generated clients make a class of it.
    """
    text = json.dumps(document)
    objects = {name for name, schema in document["components"]["schemas"].items() if schema.get("type") == "object"}
    components = cast("dict[str, dict[str, object]]", document["components"])
    single = {
        reference(section, name): components[section].pop(name)
        for section in SECTIONS
        for name in [*components[section]]
        if name not in {*own[section], *GROUPS, *objects} and text.count(f'"{reference(section, name)}"') == 1
    }
    return cast("Document", written_back(document, single))


def written_back(value: object, single: Mapping[str, object]) -> object:
    """Return a value with these references replaced by what they lead to."""
    if isinstance(value, list):
        return [written_back(entry, single) for entry in value]
    if not isinstance(value, dict):
        return value
    pointer = value.get("$ref")
    if isinstance(pointer, str) and pointer in single:
        return written_back(single[pointer], single)
    return {key: written_back(entry, single) for key, entry in value.items()}


def reference(section: str, name: str) -> str:
    """Pointer of a component."""
    return f"#/components/{section}/{name}"


def share(components: dict[str, object], section: str, places: list[Place]) -> None:
    """Move what several places of one name have in common; the most frequent gets the plain name."""
    kinds: dict[tuple[str, str], list[Place]] = {}
    for place in places:
        if "$ref" not in place.value:
            kinds.setdefault((place.name, json.dumps(place.value, sort_keys=True)), []).append(place)
    for alike in sorted(kinds.values(), key=len, reverse=True):
        first = alike[0]
        name = first.name if first.name not in components else f"{first.owner}{first.name}"
        if len(alike) == 1 or (section == "schemas" and not is_shorter(alike, reference(section, name))):
            continue
        components[name] = first.value
        for place in alike:
            place.holder[place.key] = {"$ref": reference(section, name)}


def is_shorter(alike: list[Place], pointer: str) -> bool:
    """Whether what several places have in common is shorter said once than at each of them."""
    said = len(json.dumps(alike[0].value))
    return said + len(alike) * (len(pointer) + len('{"$ref": ""}')) < len(alike) * said


def members(document: Document) -> Iterator[Place]:
    """Yield the schema of every member, of every parameter, and of every answer that is not JSON."""
    for owner, schema in document["components"]["schemas"].items():
        properties = schema.get("properties", {})
        for name in properties:
            yield Place(properties, name, in_camel_case(name), owner)
    for operation in operations(document):
        for parameter in operation.get("parameters", ()):
            if "schema" in parameter:
                owner = in_camel_case(operation["operationId"])
                yield Place(parameter, "schema", in_camel_case(parameter["name"]), owner)
        for media_type, content in operation["responses"]["200"].get("content", {}).items():
            if "$ref" not in content["schema"]:
                name = in_camel_case(re.sub("[/+]", "_", media_type))
                yield Place(content, "schema", name, in_camel_case(operation["operationId"]))


def parameters(document: Document) -> Iterator[Place]:
    """Yield every parameter."""
    for operation in operations(document):
        given = operation.get("parameters", [])
        for index, parameter in enumerate(given):
            yield Place(given, index, in_camel_case(parameter["name"]), in_camel_case(operation["operationId"]))


def request_examples(document: Document) -> Iterator[Place]:
    """Yield the examples of every request, in its body and in a parameter that holds it whole."""
    for operation in operations(document):
        bodies = [operation["requestBody"]["content"]] if "requestBody" in operation else []
        bodies += [parameter["content"] for parameter in operation.get("parameters", ()) if "content" in parameter]
        for content in (each for body in bodies for each in body.values()):
            for name in content.get("examples", {}):
                yield Place(content["examples"], name, name, f"{operation['operationId']}-")


def responses(document: Document) -> Iterator[Place]:
    """Yield every response: of success by the name of its schema, others by their status."""
    for operation in operations(document):
        for status, response in operation["responses"].items():
            json_content = response.get("content", {}).get("application/json")
            schema = None if json_content is None else json_content["schema"]
            name = schema["$ref"].rsplit("/", 1)[-1] if schema else status
            yield Place(operation["responses"], status, name, in_camel_case(operation["operationId"]))


def operations(document: Document) -> Iterator[DocumentOperation]:
    """Yield every operation."""
    for item in document["paths"].values():
        yield from item.values()


def in_camel_case(name: str) -> str:
    """Name of a member as schemas are named: FocalLengthMm for focal_length_mm."""
    return "".join(word[:1].upper() + word[1:] for word in name.split("_"))
