"""The command line's table of operations, made from the operation records and their schemas.

There is a file for each operation, so that a command reads no more than its own.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import NotRequired, Required, TypedDict, cast

from marshmallow import Schema, fields

from closeup_service.gear.catalogue import MOUNTS, SENSORS
from closeup_service.operations.operation import Example, Operation
from closeup_service.operations.registry import command_name, operations
from closeup_service.published.line_by_line import write_in_lines
from closeup_service.published.record_types.shape import find_entry
from closeup_service.schemas.describing import bounds, label, unit, without_unit
from closeup_service.schemas.estimated import EstimatedAnswerSchema
from closeup_service.schemas.fields import AnyField
from closeup_service.schemas.kit import KitField
from closeup_service.schemas.train import ELEMENTS, Element
from closeup_service.schemas.upload import EncodedPicture, PhotographFile, PictureWanted
from closeup_service.schemas.worked_steps import STEPS

INDEX, QUANTITIES, PARTS, USUAL_NAMES = "index.json", "quantities.json", "parts.json", "usual-names.json"
"""Files of the table beside those of the operations; no command has such a name."""

KINDS: tuple[tuple[type[AnyField], str], ...] = (
    (fields.Integer, "whole"),
    (fields.Float, "number"),
    (PictureWanted, "picture"),
    (fields.Boolean, "flag"),
    (EncodedPicture, "picture"),
    (fields.String, "text"),
    (Element, "part"),
    (KitField, "other"),
    (fields.Nested, "group"),
    (PhotographFile, "file"),
)


class FieldRow(TypedDict, total=False):
    """One field of a request, of a part, or of an answer."""

    name: Required[str]
    kind: Required[str]
    label: Required[str]
    unit: str
    meaning: str
    deprecated: bool
    fields: Sequence[FieldRow]


class PartRow(TypedDict):
    """One kind of part."""

    name: str
    meaning: str
    fields: Sequence[FieldRow]


class OperationRow(TypedDict):
    """One operation."""

    name: str
    path: str
    method: str
    by_query: str
    summary: str
    description: str
    fields: Sequence[FieldRow]
    answer: Sequence[FieldRow]
    examples: Sequence[ExampleRow]
    media_types: Sequence[str]


class ExampleRow(TypedDict):
    """One example; its photographs by the names of their files."""

    summary: str
    request: Mapping[str, object]
    photographs: NotRequired[Sequence[str]]


def command_table() -> Mapping[str, object]:
    """Return the files of the table by name: what there is, the names of quantities, the parts of a train, each operation."""
    commands = [operation_row(operation) for operation in operations()]
    names = [row["name"] for row in commands]
    twice = {name for name in names if names.count(name) > 1}
    if twice:
        raise ValueError(f"Two operations share the command {', '.join(sorted(twice))}.")
    parts = [part_row(kind, schema) for kind, schema in ELEMENTS.items()]
    return {
        INDEX: [{"name": row["name"], "path": row["path"], "summary": row["summary"]} for row in commands],
        QUANTITIES: list_quantities(commands, parts),
        PARTS: parts,
        USUAL_NAMES: {"registers": usual_registers(), "sensors": usual_sensors()},
        **{name_file(row["name"]): row for row in commands},
    }


def usual_registers() -> Mapping[str, float]:
    """Register of each mount by its id and by its usual names [mm]."""
    return {name: each.register_mm for each in MOUNTS.values() for name in (each.id, *each.names)}


def usual_sensors() -> Mapping[str, str]:
    """Sensor format of each usual name."""
    return {name: each.id for each in SENSORS.values() for name in each.names}


def name_file(command: str) -> str:
    """File of the operation of a command."""
    return f"{command.replace(' ', '_')}.json"


def list_quantities(commands: Sequence[OperationRow], parts: Sequence[PartRow]) -> Mapping[str, Sequence[str]]:
    """Label and unit of each name, whichever operation or part has it."""
    listed = [field for each in commands for field in (*each["answer"], *each["fields"])]
    listed += [field for each in parts for field in each["fields"]]
    return {row["name"]: (row["label"], row.get("unit", "")) for row in walk(listed)}


def walk(fields: Sequence[FieldRow]) -> Iterator[FieldRow]:
    """Yield every row, nested ones included."""
    for each in fields:
        yield each
        yield from walk(each.get("fields", ()))


def operation_row(operation: Operation) -> OperationRow:
    """One operation, by its command's name."""
    return {
        "name": command_name(operation.path),
        "path": operation.path,
        "method": operation.methods[-1],
        "by_query": operation.by_query,
        "summary": operation.summary,
        "description": operation.description,
        "fields": [] if operation.request_schema is None else rows(operation.request_schema),
        "answer": rows(operation.answer_schema, but={*EstimatedAnswerSchema().fields, STEPS}),
        "examples": [example_row(each) for each in operation.examples],
        "media_types": [] if operation.takes_photographs else list(operation.renderers),
    }


def example_row(example: Example) -> ExampleRow:
    """One example; its photographs by the names of their files."""
    row: ExampleRow = {"summary": example.summary, "request": example.request}
    if example.photographs:
        row["photographs"] = list(example.photographs)
    return row


def part_row(kind: str, schema: Schema) -> PartRow:
    """One kind of part, with its members; what is an object of its own is given in documents only."""
    nested = {name for name, field in schema.fields.items() if isinstance(find_entry(field), fields.Nested)}
    return {"name": kind, "meaning": first_line(schema), "fields": rows(schema, but={"element"} | nested)}


def first_line(schema: Schema) -> str:
    """First line of what a schema says of itself."""
    return (type(schema).__doc__ or "").partition("\n")[0]


def rows(schema: Schema, but: set[str] | None = None) -> list[FieldRow]:
    """Every field of a schema, in its order."""
    return [row(name, field) for name, field in schema.fields.items() if name not in (but or set())]


def row(name: str, field: AnyField) -> FieldRow:
    """One field; what does not apply to it is left out."""
    inner, listed = (field.inner, True) if isinstance(field, fields.List) else (field, False)
    described: dict[str, object] = {
        "name": name,
        "kind": kind_of(inner),
        "list": listed,
        "label": label(name),
        "unit": unit(inner),
        "required": field.required,
        "meaning": meaning(field),
        "deprecated": field.metadata.get("deprecated", False),
        **bounds(inner),
        "fields": rows(inner.schema) if isinstance(inner, fields.Nested) and kind_of(inner) == "group" else [],
    }
    return cast("FieldRow", {key: value for key, value in described.items() if says_something(value)})


def says_something(value: object) -> bool:
    """Whether a value is worth a line of the table: all but what is absent, empty or false; 0 is a bound."""
    return value is not None and value is not False and value not in ("", [])


def kind_of(field: AnyField) -> str:
    """Kind of a field's value, as the command line tells them apart; "other" is given in documents only."""
    return next((kind for known, kind in KINDS if isinstance(field, known)), "other")


def meaning(field: AnyField) -> str:
    """One line of meaning, without the unit that the published description ends with."""
    stated = field.metadata.get("description") or first_line_of(field)
    return without_unit(stated)


def first_line_of(field: AnyField) -> str:
    """First line of what a group's schema, or a kind of field that documents alone give, says of itself."""
    if isinstance(field, fields.Nested):
        return first_line(field.schema)
    return (type(field).__doc__ or "").partition("\n")[0] if kind_of(field) == "other" else ""


def write_table() -> Mapping[str, str]:
    """Return the files as they are committed."""
    return {name: write_in_lines(content) for name, content in command_table().items()}
