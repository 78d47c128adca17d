"""The question that is asked most, which the start page asks and answers for an example."""

from collections.abc import Callable, Mapping, Sequence
from urllib.parse import urlencode

from msgspec import Struct

from closeup_service.pages import form
from closeup_service.pages.asking import Studio
from closeup_service.pages.outcome import Outcome, Picture
from closeup_service.pages.results import Row
from closeup_service.pages.tasks import set_up
from closeup_service.pages.workbench.arranging import arrange

TYPED: Mapping[str, str] = {"focal_length_mm": "28", "reversed": "yes", "tube_mm": "7", "register_mm": "44"}
"""What the example gives, by the fields of the task that answers it."""
SHOWN_ROWS = 2


class UsualQuestion(Struct, frozen=True):
    """The example as it was typed, where it is answered, its first figures and its side view."""

    typed: Mapping[str, str]
    address: str
    result: str
    rows: Sequence[Row]
    picture: Picture | None


def answer_usual_question(studio: Studio, outcome_of: Callable[[form.Form, Studio], Outcome | None]) -> UsualQuestion:
    """Answer the example as its task page does."""
    sent = arrange(set_up.TASK, {name: (text,) for name, text in TYPED.items()}, studio)
    given = form.read(sent.task, sent.typed, studio)
    found = outcome_of(given, studio) or Outcome()
    return UsualQuestion(
        typed=TYPED,
        address=set_up.TASK.address,
        result=f"{set_up.TASK.address}?{urlencode(TYPED)}",
        rows=found.first_rows[:SHOWN_ROWS],
        picture=next(iter(found.pictures), None),
    )
