"""What was understood of typed values that may mean something else."""

from collections.abc import Iterator
from typing import Any

from closeup_client.command_line.values import WholeSeconds
from closeup_client.command_line.wording import Wording


def doubts(members: Any, wording: Wording) -> str:
    """Say, a line for each, what was taken for seconds though one over it may be meant; empty where nothing was."""
    return "\n".join(
        f"Read {wording.place(pointer)} as {value:.0f} s. If 1/{value:.0f} s is meant, write 1/{value:.0f}; else {value:.0f}s."
        for pointer, value in seconds_in(members, "")
    )


def seconds_in(value: Any, pointer: str) -> Iterator[tuple[str, float]]:
    """Every time that was typed as whole seconds without a unit, with its JSON pointer."""
    if isinstance(value, WholeSeconds):
        yield pointer, value
    elif isinstance(value, dict):
        for name, each in value.items():
            yield from seconds_in(each, f"{pointer}/{name}")
    elif isinstance(value, list):
        for place, each in enumerate(value):
            yield from seconds_in(each, f"{pointer}/{place}")
