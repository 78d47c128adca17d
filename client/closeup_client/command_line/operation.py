"""One operation as the command line knows it: its fields, its answer, its examples."""

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

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
    deprecated: bool = False
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


class Quantity(NamedTuple):
    """What a name stands for, wherever it stands."""

    label: str
    unit: str


def destination(field: Field) -> str:
    """Name of an option's value among the parsed arguments, apart from the command line's own."""
    return f"asked_{field.name}"


def operation_of(row: Mapping[str, Any]) -> Operation:
    """Operation of a row of the table."""
    nested = {
        "fields": fields_of(row.get("fields", [])),
        "answer": fields_of(row["answer"]),
        "examples": tuple(map(example_of, row["examples"])),
        "media_types": tuple(row.get("media_types", ())),
    }
    return Operation(**{**row, **nested})


def part_of(row: Mapping[str, Any]) -> Part:
    """Kind of part of a row of the table."""
    return Part(row["name"], row["meaning"], fields_of(row["fields"]))


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
