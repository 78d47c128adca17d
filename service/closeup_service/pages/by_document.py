"""A task whose form came as a document: the fields show what it states, and what is typed into them is laid into it.

So the document alone holds what is asked, and an address with changes leads to one whose document holds them.
"""

import json
from collections.abc import Mapping
from urllib.parse import urlencode

from msgspec import Struct
from msgspec.structs import replace
from werkzeug.datastructures import MultiDict

from closeup_service.gear.kit import Kit
from closeup_service.pages import form
from closeup_service.pages.asking import Members, OwnKit, Studio
from closeup_service.pages.elsewhere import plain_number, write_value
from closeup_service.pages.form import Form, Typed
from closeup_service.pages.own_kit.excerpt import KIT
from closeup_service.pages.own_kit.kit_text import read_listing
from closeup_service.pages.pointers import value_at, with_values
from closeup_service.pages.task import Input, Task
from closeup_service.pages.typed_numbers import CannotRead

DOCUMENT = "document"
LONGEST_QUERY = 7_000
"""Characters of a query with every field of a document; a longer one is changed in the document itself."""
BESIDE = (
    "“{label}” does not count beside a set-up that came as a document: what the document states is shown in its own fields. "
    "Change it there, or start afresh."
)
TOO_LONG = "This document is too long to be changed field by field: change the document itself, below."


class Opened(Struct, frozen=True):
    """A document that was sent, the form that shows it, the texts that it puts into the fields, and the kit that it names."""

    document: Members
    task: Task
    stated: Typed
    kit: Kit


def open_document(task: Task, typed: Typed, studio: Studio) -> Opened | None:
    """Document that was sent to a task that takes one; None where none was, or where it cannot be read."""
    texts = typed.get(DOCUMENT, ())
    if task.of_document is None or len(texts) != 1:
        return None
    try:
        document = form.document(texts[0], studio)
    except CannotRead:
        return None
    kit = kit_of(document, studio)
    shown = task.of_document(document, kit)
    stated = texts_of(document, shown)
    sent = {each.name: stated.get(each.name, ("",)) for each in shown.inputs} | {DOCUMENT: texts}
    if len(urlencode(sent, doseq=True)) > LONGEST_QUERY:
        return Opened(document, drop_fields(shown), {}, kit)
    return Opened(document, shown, stated, kit)


def kit_of(document: Members, studio: Studio) -> Kit:
    """Kit that the document holds; the studio's where it holds none, or none that can be used."""
    held = document.get(KIT)
    read_kit = read_listing(held) if isinstance(held, Mapping) else None
    return read_kit.kit if isinstance(read_kit, OwnKit) else studio.kit


def drop_fields(task: Task) -> Task:
    """The form of a document that is too long to be sent with its fields."""
    groups = tuple(group for group in task.groups if not any(each.is_pointer for each in group.inputs))
    return replace(task, groups=groups, lead=TOO_LONG)


def texts_of(document: Members, task: Task) -> Typed:
    """What the document states, as its fields hold it."""
    held = {each.name: value_at(document, each.name) for each in task.inputs if each.is_pointer}
    return {name: (text_of(value),) for name, value in held.items() if value is not None}


def text_of(value: object) -> str:
    """Value as its field holds it, exactly."""
    if isinstance(value, bool):
        return form.YES[0] if value else form.NO[0]
    return write_value(value)


def read(found: Opened, base: Task, typed: Typed, changed: list[Input], studio: Studio) -> Form:
    """Read the form of a document, with what it states where nothing was sent; no other field of the task counts."""
    foreign = [each for each in base.inputs if each.name in typed and not has_field(found.task, each.name)]
    own = {name: texts for name, texts in typed.items() if name not in {each.name for each in foreign}}
    sent = {each.name for each in changed}
    stated = {name: texts for name, texts in found.stated.items() if name not in sent}
    given = form.read(found.task, {**stated, **own}, studio)
    for each in foreign:
        given.refuse(BESIDE.format(label=each.label), DOCUMENT)
    return given


def has_field(task: Task, name: str) -> bool:
    """Whether a task has a field."""
    return any(name == each.name for each in task.inputs)


def changes(found: Opened, sent: MultiDict[str, str]) -> list[Input]:
    """Fields of the document that were sent, blank ones too."""
    return [each for each in found.task.inputs if each.is_pointer and each.name in sent]


def apply_typed(found: Opened, given: Form, changed: list[Input]) -> Members:
    """The document with what was typed in its place; what was left blank is no longer in it."""
    values = {each.name: given.values.get(each.name) for each in changed}
    document: Members = with_values(found.document, values)
    return document


def write_document(document: Members) -> str:
    """Document as a form holds it."""
    return json.dumps(plain_number(document), separators=(",", ":"))
