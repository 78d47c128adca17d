"""Everything that is refused, as RFC 9457 problem details over HTTP, or as a page."""

import difflib
from collections.abc import Callable

from flask import Flask, Response, after_this_request, current_app, render_template, request
from werkzeug.exceptions import ClientDisconnected, HTTPException, MethodNotAllowed, NotFound

from closeup_service.gear.errors import NobodyWaits
from closeup_service.http.headers import ID_OF_REQUEST
from closeup_service.http.negotiation import NotRead, problem_media_type, wants_page
from closeup_service.language import tr
from closeup_service.operations.asking import strict_json
from closeup_service.operations.asking.media_types import JSON, PROBLEM_JSON
from closeup_service.operations.asking.problem_types import PROBLEM_TYPES
from closeup_service.operations.asking.refusals import FORESEEN, Refusal, refusal_of
from closeup_service.pages.rendering import HTML

MOST_COMPARED = 100
LEAST_LIKENESS = 0.75
"""From which share of equal letters on an address is taken for a misspelt one."""


_BY_STATUS = {
    404: "not-found",
    405: "method-not-allowed",
    406: "not-acceptable",
    408: "request-timeout",
    412: "precondition-failed",
    413: "content-too-large",
    415: "unsupported-media-type",
    421: "misdirected-request",
}


def problem(refusal: Refusal) -> Response:
    """Build the response of one problem."""
    members = refusal.members(request.script_root) | {"request_id": request.environ[ID_OF_REQUEST]}
    body = strict_json.dumps(members)
    response = Response(body, refusal.status, content_type=problem_media_type(request))
    response.headers["Cache-Control"] = "no-store"
    if refusal.retry_after_s is not None:
        response.headers["Retry-After"] = str(refusal.retry_after_s)
    after_this_request(told_to_people)
    return response


def told_to_people(response: Response) -> Response:
    """Turn a problem that leaves the service into a page, for who would rather read one."""
    if response.status_code < 400 or response.mimetype not in (PROBLEM_JSON, JSON) or not wants_page(request):
        return response
    told = response.get_json()
    kind = PROBLEM_TYPES[told["type"].rpartition("/")[2]]
    response.set_data(render_template("refusal.html", kind=kind, detail=told["detail"], translations=list))
    response.content_type = HTML
    return response


def http_problem(error: HTTPException) -> Response:
    """Turn what Flask itself refuses into a problem, keeping its headers such as Allow."""
    response = problem(refusal_over_http(error))
    for name, value in error.get_headers():
        if name not in ("Content-Type", "Content-Length"):
            response.headers[name] = value
    if error.code == 415:
        response.headers["Accept"] = error.wanted if isinstance(error, NotRead) else JSON
        response.headers["Accept-Encoding"] = "identity"
    return response


def refusal_over_http(error: HTTPException) -> Refusal:
    """What Flask itself refuses, and what would be right."""
    status = error.code or 500
    slug = _BY_STATUS.get(status, "bad-request" if status < 500 else "internal-error")
    return Refusal(slug, what_to_do(error, slug))


def what_to_do(error: HTTPException, slug: str) -> str:
    """Say what would be right here, where that is known, or else what is right for this kind of problem."""
    remedy = tr(PROBLEM_TYPES[slug].remedy)
    if isinstance(error, MethodNotAllowed) and error.valid_methods:
        return tr("Offered here: {valid_methods}.", valid_methods=", ".join(sorted(error.valid_methods)))
    if isinstance(error, NotFound):
        known = [rule.rule for rule in current_app.url_map.iter_rules() if not rule.arguments]
        near = difflib.get_close_matches(request.path[:MOST_COMPARED], known, n=1, cutoff=LEAST_LIKENESS)
        return tr("Did you mean {near}? {remedy}", near=near[0], remedy=remedy) if near else remedy
    return remedy


def internal_problem(error: Exception) -> Response:
    """Answer an unforeseen error without a word about the inside; Flask has logged it."""
    del error
    return problem(Refusal("internal-error", tr("The service made a mistake. It has been logged.")))


def register(app: Flask) -> None:
    """Make the application answer every error as a problem."""

    def refuse(error: Exception) -> Response:
        refusal = refusal_of(error)
        assert refusal is not None
        return problem(refusal)

    for kind in FORESEEN:
        app.register_error_handler(kind, refuse)
    app.register_error_handler(HTTPException, http_problem)
    app.register_error_handler(NobodyWaits, lambda _: http_problem(ClientDisconnected()))
    app.register_error_handler(Exception, _logged(app))


def _logged(app: Flask) -> Callable[[Exception], Response]:
    def answer(error: Exception) -> Response:
        app.logger.exception("unforeseen error", extra={"request_id": request.environ.get(ID_OF_REQUEST)})
        return internal_problem(error)

    return answer
