"""Trying an operation by a plain form: its fields, and the address of the API that it leads to."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import TYPE_CHECKING, cast
from urllib.parse import urlencode

from flask import redirect
from msgspec import Struct
from werkzeug.datastructures import MultiDict
from werkzeug.wrappers import Response

from closeup_service.pages.members import bounds_of

if TYPE_CHECKING:
    from closeup_service.published.document_types import Parameter, PathItem


class Control(Struct, frozen=True):
    """One field of the form."""

    name: str
    value: str
    needed: bool
    choices: tuple[str, ...] = ()
    bounds: str = ""
    unit: str = ""
    lines: int = 0
    """Lines of a text that has several; 0 for one."""


def controls(item: PathItem) -> list[Control]:
    """Fields of the form that asks an operation by its query, filled in with an example that a query can hold."""
    parameters = item["get"].get("parameters", ()) if "get" in item else ()
    names = {parameter["name"] for parameter in parameters}
    no_example: Mapping[str, object] = {}
    filled = next((each for each in examples(item) if names.issuperset(each)), no_example)
    return [
        document(parameter) if "content" in parameter else control(parameter, filled.get(parameter["name"]))
        for parameter in parameters
    ]


def examples(item: PathItem) -> list[Mapping[str, object]]:
    """Requests of the examples."""
    body = item["post"].get("requestBody") if "post" in item else None
    listed = [] if body is None else [content.get("examples", {}) for content in body["content"].values()]
    return [cast("Mapping[str, object]", example["value"]) for each in listed for example in each.values()]


def document(parameter: Parameter) -> Control:
    """Field for the whole request, as JSON."""
    content = next(iter(parameter["content"].values()))
    text = json.dumps(next(iter(content["examples"].values()))["value"], indent=1, ensure_ascii=False)
    return Control(parameter["name"], text, parameter["required"], lines=min(20, text.count("\n") + 1))


def control(parameter: Parameter, value: object) -> Control:
    """Field for one member."""
    schema = parameter["schema"]
    inner = schema.get("items", schema)
    listed = "items" in schema
    choices = () if listed else tuple(str(each) for each in inner.get("enum", ()) if each is not None)
    if inner.get("type") == "boolean":
        choices = ("true", "false")
    unit = inner.get("x-unit", "")
    bounds = "" if choices else bounds_of(inner)
    told = f"{bounds}, separated by commas" if listed and bounds else bounds
    return Control(
        parameter["name"], query_value(value), parameter["required"], choices, told, "" if unit == "1" else unit
    )


def query_value(value: object) -> str:
    """Value as a query holds it."""
    if value is None:
        return ""
    if isinstance(value, list):
        return ",".join(map(query_value, value))
    return value if isinstance(value, str) else json.dumps(value)


def address_of(path: str, given: MultiDict[str, str]) -> Response:
    """Lead to the address of the API that asks what a form gives; what was left blank is not asked."""
    filled = [(name, value.strip()) for name, value in given.items(multi=True) if value.strip()]
    return redirect(f"{path}?{urlencode(filled)}" if filled else path)
