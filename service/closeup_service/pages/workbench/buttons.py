"""What the buttons of a bench do: add, remove, move and turn a part; each without a script, by the address alone."""

import re

from closeup_service.gear.kit import CloseUpLens, Converter, Kit, Objective
from closeup_service.pages.workbench.bench import CHOSEN, Bench, Part, choice_of
from closeup_service.pages.workbench.kinds import TYPED, element_of, kind_of, part_of_kit

DO, ADD, WAS = "do", "add", "was"
"""Fields of the form that are no data: a button that was pressed, a part to add, and what a part was before."""
PRESSED = re.compile(r"(remove|turn|up|down)-([1-9][0-9]?)", re.ASCII)
PREVIOUS = re.compile(rf"{WAS}([1-9][0-9]?)", re.ASCII)
FRONT = ("close-up-lens", "objective")
REAR = "teleconverter"
SORTS = ((CloseUpLens, "close-up-lens"), (Objective, "objective"), (Converter, REAR))


def press(bench: Bench, kit: Kit) -> int | None:
    """Do what was asked of the bench and take the question away; returns the number of the part to look at next."""
    drop_data_of_others(bench, kit)
    place = add_chosen(bench, kit)
    for text in bench.rest.pop(DO, ()):
        pressed = PRESSED.fullmatch(text)
        if pressed and int(pressed[2]) <= len(bench.parts):
            place = ACTIONS[pressed[1]](bench.parts, int(pressed[2]) - 1)
    return None if place is None else place + 1


def drop_data_of_others(bench: Bench, kit: Kit) -> None:
    """Where one part was exchanged for another, take away the data that the new one does not have."""
    for name in [name for name in bench.rest if PREVIOUS.fullmatch(name)]:
        previous, number = bench.rest.pop(name), int(name.removeprefix(WAS))
        if number > len(bench.parts):
            continue
        part = bench.parts[number - 1]
        kind = kind_of(choice_of(part), kit)
        if kind is not None and previous != part.get(CHOSEN):
            kept = (CHOSEN, *kind.asked, *kind.folded)
            bench.parts[number - 1] = {member: texts for member, texts in part.items() if member in kept}


def add_chosen(bench: Bench, kit: Kit) -> int | None:
    """Add the part that was chosen where such parts usually stand."""
    added = None
    for chosen in bench.rest.pop(ADD, ()):
        added = usual_place(bench, chosen, kit)
        bench.parts.insert(added, {CHOSEN: (chosen,)})
    return added


def usual_place(bench: Bench, chosen: str, kit: Kit) -> int:
    """Close-up lenses and objectives stand before all else, converters behind all else, the rest before converters."""
    if sort_of(chosen, kit) in FRONT:
        return 0
    end = len(bench.parts)
    if sort_of(chosen, kit) == REAR:
        return end
    while end and sort_of(choice_of(bench.parts[end - 1]), kit) == REAR:
        end -= 1
    return end


def sort_of(chosen: str, kit: Kit) -> str:
    """Sort of part, as its element names it, of the kit or typed in."""
    part = part_of_kit(chosen, kit)
    if chosen.startswith(TYPED):
        return element_of(chosen)
    return next((sort for kind, sort in SORTS if isinstance(part, kind)), "")


def remove(parts: list[Part], place: int) -> int | None:
    """Take a part away."""
    del parts[place]
    return max(place - 1, 0) if parts else None


def turn(parts: list[Part], place: int) -> int:
    """Turn a lens round."""
    part = parts[place]
    if part.pop("reversed", ("no",)) == ("no",):
        part["reversed"] = ("yes",)
    return place


def nearer_subject(parts: list[Part], place: int) -> int:
    """Move a part one place towards the subject."""
    return move(parts, place, place - 1)


def nearer_camera(parts: list[Part], place: int) -> int:
    """Move a part one place towards the camera."""
    return move(parts, place, place + 1)


def move(parts: list[Part], place: int, to: int) -> int:
    """Move a part to another place; one at the end stays there."""
    to = min(max(to, 0), len(parts) - 1)
    parts.insert(to, parts.pop(place))
    return to


ACTIONS = {"remove": remove, "turn": turn, "up": nearer_subject, "down": nearer_camera}
