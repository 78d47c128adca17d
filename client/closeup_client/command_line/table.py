"""The table of operations that the service publishes for the command line: what there is, and each operation when asked."""

from __future__ import annotations

import json
import os
from collections.abc import Mapping
from functools import cache, cached_property

TYPE_CHECKING = False  # as type checkers know it; for the help alone, loading `typing` takes long
if TYPE_CHECKING:
    from typing import Any

    from closeup_client.command_line.operation import Operation, Part, Quantity

OPERATIONS = os.path.join(os.path.dirname(os.path.dirname(__file__)), "operations")
"""Folder of the table's files."""
PROGRAM = "closeup"


class Listed:
    """What can be said of an operation before it is asked."""

    def __init__(self, name: str, path: str, summary: str) -> None:
        self.name, self.path, self.summary = name, path, summary


class Table:
    """Everything the command line can ask; an operation is read from its file when it is asked for.

    Parameters
    ----------
    folder : where the files are that `closeup_service.published.command_table` writes.
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
            from closeup_client.command_line.operation import operation_of  # noqa: PLC0415  # not for the list alone

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
        from closeup_client.command_line.operation import part_of  # noqa: PLC0415

        return {row["name"]: part_of(row) for row in self._content("parts.json")}

    @cached_property
    def quantities(self) -> Mapping[str, Quantity]:
        """Label and unit of every name."""
        from closeup_client.command_line.operation import Quantity  # noqa: PLC0415

        return {name: Quantity(*told) for name, told in self._content("quantities.json").items()}

    @cached_property
    def registers(self) -> Mapping[str, float]:
        """Register of each mount by its usual names [mm]."""
        registers: Mapping[str, float] = self._content("usual-names.json")["registers"]
        return registers

    @cached_property
    def sensors(self) -> Mapping[str, str]:
        """Sensor format of each usual name."""
        sensors: Mapping[str, str] = self._content("usual-names.json")["sensors"]
        return sensors

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


@cache
def table() -> Table:
    """Table of this version."""
    return Table()
