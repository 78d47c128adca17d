"""From the JSON of an answer to its record, led by the types of the record's fields."""

import math
from base64 import b64decode
from collections.abc import Callable, Mapping
from dataclasses import MISSING, fields, is_dataclass
from functools import cache, partial
from types import UnionType
from typing import Any, TypeVar, cast, get_args, get_origin, get_type_hints

from closeup_client.errors import AnswerNotUnderstood

T = TypeVar("T")
Reader = Callable[[Any, str], Any]
"""Takes a JSON value and its pointer in the answer."""


def read(kind: type[T], value: Any, pointer: str = "") -> T:
    """Record of an object; members that it does not know are left aside, those it misses are a fault."""
    members = a_mapping(value, pointer)
    readers = _member_readers(cast(Any, kind))
    return kind(**{name: reader(members, pointer) for name, reader in readers})


def read_records(kind: type[T], value: Any) -> tuple[T, ...]:
    """All records of a listing."""
    return _each(partial(read, kind), a_mapping(value, "").get("records"), "/records")


@cache
def _member_readers(kind: Any) -> tuple[tuple[str, Reader], ...]:
    """Name and reader of each field of a record; made once for each kind."""
    hints = get_type_hints(kind)
    return tuple((field.name, _member(field.name, field.default, hints[field.name])) for field in fields(kind))


def _member(name: str, default: Any, hint: Any) -> Reader:
    """Reader that takes one member out of the object; `raw` is the object itself."""
    if name == "raw":
        return a_mapping
    reader = _reader(hint)

    def of(members: Mapping[str, Any], pointer: str) -> Any:
        if name in members:
            return reader(members[name], f"{pointer}/{name}")
        if default is MISSING:
            raise AnswerNotUnderstood(f"The answer lacks {pointer}/{name}.")
        return default

    return of


def _reader(hint: Any) -> Reader:
    origin = get_origin(hint)
    if origin is UnionType:
        return partial(_or_null, _reader(get_args(hint)[0]))
    if origin is Mapping and is_dataclass(get_args(hint)[1]):
        return partial(_by_name, _reader(get_args(hint)[1]))
    if origin is tuple:
        return partial(_each, _reader(get_args(hint)[0]))
    if is_dataclass(hint):
        return partial(read, cast(Any, hint))
    return _PLAIN[origin or hint]


def _or_null(reader: Reader, value: Any, pointer: str) -> Any:
    return None if value is None else reader(value, pointer)


def _each(reader: Reader, value: Any, pointer: str) -> tuple[Any, ...]:
    if not isinstance(value, list):
        raise AnswerNotUnderstood(f"The answer's {pointer or 'whole'} is not a list.")
    return tuple(reader(item, f"{pointer}/{index}") for index, item in enumerate(value))


def _by_name(reader: Reader, value: Any, pointer: str) -> dict[str, Any]:
    return {name: reader(each, f"{pointer}/{name}") for name, each in a_mapping(value, pointer).items()}


def a_mapping(value: Any, pointer: str) -> Mapping[str, Any]:
    """Return the value if it is an object."""
    if not isinstance(value, dict):
        raise AnswerNotUnderstood(f"The answer's {pointer or 'whole'} is not an object.")
    return value


def _number(value: Any, pointer: str) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise AnswerNotUnderstood(f"The answer's {pointer} is not a finite number.")
    return float(value)


def _integer(value: Any, pointer: str) -> int:
    if isinstance(value, bool) or not isinstance(value, int):
        raise AnswerNotUnderstood(f"The answer's {pointer} is not a whole number.")
    return value


def _flag(value: Any, pointer: str) -> bool:
    if not isinstance(value, bool):
        raise AnswerNotUnderstood(f"The answer's {pointer} is neither true nor false.")
    return value


def _text(value: Any, pointer: str) -> str:
    if not isinstance(value, str):
        raise AnswerNotUnderstood(f"The answer's {pointer} is not text.")
    return value


def _picture(value: Any, pointer: str) -> bytes:
    try:
        return b64decode(_text(value, pointer), validate=True)
    except ValueError as error:
        raise AnswerNotUnderstood(f"The answer's {pointer} is not in base64.") from error


_PLAIN: Mapping[Any, Reader] = {
    float: _number,
    int: _integer,
    bool: _flag,
    str: _text,
    bytes: _picture,
    Mapping: a_mapping,
}
