"""Texts gathered for the catalogue: what code and templates mark, and what records hold."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import closeup_service
from closeup_service.translating.recorded import recorded_texts

if TYPE_CHECKING:
    from babel.messages.catalog import Catalog

SOURCE = Path(closeup_service.__file__).parent
METHODS = [("**.py", "python"), ("**/templates/**.html", "jinja2")]
KEYWORDS = {
    "tr": None,
    "mark": None,
    "later": None,
    "tr_each": (1, 2),
    "gettext": None,
    "ngettext": (1, 2),
}
"""Functions whose texts are translated, with the places of their texts."""
OPTIONS = {"**/templates/**.html": {"trimmed": "true", "silent": "false", "newstyle_gettext": "true"}}
WORDS = re.compile("[^\\W\\d_]{2}|^[^\\W\\d_]$")
RECORDS = "records"
"""Where a text stands that no function marks."""


def gather_texts() -> "Catalog":
    """Every text to translate, without a translation."""
    from babel.messages.catalog import Catalog  # noqa: PLC0415

    found = Catalog(charset="utf-8", header_comment="")
    for text, where in marked_texts():
        found.add(text, locations=[(where, 0)])
    for recorded in recorded_texts():
        if WORDS.search(recorded):
            found.add(recorded, locations=[(RECORDS, 0)])
    return found


def marked_texts() -> Iterator[tuple[str | tuple[str, ...], str]]:
    """Texts that code and templates mark, with the file that holds each."""
    from babel.messages.extract import extract_from_dir  # noqa: PLC0415

    for name, _, text, _, _ in extract_from_dir(SOURCE, METHODS, OPTIONS, KEYWORDS):
        if text:
            yield text, Path(name).as_posix()
