"""JSON as it is committed: a line for each record, so that a change shows as the records that changed."""

import json
from collections.abc import Mapping, Sequence
from typing import Any

WITHIN = "fields"
"""Member of a record that holds records of its own."""


def in_lines(value: Any) -> str:
    """Write a list of records, or an object with a line for each member and for each record in it."""
    if isinstance(value, Mapping):
        members = ",\n ".join(f"{written(name)}: {in_member(each, ' ')}" for name, each in value.items())
        return f"{{\n {members}\n}}\n"
    return f"{in_member(value, '')}\n"


def in_member(value: Any, indent: str) -> str:
    """Write a value, of a list of records each on a line of its own."""
    if not isinstance(value, Sequence) or not value or not all(isinstance(each, Mapping) for each in value):
        return written(value)
    inner = f"{indent} "
    records = f",\n{inner}".join(record(each, inner) for each in value)
    return f"[\n{inner}{records}\n{indent}]"


def record(value: Mapping[str, Any], indent: str) -> str:
    """Write a record on one line, but for the records within it."""
    return f"{{{', '.join(f'{written(name)}: {member(name, each, indent)}' for name, each in value.items())}}}"


def member(name: str, value: Any, indent: str) -> str:
    """Write a member of a record."""
    return in_member(value, indent) if name == WITHIN else written(value)


def written(value: Any) -> str:
    """Write a value on one line."""
    return json.dumps(value, ensure_ascii=False)
