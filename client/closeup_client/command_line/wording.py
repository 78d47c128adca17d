"""The service's names and JSON pointers in the words of the command line: options, parts of the train, labels."""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from closeup_client.command_line.short_names import UNIT_AT_END, names_of
from closeup_client.command_line.table import Field, Operation, Table

POINTER = re.compile(r"(?<![\w/.])/[a-z_]+(?:/(?:[a-z_]+|\d+))*")
NAME = re.compile(r"(?<![\w/-])[a-z]+(?:_[a-z]+)+(?!\w)")
UNITS = {"mm": "mm", "um": "um", "nm": "nm", "dpt": "dpt", "stops": "stops"}


@dataclass(frozen=True, slots=True)
class Wording:
    """How to speak of one command: in options and parts, or by JSON pointer where a document was read from a file."""

    table: Table
    operation: Operation
    by_pointer: bool = False
    parts: Sequence[tuple[str, str]] = ()
    """Kind of each part of the train, and how it was written."""
    known: Mapping[str, Field] = field(default_factory=dict)

    def place(self, pointer: str) -> str:
        """Return the option or the part that a JSON pointer means; the pointer itself where it means neither."""
        steps = pointer.split("/")[1:]
        if self.by_pointer or not steps:
            return pointer
        if steps[0] == "solve":
            return self._of_the_solve(steps)
        option = next((each for each in self.operation.options if each.name == steps[0]), None)
        if option is None:
            return pointer
        if len(steps) == 1 or option.is_scalar or option.is_scalar_list:
            return option.option
        if option.is_train:
            return self._in_train(option, steps[1:])
        return f"{self._member(option.fields, option.name, steps[1])} of {option.option}"

    def _of_the_solve(self, steps: Sequence[str]) -> str:
        if steps[-1] in ("minimum", "maximum"):
            return "--between"
        return "the open length" if steps[-1] == "unknown" else "--target"

    def _beside(self, pointer: str, name: str) -> str | None:
        """Short name of a member of the part that the pointer leads into."""
        steps = pointer.split("/")[1:]
        if len(steps) < 3 or steps[0] != "train" or not steps[1].isdigit() or int(steps[1]) >= len(self.parts):
            return None
        kind = self.parts[int(steps[1])][0]
        fields = self.table.parts[kind].fields if kind in self.table.parts else ()
        return self._member(fields, kind, name) if any(each.name == name for each in fields) else None

    def _in_train(self, option: Field, steps: Sequence[str]) -> str:
        index = int(steps[0]) if steps[0].isdigit() else -1
        if not 0 <= index < len(self.parts):
            return option.option
        kind, part = self.parts[index][0], self.part(index)
        if len(steps) == 1 or kind not in self.table.parts:
            return part
        return f"{self._member(self.table.parts[kind].fields, kind, steps[1])} of {part}"

    def part(self, index: int) -> str:
        """Name a part of the train, counted from 1."""
        return f"part {index + 1} ({self.parts[index][1]})" if 0 <= index < len(self.parts) else f"part {index + 1}"

    def _member(self, fields: Sequence[Field], kind: str, name: str) -> str:
        found = next((each for each in fields if each.name == name), None)
        return f"{names_of(kind).shortest(found)}=" if found else name

    def label(self, name: str) -> str:
        """Label of a field for people, without the other trade word."""
        found = self.known.get(name)
        return short_label(found.label) if found else unlabelled(name)

    def in_remark(self, text: str) -> str:
        """Text of a remark: results by their labels, data by their options."""
        answers = {each.name for each in self.operation.answer}
        return self._reworded(text, lambda name: None if name in answers else self._option(name))

    def in_refusal(self, text: str, pointer: str = "") -> str:
        """Text of a refusal: data by their options, those of the part at fault by their short names."""
        return self._reworded(text, lambda name: self._beside(pointer, name) or self._option(name))

    def _option(self, name: str) -> str | None:
        return next((each.option for each in self.operation.options if each.name == name), None)

    def _reworded(self, text: str, option: Callable[[str], str | None]) -> str:
        if self.by_pointer:
            return text
        text = POINTER.sub(lambda match: self.place(match[0]), self.table.with_commands(text))
        return NAME.sub(lambda match: option(match[0]) or self._bare(match[0]), text)

    def _bare(self, name: str) -> str:
        return self.label(name) if name in self.known else name


def short_label(label: str) -> str:
    """Label without the other trade word in brackets."""
    return label.partition(" (")[0]


def unlabelled(name: str) -> str:
    """Words for a name that the table does not know, from a newer service."""
    return UNIT_AT_END.sub("", name.replace("_", "-")).replace("-", " ")


def unit_of(name: str, known: Mapping[str, Field]) -> str:
    """Unit of a quantity, by the table or by the end of its name."""
    return known[name].unit if name in known else UNITS.get(name.rsplit("_", 1)[-1], "")
