"""From a request to an answer: one view for every operation."""

import math
from collections.abc import Callable, Mapping
from typing import Any

from flask import Flask, request
from werkzeug.wrappers import Response

from closeup_service.gear.kit import Kit
from closeup_service.http.delivery import deliver
from closeup_service.http.negotiation import JSON, chosen, content_type
from closeup_service.http.reading import asked
from closeup_service.operations.asking import strict_json
from closeup_service.operations.asking.limits import Limits
from closeup_service.operations.operation import Operation
from closeup_service.optics.errors import Overflow
from closeup_service.schemas.fields import load


def body_of(operation: Operation, raw: Mapping[str, Any], media_type: str, kit: Kit) -> bytes:
    """Validate the members asked with, work out the answer, and write it in a media type."""
    members = {} if operation.request_schema is None else load(operation.request_schema, raw)
    if media_type != JSON:
        members |= operation.rendered_with
    answer = answer_to(operation, members, kit)
    return strict_json.dumps(answer) if media_type == JSON else operation.renderers[media_type](members, answer)


def answer_to(operation: Operation, members: Mapping[str, Any], kit: Kit) -> Mapping[str, Any]:
    """Work out the answer to a loaded request; every number in it is finite."""
    try:
        answer = operation.answer_with(members, kit)
    except (OverflowError, ZeroDivisionError):
        raise Overflow("These values lead to a result too large for a number: check their size.") from None
    if not all(map(is_finite, answer.values())):
        raise Overflow("These values lead to a result too large for a number: check their size.")
    return answer


def is_finite(value: Any) -> bool:
    """Whether a value, or all that is in it, is finite; columns (numpy's, or tuples) have been looked through already."""
    if isinstance(value, float):
        return math.isfinite(value)
    if isinstance(value, dict | list):
        return all(map(is_finite, value.values() if isinstance(value, dict) else value))
    return True


def view_of(operation: Operation, limits: Limits, kit: Kit) -> Callable[[], Response]:
    """Build the Flask view of one operation in the studio that owns this kit."""
    outdated = operation.deprecation_headers
    offered = operation.media_types
    vary = ("Accept",) if len(offered) > 1 else ()

    def view() -> Response:
        own = request._get_current_object()  # type: ignore[attr-defined]  # what stands behind the proxy, which is slow
        media_type = chosen(own, offered)
        body = body_of(operation, asked(own, operation, limits), media_type, kit)
        if own.method == "POST":
            response = Response(body, content_type=content_type(media_type), headers={"Cache-Control": "no-store"})
        else:
            response = deliver(own, body, content_type(media_type), vary)
        if operation.renderers:
            response.vary.add("Accept")
        for name, value in outdated:
            response.headers[name] = value
        return response

    return view


def register(app: Flask, operations: tuple[Operation, ...], limits: Limits, kit: Kit) -> None:
    """Give every operation its route, and the studio's kit to those that take it."""
    for operation in operations:
        view = view_of(operation, limits, kit)
        app.add_url_rule(operation.path, operation.operation_id, view, methods=list(operation.methods))
