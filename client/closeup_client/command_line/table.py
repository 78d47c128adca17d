"""The table of operations that the service publishes for the command line, as frozen records."""

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

PROGRAM = "closeup"
OWN_OPTIONS: Mapping[str, str] = {"show_steps": "--steps"}
"""Options that are not called as their field."""

SCALARS = ("number", "whole", "text", "flag")


@dataclass(frozen=True, slots=True)
class Field:
    """One field of a request or an answer.

    A "group" has fields of its own, a "part" is one part of a train, a "file" is sent as one, a "picture" is written to one.
    """

    name: str
    kind: str
    label: str
    meaning: str = ""
    unit: str = ""
    required: bool = False
    list: bool = False
    minimum: float | None = None
    maximum: float | None = None
    choices: tuple[str, ...] = ()
    fields: tuple["Field", ...] = ()

    @property
    def option(self) -> str:
        """Option that gives this field."""
        return OWN_OPTIONS.get(self.name) or f"--{self.name.replace('_', '-')}"

    @property
    def is_scalar(self) -> bool:
        """Whether one word on the command line gives it."""
        return self.kind in SCALARS and not self.list

    @property
    def is_scalar_list(self) -> bool:
        """Whether several words on the command line give it."""
        return self.kind in SCALARS and self.list

    @property
    def is_flat_group(self) -> bool:
        """Whether a few words of the form name=value give it."""
        return self.kind == "group" and not self.list and bool(self.fields) and all(f.is_scalar for f in self.fields)

    @property
    def is_group_list(self) -> bool:
        """Whether each use of the option, in a few words of the form name=value, gives one of several records."""
        return self.kind == "group" and self.list and bool(self.fields) and all(f.is_scalar for f in self.fields)

    @property
    def is_named(self) -> bool:
        """Whether words of the form name=value give it."""
        return self.is_flat_group or self.is_group_list

    @property
    def is_train(self) -> bool:
        """Whether the short form of a train gives it."""
        return self.kind == "part" and self.list

    @property
    def is_file(self) -> bool:
        """Whether the names of files give it, which stand alone."""
        return self.kind == "file"

    @property
    def is_picture(self) -> bool:
        """Whether the name of the file gives it that the answer's picture is written to."""
        return self.kind == "picture"


@dataclass(frozen=True, slots=True)
class Example:
    """A request that runs."""

    summary: str
    request: Mapping[str, Any]
    photographs: tuple[str, ...] = ()
    """Names of the files sent with it."""


@dataclass(frozen=True, slots=True)
class Operation:
    """One operation, which is one command."""

    name: str
    path: str
    method: str
    by_query: str
    summary: str
    description: str
    fields: tuple[Field, ...]
    answer: tuple[Field, ...]
    examples: tuple[Example, ...]
    media_types: tuple[str, ...] = ()
    """What else than JSON the answer can be had as, such as a drawing."""

    @property
    def takes_document(self) -> bool:
        """Whether the request is nested, so that a document in JSON can give it."""
        simple = (f.is_scalar or f.is_scalar_list or f.is_file or f.is_picture for f in self.fields)
        return self.by_query == "document" or not all(simple)

    @property
    def options(self) -> tuple[Field, ...]:
        """Fields with an option of their own; the others come by document alone."""
        return tuple(
            f for f in self.fields if f.is_scalar or f.is_scalar_list or f.is_named or f.is_train or f.is_picture
        )

    @property
    def files(self) -> Field | None:
        """Return the field that files are sent for, where there is one."""
        return next((field for field in self.fields if field.is_file), None)

    @property
    def words(self) -> tuple[str, ...]:
        """Words of the command: below another one's address it has two."""
        return tuple(self.name.split())

    @property
    def takes_kit(self) -> bool:
        """Whether a kit may be sent with the request."""
        return any(field.name == "kit" for field in self.fields)

    @property
    def takes_columns(self) -> bool:
        """Whether it takes columns of values, for many rows at once."""
        return any(field.name == "columns" for field in self.fields)

    @property
    def solve(self) -> Field | None:
        """Return the field that asks for an open length of the train, where there is one."""
        if not any(field.is_train for field in self.fields):
            return None
        return next((field for field in self.fields if field.name == "solve"), None)

    @property
    def targets(self) -> tuple[Field, ...]:
        """What an open length can be solved for."""
        return next((f.fields for f in self.solve.fields if f.name == "target"), ()) if self.solve else ()


@dataclass(frozen=True, slots=True)
class Part:
    """One kind of part of a train."""

    name: str
    meaning: str
    fields: tuple[Field, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """Everything the command line can ask."""

    operations: tuple[Operation, ...]
    parts: Mapping[str, Part]

    def with_commands(self, text: str) -> str:
        """Text in which commands stand for the addresses of their operations."""
        for operation in sorted(self.operations, key=lambda each: len(each.path), reverse=True):
            text = text.replace(operation.path, f"{PROGRAM} {operation.name}")
        return text

    def below(self, command: str) -> tuple[Operation, ...]:
        """Return the commands of two words that begin with this one."""
        return tuple(each for each in self.operations if each.words[:-1] == (command,))

    def labels(self) -> Mapping[str, Field]:
        """Return any field of each name, for its label and unit."""
        known: dict[str, Field] = {}
        for operation in self.operations:
            known.update(each_field(operation.answer))
            known.update(each_field(operation.fields))
        for part in self.parts.values():
            known.update(each_field(part.fields))
        return known


def destination(field: Field) -> str:
    """Name of an option's value among the parsed arguments, apart from the command line's own."""
    return f"asked_{field.name}"


def each_field(fields: Sequence[Field]) -> Iterator[tuple[str, Field]]:
    """Yield every field by name, nested ones included."""
    for field in fields:
        yield field.name, field
        yield from each_field(field.fields)


@cache
def table() -> Table:
    """Read the table from the package data, once."""
    told = json.loads((files("closeup_client") / "operations.json").read_text(encoding="utf-8"))
    parts = [Part(row["name"], row["meaning"], fields_of(row["fields"])) for row in told["parts"]]
    return Table(tuple(map(operation_of, told["operations"])), {part.name: part for part in parts})


def operation_of(row: Mapping[str, Any]) -> Operation:
    """Operation of a row of the table."""
    nested = {
        "fields": fields_of(row.get("fields", [])),
        "answer": fields_of(row["answer"]),
        "examples": tuple(map(example_of, row["examples"])),
        "media_types": tuple(row.get("media_types", ())),
    }
    return Operation(**{**row, **nested})


def example_of(row: Mapping[str, Any]) -> Example:
    """Example of a row of the table."""
    return Example(row["summary"], row["request"], tuple(row.get("photographs", ())))


def fields_of(rows: Sequence[Mapping[str, Any]]) -> tuple[Field, ...]:
    """Fields of the rows of the table."""
    return tuple(
        Field(**{**row, "choices": tuple(row.get("choices", ())), "fields": fields_of(row.get("fields", ()))})
        for row in rows
    )
