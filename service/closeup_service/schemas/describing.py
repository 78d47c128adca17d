"""What the API calls by names, in words for people: labels, units, meanings, bounds, pointers, and the names in a text."""

import re
from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import TypedDict

from marshmallow import fields, validate

from closeup_service.advice.figures import capitalize
from closeup_service.language import mark, tr
from closeup_service.optics.vocabulary import VOCABULARY
from closeup_service.schemas.quick_acceptance import Held

UNIT_AT_END = re.compile(r"_(lp_per_mm|mm|um|nm|dpt|stops|s)$")
UNIT_OF_DESCRIPTION = re.compile(r"\s*\[[^][]*\]$")
NAME = re.compile(r"(?<![\w/-])[a-z]+(?:_[a-z0-9]+)+(?![\w])")
MICRONS = re.compile(r"(?<=\d )um\b")
POINTER = re.compile(r"(?<![\w/.])/(?!v1\b)[a-z_]+(?:/(?:[a-z_]+|\d+))*")
SENTENCE_END = re.compile(r"(?:^|[.!?] )$")
MOST_FIELDS = 4096
"""What is said of so many fields is kept: all of ours, and nothing that anyone sent."""
LABELS: Mapping[str, str] = {
    "unknown": mark("setting solved"),
    "model": mark("model of the depth"),
    "depth_of_field_model": mark("model of the depth"),
    "flash_shape": mark("shape of the flash"),
    "framing_by": mark("framed by"),
    "best": mark("best mark for the detail"),
    "advice": mark("advice on one frame or a stack"),
    "ways": mark("ways to close the gap"),
    "framed": mark("arrangements that fill the frame"),
    "meeting": mark("set-ups that meet every wish"),
    "hits": mark("best by score"),
    "pareto": mark("set-ups that none beats in every respect"),
    "drawn_diameter_mm": mark("drawn diameter"),
    "drawn_length_mm": mark("drawn length"),
    "drawn_working_distance_mm": mark("drawn working distance"),
    "drawn_sensor_height_mm": mark("drawn sensor height"),
    "dominant": mark("largest source of uncertainty"),
    "lower_95": mark("95 % interval, low end"),
    "upper_95": mark("95 % interval, high end"),
    "flange_mm": mark("subject to flange, as drawn"),
    "sensor_mm": mark("subject to sensor, as drawn"),
    "entrance_pupil_mm": mark("subject to entrance pupil"),
}
"""Labels of members that are no quantities, where their names say too little."""

NO_LABELS: Mapping[str, str] = {}


class Bounds(TypedDict, total=False):
    """What a field admits: least and greatest number, or the texts to choose from."""

    minimum: float | None
    maximum: float | None
    choices: list[str]


def label(name: str) -> str:
    """Words for people."""
    if name in VOCABULARY:
        return tr(VOCABULARY[name].label)
    return tr(LABELS.get(name) or spell_out(name))


def spell_out(name: str) -> str:
    """Name of a member as words in English, without its unit."""
    return UNIT_AT_END.sub("", name).replace("_", " ").replace("f number", "f-number")


@lru_cache(maxsize=MOST_FIELDS)
def unit(field: fields.Field[Held]) -> str:
    """Unit of a number; empty for ratios and for what is no number."""
    stated: str = field.metadata.get("x-unit", "")
    return "" if stated == "1" else stated


def without_unit(description: str) -> str:
    """Meaning, without the unit that the published description ends with."""
    return tr(meaning_of(description))


@lru_cache(maxsize=MOST_FIELDS)
def meaning_of(description: str) -> str:
    """Meaning in English, as the catalogue has it."""
    return UNIT_OF_DESCRIPTION.sub("", description)


@lru_cache(maxsize=MOST_FIELDS)
def bounds(field: fields.Field[Held]) -> Bounds:
    """Inclusive bounds of a number, or the choices of a text."""
    for rule in field.validators:
        if isinstance(rule, validate.Range):
            return {"minimum": rule.min, "maximum": rule.max}
        if isinstance(rule, validate.OneOf):
            return {"choices": list(rule.choices)}
    return {"minimum": None, "maximum": None}


def write_in_words(text: str, labels: Mapping[str, str] = NO_LABELS, parts: Sequence[str] = ()) -> str:
    """Text with the names of members as people say them, and a capital where one begins a sentence.

    `labels` are the words of the form that is read beside it, `parts` the names of the parts of a set-up.
    """
    with_signs = MICRONS.sub("µm", text)
    in_parts = POINTER.sub(lambda found: pointer_words(found[0], parts), with_signs)
    return NAME.sub(lambda found: member_words(found, labels), in_parts)


def member_words(found: re.Match[str], labels: Mapping[str, str]) -> str:
    """Words for a member that a text names."""
    words = labels.get(found[0]) or label(found[0])
    return capitalize(words) if SENTENCE_END.search(found.string[: found.start()]) else words


def pointer_words(pointer: str, parts: Sequence[str] = ()) -> str:
    """Words for what a JSON pointer leads to; `parts` are the names of the parts of the set-up, else they are numbered."""
    steps = pointer.strip("/").split("/")
    words = label(steps[-1]) if not steps[-1].isdigit() else ""
    if steps[0] == "train" and len(steps) > 1:
        place = int(steps[1])
        part = parts[place] if place < len(parts) else tr("part {number}", number=place + 1)
        return tr("{what} of {part}", what=words, part=part) if words and len(steps) > 2 else part
    if steps[:2] == ["kit", "lenses"] and len(steps) > 3:
        return tr("{what} of lens {number} of the kit", what=words, number=int(steps[2]) + 1)
    if words and len(steps) > 1 and steps[-1] not in VOCABULARY:
        return tr("{what} of the {whole}", what=words, whole=label(steps[-2]))
    return words or pointer


def choice_words(value: str) -> str:
    """Words for one of several choices: a member, or a code."""
    return label(value) if value in VOCABULARY else tr(value.replace("-", " "))


def as_id(name: str) -> str:
    """Id of the element for a field: of one that a pointer names, its steps in a row."""
    return name.removeprefix("/").replace("/", "-")
