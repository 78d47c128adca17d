"""The operations for clients within this process: texts and forms in, answers and problems out, as HTTP gives them."""

import logging
import os
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

from marshmallow import ValidationError

from closeup_service.operations.asking import strict_json
from closeup_service.operations.asking.ask import body_of
from closeup_service.operations.asking.media_types import PROBLEM_JSON
from closeup_service.operations.asking.refusals import ContentTooLarge, Refusal, refusal_of
from closeup_service.operations.asking.typed_values import from_parts_of
from closeup_service.operations.operation import Operation
from closeup_service.operations.registry import operation_at
from closeup_service.running.settings import settings_of_process
from closeup_service.schemas.fields import unknown_member

if TYPE_CHECKING:
    from closeup_service.gear.kit import Kit

LOGGER = logging.getLogger("closeup_service")


class Reply(NamedTuple):
    """An answer or a problem: its status, its media type, its body."""

    status: int
    media_type: str
    body: bytes


class Service:
    """The operations, with the kit that the environment names; else with the demo kit.

    Raises
    ------
    ValueError
        Where that kit cannot be used.
    """

    def __init__(self) -> None:
        self._settings = settings_of_process(os.environ)

    def ask(self, path: str, body: bytes, accept: str) -> Reply:
        """Answer the JSON text of a request, empty where there is nothing to ask, in a media type."""

        def members(operation: Operation) -> Mapping[str, object]:
            refuse_large(len(body), operation.most_content_bytes)
            given = strict_json.an_object(strict_json.loads(body)) if body else {}
            if operation.request_schema is None and given:
                raise ValidationError({name: [unknown_member(name, [])] for name in given})
            return given

        return self._reply(path, members, accept)

    def ask_form(
        self, path: str, values: Sequence[tuple[str, str]], files: Sequence[tuple[str, bytes]], accept: str
    ) -> Reply:
        """Answer a form with files, each value a text as in a query, in a media type."""

        def members(operation: Operation) -> Mapping[str, object]:
            assert operation.request_schema is not None
            size = sum(len(value) for _, value in values) + sum(len(content) for _, content in files)
            refuse_large(size, self._settings.limits.most_bytes)
            return from_parts_of(operation.request_schema, values, files, self._settings.limits)

        return self._reply(path, members, accept)

    def _reply(self, path: str, members: Callable[[Operation], Mapping[str, object]], accept: str) -> Reply:
        try:
            operation = operation_at(path)
        except KeyError:
            return refused(Refusal("not-found", "There is no such operation."))
        if accept not in operation.media_types:
            return refused(Refusal("not-acceptable", f"Offered here: {', '.join(operation.media_types)}."))
        try:
            return Reply(200, accept, body_of(operation, members(operation), accept, self._kit))
        except Exception as error:  # what was not foreseen is a problem too, as over HTTP
            refusal = refusal_of(error)
            if refusal is None:
                LOGGER.exception("unforeseen error")
                refusal = Refusal("internal-error", "The service made a mistake. It has been logged.")
            return refused(refusal)

    def _kit(self) -> "Kit":
        if self._settings.kit is not None:
            return self._settings.kit
        from closeup_service.schemas.kit import demo_kit  # noqa: PLC0415  # most operations need no kit

        return demo_kit()


def refuse_large(size: int, most: int) -> None:
    """Refuse a request that HTTP would refuse by its size, before it is read."""
    if size > most:
        raise ContentTooLarge


def refused(refusal: Refusal) -> Reply:
    """Write a problem."""
    return Reply(refusal.status, PROBLEM_JSON, strict_json.dumps(refusal.members()))
