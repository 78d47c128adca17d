"""The OpenAPI document, made from the operation records."""

from __future__ import annotations

import inspect
import json
from collections.abc import Mapping
from importlib.metadata import version
from typing import TYPE_CHECKING, Any

from apispec import APISpec
from apispec.ext.marshmallow import MarshmallowPlugin
from apispec.ext.marshmallow.openapi import OpenAPIConverter
from marshmallow import Schema, fields
from msgspec import Struct

from closeup_service.operations.asking import strict_json
from closeup_service.operations.asking.ask import answer_with
from closeup_service.operations.asking.media_types import JSON, MULTIPART
from closeup_service.operations.asking.strict_json import JsonObject
from closeup_service.operations.operation import Example, Operation
from closeup_service.operations.plan.search.schemas import SetUpDocumentField
from closeup_service.operations.refer.kit.schemas import KitListing, ListedKitSchema, WholeKit
from closeup_service.operations.registry import operations
from closeup_service.operations.set_up.table.schemas import Columns, Problems, ResultColumns
from closeup_service.published import document_parts as parts
from closeup_service.published.parameter_examples import example_of
from closeup_service.published.sharing import shared
from closeup_service.published.short_examples import with_short_examples
from closeup_service.published.terse import terse
from closeup_service.running.settings import Settings
from closeup_service.schemas.answers import Assumed
from closeup_service.schemas.fields import AnyField, holds_objects, load
from closeup_service.schemas.kit import demo_kit
from closeup_service.schemas.null_members import may_be_null
from closeup_service.schemas.train import ELEMENTS, Element

if TYPE_CHECKING:
    from closeup_service.published.document_types import Document
from closeup_service.schemas.upload import EncodedPicture, PhotographFile

OPENAPI_VERSION = "3.1.0"
EXAMPLE_DIGITS = 6
COLUMNS = {
    Columns: "Columns",
    ResultColumns: "ResultColumns",
    Problems: "Problems",
    SetUpDocumentField: "SetUpDocument",
}


def published(document: Document) -> Document:
    """Return the document as it is published: its examples short, and what it says several times said once."""
    return shared(concise(document))


def concise(document: Document) -> Document:
    """Return the document with short examples, and without what goes without saying."""
    return terse(with_short_examples(document))


def written_out(settings: Settings) -> Document:
    """Return the whole document, with everything written out where it counts, as the pages of the documentation read it."""
    plugin = MarshmallowPlugin(schema_name_resolver=schema_name)
    spec = APISpec(
        title="closeup-optics",
        version=version("closeup-optics"),
        openapi_version=OPENAPI_VERSION,
        plugins=[plugin],
        info={
            "description": parts.DESCRIPTION,
            "license": {"name": "MIT", "identifier": "MIT"},
            "contact": {"name": "The closeup-optics contributors", "url": settings.contact_url},
        },
        servers=[{"url": settings.server_url, "description": "Production: this service", "x-internal": False}],
        security=[{}],
        tags=[{"name": name, "description": text} for name, text in parts.TAGS.items()],
    )
    converter = plugin.converter
    assert converter is not None
    converter.add_attribute_function(element)
    converter.add_attribute_function(assumed)
    converter.add_attribute_function(file)
    converter.add_attribute_function(kit_listing)
    converter.add_attribute_function(columns)
    converter.add_attribute_function(null_beside)
    for name, schema in parts.SCHEMAS.items():
        spec.components.schema(name, schema)
    for name, header in parts.HEADERS.items():
        spec.components.header(name, header)
    for operation in operations():
        spec.path(path=operation.path, operations=Described(operation, converter).path_item())
    for path, item in parts.operating_paths().items():
        spec.path(path=path, operations=item)
    describe_components(spec, converter)
    document: Document = json.loads(json.dumps(spec.to_dict()))
    return document


def schema_name(schema: Any) -> str:
    """Component name of a schema: its class name without the word Schema."""
    kind = schema if isinstance(schema, type) else type(schema)
    return kind.__name__.removesuffix("Schema")


def describe_components(spec: APISpec, converter: OpenAPIConverter) -> None:
    """Give every schema the first line of its docstring as description."""
    for key, name in converter.refs.items():
        text = inspect.cleandoc(key[0].__doc__ or "").splitlines()[0]
        spec.components.schemas[name].setdefault("description", text)


def element(self: OpenAPIConverter, field: AnyField, **kwargs: object) -> dict[str, object]:
    """One of the elements, told apart by `element`; called by apispec as a method of its converter."""
    del kwargs
    if not isinstance(field, Element):
        return {}
    if "Element" not in self.spec.components.schemas:
        references = {kind: self.resolve_nested_schema(schema) for kind, schema in ELEMENTS.items()}
        mapping = {kind: reference["$ref"] for kind, reference in references.items()}
        choice = {
            "description": "One part of the train.",
            "oneOf": list(references.values()),
            "discriminator": {"propertyName": "element", "mapping": mapping},
        }
        self.spec.components.schema("Element", choice)
    return {"$ref": "#/components/schemas/Element"}


def assumed(self: OpenAPIConverter, field: AnyField, **kwargs: object) -> dict[str, object]:
    """Refer to the component of what was assumed; called by apispec as a method of its converter."""
    del self, kwargs
    return {"$ref": "#/components/schemas/Assumed"} if isinstance(field, Assumed) else {}


def file(self: OpenAPIConverter, field: AnyField, **kwargs: object) -> dict[str, object]:
    """Describe files in a form, and pictures within an answer; called by apispec as a method of its converter."""
    del self, kwargs
    if isinstance(field, PhotographFile):
        return parts.FILE
    return parts.ENCODED_PICTURE if isinstance(field, EncodedPicture) else {}


def columns(self: OpenAPIConverter, field: AnyField, **kwargs: object) -> dict[str, object]:
    """Refer to the component of a table's columns; called by apispec as a method of its converter."""
    del self, kwargs
    component = COLUMNS.get(type(field))
    return {} if component is None else {"$ref": f"#/components/schemas/{component}"}


def null_beside(
    self: OpenAPIConverter, field: AnyField, ret: Mapping[str, object], **kwargs: object
) -> dict[str, object]:
    """Admit null where a request may have it; called by apispec as a method of its converter."""
    del self, kwargs
    nullable = isinstance(field.parent, Schema) and may_be_null(type(field.parent), field.name or "", field)
    return {"type": [ret["type"], "null"]} if nullable else {}


def kit_listing(self: OpenAPIConverter, field: AnyField, **kwargs: object) -> dict[str, object]:
    """Refer to the component of a kit as it is listed; called by apispec as a method of its converter."""
    del kwargs
    if isinstance(field, WholeKit):
        return {"type": "object", "additionalProperties": True}
    return dict(self.resolve_nested_schema(ListedKitSchema())) if isinstance(field, KitListing) else {}


class Described(Struct, frozen=True):
    """Description of one operation."""

    operation: Operation
    converter: OpenAPIConverter

    def path_item(self) -> dict[str, object]:
        """Describe the operation's methods, which have the same answers."""
        answers = self.answers()
        return {method.lower(): self.method(method == "POST", answers) for method in self.operation.methods}

    def method(self, posting: bool, answers: JsonObject) -> dict[str, object]:
        """Describe one method."""
        operation = self.operation
        name = operation.operation_id
        item: dict[str, object] = {
            "operationId": f"{name}ByPost" if posting and "GET" in operation.methods else name,
            "summary": operation.summary,
            "description": self.description(posting),
            "tags": [operation.tag],
            "responses": self.responses(posting, answers),
        }
        if operation.deprecated_on is not None:
            item["deprecated"] = True
        if posting:
            item["requestBody"] = self.body()
        elif operation.request_schema is not None:
            item["parameters"] = self.parameters()
        return item

    def description(self, posting: bool) -> str:
        """Describe what is calculated; of two methods GET has the whole text."""
        operation = self.operation
        if posting and "GET" in operation.methods:
            return f"The same as {operation.operation_id}, by POST."
        return operation.description

    def body(self) -> dict[str, object]:
        """Describe the request's body: a JSON object, or a form with files."""
        content: dict[str, object] = {"schema": self.operation.request_schema, "examples": self.examples()}
        if self.operation.photographs is None:
            return {"required": True, "content": {JSON: content}}
        content["encoding"] = {self.operation.photographs: {"contentType": parts.PHOTOGRAPHS}}
        text = "The request as a form with a part for each field; numbers are written as in JSON."
        return {"required": True, "description": text, "content": {MULTIPART: content}}

    def examples(self) -> dict[str, object]:
        """Return the operation's examples, each of which runs; files by their names."""
        return {
            example.name: {"summary": example.summary, "value": {**example.request, **self.files(example)}}
            for example in self.operation.examples
        }

    def files(self, example: Example) -> dict[str, object]:
        """Stand-ins for the files of an example."""
        name, schema = self.operation.photographs, self.operation.request_schema
        if name is None or schema is None:
            return {}
        told = [f"(the file {each})" for each in example.photographs]
        return {name: told if isinstance(schema.fields[name], fields.List) else told[0]}

    def answers(self) -> dict[str, object]:
        """Run the examples; numbers to six digits, so that the document is the same on every machine."""
        schema = self.operation.request_schema
        if schema is None:
            return {"records": {"summary": "Its first record", "value": first_record(self.operation.answer({}))}}
        return {
            example.name: {"summary": example.summary, "value": self.answer_to(example, schema)}
            for example in self.operation.examples
        }

    def answer_to(self, example: Example, schema: Schema) -> object:
        """Run an example, unless its answer is kept."""
        if example.answer is not None:
            return example.answer
        return rounded(as_json(answer_with(self.operation, load(schema, example.request), demo_kit)))

    def parameters(self) -> list[dict[str, object]]:
        """Describe the query: one parameter for each field, or the document as one."""
        if self.operation.by_query == "document":
            content = {JSON: {"schema": self.operation.request_schema, "examples": self.examples()}}
            text = "The request body of POST, as URL-encoded JSON."
            return [{"name": "document", "in": "query", "required": True, "description": text, "content": content}]
        assert self.operation.request_schema is not None
        described = [
            self.parameter(name, field)
            for name, field in self.operation.request_schema.fields.items()
            if not holds_objects(field)
        ]
        return sorted(described, key=lambda parameter: not parameter["required"])

    def parameter(self, name: str, field: AnyField) -> dict[str, object]:
        """Describe one field as a query parameter."""
        schema = self.converter.field2property(field)
        if may_be_null(type(self.operation.request_schema), name, field):
            schema["type"] = "number"  # no query can hold null
        text = schema.get("description", "")
        described = {"name": name, "in": "query", "required": field.required, "description": text, "schema": schema}
        described["example"] = example_of(name, field)
        if isinstance(field, fields.List):
            described |= {"style": "form", "explode": False}
        return described

    def responses(self, posting: bool, answers: JsonObject) -> dict[str, object]:
        """Describe every status that can occur."""
        operation = self.operation
        content: dict[str, object] = {JSON: {"schema": operation.answer_schema, "examples": answers}}
        content |= {media_type: {"schema": parts.RENDERED[media_type]} for media_type in operation.renderers}
        described: dict[str, object] = {
            "200": {"description": "The answer.", "content": content, "headers": parts.SENT}
        }
        if not posting:
            described["304"] = {"description": "Not changed since the entity tag given."}
            described["414"] = parts.address_too_long()
        waiting = (503,) if operation.takes_photographs or operation.may_wait else ()
        statuses = parts.EVERYWHERE + ((413, 415) if posting else ()) + waiting
        return described | parts.problem_responses((*statuses, 422), operation.takes_photographs)


def first_record(answer: JsonObject) -> dict[str, object]:
    """Return a listing cut to its first record."""
    return {"records": rounded(answer["records"][:1])}


def as_json(answer: JsonObject) -> object:
    """Return the answer as a client reads it: columns are lists."""
    return json.loads(strict_json.dumps(answer))


def rounded(value: object) -> object:
    """Round every number of an answer to six significant digits."""
    if isinstance(value, float):
        return float(f"{value:.{EXAMPLE_DIGITS}g}")
    if isinstance(value, Mapping):
        return {name: rounded(member) for name, member in value.items()}
    return [rounded(item) for item in value] if isinstance(value, list) else value


def write_document() -> Mapping[str, str]:
    """Return the document as it is committed, by the name of its file, with the settings' defaults."""
    text = json.dumps(published(written_out(Settings())), indent=2, ensure_ascii=False)
    return {"openapi.json": f"{text}\n"}
