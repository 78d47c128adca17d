"""What a kit refuses."""

from typing import TypeAlias

Fault: TypeAlias = tuple[str, str]
"""JSON pointer of the member at fault, and what would be right."""


class KitRefuses(ValueError):
    """A request that does not fit the kit: every fault at once."""

    def __init__(self, faults: list[Fault]) -> None:
        super().__init__("; ".join(f"{pointer}: {text}" for pointer, text in faults))
        self.faults = faults


class NobodyWaits(Exception):
    """The client has closed the connection, so that nobody would read the result."""
