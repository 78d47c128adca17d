"""Answers as a person looks at them, in a terminal and in a notebook: members with their ranges, cut to what fits a screen."""

from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from html import escape
from typing import Any

RAW = "raw"
WIDTH, LINES = 100, 24
DIGITS = 6
MOST_IN_LINE = 6


def write_text(record: Any) -> str:
    """Lines of name and value, at most a screen of them."""
    told = [(name, value) for name, value in members(record) if value is not None]
    column = max((len(name) for name, _ in told), default=0)
    room = WIDTH - column - 4
    lines = [f"  {name:<{column}}  {cut(text_of(value) + range_of(record, name), room)}" for name, value in told]
    if len(lines) > LINES - 2:
        hidden = len(lines) - (LINES - 3)
        lines = [*lines[: LINES - 3], f"  ... and {hidden} more members; .raw holds all"]
    none = [name for name, value in members(record) if value is None]
    if none:
        lines.append(cut(f"  None: {', '.join(none)}", WIDTH))
    return "\n".join([type(record).__name__, *lines])


def write_html(record: Any) -> str:
    """Table of name and value; records within have tables of their own, folded."""
    rows = "".join(
        f"<tr><th>{escape(name)}</th><td>{html_of(value)}{escape(range_of(record, name))}</td></tr>"
        for name, value in members(record)
    )
    return f"<table><caption>{escape(type(record).__name__)}</caption>{rows}</table>"


def members(record: Any) -> Iterator[tuple[str, Any]]:
    """Names and values of a record in the order of the answer, without pictures and the object that it was read from."""
    names = [each.name for each in fields(record) if each.name != RAW and each.repr]
    place = {name: index for index, name in enumerate(getattr(record, RAW, ()))}
    return ((name, getattr(record, name)) for name in sorted(names, key=lambda name: place.get(name, len(place))))


def html_of(value: Any) -> str:
    """Value for a notebook."""
    if is_dataclass(value):
        return f"<details><summary>{escape(type(value).__name__)}</summary>{write_html(value)}</details>"
    if isinstance(value, tuple) and value and is_dataclass(value[0]):
        return f"<details><summary>{escape(text_of(value))}</summary>{''.join(map(write_html, value))}</details>"
    return escape(text_of(value))


def text_of(value: Any) -> str:
    """Value in a line; of many the first ones, and how many there are."""
    if isinstance(value, float):
        return f"{value:.{DIGITS}g}"
    if is_dataclass(value):
        told = (f"{name}={text_of(each)}" for name, each in members(value) if each is not None)
        return f"{type(value).__name__}({', '.join(told)})"
    if isinstance(value, Mapping):
        return "{" + first_of([f"{name!r}: {text_of(each)}" for name, each in few(value.items())], len(value)) + "}"
    if isinstance(value, tuple) and value and is_dataclass(value[0]):
        return f"{len(value)} of {type(value[0]).__name__}"
    if isinstance(value, tuple | list):
        return "(" + first_of([text_of(each) for each in few(value)], len(value)) + ")"
    return repr(value)


def few(values: Any) -> list[Any]:
    """First values of many."""
    return [each for each, _ in zip(values, range(MOST_IN_LINE), strict=False)]


def first_of(texts: list[str], count: int) -> str:
    """Texts of the first values, and how many there are."""
    return ", ".join(texts) + (f", ... {count} in all" if count > len(texts) else "")


def range_of(record: Any, name: str) -> str:
    """Range of a figure that depends on estimated data, behind it."""
    found = (getattr(record, "ranges", None) or {}).get(name)
    ends = getattr(found, "low", None), getattr(found, "high", None)
    return f"  ({ends[0]:.{DIGITS}g} to {ends[1]:.{DIGITS}g})" if None not in ends else ""


def cut(text: str, room: int) -> str:
    """Text that fits, with dots where it goes on."""
    return text if len(text) <= room else f"{text[: room - 3]}..."
