"""Trying an operation by a plain form: its fields, and the address of the API that it leads to."""

import json
from urllib.parse import urlencode

from flask import redirect
from msgspec import Struct
from werkzeug.datastructures import MultiDict
from werkzeug.wrappers import Response

from closeup_service.operations.asking.strict_json import JsonObject
from closeup_service.pages.members import bounds_of


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


def controls(item: JsonObject) -> list[Control]:
    """Fields of the form that asks an operation by its query, filled in with an example that a query can hold."""
    parameters = item.get("get", {}).get("parameters", ())
    names = {parameter["name"] for parameter in parameters}
    filled = next((each for each in examples(item) if names.issuperset(each)), {})
    return [
        document(parameter) if "content" in parameter else control(parameter, filled.get(parameter["name"]))
        for parameter in parameters
    ]


def examples(item: JsonObject) -> list[JsonObject]:
    """Requests of the examples."""
    contents = item.get("post", {}).get("requestBody", {}).get("content", {}).values()
    return [example["value"] for content in contents for example in content.get("examples", {}).values()]


def document(parameter: JsonObject) -> Control:
    """Field for the whole request, as JSON."""
    content = next(iter(parameter["content"].values()))
    text = json.dumps(next(iter(content["examples"].values()))["value"], indent=1, ensure_ascii=False)
    return Control(parameter["name"], text, parameter["required"], lines=min(20, text.count("\n") + 1))


def control(parameter: JsonObject, value: object) -> Control:
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
