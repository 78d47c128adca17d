"""The documentation page and the problem pages, made from the published document; no JavaScript."""

import json
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from importlib.resources import files
from typing import Any, Protocol

from flask import Blueprint, Flask, Response, abort, redirect, render_template
from werkzeug.wrappers import Response as AnyResponse

LIFETIME = "public, max-age=3600"
LOCAL_ADDRESS = "http://127.0.0.1:8000"
FILE = re.compile(r"^\(the file ")
UNIT_AT_END = re.compile(r"\s*\[[^][]*\]$")


class ProblemKind(Protocol):
    """What a problem page tells."""

    @property
    def slug(self) -> str:
        """Last part of its address."""

    @property
    def status(self) -> int:
        """HTTP status."""

    @property
    def title(self) -> str:
        """Constant title."""

    @property
    def remedy(self) -> str:
        """What to do about it."""


@dataclass(frozen=True, slots=True)
class Member:
    """One row of a table of members."""

    name: str
    type: str
    unit: str
    bounds: str
    presence: str
    meaning: str


def register(
    app: Flask, document: Callable[[], Mapping[str, Any]], problems: Mapping[str, ProblemKind], server: str
) -> None:
    """Add the pages to the application; the document is made when it is first asked for."""
    blueprint = Blueprint("pages", __name__, template_folder="templates")
    address = LOCAL_ADDRESS if server == "/" else server.rstrip("/")
    style = files(__package__).joinpath("static", "page.css").read_text(encoding="utf-8")

    @blueprint.get("/docs")
    def docs() -> Response:
        told = document()
        return page("docs.html", document=told, tables=tables(told), problems=problems, address=address)

    @blueprint.get("/problems")
    def kinds() -> AnyResponse:
        return redirect("/docs#problems")

    @blueprint.get("/problems/<slug>")
    def problem(slug: str) -> Response:
        if slug not in problems:
            abort(404)
        return page("problem.html", kind=problems[slug])

    @blueprint.get("/pages/page.css")
    def stylesheet() -> Response:
        return Response(style, content_type="text/css; charset=utf-8", headers={"Cache-Control": LIFETIME})

    blueprint.add_app_template_filter(in_order, "in_order")
    blueprint.add_app_template_filter(as_form, "as_form")
    app.register_blueprint(blueprint)


def in_order(value: Any) -> str:
    """JSON with the members in the order in which the example gives them."""
    return json.dumps(value)


def as_form(value: Mapping[str, Any]) -> str:
    """Options of curl that send a form; a stand-in for a file gives way to the file."""
    parts = [(name, each) for name, given in value.items() for each in (given if isinstance(given, list) else [given])]
    return " ".join(f"-F {name}={FILE.sub(r'@', str(each)).rstrip(')')}" for name, each in parts)


def page(template: str, **values: Any) -> Response:
    """Render one page."""
    text = render_template(template, **values)
    return Response(text, content_type="text/html; charset=utf-8", headers={"Cache-Control": LIFETIME})


def tables(document: Mapping[str, Any]) -> dict[str, list[Member]]:
    """Members of every schema of the document, by the schema's name."""
    schemas = document["components"]["schemas"]
    return {name: members(schema, schemas) for name, schema in schemas.items()}


def members(schema: Mapping[str, Any], schemas: Mapping[str, Any]) -> list[Member]:
    """Describe the members of one schema; a closed object is asked for, an open one answered."""
    presence = "needed" if schema.get("additionalProperties") is False else "always"
    required = schema.get("required", ())
    return [
        member(name, described, presence if name in required else "", schemas)
        for name, described in schema.get("properties", {}).items()
    ]


def member(name: str, schema: Mapping[str, Any], presence: str, schemas: Mapping[str, Any]) -> Member:
    """Describe one member for people; one that only refers to a schema has the words of that schema."""
    inner = schema.get("items", schema)
    unit = inner.get("x-unit", "")
    told = schemas[type_of(schema)] if "$ref" in schema else schema
    meaning = UNIT_AT_END.sub("", told.get("description", ""))
    return Member(name, type_of(schema), "" if unit == "1" else unit, bounds_of(inner), presence, meaning)


def bounds_of(schema: Mapping[str, Any]) -> str:
    """Bounds of a number, or the choices of a text."""
    if "enum" in schema:
        return ", ".join(str(value) for value in schema["enum"] if value is not None)
    low, high = schema.get("minimum"), schema.get("maximum")
    return "" if low is None or high is None else f"{low:.12g} to {high:.12g}"


def type_of(schema: Mapping[str, Any]) -> str:
    """Type in words, or the name of the schema that the member refers to."""
    if "$ref" in schema:
        return str(schema["$ref"]).rsplit("/", 1)[-1]
    if "oneOf" in schema:
        return " or ".join(type_of(choice) for choice in schema["oneOf"])
    kind = schema.get("type", "")
    if isinstance(kind, list):
        return " or ".join(kind)
    return f"list of {type_of(schema['items'])}" if kind == "array" else str(kind)
