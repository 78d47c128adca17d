"""The service's names and JSON pointers in the words of the command line: options, parts of the train, labels."""

import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any, NamedTuple

from closeup_client.command_line.figures import with_signs
from closeup_client.command_line.operation import Field, Operation, Quantity
from closeup_client.command_line.short_form.names import names_of
from closeup_client.command_line.table import Table
from closeup_client.command_line.values import typed

POINTER = re.compile(r"(?<![\w/.])/[a-z_]+(?:/(?:[a-z_]+|\d+))*")
NAME = re.compile(r"(?<![\w/-])[a-z]+(?:_[a-z]+)+(?!\w)")
GROUPED = re.compile(r"(?<![\w/.-])([a-z]+(?:_[a-z]+)*)\.([a-z]+(?:_[a-z]+)*)(?!\w)")
ASKED_FOR = re.compile(r"\b(?:without|give|needs?)\b", re.IGNORECASE)
ONE_WORD_ASKED_FOR = re.compile(r"(?<=determined without )[a-z]+\b(?!_)")
SENTENCE_END = re.compile(r"[.;?!]\s+")
BEGINNING = re.compile(r"(?:^|[.?!]\s+)$")
FIRST_WORD = re.compile(r"[a-z]+(?![=/\w]|\.\w)")
SETTINGS = ("unknown", "setting")
VALUES_OF = {"value": SETTINGS, "nominal_value": SETTINGS, "asked": ("wish",), "nearest": ("wish",), "miss": ("wish",)}
"""Members whose quantity another member of their record names."""
UNITS = {"mm": "mm", "um": "um", "nm": "nm", "dpt": "dpt", "stops": "stops"}


class Wording(NamedTuple):
    """How to speak of one command: in options and parts, or by JSON pointer where a document was read from a file."""

    table: Table
    operation: Operation
    by_pointer: bool = False
    parts: Sequence[tuple[str, str]] = ()
    """Kind of each part of the train, and how it was written."""

    @property
    def known(self) -> Mapping[str, Quantity]:
        """Label and unit of every name that the table knows."""
        return self.table.quantities

    def place(self, pointer: str) -> str:
        """Return the option or the part that a JSON pointer means; the pointer itself where it means neither."""
        steps = pointer.split("/")[1:]
        if self.by_pointer or not steps:
            return pointer
        if steps[0] == "solve":
            return self._of_the_solve(steps)
        option = next((each for each in self.operation.options if each.name == steps[0]), None)
        if option is None:
            return self._of_the_files(steps) or pointer
        if len(steps) == 1 or option.is_scalar or option.is_scalar_list:
            return option.option
        if option.is_train:
            return self._in_train(option, steps[1:])
        return self._in_group(option, steps[1:])

    def names_one_file(self, pointer: str) -> bool:
        """Whether a pointer leads to one of several files."""
        steps = pointer.split("/")[1:]
        return self.operation.files is not None and steps[:1] == [self.operation.files.name] and len(steps) > 1

    def _of_the_files(self, steps: Sequence[str]) -> str | None:
        if self.operation.files is None or steps[0] != self.operation.files.name:
            return None
        return f"photograph {int(steps[1]) + 1}" if steps[1:] and steps[1].isdigit() else "the photograph"

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

    def _in_group(self, option: Field, steps: Sequence[str]) -> str:
        place, rest = option.option, steps
        if option.is_group_list and steps[0].isdigit():
            place, rest = f"{option.option} number {int(steps[0]) + 1}", steps[1:]
        return f"{self._member(option.fields, option.name, rest[0])} of {place}" if rest else place

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

    def names_quantities(self, field: Field | None) -> bool:
        """Whether the choices of a field are names of quantities."""
        return field is not None and bool(field.choices) and all(choice in self.known for choice in field.choices)

    def choices(self, field: Field) -> tuple[str, ...]:
        """Choices of a field, as they are typed."""
        return tuple(map(typed, field.choices)) if self.names_quantities(field) else field.choices

    def choice(self, text: str, field: Field | None) -> str:
        """Label of the quantity that a choice names; any other text as it is."""
        return self.label(text) if self.names_quantities(field) else text

    def in_help(self, text: str) -> str:
        """Text of the help: what can be given by options or short names, results by their labels."""
        answers = {each.name for each in self.operation.answer}

        def said(match: re.Match[str]) -> str | None:
            in_short = None if match[0] in answers else self._in_parts(match) or self._in_groups(match[0])
            return self._option(match[0]) or in_short

        return self._reworded(text, said)

    def in_remark(self, text: str) -> str:
        """Text of a remark: what it asks for by option or short name, results by their labels, other data by options."""
        answers = {each.name for each in self.operation.answer}

        def said(match: re.Match[str]) -> str | None:
            if ASKED_FOR.search(sentence_before(match)):
                return self._option(match[0]) or self._in_parts(match) or self._in_groups(match[0])
            return None if match[0] in answers else self._option(match[0])

        return capitalised(self._reworded(text, said))

    def in_refusal(self, text: str, pointer: str = "") -> str:
        """Text of a refusal: data by their options, those of the part at fault by their short names."""
        return self._reworded(text, lambda match: self._beside(pointer, match[0]) or self._option(match[0]))

    def _option(self, name: str) -> str | None:
        return next((each.option for each in self.operation.options if each.name == name), None)

    def _in_parts(self, match: re.Match[str]) -> str | None:
        """Short name of a part's member, with the part where only one can be meant."""
        name, kinds = match[0], [kind for kind, part in self.table.parts.items() if has(part.fields, match[0])]
        if not kinds or not any(option.is_train for option in self.operation.options):
            return None
        places = [index for index, (kind, _) in enumerate(self.parts) if kind in kinds]
        kind = self.parts[places[0]][0] if places else kinds[0]
        said = self._member(self.table.parts[kind].fields, kind, name)
        one = len(places) == 1 and not sentence_before(match).endswith("with ")
        return f"{said} of {self.part(places[0])}" if one else said

    def _in_groups(self, name: str) -> str | None:
        """Short name of a member of a group, with the option of the group."""
        group = next((each for each in self.operation.options if has(each.fields, name)), None)
        return f"{self._member(group.fields, group.name, name)} of {group.option}" if group else None

    def _reworded(self, text: str, option: Callable[[re.Match[str]], str | None]) -> str:
        text = with_signs(text)
        if self.by_pointer:
            return text
        text = POINTER.sub(lambda match: self.place(match[0]), self.table.with_commands(text))
        text = GROUPED.sub(self._without_group, text)
        text = ONE_WORD_ASKED_FOR.sub(lambda match: self._option(match[0]) or match[0], text)
        return NAME.sub(lambda match: option(match) or self._bare(match), text)

    def _without_group(self, match: re.Match[str]) -> str:
        group = next((each for each in self.operation.answer if each.name == match[1]), None)
        return self.label(match[2]) if group and has(group.fields, match[2]) else match[0]

    def _bare(self, match: re.Match[str]) -> str:
        label = self.label(match[0]) if match[0] in self.known else match[0]
        return capitalised(label) if BEGINNING.search(match.string[: match.start()]) else label


def has(fields: Sequence[Field], name: str) -> bool:
    """Whether one of the fields has this name."""
    return any(each.name == name for each in fields)


def sentence_before(match: re.Match[str]) -> str:
    """Return what the sentence says before the words found."""
    return SENTENCE_END.split(match.string[: match.start()])[-1]


def capitalised(text: str) -> str:
    """Text with a capital at its beginning, but for what is typed so: options, short names, f/8."""
    return text[:1].upper() + text[1:] if FIRST_WORD.match(text) else text


def short_label(label: str) -> str:
    """Label without the other trade word in brackets."""
    return label.partition(" (")[0]


def unlabelled(name: str) -> str:
    """Words for a name that the table does not know, from a newer service."""
    return typed(name).replace("-", " ")


def quantity_of(name: str, record: Mapping[str, Any]) -> str:
    """Name of the quantity that a member gives: its own, or the one that its record names."""
    naming = (record.get(other) for other in VALUES_OF.get(name, ()))
    return next((named for named in naming if isinstance(named, str)), name)


def unit_of(name: str, known: Mapping[str, Quantity]) -> str:
    """Unit of a quantity, by the table or by the end of its name."""
    return known[name].unit if name in known else UNITS.get(name.rsplit("_", 1)[-1], "")
