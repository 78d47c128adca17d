"""What every answer carries: a request id, protective headers, and leave for foreign pages to read it."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from functools import cache, partial
from secrets import token_hex
from time import thread_time
from typing import TYPE_CHECKING

from flask import Flask, Request, request
from flask.sessions import NullSession, SessionInterface
from werkzeug.exceptions import BadRequest, MisdirectedRequest, NotFound

from closeup_service.http.client_connection import SOCKET, still_connected
from closeup_service.http.slow_bodies import time_body
from closeup_service.operations.asking.effort import EFFORT, Effort
from closeup_service.running.observing import REQUEST_ID, Environ, Headers, Wsgi
from closeup_service.schemas.upload import AT_ONCE, Patience

if TYPE_CHECKING:
    from _typeshed import OptExcInfo
    from _typeshed.wsgi import StartResponse

ID_OF_REQUEST = "closeup.request_id"
"""Where the environment of a request keeps its id."""

_PORT = re.compile(r":[0-9]*$")
_HOST = re.compile(r"(\[[0-9A-Fa-f:.]+\]|[A-Za-z0-9._~-]+)(:[0-9]*)?", re.ASCII)
"""A name, or an address, with or without a port: what else RFC 3986 allows there no name of a service has."""
_SANE_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,63}", re.ASCII)
_TRACEPARENT = re.compile(
    r"(?!ff)[0-9a-f]{2}-(?!0{32})([0-9a-f]{32})-(?!0{16})[0-9a-f]{16}-[0-9a-f]{2}(-.*)?", re.ASCII
)

CONTENT_POLICY = "Content-Security-Policy"
PROTECTIVE = (
    ("X-Content-Type-Options", "nosniff"),
    ("Referrer-Policy", "no-referrer"),
    ("Cross-Origin-Resource-Policy", "cross-origin"),
)
POLICY = {
    "default-src": "'none'",
    "style-src": "'self'",
    "script-src": "'self'",
    "img-src": "'self'",
    "connect-src": "'self'",
    "worker-src": "'self'",
    "manifest-src": "'self'",
    "form-action": "'self'",
    "base-uri": "'none'",
    "frame-ancestors": "'none'",
}
"""Directives of the content security policy; those that an answer states itself take the place of these."""
EXPOSED = f"ETag, {REQUEST_ID}, Deprecation, Sunset, Retry-After, RateLimit, RateLimit-Policy"
ALLOWED_HEADERS = f"Accept, Content-Type, If-None-Match, {REQUEST_ID}, traceparent"
PREFLIGHT_LIFETIME_S = 86400
ANY = "*"
PROBES = ("/healthz", "/readyz", "/metrics")
"""Requested by machines that know no name of the service."""

EXPOSING = ("Access-Control-Expose-Headers", EXPOSED)
ANYONE = (("Access-Control-Allow-Origin", "*"), EXPOSING)


def request_id(environ: Environ) -> str:
    """Id of the request: the client's own when it is sane, its trace id when it sends one, else a fresh one."""
    given = environ.get("HTTP_X_REQUEST_ID")
    if given is not None and _SANE_ID.fullmatch(given):
        return str(given)
    trace = _TRACEPARENT.fullmatch(environ.get("HTTP_TRACEPARENT", ""))
    return trace[1] if trace else token_hex(16)


class NoSessions(SessionInterface):
    """No answer sets a cookie: nothing is remembered from one request to the next, so one empty session serves them all."""

    none = NullSession()

    def open_session(self, app: Flask, request: Request) -> NullSession:
        """Return the empty session."""
        del app, request
        return self.none


def register(app: Flask, origins: Sequence[str], hosts: Sequence[str] = (ANY,), patience: Patience = AT_ONCE) -> None:
    """Lay the headers on; `origins` are the pages that scripts may call from, `hosts` the names that are answered to.

    `patience` is how a heavy request waits for its turn.
    """
    app.session_interface = NoSessions()
    app.before_request(gate(frozenset(hosts)))
    app.wsgi_app = carrying(app.wsgi_app, frozenset(origins), patience)  # type: ignore[method-assign, assignment]


def gate(hosts: frozenset[str]) -> Callable[[], None]:
    """Hook of every request: it refuses what the server lets pass."""

    def refuse() -> None:
        """Refuse a Host that is missing or malformed (RFC 9112, 3.2), a foreign one, and a doubled slash that is folded."""
        environ = request.environ
        host = environ.get("HTTP_HOST", "")
        if not _HOST.fullmatch(host) and (host or environ["SERVER_PROTOCOL"] == "HTTP/1.1"):
            raise BadRequest
        if ANY not in hosts and _PORT.sub("", host).lower() not in hosts and environ["PATH_INFO"] not in PROBES:
            raise MisdirectedRequest
        if environ.get("RAW_URI", "").startswith("//"):
            raise NotFound

    return refuse


def carrying(inner: Wsgi, origins: frozenset[str], patience: Patience) -> Wsgi:
    """Application whose every answer carries the headers, and of whose requests none calculates more than it may."""

    def answered(environ: Environ, start_response: StartResponse) -> Iterable[bytes]:
        identity = environ[ID_OF_REQUEST] = request_id(environ)

        def start(status: str, headers: Headers, exc_info: OptExcInfo | None = None) -> Callable[[bytes], object]:
            headers.append((REQUEST_ID, identity))
            state_policy(headers)
            headers += PROTECTIVE
            headers += ANYONE if ANY in origins else of_origin(environ, headers, origins)
            if environ["REQUEST_METHOD"] == "OPTIONS":
                headers += preflight(headers)
            return start_response(status, headers, exc_info)

        if SOCKET in environ:
            time_body(environ)
        effort = Effort(partial(still_connected, environ), patience, thread_time())
        token = EFFORT.set(effort)
        try:
            return inner(environ, start)
        finally:
            EFFORT.reset(token)
            if effort.turn is not None or effort.at_end is not None:
                effort.release()

    return answered


def state_policy(headers: Headers) -> None:
    """Lay the directives that the answer states itself over the general ones."""
    for place, (name, value) in enumerate(headers):
        if name == CONTENT_POLICY:
            headers[place] = (name, policy(value))
            return
    headers.append((CONTENT_POLICY, policy("")))


@cache
def policy(own: str) -> str:
    """Content security policy of an answer that states these directives of its own."""
    stated = dict(directive.strip().split(" ", 1) for directive in own.split(";") if directive.strip())
    return "; ".join(f"{name} {sources}" for name, sources in (POLICY | stated).items())


def of_origin(environ: Environ, headers: Headers, listed: frozenset[str]) -> Headers:
    """Leave for the scripts of one listed origin, never with credentials (Fetch standard, 3.2); caches keep origins apart."""
    varied = [value for name, value in headers if name == "Vary"]
    headers[:] = [each for each in headers if each[0] != "Vary"]
    headers.append(("Vary", ", ".join([*varied, "Origin"])))
    origin = environ.get("HTTP_ORIGIN")
    return [("Access-Control-Allow-Origin", origin), EXPOSING] if origin in listed else []


def preflight(headers: Headers) -> Headers:
    """Answer to a preflight: what the address allows, where any leave was given."""
    known = dict(headers)
    if "Access-Control-Allow-Origin" not in known:
        return []
    return [
        ("Access-Control-Allow-Methods", known.get("Allow", "GET, HEAD, OPTIONS, POST")),
        ("Access-Control-Allow-Headers", ALLOWED_HEADERS),
        ("Access-Control-Max-Age", str(PREFLIGHT_LIFETIME_S)),
    ]
