"""Everything that is refused, as RFC 9457 problem details. This module alone knows which error is which status."""

import difflib
from collections.abc import Iterator, Mapping
from typing import Any

from flask import Flask, Response, after_this_request, current_app, render_template, request
from marshmallow import ValidationError
from werkzeug.exceptions import HTTPException, MethodNotAllowed, NotFound

from closeup_service.gear.errors import KitRefuses
from closeup_service.http.headers import ID_OF_REQUEST
from closeup_service.http.negotiation import JSON, PROBLEM_JSON, NotRead, problem_media_type, wants_page
from closeup_service.http.uploads import NotMultipart
from closeup_service.operations.asking import strict_json
from closeup_service.operations.asking.problem_types import PROBLEM_TYPES
from closeup_service.operations.photographs.decoding import PhotographRefused
from closeup_service.optics.errors import OpticsError
from closeup_service.pages.rendering import HTML

ADDRESS = "/problems/"
MOST_FAULTS = 100
MOST_DETAIL = 2000
MOST_COMPARED = 100
LEAST_LIKENESS = 0.75
"""From which share of equal letters on an address is taken for a misspelt one."""


_BY_STATUS = {
    404: "not-found",
    405: "method-not-allowed",
    406: "not-acceptable",
    413: "content-too-large",
    415: "unsupported-media-type",
    421: "misdirected-request",
}
_BY_OPTICS_CODE = {
    "undetermined": "undetermined",
    "no-solution": "no-solution",
    "no-scale-found": "no-sure-reading",
    "too-few-marks": "no-sure-reading",
    "plain-marks": "no-sure-reading",
    "pitch-contradicted": "no-sure-reading",
    "blocks-or-lines": "no-sure-reading",
    "two-scales": "no-sure-reading",
    "too-blurred": "no-sure-reading",
    "frames-differ": "frames-differ",
}


def problem(slug: str, detail: str, errors: list[dict[str, str]] | None = None, code: str | None = None) -> Response:
    """Build the response of one problem."""
    kind = PROBLEM_TYPES[slug]
    body: dict[str, Any] = {
        "type": f"{ADDRESS}{slug}",
        "title": kind.title,
        "status": kind.status,
        "detail": detail[:MOST_DETAIL],
        "errors": (errors or [])[:MOST_FAULTS],
    }
    if code is not None:
        body["code"] = code
    response = Response(strict_json.dumps(body), kind.status, content_type=problem_media_type(request))
    response.headers["Cache-Control"] = "no-store"
    after_this_request(told_to_people)
    return response


def told_to_people(response: Response) -> Response:
    """Turn a problem that leaves the service into a page, for who would rather read one."""
    if response.status_code < 400 or response.mimetype not in (PROBLEM_JSON, JSON) or not wants_page(request):
        return response
    told = response.get_json()
    kind = PROBLEM_TYPES[told["type"].removeprefix(ADDRESS)]
    response.set_data(render_template("refusal.html", kind=kind, detail=told["detail"]))
    response.content_type = HTML
    return response


def faults(messages: Any, pointer: str = "") -> Iterator[dict[str, str]]:
    """Flatten marshmallow's nested messages into JSON pointers (RFC 6901) with details."""
    if isinstance(messages, Mapping):
        for name, inner in messages.items():
            step = "" if name == "_schema" else "/" + str(name).replace("~", "~0").replace("/", "~1")
            yield from faults(inner, pointer + step)
    elif isinstance(messages, list):
        for message in messages:
            yield from faults(message, pointer)
    else:
        yield {"pointer": pointer, "detail": str(messages)}


def validation_problem(error: ValidationError) -> Response:
    """Every fault of every field, at once."""
    return invalid_fields(list(faults(error.messages)))


def invalid_fields(errors: list[dict[str, str]]) -> Response:
    """Count the fields at fault, and name each."""
    count = "One field is" if len(errors) == 1 else f"{len(errors)} fields are"
    return problem("invalid-fields", f"{count} not valid.", errors)


def kit_problem(error: KitRefuses) -> Response:
    """Members that do not fit the kit."""
    return invalid_fields([{"pointer": pointer, "detail": text} for pointer, text in error.faults])


def optics_problem(error: OpticsError) -> Response:
    """What the physics refuses."""
    text = str(error)
    errors = [{"pointer": member, "detail": text} for member in error.members]
    return problem(_BY_OPTICS_CODE.get(error.code, "impossible"), text, errors, code=error.code)


def photograph_problem(error: PhotographRefused) -> Response:
    """Photographs that are not taken, or not now."""
    text = str(error)
    errors = [{"pointer": member, "detail": text} for member in error.members]
    response = problem(error.slug, text, errors, code=error.code)
    if error.retry_after_s is not None:
        response.headers["Retry-After"] = str(error.retry_after_s)
    return response


def http_problem(error: HTTPException) -> Response:
    """Turn what Flask itself refuses into a problem, keeping its headers such as Allow."""
    status = error.code or 500
    slug = _BY_STATUS.get(status, "bad-request" if status < 500 else "internal-error")
    response = problem(slug, what_to_do(error, slug))
    for name, value in error.get_headers():
        if name not in ("Content-Type", "Content-Length"):
            response.headers[name] = value
    if status == 415:
        response.headers["Accept"] = error.wanted if isinstance(error, NotRead) else JSON
        response.headers["Accept-Encoding"] = "identity"
    return response


def what_to_do(error: HTTPException, slug: str) -> str:
    """Say what would be right here, where that is known, or else what is right for this kind of problem."""
    remedy = PROBLEM_TYPES[slug].remedy
    if isinstance(error, MethodNotAllowed) and error.valid_methods:
        return f"Offered here: {', '.join(sorted(error.valid_methods))}."
    if isinstance(error, NotFound):
        known = [rule.rule for rule in current_app.url_map.iter_rules() if not rule.arguments]
        near = difflib.get_close_matches(request.path[:MOST_COMPARED], known, n=1, cutoff=LEAST_LIKENESS)
        return f"Did you mean {near[0]}? {remedy}" if near else remedy
    return remedy


def internal_problem(error: Exception) -> Response:
    """Answer an unforeseen error without a word about the inside; Flask has logged it."""
    del error
    return problem("internal-error", "The service made a mistake. It has been logged.")


def register(app: Flask) -> None:
    """Make the application answer every error as a problem."""

    def refuse_text(error: strict_json.NotStrictJson) -> Response:
        return problem("not-json", str(error))

    app.register_error_handler(strict_json.NotStrictJson, refuse_text)

    def refuse_form(error: NotMultipart) -> Response:
        return problem("not-multipart", str(error))

    app.register_error_handler(NotMultipart, refuse_form)
    app.register_error_handler(PhotographRefused, photograph_problem)
    app.register_error_handler(ValidationError, validation_problem)
    app.register_error_handler(KitRefuses, kit_problem)
    app.register_error_handler(OpticsError, optics_problem)
    app.register_error_handler(HTTPException, http_problem)
    app.register_error_handler(Exception, _logged(app))


def _logged(app: Flask) -> Any:
    def answer(error: Exception) -> Response:
        app.logger.exception("unforeseen error", extra={"request_id": request.environ.get(ID_OF_REQUEST)})
        return internal_problem(error)

    return answer
