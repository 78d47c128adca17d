"""Texts of answers recognized by their sources in the catalogue, in the language that is spoken.

A text is gone through once, whatever it holds: people's own words are in it.
"""

from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from string import Formatter

from closeup_service.language import spoken, tr, tr_each

Source = str | tuple[str, str]
"""A text of the catalogue, or its two forms where those go by a number."""
Places = Mapping[str, str]
"""What fills the places of a text."""
Piece = tuple[str, str | None]
"""Words of a text, and the name of the place behind them; None at its end."""
ONE, SEVERAL = 1, 2


def recognize(text: str, source: Source) -> Places | None:
    """What fills the places of a text that was worded from a source; None for a text that was not."""
    for pieces in forms(source, spoken()):
        places = find_places(text, pieces)
        if places is not None:
            return places
    return None


@cache
def forms(source: Source, language: str) -> Sequence[Sequence[Piece]]:
    """Pieces of the texts that a source becomes in a language, which is the one that is spoken."""
    del language
    return tuple(tuple((words, name) for words, name, _, _ in Formatter().parse(each)) for each in templates(source))


def templates(source: Source) -> Iterator[str]:
    """Forms of a source in the language that is spoken, with their places."""
    if isinstance(source, str):
        yield tr(source)
        return
    open_places = {name: f"{{{name}}}" for form in source for _, name, _, _ in Formatter().parse(form) if name}
    yield from (tr_each(*source, count, **open_places) for count in (ONE, SEVERAL))


def find_places(text: str, pieces: Sequence[Piece]) -> Places | None:
    """What stands between the pieces of a text; None where it has not all of them. An empty last place leaves no space."""
    last, ends_in_place = pieces[-1]
    if ends_in_place and last.endswith(" ") and text.endswith(last[:-1]):
        text += " "
    places: dict[str, str] = {}
    at, place = 0, None
    for number, (words, following) in enumerate(pieces, 1):
        is_end = number == len(pieces) and following is None
        found = text.rfind(words, at) if is_end else text.find(words, at)
        if found < 0 or (place is None and found > at):
            return None
        if place is not None:
            places[place] = text[at:found]
        at, place = found + len(words), following
    if place is not None:
        places[place] = text[at:]
    elif at < len(text):
        return None
    return places
