"""Members of a document by their JSON pointers; what is changed is a copy."""

from collections.abc import Mapping
from typing import Any


def value_at(document: object, pointer: str) -> object:
    """Value at a pointer; None where there is none."""
    for step in pointer.split("/")[1:]:
        if isinstance(document, list) and step.isdigit() and int(step) < len(document):
            document = document[int(step)]
        else:
            document = document.get(step) if isinstance(document, Mapping) else None
    return document


def with_values(document: Any, values: Mapping[str, object]) -> Any:
    """Document with a value at each pointer, or without what is there where the value is None."""
    for pointer, value in values.items():
        if value is not None or value_at(document, pointer) is not None:
            document = with_value(document, pointer.split("/")[1:], value)
    return document


def with_value(document: Any, steps: list[str], value: object) -> Any:
    """Document with a value at the end of some steps, or without it."""
    step, *rest = steps
    if isinstance(document, list):
        place = int(step)
        return [with_value(each, rest, value) if at == place else each for at, each in enumerate(document)]
    if rest:
        return {**document, step: with_value(document.get(step, {}), rest, value)}
    if value is None:
        return {name: each for name, each in document.items() if name != step}
    return {**document, step: value}
