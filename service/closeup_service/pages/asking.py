"""How pages ask the operations: as Python, in this process."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TypeVar

from flask import Request
from msgspec import Struct
from msgspec.structs import replace
from werkzeug.datastructures import MultiDict

from closeup_service.gear.kit import Kit
from closeup_service.language import spoken
from closeup_service.operations.asking import strict_json
from closeup_service.operations.asking.ask import answer_to, loaded
from closeup_service.operations.asking.media_types import SVG
from closeup_service.operations.asking.refusals import FORESEEN, Refusal, refusal_of
from closeup_service.operations.operation import Operation
from closeup_service.operations.registry import operation_named
from closeup_service.schemas.upload import Upload

Members = Mapping[str, object]
Given = TypeVar("Given")


class Sent(Struct, frozen=True):
    """Parts of a form that was posted."""

    texts: MultiDict[str, str]
    files: Mapping[str, Upload]


class OwnKit(Struct, frozen=True):
    """The kit of the person who asks: as a form takes it along, as it was sent, and its records."""

    text: str
    listing: Members
    kit: Kit


class Studio(Struct, frozen=True):
    """What the pages are of: the studio's kit, how a form with files is read, how large it may be, and one with a kit.

    `kit_in` gives the studio's kit in a language. `own` is the kit of the person who asks, where the request took one along:
    it then stands in for the studio's.
    """

    kit_in: Callable[[str], Kit]
    read_form: Callable[[Request], Sent | Refusal]
    most_upload_mb: int
    read_kit_form: Callable[[Request], Sent | Refusal]
    own: OwnKit | None = None

    def with_kit(self, own: OwnKit) -> Studio:
        """Return the pages of somebody's own kit."""
        return replace(self, own=own)

    @property
    def kit(self) -> Kit:
        """The kit that is in use."""
        return self.kit_in(spoken()) if self.own is None else self.own.kit

    def ask(self, operation_id: str, members: Members) -> Members | Refusal:
        """Answer an operation, by its id."""
        operation = operation_named(operation_id)
        return attempt(lambda: answer_to(operation, loaded(operation, members), lambda: self.kit))

    def render_svg(self, asked: Operation, members: Members, answered: Members) -> bytes:
        """Draw a request to which this is the answer."""
        return asked.renderers[SVG]({"kit": self.kit, **loaded(asked, members)}, answered)

    def check(self, operation_id: str, members: Members) -> Refusal | None:
        """Say what an operation would refuse of a request as it stands, before anything is worked out."""
        found = attempt(lambda: loaded(operation_named(operation_id), members))
        return found if isinstance(found, Refusal) else None

    def read_document(self, text: str) -> Members | Refusal:
        """Read a JSON object strictly."""
        return attempt(lambda: strict_json.an_object(strict_json.loads(text.encode("utf-8", "surrogatepass"))))


def attempt(work: Callable[[], Given]) -> Given | Refusal:
    """Do some work; what it refuses is returned as the API would word it."""
    try:
        return work()
    except FORESEEN as error:
        refusal = refusal_of(error)
        assert refusal is not None
        return refusal
