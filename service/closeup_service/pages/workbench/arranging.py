"""From what was typed to the bench that it describes: cards, what a button asked for, and addresses of other kinds."""

from collections.abc import Mapping
from urllib.parse import urlencode

from msgspec.structs import replace

from closeup_service.gear.kit import Kit
from closeup_service.language import mark, tr
from closeup_service.pages import form
from closeup_service.pages.asking import Studio, attempt
from closeup_service.pages.form import Fault
from closeup_service.pages.task import Arranged, Group, Input, Task, Typed
from closeup_service.pages.tasks.known_lens import RULER_FIELDS
from closeup_service.pages.tasks.train_form import NOT_OF_THE_WHOLE
from closeup_service.pages.typed_numbers import CannotRead
from closeup_service.pages.workbench.bench import (
    CHOSEN,
    FIND,
    OPEN,
    Bench,
    Part,
    choice_of,
    name_of,
    read_bench,
    write_bench,
)
from closeup_service.pages.workbench.buttons import press
from closeup_service.pages.workbench.cards import MORE, cards, kept_inputs, length_choices, shelves
from closeup_service.pages.workbench.documents import LIMITS, SET_UP, SOLVE, bench_of
from closeup_service.pages.workbench.former_fields import FORMER, FORMER_MEMBERS, is_former, parts_of
from closeup_service.pages.workbench.kinds import USUAL, find_field, kind_of
from closeup_service.pages.workbench.laid_out import Bench as Cards
from closeup_service.schemas.kit import read_kit

DOCUMENT = "document"
LONGEST_QUERY = 7_000
"""Characters of an address with every field of a set-up; a longer document is not taken apart."""
TOO_LONG = mark("This set-up is too long to be changed part by part: change the document itself, below.")
TWO_SOURCES = mark("The set-up that was opened says “{stated}” here. Keep one of the two.")
BESIDE = mark("This does not count beside a set-up that was opened: change it at its part, or clear the form.")
ENTERED_APART = mark("Entered, and not part of this set-up")


def arrange(task: Task, typed: Typed, studio: Studio) -> Arranged:
    """Bench that was asked for: from a document, from an address of the first release, or from its own fields."""
    if len(typed.get(DOCUMENT, ())) == 1:
        return open_document(task, typed, studio)
    bench = read_bench(typed)
    studio = with_kit_of(bench, studio)
    if not bench.parts and is_former(typed):
        bench.parts = parts_of(bench.rest, studio.kit)
    look_at = press(bench, studio.kit)
    tidy_open_length(bench, studio.kit)
    anchor = "" if look_at is None else f"part-{look_at}"
    return Arranged(task_for(task, bench, studio.kit), write_bench(bench), studio, look_at=anchor)


def with_kit_of(bench: Bench, studio: Studio) -> Studio:
    """Pages of the kit that a document brought along; of the studio's where it brought none that can be used."""
    held = "kit" in "".join(bench.rest.get(MORE, ())) and studio.read_document(bench.rest[MORE][0])
    stated = held.get("kit") if isinstance(held, Mapping) else None
    kit = attempt(lambda: read_kit(stated, "request")) if isinstance(stated, Mapping) else None
    return replace(studio, kit_in=lambda language: kit, own=None) if isinstance(kit, Kit) else studio


def tidy_open_length(bench: Bench, kit: Kit) -> None:
    """Name the length to find only where it is not the one that is blank."""
    blank = [part for part in bench.parts if is_blank_length(part, kit)]
    for part in blank if len(blank) == 1 else ():
        if part.get(OPEN) == ("length_mm",):
            del part[OPEN]


def is_blank_length(part: Part, kit: Kit) -> bool:
    """Whether the length of a part is blank."""
    kind = kind_of(choice_of(part), kit)
    return kind is not None and "length_mm" in kind.asked and "length_mm" not in part


def task_for(task: Task, bench: Bench, kit: Kit) -> Task:
    """The task with these parts as cards, and with fields for whatever else was given."""
    shown = bench.parts or [{CHOSEN: (USUAL,)}]
    groups = tuple(group_with_choices(group, shown, kit) for group in task.groups)
    held = Cards(cards(shown, kit), shelves(kit), kept_inputs(MORE, bench.rest.get(MORE, ())))
    return replace(task, bench=held, groups=(*groups, *groups_beside(task, bench.rest)))


def group_with_choices(group: Group, parts: list[Part], kit: Kit) -> Group:
    """The group, with the lengths of these parts to choose from."""
    choices = length_choices(parts, kit)
    inputs = tuple(replace(each, own_choices=choices) if each.name == FIND else each for each in group.inputs)
    return replace(group, inputs=inputs)


def groups_beside(task: Task, rest: Typed) -> tuple[Group, ...]:
    """Groups of what was given and has no field in the form as it usually is."""
    known = {MORE, *(each.name for each in task.inputs)}
    whole = tuple(
        Input(name, name, SET_UP.fields[name])
        for name in rest
        if name not in known and name in SET_UP.fields and name not in NOT_OF_THE_WHOLE
    )
    apart = tuple(former_input(name) for name in rest if name not in known and name in FORMER)
    limits = tuple(
        Input(name, "length_mm", SOLVE.fields[member], words)
        for member, (name, words) in LIMITS.items()
        if name in rest
    )
    found = (Group(mark("Also stated"), (*whole, *limits)), Group(ENTERED_APART, apart))
    return tuple(group for group in found if group.inputs)


def former_input(name: str) -> Input:
    """Field of the first release that described a part and made none."""
    member = FORMER_MEMBERS.get(name, name)
    field = find_field("lens", member) or SET_UP.fields["subject_kind"]
    return next((each for each in RULER_FIELDS if each.name == name), Input(name, member, field))


def open_document(task: Task, typed: Typed, studio: Studio) -> Arranged:
    """Bench of a set-up that came as a document; one that cannot be taken apart stays a document."""
    try:
        document = form.document(typed[DOCUMENT][0], studio)
    except CannotRead:
        return Arranged(task_for(task, Bench(), studio.kit), typed, studio)
    bench = bench_of(document)
    beside = {name: texts for name, texts in typed.items() if name != DOCUMENT}
    if bench is None or len(urlencode(write_bench(bench), doseq=True)) > LONGEST_QUERY:
        return Arranged(keep_document(task, bench is not None), {**beside, DOCUMENT: typed[DOCUMENT]}, studio)
    return lay_beside(task, bench, beside, studio)


def keep_document(task: Task, is_long: bool) -> Task:
    """The form of a document that is not taken apart: it is carried along, beside what is asked of the drawing."""
    drawn = tuple(group for group in task.groups if any(each.name.startswith("drawn_") for each in group.inputs))
    return replace(task, lead=TOO_LONG if is_long else task.lead, groups=drawn, carried=task.opens, opens=())


def lay_beside(task: Task, bench: Bench, beside: Typed, studio: Studio) -> Arranged:
    """Lay what was typed beside a document into the bench; where both say something else, that is a fault at the field."""
    studio = with_kit_of(bench, studio)
    opened = dict(write_bench(bench))
    named = {field_of_pointer(name): texts for name, texts in beside.items()}
    faults = [
        Fault(tr(TWO_SOURCES, stated=opened[name][0]), name)
        for name, texts in named.items()
        if name in opened and opened[name] != texts and name in beside
    ]
    faults += [Fault(tr(BESIDE), name) for name in named if name in FORMER]
    both = read_bench(opened | named)
    if not faults:
        press(both, studio.kit)
        tidy_open_length(both, studio.kit)
    return Arranged(task_for(task, both, studio.kit), write_bench(both), studio, tuple(faults))


def field_of_pointer(name: str) -> str:
    """Field behind a pointer into a document, as forms of former documents named them; any other name as it is."""
    steps = name.split("/")
    if steps[0] or len(steps) < 2:
        return name
    if steps[1] == "train" and len(steps) == 4 and steps[2].isdecimal():
        return name_of(int(steps[2]) + 1, steps[3])
    return f"target_{steps[-1]}" if steps[1:3] == ["solve", "target"] else steps[-1]
