"""Texts of answers recognized by their sources in the catalogue, in the language that is spoken."""

import re
from collections.abc import Iterator, Mapping
from functools import cache
from string import Formatter

from closeup_service.language import spoken, tr, tr_each

Source = str | tuple[str, str]
"""A text of the catalogue, or its two forms where those go by a number."""
Places = Mapping[str, str]
"""What fills the places of a text."""
ONE, SEVERAL = 1, 2


def recognize(text: str, source: Source) -> Places | None:
    """What fills the places of a text that was worded from a source; None for a text that was not."""
    for pattern in patterns(source, spoken()):
        match = pattern.fullmatch(text)
        if match is not None:
            return {name: found or "" for name, found in match.groupdict().items()}
    return None


@cache
def patterns(source: Source, language: str) -> tuple[re.Pattern[str], ...]:
    """Patterns of the texts that a source becomes in a language, which is the one that is spoken."""
    del language
    return tuple(re.compile("".join(parts_of(each)), re.DOTALL) for each in templates(source))


def templates(source: Source) -> Iterator[str]:
    """Forms of a source in the language that is spoken, with their places."""
    if isinstance(source, str):
        yield tr(source)
        return
    open_places = {name: f"{{{name}}}" for form in source for _, name, _, _ in Formatter().parse(form) if name}
    yield from (tr_each(*source, count, **open_places) for count in (ONE, SEVERAL))


def parts_of(template: str) -> Iterator[str]:
    """Parts of a pattern: the words as they are, and a group for each place; an empty last place leaves no space."""
    seen: set[str] = set()
    pieces = list(Formatter().parse(template))
    for number, (words, name, _, _) in enumerate(pieces, 1):
        is_last = number == len(pieces) and name is not None and words.endswith(" ")
        yield re.escape(words[:-1] if is_last else words)
        if name is None:
            continue
        group = f"(?P={name})" if name in seen else f"(?P<{name}>.*?)"
        seen.add(name)
        yield f"(?: {group})?" if is_last else group
