"""From a request to an answer: one view for every operation."""

from collections.abc import Callable

from flask import Flask, request
from werkzeug.wrappers import Response

from closeup_service.drawing.svg import STYLE_SOURCE
from closeup_service.gear.kit import Kit
from closeup_service.http.delivery import deliver
from closeup_service.http.headers import CONTENT_POLICY
from closeup_service.http.negotiation import chosen
from closeup_service.http.reading import asked
from closeup_service.language import spoken
from closeup_service.operations.asking.ask import body_of
from closeup_service.operations.asking.limits import Limits
from closeup_service.operations.asking.media_types import SVG, content_type
from closeup_service.operations.operation import Operation


def view_of(operation: Operation, limits: Limits, kit_in: Callable[[str], Kit]) -> Callable[[], Response]:
    """Build the Flask view of one operation in the studio that owns this kit."""
    outdated = operation.deprecation_headers
    offered = operation.media_types
    vary = ("Accept",) if len(offered) > 1 else ()

    def view() -> Response:
        own = request._get_current_object()  # type: ignore[attr-defined]  # what stands behind the proxy, which is slow
        media_type = chosen(own, offered)
        body = body_of(operation, asked(own, operation, limits), media_type, lambda: kit_in(spoken()))
        if own.method == "POST":
            response = Response(body, content_type=content_type(media_type), headers={"Cache-Control": "no-store"})
        else:
            response = deliver(own, body, content_type(media_type), vary)
        if media_type == SVG:
            response.headers[CONTENT_POLICY] = f"style-src {STYLE_SOURCE}"
        if operation.renderers:
            response.vary.add("Accept")
        for name, value in outdated:
            response.headers[name] = value
        return response

    return view


def register(app: Flask, operations: tuple[Operation, ...], limits: Limits, kit_in: Callable[[str], Kit]) -> None:
    """Give every operation its route, and the studio's kit to those that take it."""
    for operation in operations:
        view = view_of(operation, limits, kit_in)
        app.add_url_rule(operation.path, operation.operation_id, view, methods=list(operation.methods))
