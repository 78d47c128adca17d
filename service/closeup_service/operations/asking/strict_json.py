"""Strict JSON in, strict JSON out."""

import json
import math
import re
from collections.abc import Iterable, Mapping
from typing import Any, NoReturn, TypeAlias

import orjson

from closeup_service.language import tr

MOST_DEPTH = 32
MOST_INTEGER_DIGITS = 400
MOST_MEMBERS = 1000
MOST_NAME_LENGTH = 256
MOST_NESTED = 100_000
MOST_VALUES = 1_000_000
"""Objects and lists in a text, and values: more than the largest kit and the largest table hold; each takes memory."""


JsonObject: TypeAlias = Mapping[str, Any]
"""An object of JSON whose members only its reader knows."""

JsonDict: TypeAlias = dict[str, Any]
"""The same while it is put together."""


class NotStrictJson(ValueError):
    """The text is not JSON by RFC 8259 and the stricter rules of RFC 7493 (I-JSON)."""


class InDoubt(Exception):
    """The fast reader may not have read what the strict one would."""


def _refuse_constant(name: str) -> NoReturn:
    raise NotStrictJson(tr("{name} is not a JSON number.", name=name))


def _finite(literal: str) -> float:
    number = float(literal)
    if not math.isfinite(number):
        raise NotStrictJson(tr("The number {literal} overflows.", literal=literal[:40]))
    return number


def _integer(literal: str) -> int:
    if len(literal) > MOST_INTEGER_DIGITS:
        raise NotStrictJson(tr("An integer of more than 400 digits overflows."))
    return int(literal)


def _unique_members(pairs: list[tuple[str, object]]) -> dict[str, object]:
    members = dict(pairs)
    if len(pairs) > MOST_MEMBERS:
        raise NotStrictJson(tr("An object of more than {most_members} members.", most_members=MOST_MEMBERS))
    if max(map(len, members), default=0) > MOST_NAME_LENGTH:
        raise NotStrictJson(
            tr("A member name of more than {most_name_length} characters.", most_name_length=MOST_NAME_LENGTH)
        )
    if len(members) != len(pairs):
        seen: set[str] = set()
        name = next(name for name, _ in pairs if name in seen or seen.add(name))  # type: ignore[func-returns-value]
        raise NotStrictJson(tr("The member name {name} appears twice in one object.", name=json.dumps(name)[:80]))
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
                raise NotStrictJson(tr("Nested deeper than {most_depth} levels.", most_depth=MOST_DEPTH))
        elif token in ("]", "}"):
            depth -= 1


def loads(body: bytes) -> Any:
    """Read one JSON text: UTF-8 without byte order mark, unique names, finite numbers, bounded depth.

    A reader up to eight times as fast is taken wherever it surely reads the same; integers beyond 64 bits are then floats.
    """
    refuse_many(body)
    if b"\\" not in body:
        try:
            return read_fast(body)
        except InDoubt:
            pass
    return read_strictly(body)


def refuse_many(body: bytes) -> None:
    """Refuse more values than any request holds before one is made; a sign within a string counts as if it were none."""
    if len(body) > MOST_NESTED and body.count(b"{") + body.count(b"[") > MOST_NESTED:
        raise NotStrictJson(tr("More than {most_nested} objects and lists.", most_nested=MOST_NESTED))
    if len(body) > MOST_VALUES and body.count(b",") > MOST_VALUES:
        raise NotStrictJson(tr("More than {most_values} values.", most_values=MOST_VALUES))


def read_fast(body: bytes) -> object:
    """Read a text without escapes by orjson, which drops members of the same name without a word.

    In such a text every string and name has its two quotes, and every list its bracket. So where what was read makes up all
    quotes and brackets of the text, nothing was dropped.

    Raises
    ------
    InDoubt
        Where the strict reader has to decide.
    """
    try:
        value = orjson.loads(body)
    except orjson.JSONDecodeError:
        raise InDoubt from None
    if tally(value) != (body.count(b'"'), body.count(b"[")):
        raise InDoubt
    return value


def tally(value: object, depth: int = 0) -> tuple[int, int]:
    """Quotes and opening brackets that a value takes to write, within the strict reader's limits.

    A list that begins with a number is taken for numbers throughout: what else it held would be missed in the tally, and
    the text found in doubt.
    """
    if isinstance(value, str):
        return 2, value.count("[")
    if not isinstance(value, dict | list):
        return 0, 0
    if depth == MOST_DEPTH:
        raise InDoubt
    inner: Iterable[object]
    if isinstance(value, list):
        quotes, brackets, inner = 0, 1, () if value and isinstance(value[0], int | float) else value
    else:
        if len(value) > MOST_MEMBERS or max(map(len, value), default=0) > MOST_NAME_LENGTH:
            raise InDoubt
        quotes, brackets, inner = 2 * len(value), "".join(value).count("["), value.values()
    for item in inner:
        more_quotes, more_brackets = tally(item, depth + 1)
        quotes += more_quotes
        brackets += more_brackets
    return quotes, brackets


def read_strictly(body: bytes) -> object:
    """Read one JSON text by the standard reader, each rule checked."""
    if body.startswith(b"\xef\xbb\xbf"):
        raise NotStrictJson(tr("A byte order mark is not allowed before JSON."))
    try:
        text = body.decode("utf-8")
    except UnicodeDecodeError:
        raise NotStrictJson(tr("JSON must be encoded in UTF-8.")) from None
    _refuse_deep(text)
    try:
        value = _DECODER.decode(text.strip(" \t\n\r"))
    except NotStrictJson:
        raise
    except json.JSONDecodeError as error:
        where = tr("line {lineno}, column {colno}", lineno=error.lineno, colno=error.colno)
        raise NotStrictJson(f"Not JSON: {error.msg} at {where}.") from None
    except (ValueError, RecursionError):
        raise NotStrictJson("Not JSON.") from None
    if "\\u" in text and _LONE_SURROGATE.search(json.dumps(value, ensure_ascii=False)):
        raise NotStrictJson(tr("A lone surrogate is not a character."))
    return value


def dumps(value: object) -> bytes:
    """Write JSON; every number must be finite already, since JSON has no other. In a numpy column NaN stands for null."""
    return orjson.dumps(value, option=orjson.OPT_SERIALIZE_NUMPY)


def an_object(value: object) -> Mapping[str, object]:
    """Refuse everything but an object at the top level."""
    if not isinstance(value, dict):
        raise NotStrictJson(tr("Send a JSON object."))
    return value
