"""The language of an answer: by a segment at the start of its address, `/de/tasks/light`, or else by what the client accepts.

The segment becomes part of `SCRIPT_NAME` (PEP 3333), so that links of a page stay within its language. Without one, pages speak
what the client accepts, and lead on into that language; the API speaks English, as scripts and recorded answers have it.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from flask import Flask, Response, request
from werkzeug.datastructures import LanguageAccept
from werkzeug.http import parse_accept_header

from closeup_service.language import ENGLISH, GERMAN, LANGUAGES, speaking, spoken
from closeup_service.running.observing import Environ, Wsgi

if TYPE_CHECKING:
    from _typeshed.wsgi import StartResponse

SEGMENT = "closeup.language"
"""Where the environment of a request keeps the segment that its links begin with."""
BY_CLIENT = "closeup.language_by_client"
"""Where it keeps that the client's preference chose the language."""
ACCEPTED = "Accept-Language"
API = "/v1/"
IN_ENGLISH = ("/docs", "/openapi.json", "/.well-known", "/embed", "/healthz", "/readyz", "/metrics")
"""Addresses that speak English alone, or have a language of their own."""
FILES = ("/pages/", "/service-worker.js", "/robots.txt", "/favicon.ico")
"""Addresses of what has no language."""


def register(app: Flask) -> None:
    """Let the application speak the language of each request, and say which it is."""
    app.after_request(state_language)
    app.wsgi_app = speak_as_asked(app.wsgi_app)  # type: ignore[method-assign, assignment]


def speak_as_asked(inner: Wsgi) -> Wsgi:
    """Application that speaks the language of each request."""

    def answer(environ: Environ, start_response: StartResponse) -> Iterable[bytes]:
        path = environ["PATH_INFO"]
        segment = segment_of(path)
        if segment:
            root = f"{environ.get('SCRIPT_NAME', '')}/{segment}"
            path = path[len(segment) + 1 :]
            if not path:
                return lead_to(f"{root}/", start_response)
            environ |= {"SCRIPT_NAME": root, "PATH_INFO": path, SEGMENT: segment}
        language = choose_language(path, segment, environ.get("HTTP_ACCEPT_LANGUAGE", ""))
        environ[BY_CLIENT] = not segment and is_translated(path)
        if language == ENGLISH:
            return inner(environ, start_response)
        if not segment:
            environ |= {"SCRIPT_NAME": f"{environ.get('SCRIPT_NAME', '')}/{language}", SEGMENT: language}
        with speaking(language):
            return inner(environ, start_response)

    return answer


def segment_of(path: str) -> str:
    """Language that an address begins with; nothing where it begins with none."""
    return path[1:3] if path[1:3] in LANGUAGES and path[3:4] in ("", "/") else ""


def lead_to(address: str, start_response: StartResponse) -> Iterable[bytes]:
    """Lead from `/de` to `/de/`, from where relative addresses hold."""
    start_response("308 Permanent Redirect", [("Location", address), ("Content-Length", "0")])
    return [b""]


def choose_language(path: str, segment: str, accepted: str) -> str:
    """Language of an answer."""
    if path.startswith(API):
        return segment or ENGLISH
    if not is_translated(path):
        return ENGLISH
    return segment or best_language(accepted)


def is_translated(path: str) -> bool:
    """Whether there is a page in every language at a path."""
    return not path.startswith((API, *IN_ENGLISH, *FILES))


def state_language(response: Response) -> Response:
    """Say which language a page is in, and that it goes by what the client accepts where no segment chose it."""
    if request.environ.get(BY_CLIENT):
        response.vary.add(ACCEPTED)
    if is_translated(request.path):
        response.content_language.add(spoken())
    return response


def home_of_all(stated: str) -> str:
    """Where the service stands, for whichever language: as its operator states it, else (`/`) as it was asked."""
    if stated != "/":
        return stated.rstrip("/")
    segment = request.environ.get(SEGMENT)
    return request.url_root.rstrip("/").removesuffix(f"/{segment}" if segment else "")


def best_language(accepted: str) -> str:
    """Language that a client likes best of those that there are; English where it says nothing of them."""
    if GERMAN not in accepted.lower():
        return ENGLISH
    return parse_accept_header(accepted, LanguageAccept).best_match(LANGUAGES, ENGLISH) or ENGLISH
