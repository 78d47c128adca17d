"""What `help()` shows of a record of fields: Python's own help names no member of a TypedDict."""

from collections.abc import Iterable, Iterator
from functools import cache
from types import UnionType
from typing import Any, Literal, NotRequired, Required, Union, get_args, get_origin, is_typeddict

HEADING = "\nMembers\n-------"
WORDS = {float: "number", int: "whole number", str: "text", bool: "True or False"}


def describe(kinds: Iterable[Any]) -> None:
    """Add to the documentation of each record which members it has."""
    for kind in kinds:
        if is_typeddict(kind) and kind.__doc__ and HEADING not in kind.__doc__:
            kind.__doc__ = "\n".join([kind.__doc__.rstrip(), HEADING, *members(kind)])


def members(kind: Any) -> Iterator[str]:
    """Lines of the members, each with what it takes, and whether it is needed."""
    for name, hint in kind.__annotations__.items():
        yield f"{name} : {in_words(hint)}{', needed' if name in kind.__required_keys__ else ''}"


@cache
def in_words(hint: Any) -> str:
    """Words for a type."""
    origin, inner = get_origin(hint), get_args(hint)
    if origin is Literal:
        return " | ".join(map(repr, inner))
    if origin in (Union, UnionType, Required, NotRequired):
        return " | ".join(map(in_words, inner))
    if origin is not None:
        return f"{origin.__name__} of {', '.join(map(in_words, inner))}"
    return str(WORDS.get(hint) or getattr(hint, "__name__", hint))
