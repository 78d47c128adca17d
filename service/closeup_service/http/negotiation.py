"""What the client sends and what it accepts, by media type."""

from collections.abc import Sequence

from flask import Request
from werkzeug.exceptions import NotAcceptable, UnsupportedMediaType

from closeup_service.operations.asking.media_types import HTML, JSON, PROBLEM_JSON

FOR_PROGRAMS = ("/v1", "/healthz", "/readyz", "/metrics", "/openapi.json")
"""Addresses begin so whose refusals are never pages."""


class NotRead(UnsupportedMediaType):
    """A body of another media type than the one that is read here."""

    def __init__(self, wanted: str) -> None:
        super().__init__()
        self.wanted = wanted


def chosen(request: Request, offered: Sequence[str]) -> str:
    """Media type to answer in: the one that the client likes best, of equals the first offered.

    No Accept header accepts everything; a client that accepts nothing of what is offered is refused.
    """
    accepted = request.environ.get("HTTP_ACCEPT")
    if accepted is None or accepted in ("*/*", offered[0]):
        return offered[0]
    best = max(offered, key=lambda media_type: quality(request, media_type))
    if quality(request, best) <= 0:
        raise NotAcceptable
    return best


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


def wants_page(request: Request) -> bool:
    """Whether a problem is told on a page: to who would rather read HTML than JSON, away from what programs ask for."""
    if request.path.startswith(FOR_PROGRAMS) or "HTTP_ACCEPT" not in request.environ:
        return False
    return quality(request, HTML) > max(quality(request, PROBLEM_JSON), quality(request, JSON))


def readable(request: Request) -> bool:
    """Whether the body is declared as JSON in UTF-8."""
    if request.environ.get("CONTENT_TYPE") == JSON:
        return True
    charset = request.mimetype_params.get("charset", "utf-8").lower()
    return request.mimetype == JSON and charset in ("utf-8", "utf8")
