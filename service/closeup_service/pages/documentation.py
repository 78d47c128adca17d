"""The documentation: an index, and a page for each operation, made from the published document; no JavaScript."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cache
from typing import TYPE_CHECKING

from flask import Blueprint, Response, abort, render_template, request
from msgspec import Struct
from werkzeug.wrappers import Response as AnyResponse

from closeup_service.pages.members import Member, members, name_of, reachable_schemas, type_of
from closeup_service.pages.rendering import send_text
from closeup_service.pages.running import Running
from closeup_service.pages.try_it import address_of, controls
from closeup_service.published.example_forms import ExampleForms

if TYPE_CHECKING:
    from closeup_service.published.document_types import Content, Document, DocumentOperation, JsonSchema, PathItem

PROBLEM = "Problem"
KIT, KIT_PAGE = "Kit", "listKit"
JSON = "application/json"


class Told(Struct, frozen=True):
    """What the documentation tells beside the document: the forms of the examples by operation, problems, limits, operation."""

    document: Callable[[], Document]
    forms: Callable[[str], Sequence[ExampleForms]]
    problems: Mapping[str, object]
    limits: Sequence[tuple[str, str]]
    running: Running


class Section(Struct, frozen=True):
    """One schema on a page."""

    name: str
    description: str
    rows: list[Member]


class Entry(Struct, frozen=True):
    """One operation of the index."""

    name: str
    path: str
    methods: tuple[str, ...]
    main: DocumentOperation
    item: PathItem


def add_to(blueprint: Blueprint, told: Told) -> None:
    """Add the index and the pages of the operations; each is written once, when first asked for."""
    index = cache(lambda: render_template("docs.html", **index_values(told)))
    written = cache(lambda name: render_template("operation.html", **operation_values(told, name)))

    blueprint.add_app_template_filter(as_lines)

    @blueprint.get("/docs")
    def docs() -> Response:
        return send_text(index())

    @blueprint.get("/docs/<name>")
    def operation(name: str) -> Response:
        find_entry(told.document(), name)
        return send_text(written(name))

    @blueprint.get("/docs/<name>/try")
    def try_it(name: str) -> AnyResponse:
        return address_of(find_entry(told.document(), name).path, request.args)


def as_lines(value: object) -> str:
    """JSON for people, its members in their order."""
    return json.dumps(value, indent=1, ensure_ascii=False)


def entries(document: Document) -> list[Entry]:
    """Every operation of the document, in its order."""
    return [
        Entry(
            next(iter(item.values()))["operationId"], path, tuple(map(str.upper, item)), next(iter(item.values())), item
        )
        for path, item in document["paths"].items()
    ]


def find_entry(document: Document, name: str) -> Entry:
    """Operation of a name, or the answer that there is none."""
    found = next((entry for entry in entries(document) if entry.name == name), None)
    return found or abort(404)


def index_values(told: Told) -> dict[str, object]:
    """What the index shows."""
    document = told.document()
    schemas, by_tag = document["components"]["schemas"], entries(document)
    groups = [(tag, [entry for entry in by_tag if tag["name"] in entry.main["tags"]]) for tag in document["tags"]]
    return {
        "document": document,
        "groups": groups,
        "problems": told.problems.values(),
        "limits": told.limits,
        "sections": [section(name, schemas) for name in (PROBLEM, *reachable_schemas(schemas[PROBLEM], schemas))],
        "homes": homes(document),
    }


def operation_values(told: Told, name: str) -> dict[str, object]:
    """What the page of one operation shows."""
    document = told.document()
    entry, schemas = find_entry(document, name), document["components"]["schemas"]
    asked, answered = request_schema(entry), answer_content(entry)[JSON]["schema"]
    named = answered.get("$ref") and name_of(answered["$ref"])
    asked_names = [asked, *nested_schemas(schemas, asked, name)] if asked else []
    answer_names = [each for each in (named, *nested_schemas(schemas, named, name)) if each and each not in asked_names]
    return {
        "entry": entry,
        "asked": asked,
        "answered": named,
        "request_sections": [section(each, schemas) for each in asked_names],
        "answer_sections": [section(each, schemas) for each in answer_names],
        "controls": controls(entry.item),
        "forms": told.forms(name),
        "answers": answer_content(entry)[JSON].get("examples", {}),
        "media_types": [each for each in answer_content(entry) if each != JSON],
        "only_by_post": post_only_members(entry, schemas, asked),
        "by_document": any("content" in each for each in entry.main.get("parameters", ())),
        "statuses": list(statuses(entry)),
        "problems": told.problems.values(),
        "homes": homes(document) | dict.fromkeys((*asked_names, *answer_names), ""),
    }


def section(name: str, schemas: Mapping[str, JsonSchema]) -> Section:
    """Describe one schema: its members, or what it is one of."""
    schema = schemas[name]
    told = schema.get("description", "")
    choice = f" One of {', '.join(type_of(each) for each in schema['oneOf'])}." if "oneOf" in schema else ""
    return Section(name, told + choice, members(schema, schemas))


def nested_schemas(schemas: Mapping[str, JsonSchema], name: str | None, operation: str) -> list[str]:
    """Names of the schemas within another one; a kit is described once, with the operation that lists it."""
    elsewhere = frozenset({KIT} if operation != KIT_PAGE and name != KIT else ())
    return (
        [] if name is None else [each for each in reachable_schemas(schemas[name], schemas, elsewhere) if each != name]
    )


def homes(document: Document) -> dict[str, str]:
    """Page that describes each schema: of the first operation that uses it, the index for problems."""
    schemas, found = document["components"]["schemas"], {PROBLEM: "/docs"}
    found |= dict.fromkeys(reachable_schemas(schemas[PROBLEM], schemas), "/docs")
    for entry in entries(document):
        for start in filter(None, (request_schema(entry), answer_name(entry))):
            for name in (start, *nested_schemas(schemas, start, entry.name)):
                found.setdefault(name, f"/docs/{entry.name}")
    return found


def request_schema(entry: Entry) -> str | None:
    """Name of the schema of the request, where there is one."""
    if "post" not in entry.item:
        return None
    content = entry.item["post"]["requestBody"]["content"]
    return name_of(next(iter(content.values()))["schema"]["$ref"])


def answer_content(entry: Entry) -> Mapping[str, Content]:
    """Media types of the answer."""
    return entry.main["responses"]["200"]["content"]


def answer_name(entry: Entry) -> str | None:
    """Name of the schema of the answer, where it has one of its own."""
    reference = answer_content(entry)[JSON]["schema"].get("$ref")
    return name_of(reference) if reference else None


def post_only_members(entry: Entry, schemas: Mapping[str, JsonSchema], asked: str | None) -> list[str]:
    """Members of the request that a query cannot hold."""
    if asked is None or "get" not in entry.item:
        return []
    known = {each["name"] for each in entry.main.get("parameters", ())}
    return [] if "document" in known else [name for name in schemas[asked].get("properties", {}) if name not in known]


def statuses(entry: Entry) -> Iterator[tuple[str, str, str]]:
    """Yield every status with its meaning, and the methods that have it where not all do."""
    known = {code: answer["description"] for each in entry.item.values() for code, answer in each["responses"].items()}
    for status in sorted(known):
        having = [method.upper() for method, each in entry.item.items() if status in each["responses"]]
        yield status, known[status], "" if len(having) == len(entry.item) else f"{having[0]} alone"
