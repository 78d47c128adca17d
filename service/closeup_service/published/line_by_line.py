"""JSON as it is committed: a line for each record, so that a change shows as the records that changed."""

import json
from collections.abc import Mapping, Sequence

WITHIN = "fields"
"""Member of a record that holds records of its own."""


def write_in_lines(value: object) -> str:
    """Write a list of records, or an object with a line for each member and for each record in it."""
    if isinstance(value, Mapping):
        members = ",\n ".join(f"{write_plainly(name)}: {write_value(each, ' ')}" for name, each in value.items())
        return f"{{\n {members}\n}}\n"
    return f"{write_value(value, '')}\n"


def write_value(value: object, indent: str) -> str:
    """Write a value, of a list of records each on a line of its own."""
    if not isinstance(value, Sequence) or not value or not all(isinstance(each, Mapping) for each in value):
        return write_plainly(value)
    inner = f"{indent} "
    records = f",\n{inner}".join(write_record(each, inner) for each in value)
    return f"[\n{inner}{records}\n{indent}]"


def write_record(value: Mapping[str, object], indent: str) -> str:
    """Write a record on one line, but for the records within it."""
    return (
        f"{{{', '.join(f'{write_plainly(name)}: {write_member(name, each, indent)}' for name, each in value.items())}}}"
    )


def write_member(name: str, value: object, indent: str) -> str:
    """Write a member of a record."""
    return write_value(value, indent) if name == WITHIN else write_plainly(value)


def write_plainly(value: object) -> str:
    """Write a value on one line."""
    return json.dumps(value, ensure_ascii=False)
