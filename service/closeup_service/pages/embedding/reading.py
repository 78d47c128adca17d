"""A sum as its form was filled in: what was typed, what was understood, what is at fault, and what comes out."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, cast

from msgspec import Struct, field
from msgspec.structs import replace

from closeup_service.advice.figures import capitalize, format_kind
from closeup_service.operations.asking.refusals import Fault, Refusal
from closeup_service.optics.vocabulary import VOCABULARY
from closeup_service.pages.asking import Studio
from closeup_service.pages.embedding.description import (
    DEFAULTS,
    EXTENTS,
    bounds_of,
    describe_bounds,
    doubt,
    kind,
    shorten,
)
from closeup_service.pages.embedding.messages import (
    SOURCE,
    catalogue,
    cautions,
    decimal_sign,
    label,
    message,
    unit_sign,
)
from closeup_service.pages.embedding.sums import Sum
from closeup_service.pages.typed_numbers import CannotRead, Spelling, is_doubtful, number
from closeup_service.schemas.describing import MICRONS
from closeup_service.schemas.fields import declared_fields

if TYPE_CHECKING:
    from closeup_service.records import answers

NAME = re.compile(r"[a-z]+(_[a-z0-9]+)+")
SHOWN_CAUTIONS = 3
"""Cautions that are not folded away."""


class Said(Struct, frozen=True):
    """A text and the language that it is in."""

    text: str
    language: str


class Line(Struct, frozen=True):
    """A label and its value."""

    label: Said
    value: str


class Caution(Struct, frozen=True):
    """Whom a caution concerns, and its text."""

    concerns: str
    text: Said


class Outcome(Struct, frozen=True):
    """What is shown below the form; `faults` by the name of the field, `others` belong to none that is shown."""

    faults: Mapping[str, Said] = field(default_factory=dict)
    doubts: Sequence[str] = ()
    """What was understood of texts that may mean something else."""
    others: Sequence[str] = ()
    results: Sequence[Line] = ()
    assumed: Sequence[Line] = ()
    remarks: Sequence[str] = ()
    cautions: Sequence[Caution] = ()

    @property
    def first_cautions(self) -> Sequence[Caution]:
        """Those that are shown at once."""
        return self.cautions[:SHOWN_CAUTIONS]

    @property
    def further_cautions(self) -> Sequence[Caution]:
        """Those that are shown on demand."""
        return self.cautions[SHOWN_CAUTIONS:]


def outcome(asked: Sum, typed: Mapping[str, str], language: str, studio: Studio) -> Outcome:
    """Work out what a filled form asks for; nothing where nothing was typed."""
    if not any(name not in DEFAULTS for name in typed):
        return Outcome()
    members, faults = read_request(asked, typed, language)
    if faults:
        return Outcome(faults)
    answer = studio.ask(asked.operation_id, members)
    found = (
        describe_refusal(asked, answer.faults or (Fault("", answer.detail),))
        if isinstance(answer, Refusal)
        else describe_result(asked, cast("answers.Answer", answer), language)
    )
    return replace(found, doubts=doubts(typed, language))


def doubts(typed: Mapping[str, str], language: str) -> list[str]:
    """What was understood of whole seconds without a unit."""
    return [doubt(name, language).format(text=text) for name, text in typed.items() if is_doubtful(text, name)]


def read_request(asked: Sum, typed: Mapping[str, str], language: str) -> tuple[dict[str, object], dict[str, Said]]:
    """Members of the request, and every text that could not be understood."""
    members: dict[str, object] = {}
    faults: dict[str, Said] = {}
    for name in asked.members:
        try:
            if name in typed:
                members[name] = number_within(typed[name], name, language) if name in VOCABULARY else typed[name]
            elif declared_fields(asked.request)[name].required:
                faults[name] = Said(message(language, "needed"), language)
        except CannotRead as error:
            faults[name] = Said(message(language, error.key, text=typed[name]), language)
        except ValueError as error:
            faults[name] = Said(str(error), language)
    return members, faults


def number_within(text: str, name: str, language: str) -> float:
    """Return the number that was typed; refused outside its bounds."""
    value = read_number(text, name, language)
    low, high = bounds_of(name)
    if not low <= value <= high:
        raise ValueError(describe_bounds(name, language))
    return value


def read_number(text: str, name: str, language: str) -> float:
    """Return the number that was typed in this language."""
    return number(text, name, VOCABULARY[name].unit, Spelling(decimal_sign(language), unit_sign(language, name)))


def describe_refusal(asked: Sum, faults: Sequence[Fault]) -> Outcome:
    """What the service refuses, beside its fields where they are shown."""
    beside: dict[str, Said] = {}
    others: dict[str, None] = {}
    for pointer, detail in faults:
        name, text = pointer.removeprefix("/"), write_in_words(detail)
        if name in asked.members:
            beside.setdefault(name, Said(text, SOURCE))
        else:
            others[text] = None
    return Outcome(beside, others=list(others))


def describe_result(asked: Sum, answer: answers.Answer, language: str) -> Outcome:
    """Everything that an answer says."""
    return Outcome(
        results=[Line(label_text(name, language), write_result(answer, name, language)) for name in asked.results],
        assumed=[
            Line(label_text(name, language), value_text(value, name, language))
            for name, value in answer["assumed"].items()
        ],
        remarks=[write_in_words(each["text"]) for each in answer["remarks"]],
        cautions=[
            Caution(message(language, f"concerns.{each['concerns']}"), caution_text(each, language))
            for each in answer["cautions"]
        ],
    )


def caution_text(caution: answers.Caution, language: str) -> Said:
    """Text of a caution: that of its language, or else the service's own."""
    own = cautions(language).get(caution["code"])
    return Said(own, language) if own else Said(write_in_words(caution["text"]), SOURCE)


def label_text(name: str, language: str) -> Said:
    """Label of a member."""
    text, spoken = label(language, name)
    return Said(capitalize(text), spoken)


def write_result(answer: Mapping[str, object], name: str, language: str) -> str:
    """One result; unlimited or not determined where there is no number."""
    if answer[name] is not None:
        return value_text(answer[name], name, language)
    unlimited = any(answer[extent] == "unlimited" for extent in EXTENTS.get(name, ()))
    return message(language, "unlimited" if unlimited else "not_determined")


def value_text(value: object, name: str, language: str) -> str:
    """Write a value: a number as one says it, a word of the catalogue in its language."""
    if isinstance(value, int | float):
        return write_number(float(value), name, language)
    return catalogue(language).get(f"choice.{value}", str(value))


def write_number(value: float, name: str, language: str) -> str:
    """Write a number as one says it, with its unit."""
    return f"{format_kind(value, kind(name), decimal_sign(language))} {unit_sign(language, name)}".rstrip()


def write_in_words(text: str) -> str:
    """Text of the service with the names of the API in words."""
    signed = MICRONS.sub("µm", text)
    return NAME.sub(lambda match: shorten(label(SOURCE, match[0])[0]) if match[0] in VOCABULARY else match[0], signed)
