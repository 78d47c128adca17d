"""Values that come as text, in a query or in a form: numbers by the JSON grammar."""

import re
from typing import Any

from marshmallow import fields

from closeup_service.schemas.fields import Flag, Number, Whole

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
