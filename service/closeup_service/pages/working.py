"""From a form to what its page shows: every operation of the task asked in its order, and the same question elsewhere."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, cast

from marshmallow import Schema
from msgspec import Struct, field
from msgspec.structs import replace

from closeup_service.language import tr
from closeup_service.operations.asking.limits import LONGEST_LINE
from closeup_service.operations.asking.refusals import Refusal
from closeup_service.operations.operation import Operation
from closeup_service.operations.registry import operation_named
from closeup_service.pages import answer_tables, estimated, results
from closeup_service.pages.asking import Members, Studio
from closeup_service.pages.basis import Stand, WentIn, describe_basis
from closeup_service.pages.drawn import draw, requests_by_width
from closeup_service.pages.elsewhere import Elsewhere, address_of, plain_number, requests_of
from closeup_service.pages.form import Fault, Form
from closeup_service.pages.outcome import Onward, Outcome, Picture, Section, cautions, remarks
from closeup_service.pages.own_kit.excerpt import with_parts
from closeup_service.pages.own_kit.found_lens import lens_to_keep
from closeup_service.pages.part_names import name_parts_with
from closeup_service.pages.task import (
    Build,
    Drawing,
    Input,
    Lead,
    LeftOut,
    NotReady,
    PageLead,
    Request,
    Step,
    Table,
    WrittenTable,
)
from closeup_service.pages.tasks import known_lens
from closeup_service.pages.verdicts.case import Told
from closeup_service.pages.verdicts.registry import say_first
from closeup_service.schemas.fields import Whole
from closeup_service.schemas.worked_steps import SHOW_STEPS, STEPS

if TYPE_CHECKING:
    from closeup_service.records.answers import Answer

LONGEST_ADDRESS = LONGEST_LINE - len("GET  HTTP/1.1")
LENS_STATED = frozenset(("focal_length_mm", "train"))
"""Members of a request in which data of a lens may be missing."""
SHARES = (0.4, 0.6)
"""How far up its range two values lie that stand in for one that cannot be read."""


class Work(Struct):
    """The requests and answers of a task while it is worked through."""

    form: Form
    studio: Studio
    for_faults: bool = False
    """Whether the faults alone are wanted."""
    refused: bool = False
    """Whether the first operation that was asked refused."""
    requests: dict[str, Request] = field(default_factory=dict)
    answers: dict[str, Members] = field(default_factory=dict)
    drawn: dict[Drawing, tuple[Request, Members]] = field(default_factory=dict)
    """What was asked for drawings, and their data."""

    def ask_operations(self) -> Work:
        """Ask every operation that has what it needs, so that all faults are told at once."""
        for step in self.form.task.steps:
            if self.can_take(step):
                self.take(step)
        return self

    def can_take(self, step: Step) -> bool:
        """Whether the answer that a step's request is made with is there."""
        return not step.needs or step.needs in self.answers

    def take(self, step: Step) -> None:
        """Ask one operation, if there is enough to ask it with; what it refuses is laid at the fields."""
        try:
            built = self.request_of(step.operation_id, step.request, self.form.values)
        except LeftOut as error:
            self.form.doubts.append(Fault(str(error), error.name))
            return
        except NotReady as error:
            self.refused = self.refused or not self.answers
            refused = self.studio.check(step.operation_id, error.judged.members) if error.judged else None
            self.form.refuse(str(error), error.name)
            self.refuse(refused, error.judged)
            return
        if built is None:
            return
        built = self.with_working(step.operation_id, built)
        ask = self.studio.check if self.for_faults and step.dear else self.studio.ask
        answered = ask(step.operation_id, built.members)
        if answered is None or isinstance(answered, Refusal):
            self.refused = self.refused or not self.answers
            self.refuse(answered, built)
            return
        self.requests[step.key], self.answers[step.key] = built, answered

    def request_of(self, operation_id: str, build: Build, values: Members) -> Request | None:
        """Request made from some values, which asks for estimates where it states a lens; None where it is not to be made."""
        built = build(values, self.answers, self.studio.kit)
        schema = operation_named(operation_id).request_schema
        if built is None or schema is None or LENS_STATED.isdisjoint(built.members):
            return built
        return known_lens.with_estimates(built, values, schema.fields, self.studio.kit)

    def refuse(self, refused: Refusal | None, asked: Request | None) -> None:
        """Lay what was refused at the fields; one at which another operation found a fault already is not told twice."""
        if refused is None or asked is None:
            return
        found = Form(self.form.task, self.form.typed)
        found.refuse_all(refused, asked)
        self.form.add(found.faults)

    def with_working(self, operation_id: str, built: Request) -> Request:
        """Request that asks for the steps as well, where they are to be shown and there are any."""
        schema = operation_named(operation_id).request_schema
        if schema is None or SHOW_STEPS not in schema.fields or not self.form.shows_working:
            return built
        return replace(built, members={**built.members, SHOW_STEPS: True})

    def unused_fields(self) -> list[str]:
        """Fields that could be left out or say something else, and the same would be asked and drawn."""
        task = self.form.task
        builds = [(step.operation_id, step.request) for step in task.steps if self.can_take(step)]
        builds += [(drawing.operation_id, drawing.request) for drawing in task.drawings]
        tried = [each.name for each in task.inputs if may_be_unused(self.form, each)]
        return [name for name in tried if self.is_same(builds, name)]

    def is_same(self, builds: Sequence[tuple[str, Build]], tried: str) -> bool:
        """Whether each request is the same without a field, and with another value in it: it may hold the usual one."""
        values = self.form.values
        without = {name: value for name, value in values.items() if name != tried}
        other = {**without, tried: other_value(values[tried])}
        return all(
            self.build(*each, values) == self.build(*each, without) == self.build(*each, other) for each in builds
        )

    def build(self, operation_id: str, build: Build, values: Members) -> Members | str | None:
        """Members of a request made from some values; what is missing where it cannot be made."""
        try:
            request = self.request_of(operation_id, build, values)
        except NotReady as error:
            return str(error)
        return None if request is None else request.members

    def section(self, step: Step, stands: Sequence[Stand]) -> Section:
        """What a step shows."""
        answer, schema = self.answers[step.key], operation_named(step.operation_id).answer_schema
        used = {name: value for name, value in self.form.values.items() if name not in self.form.unused}
        went_in = WentIn(used, stands, name_parts_with(self.requests[step.key].members, self.studio.kit))
        rows = [results.row(schema, answer, path, went_in, self.form.task.first) for path in step.shows]
        steps = tuple(map(results.worked_step, cast("Iterable[results.StepMembers]", answer.get(STEPS, ()))))
        found = self.grids(schema, answer, step.tables)
        return Section(tr(step.title), tuple(filter(None, rows)), found, steps, any(map(is_answer, step.tables)))

    def ask_drawings(self) -> None:
        """Ask for the data of every drawing that there is enough for."""
        for drawing in self.form.task.drawings:
            built = self.request_of(drawing.operation_id, drawing.request, self.form.values)
            answered = None if built is None else self.studio.ask(drawing.operation_id, built.members)
            if built is not None and answered is not None and not isinstance(answered, Refusal):
                self.drawn[drawing] = built, answered

    def picture(self, drawing: Drawing) -> Picture | None:
        """Return a drawing and its data, where there is enough to draw."""
        if drawing not in self.drawn:
            return None
        built, answered = self.drawn[drawing]
        asked = operation_named(drawing.operation_id)
        address = self.address(asked, built.members)
        if not address:
            return None
        rows = [results.row(asked.answer_schema, answered, path) for path in drawing.data]
        tables = self.grids(asked.answer_schema, answered, drawing.tables)
        title = tr(drawing.alt)
        alt = ": ".join(filter(None, (title, str(answered.get("finding", "")).rstrip("."))))
        drawn = [
            draw(self.studio, asked, members, answered, self.address(asked, members))
            for members in requests_by_width(asked, built.members)
        ]
        return Picture(title, drawn, alt, tuple(filter(None, rows)), tables)

    @property
    def told(self) -> Told:
        """Everything that was asked and answered, for the rules of what is said first."""
        asked = {name: built.members for name, built in self.requests.items()}
        drawn = {drawing.operation_id: built.members for drawing, (built, _) in self.drawn.items()}
        data = {drawing.operation_id: answered for drawing, (_, answered) in self.drawn.items()}
        return Told({**drawn, **asked}, {**data, **self.answers}, self.studio.kit, self.studio.ask)

    def written_out(self, asked: Operation, members: Members) -> Members | None:
        """Request as others can send it, with the parts of an own kit in it; None where it takes the whole of that."""
        own = self.studio.own
        return members if own is None else with_parts(asked, members, own)

    def write_out(self, document: Members) -> Members:
        """Set-up document with the parts of an own kit that it uses."""
        return self.written_out(operation_named("evaluateSetUp"), document) or document

    def address(self, asked: Operation, members: Members) -> str:
        """Address that answers the request by GET, for everybody; empty where there is none."""
        written = self.written_out(asked, members)
        address = "" if written is None else address_of(asked, written)
        return address if len(address) <= LONGEST_ADDRESS else ""

    def elsewhere(self, steps: Iterable[Step]) -> Iterator[Elsewhere]:
        """Every request for other clients, but what only the whole of an own kit answers."""
        for step in steps:
            asked = operation_named(step.operation_id)
            written = self.written_out(asked, self.requests[step.key].members)
            if written is not None:
                yield requests_of(asked, written)

    def grids(
        self, schema: Schema, answer: Members, tables: tuple[Table | WrittenTable, ...]
    ) -> tuple[answer_tables.Grid, ...]:
        """Tables of an answer that are not empty."""
        written = (
            answer_tables.written_grid(answer, table, self.studio.kit)
            if isinstance(table, WrittenTable)
            else answer_tables.grid(schema, answer, table, self.studio.kit, self.write_out)
            for table in tables
        )
        return tuple(filter(None, written))

    def write_kept_part(self) -> str:
        """The lens that was found, as JSON that a kit takes; empty where there is none."""
        keeps = self.form.task.keeps
        part = keeps(self.form.values, self.answers, self.studio.kit) if keeps else None
        return "" if part is None else json.dumps(plain_number(part))

    def follow_lead(self, lead: Lead | PageLead) -> Onward | None:
        """Where the result leads on, where there is enough to ask; what rests on estimates may be refused there."""
        if isinstance(lead, PageLead):
            address = lead.address(self.form.values, self.answers, self.studio.kit)
            return Onward(address, tr(lead.text)) if address else None
        built = self.request_of(lead.operation_id, lead.request, self.form.values)
        if built is None or (
            has_estimates(self.answers.values())
            and isinstance(self.studio.ask(lead.operation_id, built.members), Refusal)
        ):
            return None
        address = self.address(operation_named(lead.operation_id), built.members)
        return Onward(address, tr(lead.text)) if address else None


def is_answer(table: Table | WrittenTable) -> bool:
    """Whether a table is what was asked for: what was found, each with a link, or what the task writes itself."""
    return isinstance(table, WrittenTable) or table.leads_to is not None


def has_estimates(answers: Iterable[Members]) -> bool:
    """Whether any answer rests on estimates."""
    return any("estimated" in each for each in answers)


def outcome(form: Form, studio: Studio) -> Outcome | None:
    """Work a form through; None where the first operation that was asked has no answer. Faults are noted in the form."""
    work, task = Work(form, studio).ask_operations(), form.task
    if work.refused or not work.answers:
        return None
    form.set_aside(work.unused_fields())
    answered = [step for step in task.steps if step.key in work.answers]
    documents = [built.members for built in work.requests.values()]
    told = cast("list[Answer]", list(work.answers.values()))
    stands = describe_basis(form, documents, told, studio.kit)
    work.ask_drawings()
    return Outcome(
        said=say_first(work.told),
        sections=[work.section(step, stands) for step in answered],
        stands=stands,
        remarks=remarks(documents, told, studio.kit),
        notice=estimated.notice_of(told, documents, studio.kit) if has_estimates(work.answers.values()) else None,
        cautions=cautions(told),
        elsewhere=list(work.elsewhere(answered)),
        pictures=list(filter(None, map(work.picture, task.drawings))),
        onward=list(filter(None, map(work.follow_lead, task.leads))),
        kept_part=work.write_kept_part(),
        overlay=next((str(each["overlay"]) for each in work.answers.values() if each.get("overlay")), None),
        lens_to_keep=lens_to_keep({name: built.members for name, built in work.requests.items()}, work.answers),
    )


def other_value(value: object) -> object:
    """Value of the same kind that is not this one."""
    if isinstance(value, bool):
        return not value
    if isinstance(value, list):
        return []
    return value + 1 if isinstance(value, float | int) else f"{value}~"


def may_be_unused(form: Form, wanted: Input) -> bool:
    """Whether a field was typed that a request may have no place for; what a document states is in it."""
    apart = wanted.is_file or wanted.is_document or wanted.name in form.task.weighed
    return wanted.name in form.values and not apart


def note_further(form: Form, studio: Studio) -> None:
    """Note what the operations refuse whatever is meant by the texts that cannot be read: then all is told at once."""
    unread = [each for each in form.task.inputs if each.name in form.typed and each.name not in form.values]
    if any(each.is_document for each in unread):
        return
    first, second = (faults_with(form, stand_ins(unread, share), studio) for share in SHARES)
    form.add([fault for fault in first if fault in second])


def stand_ins(unread: list[Input], share: float) -> dict[str, object]:
    """Values in place of what cannot be read, so far up the range of each."""
    return {each.name: stand_in(each, share) for each in unread}


def stand_in(wanted: Input, share: float) -> object:
    """Value in place of one that cannot be read."""
    if wanted.is_flag:
        return share > SHARES[0]
    low, high = wanted.range or (1.0, 10.0)
    value = low * (high / low) ** share if low > 0 else low + (high - low) * share
    return round(value) if isinstance(wanted.field, Whole) else value


def faults_with(form: Form, values: Members, studio: Studio) -> list[Fault]:
    """Faults that the operations find in a form with some values."""
    tried = Form(form.task, form.typed, {**form.values, **values})
    return Work(tried, studio, for_faults=True).ask_operations().form.faults
