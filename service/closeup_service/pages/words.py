"""What the API calls by names, in words: members, pointers, choices; and how a line begins."""

import re

from closeup_service.advice.figures import capitalize
from closeup_service.optics.vocabulary import VOCABULARY
from closeup_service.schemas.describing import label

NAME = re.compile(r"(?<![\w/-])[a-z]+(?:_[a-z0-9]+)+(?![\w])")
MICRONS = re.compile(r"(?<=\d )um\b")
POINTER = re.compile(r"(?<![\w/.])/(?!v1\b)[a-z_]+(?:/(?:[a-z_]+|\d+))*")
SENTENCE_END = re.compile(r"(?:^|[.!?] )$")


def write_in_words(text: str) -> str:
    """Text with the names of members as people say them, and a capital where one begins a sentence."""
    with_signs = MICRONS.sub("µm", text)
    return NAME.sub(member_words, POINTER.sub(lambda found: pointer_words(found[0]), with_signs))


def member_words(found: re.Match[str]) -> str:
    """Words for a member that a text names."""
    words = label(found[0])
    return capitalize(words) if SENTENCE_END.search(found.string[: found.start()]) else words


def pointer_words(pointer: str) -> str:
    """Words for what a JSON pointer leads to."""
    steps = pointer.strip("/").split("/")
    words = label(steps[-1]) if not steps[-1].isdigit() else ""
    if steps[0] == "train" and len(steps) > 1:
        return " of ".join(filter(None, (words if len(steps) > 2 else "", f"part {int(steps[1]) + 1}")))
    if steps[:2] == ["kit", "lenses"] and len(steps) > 3:
        return f"{words} of lens {int(steps[2]) + 1} of the kit"
    if words and len(steps) > 1 and steps[-1] not in VOCABULARY:
        return f"{words} of the {label(steps[-2])}"
    return words or pointer


def choice_words(value: str) -> str:
    """Words for one of several choices: a member, or a code."""
    return label(value) if value in VOCABULARY else value.replace("-", " ")


def as_id(name: str) -> str:
    """Id of the element for a field: of one that a pointer names, its steps in a row."""
    return name.removeprefix("/").replace("/", "-")
