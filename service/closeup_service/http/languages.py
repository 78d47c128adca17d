"""The language of an answer: by a segment at the start of its address, `/de/tasks/light`, or else by what the client accepts.

The segment becomes part of `SCRIPT_NAME` (PEP 3333), so that links of a page stay within its language. Without one, pages speak
what the client accepts and the API speaks English, as scripts and recorded answers have it.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from flask import Flask
from werkzeug.datastructures import LanguageAccept
from werkzeug.http import parse_accept_header

from closeup_service.language import ENGLISH, GERMAN, LANGUAGES, speaking
from closeup_service.running.observing import Environ, Wsgi

if TYPE_CHECKING:
    from _typeshed.wsgi import StartResponse

SEGMENT = "closeup.language"
"""Where the environment of a request keeps the segment that chose its language."""
ACCEPTED = "Accept-Language"
API = "/v1/"
PAGES_SPEAK = False
"""Whether pages are translated; until they are, the API alone speaks by the segment."""
IN_ENGLISH = ("/docs", "/openapi.json", "/.well-known", "/embed", "/healthz", "/readyz", "/metrics")
"""Addresses that speak English alone, or have a language of their own."""


def register(app: Flask) -> None:
    """Let the application speak the language of each request."""
    app.wsgi_app = choosing(app.wsgi_app)  # type: ignore[method-assign, assignment]


def choosing(inner: Wsgi) -> Wsgi:
    """Application that speaks the language of each request."""

    def answered(environ: Environ, start_response: StartResponse) -> Iterable[bytes]:
        segment = segment_of(environ["PATH_INFO"])
        if segment:
            take_segment(environ, segment)
            if not environ["PATH_INFO"]:
                return to_start(environ, start_response)
        language = language_of(environ, segment)
        if language == ENGLISH:
            return inner(environ, start_response)
        with speaking(language):
            return inner(environ, start_response)

    return answered


def segment_of(path: str) -> str:
    """Language that an address begins with; nothing where it begins with none."""
    return path[1:3] if path[1:3] in LANGUAGES and path[3:4] in ("", "/") else ""


def take_segment(environ: Environ, segment: str) -> None:
    """Make the segment part of the place where the service stands."""
    environ["SCRIPT_NAME"] = f"{environ.get('SCRIPT_NAME', '')}/{segment}"
    environ["PATH_INFO"] = environ["PATH_INFO"][len(segment) + 1 :]
    environ[SEGMENT] = segment


def to_start(environ: Environ, start_response: StartResponse) -> Iterable[bytes]:
    """Lead from `/de` to `/de/`, from where relative addresses hold."""
    start_response("308 Permanent Redirect", [("Location", f"{environ['SCRIPT_NAME']}/"), ("Content-Length", "0")])
    return [b""]


def language_of(environ: Environ, segment: str) -> str:
    """Language of an answer."""
    path = environ["PATH_INFO"]
    if path.startswith(IN_ENGLISH):
        return ENGLISH
    if path.startswith(API):
        return segment or ENGLISH
    if not PAGES_SPEAK:
        return ENGLISH
    return segment or accepted(environ.get("HTTP_ACCEPT_LANGUAGE", ""))


def varies(environ: Environ) -> bool:
    """Whether the language of a page goes by what the client accepts."""
    return PAGES_SPEAK and SEGMENT not in environ and not environ["PATH_INFO"].startswith(IN_ENGLISH)


def accepted(header: str) -> str:
    """Language that a client likes best of those that there are; English where it says nothing of them."""
    if GERMAN not in header.lower():
        return ENGLISH
    return parse_accept_header(header, LanguageAccept).best_match(LANGUAGES, ENGLISH) or ENGLISH
