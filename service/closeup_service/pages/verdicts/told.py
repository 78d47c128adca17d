"""Everything that a rule can look at: what was asked and answered, and how to ask once more."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from msgspec import Struct

from closeup_service.gear.kit import Kit
from closeup_service.operations.asking.refusals import Refusal
from closeup_service.pages.task import Members


class Told(Struct, frozen=True):
    """Requests and answers by the id of the operation, those of the drawings too."""

    requests: Mapping[str, Members]
    answers: Mapping[str, Members]
    kit: Kit
    ask: Callable[[str, Members], Members | Refusal]

    def answer(self, operation_id: str) -> Members:
        """Answer of an operation; an empty one where it was not asked."""
        return self.answers.get(operation_id, {})

    def request(self, operation_id: str) -> Members:
        """Request of an operation; an empty one where it was not asked."""
        return self.requests.get(operation_id, {})

    def ask_again(self, operation_id: str, members: Members) -> Members:
        """Answer to another request; an empty one where it is refused."""
        answered = self.ask(operation_id, members)
        return {} if isinstance(answered, Refusal) else answered


def take_two(*sentences: str) -> tuple[str, ...]:
    """The first two sentences that say something."""
    return tuple(filter(None, sentences))[:2]
