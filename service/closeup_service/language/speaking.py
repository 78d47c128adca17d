"""Which language is spoken, and texts in it.

A text is written in English where it is used, as a whole sentence with named placeholders: `tr("{depth} mm are sharp.",
depth=…)`. One that is kept before it is used, in a constant or a record, is marked there (`mark`) and said by `tr` at output.
"""

import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from functools import cache
from gettext import GNUTranslations
from pathlib import Path

ENGLISH, GERMAN = "en", "de"
LANGUAGES = (ENGLISH, GERMAN)
PLAIN_NUMBER = re.compile(r"(?:f/)?-?\d+\.\d+")
DECIMAL_COMMA = str.maketrans(".", ",")

_spoken: ContextVar[str] = ContextVar("spoken", default=ENGLISH)
spoken = _spoken.get
"""The language that is spoken here and now."""


class _Comma(float):
    """A number that is written with a decimal comma."""

    def __format__(self, spec: str) -> str:
        return super().__format__(spec).translate(DECIMAL_COMMA).replace("%", "\u00a0%")


@contextmanager
def speaking(language: str) -> Iterator[None]:
    """Speak a language for a while."""
    before = _spoken.set(language)
    try:
        yield
    finally:
        _spoken.reset(before)


def mark(text: str) -> str:
    """Mark a text for the catalogue that is translated where it is said."""
    return text


class Later(str):
    """A text with its values, in English until `tr` says it."""

    source: str
    values: Mapping[str, object]

    def format(self, *args: object, **kwargs: object) -> str:
        """Its values are in place already, whatever a validator would add."""
        del args, kwargs
        return self


def later(text: str, /, **values: object) -> str:
    """Put values into a text that is said later, as the refusal of a field is, which is worded once for all requests."""
    worded = Later(text.format(**values))
    worded.source, worded.values = text, values
    return worded


def tr(text: str, /, **values: object) -> str:
    """Say a text in the language that is spoken, with its values in place."""
    language = spoken()
    if language != ENGLISH:
        text, values = translate(text, values, language)
    return text.format(**values) if values else text


def tr_worded(text: str) -> str:
    """Say a text that was worded before, in the language that is spoken; names that people gave stay as they are."""
    return tr(text) if isinstance(text, Later) else text


def translate(text: str, values: Mapping[str, object], language: str) -> tuple[str, dict[str, object]]:
    """Find a text in the catalogue, and write its values as the language does."""
    source = text
    if isinstance(text, Later):
        source, values = text.source, text.values
    told = {name: localize(value) for name, value in values.items()}
    return catalogue(language).gettext(source) if source else source, told


def tr_each(one: str, many: str, count: int, /, **values: object) -> str:
    """Say a text whose form goes by a number."""
    language = spoken()
    if language == ENGLISH:
        text = one if count == 1 else many
    else:
        text = catalogue(language).ngettext(one, many, count)
        values = {name: localize(value) for name, value in values.items()}
    return text.format(**values)


def localize(value: object) -> object:
    """Have a value written as the language does: a number with a decimal comma, a text that was worded before in its words."""
    if isinstance(value, Later):
        return tr(value)
    if isinstance(value, str) and PLAIN_NUMBER.fullmatch(value):
        return with_decimal_sign(value)
    return _Comma(value) if isinstance(value, float) else value


def with_decimal_sign(number: str) -> str:
    """Number as it is written in the language that is spoken."""
    return number if spoken() == ENGLISH else number.translate(DECIMAL_COMMA)


@cache
def catalogue(language: str) -> GNUTranslations:
    """Read the catalogue of a language, once in a process."""
    with (Path(__file__).parent / f"{language}.mo").open("rb") as compiled:
        return GNUTranslations(compiled)
