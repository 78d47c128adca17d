"""One record per task: which operations answer it, which fields it asks for in which order, what it shows first."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from typing import TYPE_CHECKING, Literal

from msgspec import Struct, field

from closeup_service.gear.kit import Kit
from closeup_service.language import mark, tr
from closeup_service.operations.asking.strict_json import JsonObject
from closeup_service.schemas.describing import bounds, choice_words, label, unit, without_unit
from closeup_service.schemas.fields import AnyField, Flag, Number, Whole, declared_fields
from closeup_service.schemas.known_lens import KnownLensFields
from closeup_service.schemas.sensor import SensorId
from closeup_service.schemas.upload import PhotographFile

if TYPE_CHECKING:
    from closeup_service.pages.asking import Studio
    from closeup_service.pages.form import Fault
    from closeup_service.pages.workbench.laid_out import Bench

Typed = Mapping[str, tuple[str, ...]]
"""What was typed into each field."""
Members = Mapping[str, object]
"""Values of the form's fields, by their names."""
OF_A_KNOWN_LENS = frozenset(declared_fields(KnownLensFields))
"""What counts only where data of a lens are estimated: it is put into requests there, in `tasks/known_lens.py`."""
Answers = Mapping[str, Members]
"""Answers so far, by the key of the step."""
Fields = Mapping[str, AnyField]
"""Fields that a schema declares, by their names."""

LEAST_SHARE = 0.001
"""A smaller least share says nothing to people."""
CHOOSE = mark("Choose the {label}.")
ENTER = mark("Enter the {label}.")
ENTER_AT = mark("Enter a value at “{label}”.")
CLAUSES = ("each ", "how ", "what ", "with ", "or ")
"""How labels begin that are no nouns."""


class Choice(Struct, frozen=True):
    """One entry of a list to choose from."""

    value: str
    label: str

    @property
    def said(self) -> Choice:
        """The same in the language that is spoken, where it stands in a record."""
        return Choice(self.value, tr(self.label))


class Input(Struct, frozen=True):
    """One field of a form: a member of a schema, under a name of the form's own where that differs."""

    name: str
    member: str
    field: AnyField
    own_label: str = ""
    own_hint: str = ""
    own_choices: Callable[[Kit], Sequence[Choice]] | tuple[Choice, ...] | None = None
    """What can be chosen instead of the schema's choices; of the kit it is given in the language that is spoken."""
    several: bool = False
    is_document: bool = False
    optional: bool = False
    """Whether the first sum of the task is answered without it, though it is another one's need."""
    own_range: tuple[float, float] | None = None
    own_missing: str = ""
    """What to do where it is blank and needed, where its label does not say it."""
    own_usual: str = ""
    """Choice that a blank stands for; a clean link does not hold it."""

    @property
    def label(self) -> str:
        """Words beside the field."""
        return tr(self.own_label) or plain_label(label(self.member))

    @property
    def usual(self) -> str:
        """Words for the choice that a blank stands for; none where it stands for nothing."""
        return tr(self.own_usual)

    @property
    def unit(self) -> str:
        """Unit of a number."""
        return unit(self.field)

    @property
    def is_number(self) -> bool:
        """Whether people type a number."""
        return isinstance(self.field, Number | Whole)

    @property
    def is_flag(self) -> bool:
        """Whether it is a box to tick."""
        return isinstance(self.field, Flag)

    @property
    def is_sensor(self) -> bool:
        """Whether it is a sensor format of the catalogue."""
        return isinstance(self.field, SensorId)

    @property
    def is_of_kit(self) -> bool:
        """Whether it chooses from the kit."""
        return callable(self.own_choices)

    @property
    def is_file(self) -> bool:
        """Whether it is a file to send."""
        return isinstance(self.field, PhotographFile)

    @property
    def is_needed(self) -> bool:
        """Whether nothing can be answered without it."""
        excused = self.optional or self.own_choices is not None or self.is_document or self.name != self.member
        return self.field.required and not excused

    @property
    def missing(self) -> str:
        """What to do where it is blank and needed."""
        if self.own_missing:
            return tr(self.own_missing)
        if ":" in self.label or self.label.startswith(CLAUSES):
            return tr(ENTER_AT, label=self.label)
        is_chosen = self.own_choices is not None or "choices" in bounds(self.field)
        return tr(CHOOSE if is_chosen else ENTER, label=self.label)

    @property
    def hint(self) -> str:
        """What it means."""
        return tr(self.own_hint) or without_unit(self.field.metadata.get("description", ""))

    @property
    def range(self) -> tuple[float, float] | None:
        """Least and greatest number."""
        if self.own_range is not None:
            return self.own_range
        known = bounds(self.field)
        low, high = known.get("minimum"), known.get("maximum")
        return None if low is None or high is None or not self.is_number else (low, high)

    @property
    def useful_range(self) -> tuple[float, float] | None:
        """Range that is worth reading before anything is typed, which is that of a share; None for others."""
        known = self.range
        return known if known is not None and known[0] >= LEAST_SHARE and known[1] <= 1 else None

    def choices(self, kit: Kit) -> Sequence[Choice] | None:
        """What can be chosen; None where it is typed."""
        if self.own_choices is not None:
            return self.own_choices(kit) if callable(self.own_choices) else [each.said for each in self.own_choices]
        known = bounds(self.field).get("choices")
        return None if known is None else [Choice(value, choice_words(value)) for value in known]


def plain_label(words: str) -> str:
    """Label without what it adds in brackets."""
    return words.partition(" (")[0]


def inputs(known: Fields, *names: str, **own: JsonObject) -> tuple[Input, ...]:
    """Fields by their names; `own` gives words or choices in place of the schema's."""
    return tuple(Input(name, name, known[name], **own.get(name, {})) for name in names)


class Group(Struct, frozen=True):
    """Fields that belong together; one that is `aside` is folded away until it is used."""

    title: str
    inputs: tuple[Input, ...]
    aside: bool = False
    lead: str = ""


class Request(Struct, frozen=True):
    """What one operation is asked, and from which field of the form each JSON pointer comes."""

    members: Members
    places: Mapping[str, str] = field(default_factory=dict)
    otherwise: str = ""
    """Field of what comes from none of these."""


class NotReady(ValueError):
    """What a request cannot be made without, the field where it is to be given, and what can be judged without it."""

    def __init__(self, text: str, name: str, judged: Request | None = None) -> None:
        super().__init__(text)
        self.name = name
        self.judged = judged


class LeftOut(NotReady):
    """What the result leaves out, and the field that would give it; nothing is wrong."""


Build = Callable[[Members, Answers, Kit], Request | None]
Stage = Literal["plan", "set up", "light", "shoot", "measure"]
"""Part of the work that a task belongs to; pages list tasks by it."""


WriteOut = Callable[[Members], Members]


class Table(Struct, frozen=True):
    """A list of an answer as a table: its path, its columns, and where a row leads.

    `leads_to` is given the row, and what writes the parts of an own kit into a set-up document.
    """

    path: str
    title: str
    columns: tuple[str, ...]
    leads_to: Callable[[Members, WriteOut], str] | None = None
    link: str = ""


class WrittenTable(Struct, frozen=True):
    """A table whose rows the task writes in words of its own; `write` gives none where there is nothing to show."""

    title: str
    headings: tuple[str, ...]
    write: Callable[[Members, Kit], Sequence[Sequence[str]]]


class Step(Struct, frozen=True):
    """One operation of a task; `request` gives None where it has nothing to answer yet. `shows` are paths in the answer.

    `needs` names the step whose answer its request is made with. One that is `dear` is not asked for its faults alone.
    `name` tells an operation that is asked twice apart.
    """

    operation_id: str
    request: Build
    shows: tuple[str, ...] = ()
    tables: tuple[Table | WrittenTable, ...] = ()
    title: str = ""
    needs: str = ""
    dear: bool = False
    name: str = ""

    @property
    def key(self) -> str:
        """What its answer is found by: the operation, or the step's own name."""
        return self.name or self.operation_id


class Drawing(Struct, frozen=True):
    """A picture that an operation draws of a request, by GET; its answer as JSON holds the data, shown as `data` names them."""

    operation_id: str
    request: Build
    alt: str
    data: tuple[str, ...] = ()
    tables: tuple[Table, ...] = ()


class Lead(Struct, frozen=True):
    """Where a result leads on: another operation that answers a request by GET, for people."""

    operation_id: str
    request: Build
    text: str


class PageLead(Struct, frozen=True):
    """Where a result leads on: another page, with what is known filled in; no address where it leads nowhere."""

    address: Callable[[Members, Answers, Kit], str]
    text: str


class Example(Struct, frozen=True):
    """A request that fills the form, as people type it; one `of_demo_kit` names parts of that."""

    summary: str
    typed: Mapping[str, str | tuple[str, ...]]
    of_demo_kit: bool = False


class Task(Struct, frozen=True):
    """One task page."""

    slug: str
    stage: Stage
    title: str
    question: str
    lead: str
    description: str
    groups: tuple[Group, ...]
    steps: tuple[Step, ...]
    first: tuple[str, ...]
    examples: tuple[Example, ...]
    drawings: tuple[Drawing, ...] = ()
    leads: tuple[Lead | PageLead, ...] = ()
    keeps: Callable[[Members, Answers, Kit], Members | None] | None = None
    """The lens that was found, as a kit states it; nothing where none was."""
    notes: tuple[str, ...] = ()
    photograph: Task | None = None
    posted: bool = False
    arrange: Callable[[Task, Typed, Studio], Arranged] | None = None
    """The form that what was typed asks for, where it is not the same for all."""
    bench: Bench | None = None
    """Parts of a set-up, as cards before the other fields."""
    weighed: tuple[str, ...] = ()
    """Fields of which a request holds the one that decides."""
    opens: tuple[Input, ...] = ()
    """Fields that open another form of the task, each in a form of its own."""
    guide: str = ""
    """Template of what else is worth knowing, below the form."""
    carried: tuple[Input, ...] = ()
    """Fields that the form takes along unseen; each can be changed in a form of its own."""

    @property
    def uses_kit(self) -> bool:
        """Whether any field chooses from the kit."""
        return any(each.is_of_kit for each in self.inputs)

    @property
    def address(self) -> str:
        """Address of the page."""
        return f"/tasks/{self.slug}"

    @property
    def inputs(self) -> tuple[Input, ...]:
        """Every field of the form."""
        on_bench = self.bench.inputs if self.bench else ()
        return (*self.carried, *on_bench, *(each for group in self.groups for each in group.inputs), *self.opens)


class Arranged(Struct, frozen=True):
    """The form that was asked for, what is typed into it, what is wrong with that, and the field to look at first.

    `studio` has the kit that was brought along, where there is one.
    """

    task: Task
    typed: Typed
    studio: Studio
    faults: tuple[Fault, ...] = ()
    look_at: str = ""


def members_for(known: Collection[str], members: Members, **more: object) -> dict[str, object]:
    """Values of the fields that a schema knows, but for what is known of a lens that is estimated."""
    given = {name: value for name, value in {**members, **more}.items() if name in known and value is not None}
    return {name: value for name, value in given.items() if name not in OF_A_KNOWN_LENS}


def same_names(known: Collection[str], *, needs: tuple[str, ...] = ()) -> Build:
    """Ask with the form's values under their own names, once everything in `needs` is there."""

    def build(members: Members, answers: Answers, kit: Kit) -> Request | None:
        del answers, kit
        given = members_for(known, members)
        return Request(given) if all(name in given for name in needs) else None

    return build


def number_of(members: Members, name: str) -> float | None:
    """Number of this name; None where there is none."""
    value = members.get(name)
    return float(value) if isinstance(value, float | int) else None


def value_at(answer: Members, path: str) -> object:
    """Value at a path such as depth_of_field/total_mm or openings/0/full_diameter_mm; None where there is none."""
    value: object = answer
    for step in path.split("/"):
        if isinstance(value, list | tuple) and step.isdigit():
            value = value[int(step)] if int(step) < len(value) else None
        else:
            value = value.get(step) if isinstance(value, Mapping) else None
    return value
