"""One side of a comparison: the address of a result, read as its own page reads it."""

import re
from urllib.parse import parse_qsl, urlsplit

from msgspec import Struct
from werkzeug.datastructures import MultiDict

from closeup_service.language import mark, tr
from closeup_service.pages import form
from closeup_service.pages.asking import Studio
from closeup_service.pages.form import Form
from closeup_service.pages.outcome import Outcome
from closeup_service.pages.task import Task
from closeup_service.pages.task_pages import address, arrange, outcome_of, read_arranged
from closeup_service.pages.tasks import TASKS

LONGEST_ADDRESS = 3_000
"""Characters of an address: two of them, written within a third, fit what a browser may ask for."""
MOST_FIELDS = 400
TASK = re.compile(r"/tasks/([a-z-]+)/?$")
NO_RESULT = mark("This is not the address of a result. Open the result and copy “Link to this result”.")
BLANK = mark("This address holds no values. Fill in its form first, then use the link to its result.")
TOO_LONG = mark(
    "This address has {length} characters; at most {most} can be compared. Use parts of the kit in place of their data."
)
FAULT = "{label}: {text}"


class Side(Struct, frozen=True):
    """What was given as an address, and what came of it: a form with an outcome, or what is wrong with it."""

    given: str
    link: str = ""
    form: Form | None = None
    outcome: Outcome | None = None
    faults: tuple[str, ...] = ()

    @property
    def task(self) -> Task | None:
        """Task that the address is of."""
        return None if self.form is None else self.form.task


def read_side(given: str, studio: Studio) -> Side:
    """Work out the result that an address leads to; it is not fetched, whatever site it names."""
    if len(given) > LONGEST_ADDRESS:
        return Side(given[:LONGEST_ADDRESS], faults=(tr(TOO_LONG, length=len(given), most=LONGEST_ADDRESS),))
    found = parse(given)
    if found is None:
        return Side(given, faults=(tr(NO_RESULT),))
    task, sent = found
    arranged = arrange(task, form.sent_texts(sent, task)[0], studio)
    read = read_arranged(arranged)
    outcome = outcome_of(read, arranged.studio)
    link = address(arranged.task, arranged.typed)
    return Side(given, link, read, outcome, () if outcome else tell_faults(read))


def parse(given: str) -> tuple[Task, MultiDict[str, str]] | None:
    """Task of an address, and what its form is sent with; None where it is no such address."""
    try:
        parts = urlsplit(given)
        sent = parse_qsl(parts.query, keep_blank_values=True, max_num_fields=MOST_FIELDS)
    except ValueError:
        return None
    found = TASK.search(parts.path)
    task = next((each for each in TASKS if found and each.slug == found[1]), None)
    return None if task is None else (task, MultiDict(sent))


def tell_faults(read: Form) -> tuple[str, ...]:
    """What keeps an address from having a result."""
    told = tuple(
        FAULT.format(label=read.label(each.name), text=each.text) if each.name else each.text for each in read.faults
    )
    return told or (tr(BLANK),)
