"""The German catalogue is whole, fresh, and German."""

import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from string import Formatter

import pytest
from babel.messages.catalog import Catalog

from closeup_service.translating.files import EDITED, read

ROOT = Path(__file__).parents[2]
ENGLISH_WORDS = re.compile(
    r"\b(the|and|with|is|are|not|for|which|that|from|this|give|where|than|what|needed|lens|subject|frame)\b",
    re.IGNORECASE,
)
NAME_OF_A_MEMBER = re.compile(
    r"\{[^}]*\}|%\(\w+\)s|<(code|cite)>.*?</\1>|<[^>]*>|/v1/\S+|\blens (?=enthält|hat noch)|\w*_\w*"
)
VALUE = re.compile(r"%\(\w+\)s")
MARKUP = re.compile(r"<[^>]*>")
PROPER_NAMES = re.compile(
    "Saltmarsh Seed and Lichen Recording Group|Standard Film and Plate Sizes|120 film: frame sizes"
)
SOURCE_IN_A_BOOK = "(aus dem Gedächtnis)"
SAME = {"px", "nominal_value", "normal", "Median.", "most_stack_frames"} | {
    *("cyan", "magenta", "Text", "{width} × {height} mm, {name}", "{name}, {pitch}"),
    *("Name", "Option", "Signal", "Variable", "%(number)s %%"),
}
"""Texts that are the same in both languages."""


@pytest.fixture(scope="module")
def catalogue() -> Catalog:
    return read(EDITED.read_bytes())


def pairs(catalogue: Catalog) -> Iterator[tuple[str, str]]:
    """Every English text with its German one, in all forms."""
    for message in filter(lambda each: each.id, catalogue):
        english, german = message.id, message.string
        assert german is not None
        yield from [(english, str(german))] if isinstance(english, str) else zip(english, german, strict=True)


def test_it_is_fresh_and_nothing_lacks_its_translation() -> None:
    command = [sys.executable, "-m", "closeup_service.translating", "--check"]
    ended = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert ended.returncode == 0, ended.stderr


def test_nothing_is_doubtful(catalogue: Catalog) -> None:
    assert not [message.id for message in catalogue if message.id and message.fuzzy]


def test_both_languages_take_the_same_values(catalogue: Catalog) -> None:
    def named(text: str) -> set[str]:
        return {name for _, name, _, _ in Formatter().parse(text) if name is not None} | set(VALUE.findall(text))

    assert not [english for english, german in pairs(catalogue) if named(english) != named(german)]


def test_both_languages_have_the_same_markup(catalogue: Catalog) -> None:
    """Links lead to the same pages, and code, names of members and blanks to fill in are the same."""
    both = [(sorted(MARKUP.findall(english)), sorted(MARKUP.findall(german))) for english, german in pairs(catalogue)]
    assert not [english for english, german in both if english != german]


def test_german_texts_are_german(catalogue: Catalog) -> None:
    left = {
        german
        for english, german in pairs(catalogue)
        if SOURCE_IN_A_BOOK not in german
        and ENGLISH_WORDS.search(PROPER_NAMES.sub("", NAME_OF_A_MEMBER.sub("", german)))
    }
    assert not left
    assert {english for english, german in pairs(catalogue) if english == german} <= SAME


def test_both_begin_and_end_alike(catalogue: Catalog) -> None:
    """A sentence stays a sentence, and a piece keeps the space that joins it to its neighbour."""
    for english, german in pairs(catalogue):
        assert english[-1:].isspace() == german[-1:].isspace(), english
        if english.endswith(".") and not english.endswith("..."):
            assert german.endswith(".") or german.endswith(("}", "…")), english
