"""Paragraphs and lists, wrapped to the terminal."""

import shutil
import textwrap
from collections.abc import Sequence

NARROWEST = 40
COLUMN, GAP = 18, 2
"""Where the meanings of a list begin, and how far at least behind the name."""


def terminal_width() -> int:
    """Columns of the terminal; 80 where there is none."""
    return max(NARROWEST, shutil.get_terminal_size((80, 24)).columns)


def wrapped(texts: Sequence[str]) -> str:
    """Paragraphs wrapped to the terminal.

    A line that begins with two blanks stands next to the line before; where it holds a tab, the text behind is wrapped
    in a column of its own, else it stays as it is, ready to be copied.
    """
    width = terminal_width() - 2
    pieces = [in_columns(text, width) if text.startswith("  ") else "\n" + filled(text, width) for text in texts]
    return "\n".join(pieces).strip("\n")


def in_columns(text: str, width: int) -> str:
    """Line of a list: its name, and behind a tab its meaning, below the name where that is too long."""
    name, tab, meaning = text.partition("\t")
    if not tab:
        return text
    if len(name) > COLUMN - GAP:
        return f"{name}\n{filled(meaning, width, initial_indent=' ' * COLUMN, subsequent_indent=' ' * COLUMN)}"
    return filled(meaning, width, initial_indent=name.ljust(COLUMN), subsequent_indent=" " * COLUMN)


def filled(text: str, width: int, **indents: str) -> str:
    """One paragraph; options are not broken at their hyphens."""
    return textwrap.fill(text, width, break_on_hyphens=False, break_long_words=False, **indents)  # type: ignore[arg-type]
