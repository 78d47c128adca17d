"""Values that come as text, in a query or in a form: numbers by the JSON grammar."""

import re
from collections.abc import Iterable, Mapping
from typing import Any

from marshmallow import Schema, ValidationError, fields

from closeup_service.language import tr
from closeup_service.operations.asking.limits import Limits
from closeup_service.schemas.fields import Flag, Number, Whole
from closeup_service.schemas.upload import Upload

JSON_NUMBER = re.compile(r"-?(0|[1-9][0-9]*)(\.[0-9]+)?([eE][+-]?[0-9]+)?", re.ASCII)
MOST_LITERAL = 400
_FLAGS = {"true": True, "false": False}


def typed(value: str, field: Any) -> Any:
    """Value given as text, as the JSON value that its field wants, where it can be read as one."""
    if isinstance(field, Number | Whole) and len(value) <= MOST_LITERAL and JSON_NUMBER.fullmatch(value):
        return float(value)
    if isinstance(field, fields.List):
        return [typed(part, field.inner) for part in value.split(",")]
    if isinstance(field, Flag):
        return _FLAGS.get(value, value)
    return value


def from_parts_of(
    schema: Schema, values: Iterable[tuple[str, str]], files: Iterable[tuple[str, bytes]], limits: Limits
) -> Mapping[str, object]:
    """Parts of a form as members, files as `Upload`; several of a name where the schema has a list, else each given once."""
    found: dict[str, list[Any]] = {}
    for name, value in values:
        found.setdefault(name, []).append(typed(value, schema.fields.get(name)))
    for name, content in files:
        found.setdefault(name, []).append(Upload(content, limits.most_pixels, limits.patience))
    lists = {name for name, field in schema.fields.items() if isinstance(field, fields.List)}
    twice = {name: [tr("Give this part once.")] for name in found if name not in lists and len(found[name]) > 1}
    if twice:
        raise ValidationError(twice)
    return {name: each if name in lists else each[0] for name, each in found.items()}
