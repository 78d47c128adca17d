"""A remark, and the one that names what an answer leaves open."""

from collections.abc import Mapping
from typing import TypedDict

from closeup_service.language import mark, tr, tr_each
from closeup_service.optics.how_to_find import how_to_find


class Remark(TypedDict):
    """Something worth knowing about an answer: a stable code, and plain words."""

    code: str
    text: str


WORTH_SAYING = 0.01
"""A shortcut is remarked on when it is off by more than this share."""


def remark(code: str, text: str) -> Remark:
    """One remark."""
    return {"code": code, "text": text}


def undetermined_results(needs: Mapping[str, tuple[str, ...]]) -> list[Remark]:
    """One remark per set of missing members, naming every result that waits for it."""
    waiting: dict[tuple[str, ...], list[str]] = {}
    for name, members in needs.items():
        waiting.setdefault(members, []).append(name)
    notes = []
    for members, names in waiting.items():
        text = tr_each(
            "{names} is not determined without {members}. {hints}",
            "{names} are not determined without {members}. {hints}",
            len(names),
            names=", ".join(names),
            members=tr(" and ").join(map(member_name, members)),
            hints=" ".join(dict.fromkeys(filter(None, map(how_to_find, members)))),
        )
        notes.append(remark("not-determined", text.strip()))
    return notes


def member_name(pointer: str) -> str:
    """Return a flat member by its bare name, a nested one by its pointer."""
    return pointer if "/" in pointer[1:] else pointer[1:]


def error_of(shortcut: float, truth: float) -> str:
    """How far a shortcut is off, in words."""
    share = shortcut / truth - 1
    text = mark("{share:.0%} too much") if share > 0 else mark("{share:.0%} too little")
    return tr(text, share=abs(share))
