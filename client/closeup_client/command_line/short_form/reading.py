"""The short form of a train and of a camera: words such as `reversed 35mm f/8 p=1.3 + tube 31`, subject first."""

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, NamedTuple

from closeup_client.command_line.near_words import meant
from closeup_client.command_line.operation import Field, Part
from closeup_client.command_line.short_form.names import KINDS, LENS, Names, names_of
from closeup_client.command_line.values import SENSOR, BadValue, scalar

OPEN = ("?", "open")
BETWEEN_PARTS = re.compile(r"(?:^|(?<=\s))\+(?=\s|$)")
APART_FROM_UNIT = re.compile(r"(?<=[\d.,])\s+(?=(?:mm|cm|m|in|um|µm|nm|dpt|D)(?:\s|$))", re.ASCII)

FORMAT_IN_WORDS = re.compile(r"(?<=\bfull|\bhalf)\s+(?=frame\b)", re.IGNORECASE)


class BadWords(ValueError):
    """Words of the short form that cannot be understood, and which."""


class Phrase(NamedTuple):
    """What the words of one part say: its members, and the members left open."""

    members: Mapping[str, Any]
    open: tuple[str, ...]


class Train(NamedTuple):
    """The parts in order, and the JSON pointers of the lengths left open."""

    elements: tuple[Mapping[str, Any], ...]
    open: tuple[str, ...]
    texts: tuple[str, ...]


def train_of(text: str, parts: Mapping[str, Part]) -> Train:
    """Read a train, its parts apart by a `+` that stands alone.

    Raises
    ------
    BadWords
        With the part at fault.
    """
    texts = [" ".join(piece.split()) for piece in BETWEEN_PARTS.split(text)]
    elements: list[Mapping[str, Any]] = []
    pointers: list[str] = []
    for index, piece in enumerate(texts):
        try:
            kind, phrase = part_of(piece, parts)
        except BadWords as error:
            raise BadWords(
                f"part {index + 1} ({piece!r}): {error}" if piece else f"part {index + 1}: {error}"
            ) from None
        elements.append({"element": kind, **phrase.members})
        pointers += [f"/train/{index}/{name}" for name in phrase.open]
    return Train(tuple(elements), tuple(pointers), tuple(texts))


def part_of(text: str, parts: Mapping[str, Part]) -> tuple[str, Phrase]:
    """Read one part: its kind, and what is said of it."""
    words = words_of(text)
    if not words:
        raise BadWords("nothing is said; a + stands between two parts only.")
    kind, rest = kind_of(words, parts)
    others = [*KINDS, *parts] if kind == LENS and rest == words else []
    return kind, phrase_of(rest, parts[kind].fields, names_of(kind), kind, others)


def kind_of(words: list[str], parts: Mapping[str, Part]) -> tuple[str, list[str]]:
    """Kind of the part by its first word, or by its second after `reversed`; a lens where neither says."""
    for place, word in enumerate(words[:2]):
        kind = KINDS.get(word.lower(), word.lower())
        if kind in parts and (place == 0 or words[0].lower() in names_of(LENS).words):
            return kind, words[:place] + words[place + 1 :]
    return LENS, words


def words_of(text: str) -> list[str]:
    """Words of a text; a unit belongs to the number before it, and the second word of a format to its first."""
    return FORMAT_IN_WORDS.sub("-", APART_FROM_UNIT.sub("", text)).split()


def group_of(text: str, field: Field) -> Mapping[str, Any]:
    """Read a group of fields, such as the camera."""
    return phrase_of(words_of(text), field.fields, names_of(field.name), singular(field)).members


def singular(field: Field) -> str:
    """What one group of a field is called."""
    return field.label.removesuffix("s") if field.is_group_list else field.label


def phrase_of(
    words: Iterable[str], fields: tuple[Field, ...], names: Names, kind: str, others: Sequence[str] = ()
) -> Phrase:
    """Read words as members of one kind."""
    members: dict[str, Any] = {}
    left_open: list[str] = []
    for word in words:
        for field, value in said_by(word, fields, names, kind, others):
            if field.name in members or field.name in left_open:
                raise BadWords(f"{field.label} is given twice: {word!r} says it too.")
            if value in OPEN and field.kind != "text":
                left_open.append(field.name)
            else:
                members[field.name] = value if isinstance(value, bool) else value_of(value, field)
    return Phrase(members, tuple(left_open))


def value_of(text: str, field: Field) -> Any:
    """Return the value of a member, with the member named where it is at fault."""
    try:
        return scalar(text, field)
    except BadValue as error:
        raise BadWords(f"{field.label}: {error}") from None


def said_by(
    word: str, fields: tuple[Field, ...], names: Names, kind: str, others: Sequence[str]
) -> list[tuple[Field, str | bool]]:
    """Members that one word gives, as text or as yes or no."""
    by_name = {field.name: field for field in fields}
    written, equals, value = word.partition("=")
    if equals and (field := names.field_named(written, fields)):
        return [(field, value)]
    if not equals and word.lower() in names.words:
        name, said = names.words[word.lower()]
        return [(by_name[name], said)]
    if word in OPEN and names.open:
        return [(by_name[names.open], word)]
    for pattern, given in names.bare:
        if match := re.fullmatch(pattern, word, re.ASCII):
            return [(by_name[name], text) for name, text in zip(given, match.groups(), strict=True) if text]
    if SENSOR in by_name and (sensor := value_of(word, by_name[SENSOR])) != word:
        return [(by_name[SENSOR], str(sensor))]
    raise BadWords(not_understood(word, fields, names, kind, others))


def not_understood(word: str, fields: tuple[Field, ...], names: Names, kind: str, others: Sequence[str]) -> str:
    """Say that a word means nothing here, and what it may have meant."""
    if word.lower() in others:
        return f"{word!r} begins a part of its own: put a + before it."
    written, equals, _ = word.partition("=")
    known = [*(f"{names.shortest(field)}=" for field in fields if field.kind != "flag"), *names.words, *others]
    told = meant(f"{written.lower()}{equals}", known, f"there are {', '.join(known)}{bare_values(names)}.")
    return f"{word!r} says nothing of a {kind}; {told}"


def bare_values(names: Names) -> str:
    """Say what may stand without a name, where something may."""
    return f", and bare values such as {names.example}" if names.example else ""
