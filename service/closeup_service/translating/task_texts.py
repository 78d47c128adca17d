"""Texts of the task pages that no call marks, since they stand in records; and what pages say in place of other texts."""

from collections.abc import Iterable, Iterator

from closeup_service.language.speaking import Later
from closeup_service.operations.registry import operation_named
from closeup_service.pages.fault_rules import ASK, RULES
from closeup_service.pages.remark_words import REWORDINGS
from closeup_service.pages.stages import PLACES, STAGES
from closeup_service.pages.task import Example, Input, Lead, PageLead, Step, Table, Task, WrittenTable
from closeup_service.pages.tasks import TASKS


def task_texts() -> Iterator[str]:
    """Every text, in the order of the pages; those that calls mark are gathered there."""
    yield from (text for stage in STAGES for text in (stage.heading, stage.about))
    yield from (place.title for place in PLACES)
    yield from (text for task in TASKS for text in texts_of(task) if not isinstance(text, Later))
    yield from (rule.said for rule in RULES if rule.said != ASK)
    yield from (each.said for each in REWORDINGS)


def texts_of(task: Task) -> Iterator[str]:
    """Texts of one task."""
    yield from (task.title, task.question, task.lead, task.description, *task.notes)
    yield from (text for group in task.groups for text in (group.title, group.lead))
    yield from (text for each in task.inputs for text in texts_of_input(each))
    yield from (text for step in task.steps for text in texts_of_step(step))
    for drawing in task.drawings:
        yield drawing.alt
        yield from texts_of_tables(drawing.tables)
    yield from texts_of_ends(task.leads, task.examples)
    if task.photograph is not None:
        yield from texts_of(task.photograph)


def texts_of_input(wanted: Input) -> Iterator[str]:
    """Texts of one field, with those of its choices that are not of the kit."""
    yield from (wanted.own_label, wanted.own_hint, wanted.own_missing, wanted.own_usual)
    if isinstance(wanted.own_choices, tuple):
        yield from (choice.label for choice in wanted.own_choices)


def texts_of_step(step: Step) -> Iterator[str]:
    """Texts of one step, with what its operation is about."""
    yield from (step.title, operation_named(step.operation_id).summary)
    yield from texts_of_tables(step.tables)


def texts_of_tables(tables: Iterable[Table | WrittenTable]) -> Iterator[str]:
    """Texts of tables."""
    for table in tables:
        yield table.title
        yield from table.headings if isinstance(table, WrittenTable) else (table.link,)


def texts_of_ends(leads: Iterable[Lead | PageLead], examples: Iterable[Example]) -> Iterator[str]:
    """Where a result leads on, and what examples ask."""
    yield from (lead.text for lead in leads)
    yield from (example.summary for example in examples)
