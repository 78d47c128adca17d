"""Links to results of somebody's own kit: they hold the parts that are used, so that everybody gets the same."""

from __future__ import annotations

from urllib.parse import urlencode

from closeup_service.operations.registry import operation_named
from closeup_service.pages.asking import Members, Studio
from closeup_service.pages.form import Form
from closeup_service.pages.own_kit.excerpt import KIT, NEEDS_WHOLE_KIT, with_parts
from closeup_service.pages.task import NotReady
from closeup_service.pages.workbench.cards import MORE
from closeup_service.pages.workbench.documents import write
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
    if KIT not in document:
        return plain
    kept = {**given.values.get(MORE, {}), KIT: document[KIT]}
    link = f"{task.address}?{urlencode({**given.typed, MORE: write(kept)}, doseq=True)}"
    return link if len(link) <= LONGEST_ADDRESS else ""


def document_of(given: Form, studio: Studio) -> Members | None:
    """What the first operation of a task is asked, with the parts of the kit that it uses; None where no link takes that."""
    step, own = given.task.steps[0], studio.own
    if given.task.arrange is None or own is None:
        return None
    try:
        built = Work(given, studio).request_of(step.operation_id, step.request, given.values)
    except NotReady:
        return None
    return None if built is None else with_parts(operation_named(step.operation_id), built.members, own)
