"""Asking an operation of the API from within a page; how it is done is handed over by the application."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class Reply:
    """The answer, or every fault: its JSON pointer and what would be right."""

    answer: Mapping[str, Any] | None
    faults: Sequence[tuple[str, str]] = ()


Ask = Callable[[str, Mapping[str, Any]], Reply]
"""Takes the path of an operation and the members of its request."""
