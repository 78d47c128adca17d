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
    if quality(request, JSON) <= 0:
        raise NotAcceptable


def quality(request: Request, media_type: str) -> float:
    """Weight that the client gives a media type by the most specific range that matches; parameters do not matter.

    The library's own matching takes `application/json; charset=utf-8` for another type than `application/json`.
    """
    weights = {value.partition(";")[0].strip().lower(): weight for value, weight in request.accept_mimetypes}
    family = media_type.partition("/")[0] + "/*"
    return next((weights[range_] for range_ in (media_type, family, "*/*") if range_ in weights), 0.0)


def problem_media_type(request: Request) -> str:
    """Media type of a problem: a client that accepts plain JSON alone still gets the error, as JSON."""
    accepted = request.environ.get("HTTP_ACCEPT")
    if accepted is None or accepted == "*/*":
        return PROBLEM_JSON
    return JSON if quality(request, PROBLEM_JSON) <= 0 < quality(request, JSON) else PROBLEM_JSON


def readable(request: Request) -> bool:
    """Whether the body is declared as JSON in UTF-8."""
    charset = request.mimetype_params.get("charset", "utf-8").lower()
    return request.mimetype == JSON and charset in ("utf-8", "utf8")
