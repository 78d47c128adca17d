"""The documentation page and the problem pages, made from the published document; no JavaScript."""

from collections.abc import Mapping
from dataclasses import dataclass
from importlib.resources import files
from typing import Any, Protocol

from flask import Blueprint, Flask, Response, abort, render_template

LIFETIME = "public, max-age=3600"


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
    required: bool
    meaning: str


def register(app: Flask, document: Mapping[str, Any], problems: Mapping[str, ProblemKind]) -> None:
    """Add the pages to the application."""
    blueprint = Blueprint("pages", __name__, template_folder="templates")
    style = files(__package__).joinpath("static", "page.css").read_text(encoding="utf-8")

    @blueprint.get("/docs")
    def docs() -> Response:
        return page("docs.html", document=document, tables=tables(document), problems=problems)

    @blueprint.get("/problems/<slug>")
    def problem(slug: str) -> Response:
        if slug not in problems:
            abort(404)
        return page("problem.html", kind=problems[slug])

    @blueprint.get("/pages/page.css")
    def stylesheet() -> Response:
        return Response(style, content_type="text/css; charset=utf-8", headers={"Cache-Control": LIFETIME})

    app.register_blueprint(blueprint)


def page(template: str, **values: Any) -> Response:
    """Render one page."""
    text = render_template(template, **values)
    return Response(text, content_type="text/html; charset=utf-8", headers={"Cache-Control": LIFETIME})


def tables(document: Mapping[str, Any]) -> dict[str, list[Member]]:
    """Members of every schema of the document, by the schema's name."""
    return {
        name: [
            member(key, value, key in schema.get("required", ())) for key, value in schema.get("properties", {}).items()
        ]
        for name, schema in document["components"]["schemas"].items()
    }


def member(name: str, schema: Mapping[str, Any], required: bool) -> Member:
    """Describe one member for people."""
    low, high = schema.get("minimum"), schema.get("maximum")
    bounds = "" if low is None or high is None else f"{low:g} to {high:g}"
    if "enum" in schema and len(schema["enum"]) <= 8:
        bounds = ", ".join(str(value) for value in schema["enum"])
    unit = schema.get("x-unit", "")
    return Member(name, type_of(schema), "" if unit == "1" else unit, bounds, required, schema.get("description", ""))


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
