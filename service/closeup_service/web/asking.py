"""Answering the pages' own questions in process, by the operations that answer the API."""

from collections.abc import Mapping, Sequence
from typing import Any

from marshmallow import ValidationError

from closeup_service.gear.errors import KitRefuses
from closeup_service.gear.kit import Kit
from closeup_service.optics.errors import OpticsError
from closeup_service.pages.asking import Ask, Reply
from closeup_service.schemas.fields import load
from closeup_service.web.answering import answer_to
from closeup_service.web.operation import Operation
from closeup_service.web.problems import faults


def asker(operations: Sequence[Operation], kit: Kit) -> Ask:
    """Return what asks one of the operations, in the studio that owns this kit."""
    by_path = {operation.path: operation for operation in operations}

    def ask(path: str, raw: Mapping[str, Any]) -> Reply:
        operation = by_path[path]
        try:
            members = {} if operation.request_schema is None else load(operation.request_schema, raw)
            return Reply(answer_to(operation, members, kit))
        except ValidationError as error:
            return Reply(None, [(each["pointer"], each["detail"]) for each in faults(error.messages)])
        except KitRefuses as error:
            return Reply(None, list(error.faults))
        except OpticsError as error:
            return Reply(None, [(pointer, str(error)) for pointer in error.members or ("",)])

    return ask
