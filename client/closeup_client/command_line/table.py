"""The table of operations that the service publishes for the command line, as frozen records."""

import json
import os
from collections.abc import Mapping, Sequence
from functools import cache, cached_property
from typing import Any, NamedTuple

OPERATIONS = os.path.join(os.path.dirname(os.path.dirname(__file__)), "operations")
"""Folder of the table's files."""
PROGRAM = "closeup"
OWN_OPTIONS: Mapping[str, str] = {"show_steps": "--steps"}
"""Options that are not called as their field."""

SCALARS = ("number", "whole", "text", "flag")


class Field(NamedTuple):
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


class Example(NamedTuple):
    """A request that runs."""

    summary: str
    request: Mapping[str, Any]
    photographs: tuple[str, ...] = ()
    """Names of the files sent with it."""


class Operation(NamedTuple):
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

    def field(self, name: str) -> Field:
        """Return the field of a name that the request has."""
        return next(field for field in self.fields if field.name == name)

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


class Part(NamedTuple):
    """One kind of part of a train."""

    name: str
    meaning: str
    fields: tuple[Field, ...]


class Listed(NamedTuple):
    """What can be said of an operation before it is asked."""

    name: str
    path: str
    summary: str


class Quantity(NamedTuple):
    """What a name stands for, wherever it stands."""

    label: str
    unit: str


class Table:
    """Everything the command line can ask; an operation is read from its file when it is asked for.

    Parameters
    ----------
    folder : where the files are that `closeup_service.web.command_table` writes.
    """

    def __init__(self, folder: str = OPERATIONS) -> None:
        self._folder = folder
        self._read: dict[str, Operation] = {}

    @cached_property
    def listed(self) -> tuple[Listed, ...]:
        """Every operation, in the order of the service's own document."""
        return tuple(Listed(**row) for row in self._content("index.json"))

    @property
    def operations(self) -> tuple[Operation, ...]:
        """Read every operation."""
        return tuple(self.operation(each.name) for each in self.listed)

    def operation(self, name: str) -> Operation:
        """Read the operation of a command."""
        if name not in self._read:
            self._read[name] = operation_of(self._content(f"{name.replace(' ', '_')}.json"))
        return self._read[name]

    def operation_at(self, path: str) -> Operation:
        """Read the operation of an address."""
        return self.operation(next(each.name for each in self.listed if each.path == path))

    def knows(self, name: str | None) -> bool:
        """Whether there is an operation with this command."""
        return any(each.name == name for each in self.listed)

    def below(self, command: str) -> tuple[Listed, ...]:
        """Return the commands of two words that begin with this one."""
        return tuple(each for each in self.listed if each.name.split()[:-1] == [command])

    @cached_property
    def parts(self) -> Mapping[str, Part]:
        """Kinds of part that a train is made of."""
        rows = self._content("parts.json")
        return {row["name"]: Part(row["name"], row["meaning"], fields_of(row["fields"])) for row in rows}

    @cached_property
    def quantities(self) -> Mapping[str, Quantity]:
        """Label and unit of every name."""
        return {name: Quantity(*told) for name, told in self._content("quantities.json").items()}

    def with_commands(self, text: str) -> str:
        """Text in which commands stand for the addresses of their operations."""
        if "/" not in text:
            return text
        for each in sorted(self.listed, key=lambda each: len(each.path), reverse=True):
            text = text.replace(each.path, f"{PROGRAM} {each.name}")
        return text

    def _content(self, name: str) -> Any:
        with open(os.path.join(self._folder, name), encoding="utf-8") as file:
            return json.load(file)


def destination(field: Field) -> str:
    """Name of an option's value among the parsed arguments, apart from the command line's own."""
    return f"asked_{field.name}"


@cache
def table() -> Table:
    """Table of this version."""
    return Table()


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
    return tuple(map(field_of, rows))


def field_of(row: Mapping[str, Any]) -> Field:
    """Field of a row of the table."""
    nested: dict[str, Any] = {"choices": tuple(row.get("choices", ())), "fields": fields_of(row.get("fields", ()))}
    return Field(**{**row, **nested})
