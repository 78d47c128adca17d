"""From a request to an answer: one view for every operation."""

import math
from collections.abc import Callable, Mapping
from typing import Any

from flask import Flask, Response, request
from werkzeug.wrappers import Response as AnyResponse

from closeup_service.optics.errors import Overflow
from closeup_service.schemas.fields import load
from closeup_service.web import strict_json
from closeup_service.web.operation import Operation
from closeup_service.web.reading import asked

ANSWER_LIFETIME_S = 3600


def answer_to(operation: Operation, raw: Mapping[str, Any]) -> Mapping[str, Any]:
    """Validate the members asked with and work out the answer; every number in it is finite."""
    members = {} if operation.request_schema is None else load(operation.request_schema, raw)
    try:
        answer = operation.answer(members)
    except (OverflowError, ZeroDivisionError):
        raise Overflow("These values lead to a result too large for a number: check their size.") from None
    if not all_finite(answer):
        raise Overflow("These values lead to a result too large for a number: check their size.")
    return answer


def all_finite(members: Mapping[str, Any]) -> bool:
    """Whether every number of an answer, nested objects included, is finite."""
    for value in members.values():
        if isinstance(value, float):
            if not math.isfinite(value):
                return False
        elif isinstance(value, Mapping) and not all_finite(value):
            return False
    return True


def view_of(operation: Operation) -> Callable[[], AnyResponse]:
    """Build the Flask view of one operation."""

    def view() -> AnyResponse:
        body = strict_json.dumps(answer_to(operation, asked(request, operation)))
        response = Response(body, content_type="application/json")
        if request.method == "POST":
            response.headers["Cache-Control"] = "no-store"
            return response
        response.headers["Cache-Control"] = f"public, max-age={ANSWER_LIFETIME_S}"
        response.add_etag()
        return response.make_conditional(request)

    return view


def register(app: Flask, operations: tuple[Operation, ...]) -> None:
    """Give every operation its route."""
    for operation in operations:
        app.add_url_rule(operation.path, operation.operation_id, view_of(operation), methods=list(operation.methods))
