"""From members to an answer: what pages, the command line in process and HTTP share."""

import math
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from closeup_service.language import tr
from closeup_service.operations.asking import strict_json
from closeup_service.operations.asking.media_types import JSON
from closeup_service.operations.operation import Operation
from closeup_service.optics.errors import Overflow
from closeup_service.schemas.fields import load
from closeup_service.schemas.known_lens import ESTIMATE_UNKNOWN
from closeup_service.schemas.worked_steps import SHOW_STEPS, STEPS, members_of

if TYPE_CHECKING:
    from closeup_service.gear.kit import Kit


def body_of(operation: Operation, raw: Mapping[str, object], media_type: str, kit: "Callable[[], Kit]") -> bytes:
    """Validate the members asked with, work out the answer, and write it in a media type."""
    members = loaded(operation, raw)
    if media_type != JSON:
        members |= operation.rendered_with
    answer = answer_to(operation, members, kit)
    return strict_json.dumps(answer) if media_type == JSON else operation.renderers[media_type](members, answer)


def loaded(operation: Operation, raw: Mapping[str, object]) -> dict[str, object]:
    """Validate the members asked with.

    Raises
    ------
    ValidationError
        With every fault.
    """
    return {} if operation.request_schema is None else load(operation.request_schema, raw)


def answer_to(operation: Operation, members: Mapping[str, object], kit: "Callable[[], Kit]") -> Mapping[str, object]:
    """Work out the answer to a loaded request; every number in it is finite."""
    try:
        answer = answer_with(operation, members, kit)
    except (OverflowError, ZeroDivisionError):
        raise Overflow(tr("These values lead to a result too large for a number: check their size.")) from None
    if not all(map(is_finite, answer.values())):
        raise Overflow(tr("These values lead to a result too large for a number: check their size."))
    return answer


def answer_with(operation: Operation, members: Mapping[str, object], kit: "Callable[[], Kit]") -> Mapping[str, object]:
    """Answer a loaded request; `kit` gives the studio's, for a request that sends none of its own."""
    members = {"kit": kit(), **members} if operation.takes_kit and "kit" not in members else members
    if members.get(ESTIMATE_UNKNOWN) is True:
        return answer_estimating(operation, members)
    return answer_plainly(operation, members)


def answer_estimating(operation: Operation, members: Mapping[str, object]) -> Mapping[str, object]:
    """Answer with estimates of what is not known of a lens; set-ups estimate by themselves."""
    from closeup_service.operations.estimating import one_lens  # noqa: PLC0415  # most requests estimate nothing

    if operation.estimates_one_lens:
        return one_lens.answer_with_ranges(operation, members)
    return one_lens.note_on_steps(answer_plainly(operation, members))


def answer_plainly(operation: Operation, members: Mapping[str, object]) -> Mapping[str, object]:
    """Answer, with the steps where they are asked for."""
    if operation.steps is None or SHOW_STEPS not in members:
        return operation.answer(members)
    asked = {name: value for name, value in members.items() if name != SHOW_STEPS}
    answer = operation.answer(asked)
    return {**answer, STEPS: members_of(operation.steps(asked, answer))} if members[SHOW_STEPS] else answer


def is_finite(value: object) -> bool:
    """Whether a value, or all that is in it, is finite; columns (numpy's, or tuples) have been looked through already."""
    if isinstance(value, float):
        return math.isfinite(value)
    if isinstance(value, dict | list):
        return all(map(is_finite, value.values() if isinstance(value, dict) else value))
    return True
