"""Set-up documents written in the short form, as the examples of the help show them."""

import re
from collections.abc import Mapping, Sequence
from typing import Any

from closeup_client.command_line.operation import Field, Part
from closeup_client.command_line.short_form.names import KINDS, LENS, Names, names_of
from closeup_client.command_line.short_form.reading import OPEN as OPEN_WORDS

_FRAME = {"f_number": "f/{}", "magnification": "{}x", "exposure_time_s": "{}s"}

BARE: Mapping[str, Mapping[str, str]] = {
    "lens": {"focal_length_mm": "{}mm", "f_number": "f/{}"},
    "spacer": {"length_mm": "{}"},
    "close-up-lens": {"power_dpt": "{}dpt"},
    "teleconverter": {"factor": "{}x"},
    "objective": {"magnification": "{}x"},
    "kit-part": {"use": "{}", "f_number": "f/{}", "length_mm": "{}mm"},
    "camera": {"sensor": "{}"},
    "reference": _FRAME,
    "planned": _FRAME,
}
"""Members that are written without their name."""

OPEN, *_ = OPEN_WORDS


def exact(value: Any) -> str:
    """Text of a value that reads back as the same value."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return repr(float(value)).removesuffix(".0") if isinstance(value, int | float) else str(value)


def written_train(elements: Sequence[Mapping[str, Any]], parts: Mapping[str, Part], left_open: str = "") -> str:
    """Write a train; `left_open` is the JSON pointer of the member to solve for."""
    pieces = []
    for index, element in enumerate(elements):
        name = left_open.removeprefix(f"/train/{index}/")
        pieces.append(written_part(element, parts, name if "/" not in name else ""))
    return " + ".join(pieces)


def written_part(element: Mapping[str, Any], parts: Mapping[str, Part], left_open: str = "") -> str:
    """Write one part."""
    kind = element["element"]
    fields, names = parts[kind].fields, names_of(kind)
    members = {**element, **({left_open: OPEN} if left_open else {})}
    first = next((word for word, meant in KINDS.items() if meant == kind), kind)
    words = [] if kind == LENS else [first]
    said = [written_member(field, members[field.name], names, kind) for field in fields if field.name in members]
    said.sort(key=lambda word: "=" in word)
    if kind == LENS:
        said.sort(key=lambda word: word not in names.words)
    return " ".join(words + said)


def written_group(members: Mapping[str, Any], field: Field) -> str:
    """Write a group of fields, such as the camera."""
    names = names_of(field.name)
    said = [written_member(f, members[f.name], names, field.name) for f in field.fields if f.name in members]
    return " ".join(sorted(said, key=lambda word: "=" in word))


def written_member(field: Field, value: Any, names: Names, kind: str) -> str:
    """Write one member: a word, a bare value, or its shortest name with the value."""
    for word, meant in names.words.items():
        if meant == (field.name, value):
            return word
    bare = BARE.get(kind, {}).get(field.name)
    if bare and value != OPEN and not reads_as(bare.format(exact(value)), field, names):
        bare = None
    if value == OPEN:
        return OPEN if names.open == field.name else f"{names.shortest(field)}={OPEN}"
    return bare.format(exact(value)) if bare else f"{names.shortest(field)}={exact(value)}"


def reads_as(text: str, field: Field, names: Names) -> bool:
    """Whether a bare word is read as this member: an id may look like a word of its own, or like a length."""
    if text in names.words or text in OPEN_WORDS:
        return False
    first = next((given for pattern, given in names.bare if re.fullmatch(pattern, text, re.ASCII)), ())
    return field.name in first
