"""Strict JSON in, strict JSON out."""

import json
import math
import re
from typing import Any, NoReturn

import orjson

MOST_DEPTH = 32
MOST_INTEGER_DIGITS = 400
MOST_MEMBERS = 1000
MOST_NAME_LENGTH = 256


class NotStrictJson(ValueError):
    """The text is not JSON by RFC 8259 and the stricter rules of RFC 7493 (I-JSON)."""


def _refuse_constant(name: str) -> NoReturn:
    raise NotStrictJson(f"{name} is not a JSON number.")


def _finite(literal: str) -> float:
    number = float(literal)
    if not math.isfinite(number):
        raise NotStrictJson(f"The number {literal[:40]} overflows.")
    return number


def _integer(literal: str) -> int:
    if len(literal) > MOST_INTEGER_DIGITS:
        raise NotStrictJson("An integer of more than 400 digits overflows.")
    return int(literal)


def _unique_members(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    members = dict(pairs)
    if len(pairs) > MOST_MEMBERS:
        raise NotStrictJson(f"An object of more than {MOST_MEMBERS} members.")
    if any(len(name) > MOST_NAME_LENGTH for name in members):
        raise NotStrictJson(f"A member name of more than {MOST_NAME_LENGTH} characters.")
    if len(members) != len(pairs):
        seen: set[str] = set()
        name = next(name for name, _ in pairs if name in seen or seen.add(name))  # type: ignore[func-returns-value]
        raise NotStrictJson(f"The member name {json.dumps(name)[:80]} appears twice in one object.")
    return members


_DECODER = json.JSONDecoder(
    parse_constant=_refuse_constant,
    parse_float=_finite,
    parse_int=_integer,
    object_pairs_hook=_unique_members,
)
_STRING_OR_BRACKET = re.compile(r'"(?:[^"\\]|\\.)*"|[\[\]{}]', re.DOTALL)
_LONE_SURROGATE = re.compile("[\ud800-\udfff]")


def _refuse_deep(text: str) -> None:
    """Refuse deep nesting before the parser recurses into it."""
    depth = 0
    for token in _STRING_OR_BRACKET.findall(text):
        if token in ("[", "{"):
            depth += 1
            if depth > MOST_DEPTH:
                raise NotStrictJson(f"Nested deeper than {MOST_DEPTH} levels.")
        elif token in ("]", "}"):
            depth -= 1


def loads(body: bytes) -> Any:
    """Read one JSON text: UTF-8 without byte order mark, unique names, finite numbers, bounded depth."""
    if body.startswith(b"\xef\xbb\xbf"):
        raise NotStrictJson("A byte order mark is not allowed before JSON.")
    try:
        text = body.decode("utf-8")
    except UnicodeDecodeError:
        raise NotStrictJson("JSON must be encoded in UTF-8.") from None
    _refuse_deep(text)
    try:
        value = _DECODER.decode(text.strip(" \t\n\r"))
    except NotStrictJson:
        raise
    except json.JSONDecodeError as error:
        where = f"line {error.lineno}, column {error.colno}"
        raise NotStrictJson(f"Not JSON: {error.msg} at {where}.") from None
    except (ValueError, RecursionError):
        raise NotStrictJson("Not JSON.") from None
    if "\\u" in text and _LONE_SURROGATE.search(json.dumps(value, ensure_ascii=False)):
        raise NotStrictJson("A lone surrogate is not a character.")
    return value


def dumps(value: Any) -> bytes:
    """Write JSON; every number must be finite already, since JSON has no other."""
    return orjson.dumps(value)
