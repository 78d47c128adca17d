"""Remarks in the words of the page: what to enter, where an operation says what it leaves open."""

import re
from collections.abc import Sequence

from closeup_service.schemas.describing import label, write_in_words

LEFT_OPEN = re.compile(
    r"(?P<results>.+?) (?:is|are) not determined without (?P<data>.+?)\.(?: (?P<how>.*))?", re.DOTALL
)
UNKNOWN = re.compile(r"(?P<results>.+?) (?:is|are) not determined\b(?P<rest>.*)", re.DOTALL)
MEMBER = re.compile(r"[a-z]+(?:_[a-z0-9]+)*")
ENTER = "Left out of the result: {results}. To calculate that, enter: {data}. {how}"
CANNOT = "Left out of the result: {results}{rest}"


def put_remark_in_words(text: str, parts: Sequence[str] = ()) -> str:
    """Remark of an operation in words of the page; `parts` are the names of the parts of the set-up."""
    return write_in_words(reword(text), parts=parts)


def reword(text: str) -> str:
    """Remark that says what to enter in place of what is left open, still with names of members."""
    for pattern, said in ((LEFT_OPEN, ENTER), (UNKNOWN, CANNOT)):
        match = pattern.fullmatch(text)
        if match:
            given = {name: value or "" for name, value in match.groupdict().items()}
            return said.format(**{**given, "results": name_results(given["results"])}).strip()
    return text


def name_results(names: str) -> str:
    """Words for each of several results; what is no name of a member stays."""
    return ", ".join(label(name) if MEMBER.fullmatch(name) else name for name in names.split(", "))
