"""The parts of a set-up as an address holds them: `part1` is what the first is, `part1_f_number` one of its data."""

import re
from collections.abc import Mapping

from msgspec import Struct, field

Texts = tuple[str, ...]
CHOSEN = ""
"""Under which a part holds what it is: a part of the kit, or a kind that is typed in."""
OPEN = "?"
"""Under which a part holds which of its lengths is to be found."""
FIND = "find"
"""Field that names the length to find."""
NUMBERED = re.compile(r"part([1-9][0-9]?)(?:_(\w+))?", re.ASCII)

Part = dict[str, Texts]


class Bench(Struct):
    """The parts in their order, subject first, each by its members; and what else was typed, by its fields."""

    parts: list[Part] = field(default_factory=list)
    rest: dict[str, Texts] = field(default_factory=dict)


def place_in(name: str) -> tuple[int, str] | None:
    """Number of the part that a field is of, and the member; None where it is of none."""
    found = NUMBERED.fullmatch(name)
    return None if found is None else (int(found[1]), found[2] or CHOSEN)


def name_of(number: int, member: str = CHOSEN) -> str:
    """Field of a member of a part."""
    return f"part{number}_{member}" if member else f"part{number}"


def read_bench(typed: Mapping[str, Texts]) -> Bench:
    """Sort what was typed by parts; gaps between their numbers are closed."""
    parts: dict[int, Part] = {}
    rest: dict[str, Texts] = {}
    for name, texts in typed.items():
        place = place_in(name)
        if place is None:
            rest[name] = texts
        else:
            parts.setdefault(place[0], {})[place[1]] = texts
    wanted = place_in("".join(rest.get(FIND, ())))
    if wanted is not None and wanted[0] in parts:
        parts[wanted[0]][OPEN] = (wanted[1],)
        del rest[FIND]
    return Bench([parts[number] for number in sorted(parts)], rest)


def write_bench(bench: Bench) -> dict[str, Texts]:
    """What an address holds of a bench."""
    typed: dict[str, Texts] = {}
    for number, part in enumerate(bench.parts, 1):
        typed |= {name_of(number, member): texts for member, texts in part.items() if member != OPEN}
        if OPEN in part:
            typed[FIND] = (name_of(number, part[OPEN][0]),)
    return typed | bench.rest


def choice_of(part: Mapping[str, Texts]) -> str:
    """What a part is, as it was chosen; empty where nothing was."""
    return next(iter(part.get(CHOSEN, ())), "")
