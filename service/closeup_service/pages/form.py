"""A form as it was sent: what was typed, the values that it means, and what is wrong at which field."""

import difflib
from collections.abc import Iterable, Mapping

from msgspec import Struct, field
from werkzeug.datastructures import MultiDict

from closeup_service.gear.catalogue import sensor_id
from closeup_service.language import mark, tr
from closeup_service.operations.asking.refusals import Refusal
from closeup_service.operations.asking.strict_json import JsonDict
from closeup_service.pages import fault_words
from closeup_service.pages.asking import Members, Studio
from closeup_service.pages.elsewhere import write_value
from closeup_service.pages.task import Choice, Input, Request, Task
from closeup_service.pages.typed_numbers import CannotRead, number, readings_of_a_time

UNITS, WORKING = "units", "working"
OF_THE_PAGE = (UNITS, WORKING)
"""Fields of every page: how it shows a result, not what is asked."""
INCHES = "in"
YES, NO = ("yes", "true", "on"), ("no", "false", "off")
UNUSED = mark("Not used for this: with what else is given, the result does not depend on it.")
TWO_TIMES = mark("On a camera, “{shown}” is 1/{shown} s. Choose the exposure time that you mean.")
BLANK = ("",)
LONGEST_SHOWN = 64
LONGEST = 20_000
Typed = Mapping[str, tuple[str, ...]]


class Fault(Struct, frozen=True):
    """What is wrong or in doubt, and the field that it stands at; no field where it is of the whole."""

    text: str
    name: str = ""
    choices: tuple[Choice, ...] = ()
    """What the field can hold instead, to choose from."""


class Form(Struct):
    """What was typed, by field, with the values that it means and the faults found so far."""

    task: Task
    typed: Typed
    values: JsonDict = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    doubts: list[Fault] = field(default_factory=list)
    """What to know of fields that hold no fault: what was typed and is not used, what is left out."""
    unused: set[str] = field(default_factory=set)
    """Fields from which nothing was worked out."""

    @property
    def shows_inches(self) -> bool:
        """Whether lengths are shown in inches as well."""
        return INCHES in self.typed.get(UNITS, ())

    @property
    def shows_working(self) -> bool:
        """Whether the steps of the sums are shown as well."""
        return bool(self.typed.get(WORKING))

    @property
    def is_blank(self) -> bool:
        """Whether nothing was asked yet."""
        return not any(name not in OF_THE_PAGE for name in self.typed)

    def text(self, name: str) -> str:
        """What was typed into a field."""
        return next(iter(self.typed.get(name, ())), "")

    def has(self, name: str, value: str) -> bool:
        """Whether a value was chosen in a field."""
        return value in self.typed.get(name, ())

    def label(self, name: str) -> str:
        """Words beside a field."""
        return next(each.label for each in self.task.inputs if each.name == name)

    def input_named(self, name: str) -> Input | None:
        """Field of this name; None where the form has none."""
        return next((each for each in self.task.inputs if each.name == name), None)

    def faults_at(self, name: str) -> list[Fault]:
        """Faults of a field."""
        return [fault for fault in self.faults if fault.name == name]

    def doubts_at(self, name: str) -> list[Fault]:
        """What to know of a field."""
        return [doubt for doubt in self.doubts if doubt.name == name]

    def set_aside(self, names: Iterable[str]) -> None:
        """Say of fields that nothing was worked out from them."""
        self.unused |= set(names)
        self.doubts += [Fault(tr(UNUSED), each.name) for each in self.task.inputs if each.name in self.unused]

    def opens(self, names: Iterable[str]) -> bool:
        """Whether any of these fields is used or at fault."""
        return any(name in self.typed or self.faults_at(name) for name in names)

    def refuse(self, text: str, name: str = "", choices: tuple[Choice, ...] = ()) -> None:
        """Note a fault once."""
        fault = Fault(text, name if self.input_named(name) else "", choices)
        if fault not in self.faults:
            self.faults.append(fault)

    def add(self, faults: Iterable[Fault]) -> None:
        """Note further faults, each once; where a field had one before, that comes first and is enough."""
        known = {fault.name for fault in self.faults if fault.name}
        self.faults += [fault for fault in faults if fault.name not in known and fault not in self.faults]

    def refuse_all(self, refused: Refusal, asked: Request) -> None:
        """Lay the faults of an operation at the fields that they come from, in words of the page."""
        for pointer, text in refused.faults:
            place = place_of(pointer, asked.places)
            name = place or (asked.otherwise if asked.otherwise else pointer.rpartition("/")[2])
            self.refuse_in_words(text, name, pointer if place is None and asked.otherwise else "", asked.members)
        if not refused.faults:
            self.refuse_in_words(refused.detail, asked.otherwise, "", asked.members)

    def refuse_in_words(self, text: str, name: str, pointer: str, asked: Members) -> None:
        """Note a fault in words of the page; `pointer` leads to what the page has no field of its own for."""
        said = fault_words.put_in_words(text, self.task, name, pointer, asked)
        self.refuse(said.text, said.name if self.input_named(said.name) else self.first_field())

    def first_field(self) -> str:
        """Field of what is of none: the first that holds something, else the first."""
        names = [each.name for each in self.task.inputs]
        return next((name for name in names if name in self.typed), names[0])


def place_of(pointer: str, places: Mapping[str, str]) -> str | None:
    """Field behind a JSON pointer: its own, or that of what it is in; None where there is none."""
    within = pointer
    while within:
        if within in places:
            return places[within]
        within = within.rpartition("/")[0]
    return None


def sent_texts(arguments: MultiDict[str, str], task: Task) -> tuple[Typed, bool]:
    """What was typed without blanks, and whether the address holds anything that a clean link leaves out."""
    blanks = {each.name: ("", each.own_usual) for each in task.inputs if each.own_usual}
    typed = {
        name: tuple(dict.fromkeys(text.strip() for text in texts if text.strip() not in blanks.get(name, BLANK)))
        for name, texts in arguments.lists()
    }
    kept = {name: texts for name, texts in typed.items() if texts}
    clean = sum(map(len, kept.values())) == sum(len(texts) for _, texts in arguments.lists())
    return kept, clean


def read(task: Task, typed: Typed, studio: Studio) -> Form:
    """Read every field of a form."""
    known = {each.name: each for each in task.inputs}
    form = Form(task, {name: spell_sensors(texts, known.get(name)) for name, texts in typed.items()})
    for name in typed:
        if name not in known and name not in OF_THE_PAGE:
            form.refuse(unknown_field(name, known))
    for each in task.inputs:
        if each.name in typed:
            read_one(form, each, studio)
    return form


def spell_sensors(texts: tuple[str, ...], wanted: Input | None) -> tuple[str, ...]:
    """Ids of sensors as the catalogue spells them; anything else as it was typed."""
    return tuple(map(sensor_id, texts)) if wanted is not None and wanted.is_sensor else texts


def unknown_field(name: str, known: Mapping[str, Input]) -> str:
    """Say that a form has no field of this name, and which one it is near to."""
    shown = name[:LONGEST_SHOWN]
    nearest = difflib.get_close_matches(shown, list(known), n=1)
    if not nearest:
        return tr("“{name}” is no field of this form.", name=shown)
    return tr("“{name}” is no field of this form. Did you mean “{label}”?", name=shown, label=known[nearest[0]].label)


def read_one(form: Form, wanted: Input, studio: Studio) -> None:
    """Read one field; what cannot be read is a fault at it."""
    texts = form.typed[wanted.name]
    if wanted.several:
        form.values[wanted.name] = list(texts)
        return
    if len(texts) > 1:
        form.refuse(tr("Enter this once."), wanted.name)
        return
    if two := readings_of_a_time(texts[0], wanted.member):
        choices = tuple(Choice(typed, said) for typed, said in two)
        form.refuse(tr(TWO_TIMES, shown=texts[0]), wanted.name, choices)
        return
    try:
        form.values[wanted.name] = value(texts[0], wanted, studio)
    except CannotRead as error:
        form.refuse(str(error), wanted.name)


def value(text: str, wanted: Input, studio: Studio) -> object:
    """Value that a text means."""
    if wanted.is_number:
        return number(text, wanted.member, wanted.unit)
    if wanted.is_flag:
        return flag(text)
    if wanted.is_document:
        return document(text, studio)
    return text


def flag(text: str) -> bool:
    """Whether a box was ticked."""
    if text.lower() not in (*YES, *NO):
        raise CannotRead(tr("“{text}” is neither yes nor no.", text=text[:LONGEST_SHOWN]))
    return text.lower() in YES


def document(text: str, studio: Studio) -> Members:
    """Set-up document that was sent as a text."""
    if len(text) > LONGEST:
        raise CannotRead(tr("This is longer than {most} characters, the most that this page takes.", most=LONGEST))
    found = studio.read_document(text)
    if isinstance(found, Refusal):
        raise CannotRead(found.detail)
    return found


def text_of(value: object) -> str:
    """Text that a field holds for a value, exactly."""
    if isinstance(value, bool):
        return YES[0] if value else NO[0]
    return write_value(value)
