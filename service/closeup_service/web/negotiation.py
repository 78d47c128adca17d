"""What the client sends and what it accepts, by media type."""

from flask import Request
from werkzeug.exceptions import NotAcceptable

JSON = "application/json"
PROBLEM_JSON = "application/problem+json"


def refuse_unacceptable(request: Request) -> None:
    """Refuse when the client accepts no JSON at all; no Accept header accepts everything."""
    accepted = request.environ.get("HTTP_ACCEPT")
    if accepted is None or accepted in ("*/*", JSON):
        return
    if request.accept_mimetypes.quality(JSON) <= 0:
        raise NotAcceptable


def problem_media_type(request: Request) -> str:
    """Media type of a problem: a client that accepts plain JSON alone still gets the error, as JSON."""
    accepted = request.environ.get("HTTP_ACCEPT")
    if accepted is None or accepted == "*/*":
        return PROBLEM_JSON
    types = request.accept_mimetypes
    return JSON if types.quality(PROBLEM_JSON) <= 0 < types.quality(JSON) else PROBLEM_JSON


def readable(request: Request) -> bool:
    """Whether the body is declared as JSON in UTF-8."""
    charset = request.mimetype_params.get("charset", "utf-8").lower()
    return request.mimetype == JSON and charset in ("utf-8", "utf8")
