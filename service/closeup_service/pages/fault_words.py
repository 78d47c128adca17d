"""Faults in the words of the page: what to enter at which field, where an operation speaks of the members of its request."""

import re
from collections.abc import Mapping

from msgspec import Struct

from closeup_service.advice.figures import UNITS_IN_WORDS, capitalize, decimal, unit_in_words
from closeup_service.language import mark, tr, with_decimal_sign
from closeup_service.optics.vocabulary import VOCABULARY
from closeup_service.pages.fault_rules import RULES, Rule
from closeup_service.pages.part_names import name_parts
from closeup_service.pages.recognizing import Places, recognize
from closeup_service.pages.task import Input, Members, Task
from closeup_service.schemas.describing import label, pointer_words, write_in_words


class Said(Struct, frozen=True):
    """A fault in words of the page, and the field that it stands at."""

    text: str
    name: str


MISSING_ANYWHERE = mark("Enter what is missing here.")
LONG_NUMBERS = {sign: re.compile(rf"\d+[{sign}]\d{{3,}}") for sign in ".,"}
"""Numbers with more digits than people need, by the decimal sign of the language."""
IMPERATIVE = re.compile(r"\b([Gg])ive\b")


def put_in_words(text: str, task: Task, name: str, pointer: str, asked: Members) -> Said:
    """Fault of an operation in words of the page; `pointer` leads to what the page has no field of its own for."""
    parts = name_parts(asked)
    said, place = find_words(text, task, name)
    told = write_in_words(said, labels_of(task), parts)
    long_number = LONG_NUMBERS[with_decimal_sign(".")]
    told = long_number.sub(lambda found: decimal(float(found[0].replace(",", "."))), told)
    if pointer:
        told = f"{capitalize(pointer_words(pointer, parts))}: {told}"
    return Said(told, place)


def find_words(text: str, task: Task, name: str) -> tuple[str, str]:
    """What the page says in place of a text, still with names of members, and the field to say it at."""
    found = find_rule(text)
    if found is None:
        return IMPERATIVE.sub(lambda found: "Enter" if found[1] == "G" else "enter", text), name
    rule, places = found
    place = rule.instead if find(task, rule.instead) else name
    given = {**places, "other": rule.other.format(**places)}
    told = {name: say_place(text, labels_of(task)) for name, text in given.items()}
    return tr(rule.said, **told, ask=ask_for(find(task, place))).strip(), place


def say_place(text: str, labels: Mapping[str, str]) -> str:
    """What fills a place, with words for members whose names are plain words, and for the unit that ends it."""
    head, space, last = text.rpartition(" ")
    if last in UNITS_IN_WORDS:
        return f"{head}{space}{unit_in_words(last)}"
    return ", ".join(labels.get(each) or label(each) if is_plain_name(each) else each for each in text.split(", "))


def is_plain_name(text: str) -> bool:
    """Whether a text is the name of a member that reads like a word, such as magnification."""
    return text in VOCABULARY and text.isalpha()


def find_rule(text: str) -> tuple[Rule, Places] | None:
    """Rule for a text of the operations, and what fills the places of that; None where there is none."""
    for rule in RULES:
        for source in rule.sources:
            places = recognize(text, source)
            if places is not None and all(places[name] == tr(meant) for name, meant in rule.where.items()):
                return rule, places
    return None


def ask_for(wanted: Input | None) -> str:
    """What to do at a field that is blank and needed."""
    return tr(MISSING_ANYWHERE) if wanted is None else wanted.missing


def find(task: Task, name: str) -> Input | None:
    """Field of this name; None where there is none."""
    return next((each for each in task.inputs if each.name == name), None)


def labels_of(task: Task) -> Mapping[str, str]:
    """Words beside the fields, by the members that they stand for."""
    return {each.member: each.label for each in reversed(task.inputs) if each.name == each.member}
