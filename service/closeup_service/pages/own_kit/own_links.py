"""Links to results of somebody's own kit: they hold the parts that are used, so that everybody gets the same."""

from __future__ import annotations

from urllib.parse import urlencode

from closeup_service.operations.registry import operation_named
from closeup_service.pages import by_document
from closeup_service.pages.asking import Members, Studio
from closeup_service.pages.form import OF_THE_PAGE, Form
from closeup_service.pages.own_kit.excerpt import NEEDS_WHOLE_KIT, with_parts
from closeup_service.pages.task import NotReady, Task
from closeup_service.pages.working import LONGEST_ADDRESS, Work


def link_to(given: Form, studio: Studio, plain: str) -> str:
    """Link to a result for everybody; empty where none can hold what it is made with. `plain` is the link without the kit."""
    task = given.task
    if any(step.operation_id in NEEDS_WHOLE_KIT for step in task.steps):
        return ""
    if not any(each.is_of_kit and each.name in given.typed for each in task.inputs):
        return plain
    document = document_of(given, studio)
    if document is None:
        return ""
    kept = {name: texts for name, texts in given.typed.items() if name in beside_document(task, document, studio)}
    query = urlencode({**kept, by_document.DOCUMENT: by_document.write_document(document)}, doseq=True)
    link = f"/tasks/{task.slug}?{query}"
    return link if len(link) <= LONGEST_ADDRESS else ""


def document_of(given: Form, studio: Studio) -> Members | None:
    """What the first operation of a task is asked, with the parts of the kit that it uses; None where no link takes that."""
    step, own = given.task.steps[0], studio.own
    if given.task.of_document is None or own is None:
        return None
    try:
        built = Work(given, studio).request_of(step.operation_id, step.request, given.values)
    except NotReady:
        return None
    return None if built is None else with_parts(operation_named(step.operation_id), built.members, own)


def beside_document(task: Task, document: Members, studio: Studio) -> tuple[str, ...]:
    """Fields that count beside a document."""
    if task.of_document is None:
        return OF_THE_PAGE
    inputs = task.of_document(document, studio.kit).inputs
    return (*OF_THE_PAGE, *(each.name for each in inputs if not each.is_pointer and not each.is_document))
