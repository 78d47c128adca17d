"""What every answer carries: a request id, protective headers, and leave for foreign pages to read it."""

import re
import uuid
from collections.abc import Sequence
from functools import cache

from flask import Flask, g, request
from werkzeug.exceptions import BadRequest, NotFound
from werkzeug.wrappers import Response

REQUEST_ID = "X-Request-Id"
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
    "form-action": "'self'",
    "base-uri": "'none'",
    "frame-ancestors": "'none'",
}
"""Directives of the content security policy; those that an answer states itself take the place of these."""
EXPOSED = f"ETag, {REQUEST_ID}, Deprecation, Sunset, Retry-After, RateLimit, RateLimit-Policy"
ALLOWED_HEADERS = f"Accept, Content-Type, If-None-Match, {REQUEST_ID}, traceparent"
PREFLIGHT_LIFETIME_S = 86400
ANY_ORIGIN = "*"


def request_id() -> str:
    """Id of the request: the client's own when it is sane, its trace id when it sends one, else a fresh one."""
    given = request.environ.get("HTTP_X_REQUEST_ID")
    if given is not None and _SANE_ID.fullmatch(given):
        return str(given)
    trace = _TRACEPARENT.fullmatch(request.environ.get("HTTP_TRACEPARENT", ""))
    return trace[1] if trace else uuid.uuid4().hex


def refuse_what_the_server_lets_pass() -> None:
    """Refuse HTTP/1.1 without Host (RFC 9112, 3.2), and a doubled slash that the server has folded."""
    environ = request.environ
    if environ["SERVER_PROTOCOL"] == "HTTP/1.1" and not environ.get("HTTP_HOST"):
        raise BadRequest
    if environ.get("RAW_URI", "").startswith("//"):
        raise NotFound


def register(app: Flask, origins: Sequence[str]) -> None:
    """Add the hooks; `origins` are the pages that scripts may call from, "*" for any."""
    any_origin = ANY_ORIGIN in origins
    listed = frozenset(origins)

    def before() -> None:
        g.request_id = request_id()
        refuse_what_the_server_lets_pass()

    def after(response: Response) -> Response:
        headers = response.headers
        headers.add(REQUEST_ID, g.get("request_id") or uuid.uuid4().hex)
        for name, value in PROTECTIVE:
            headers.add(name, value)
        headers[CONTENT_POLICY] = policy(headers.get(CONTENT_POLICY, ""))
        allow_origin(response, any_origin, listed)
        return response

    app.before_request(before)
    app.after_request(after)


@cache
def policy(own: str) -> str:
    """Content security policy of an answer that states these directives of its own."""
    stated = dict(directive.strip().split(" ", 1) for directive in own.split(";") if directive.strip())
    return "; ".join(f"{name} {sources}" for name, sources in (POLICY | stated).items())


def allow_origin(response: Response, any_origin: bool, listed: frozenset[str]) -> None:
    """Let scripts of allowed pages read the answer, never with credentials (Fetch standard, 3.2)."""
    headers = response.headers
    origin = request.environ.get("HTTP_ORIGIN")
    if any_origin:
        headers.add("Access-Control-Allow-Origin", "*")
    else:
        headers.add("Vary", "Origin")
        if origin not in listed:
            return
        headers["Access-Control-Allow-Origin"] = origin
    headers.add("Access-Control-Expose-Headers", EXPOSED)
    if request.method == "OPTIONS":
        headers["Access-Control-Allow-Methods"] = headers.get("Allow", "GET, HEAD, OPTIONS, POST")
        headers["Access-Control-Allow-Headers"] = ALLOWED_HEADERS
        headers["Access-Control-Max-Age"] = str(PREFLIGHT_LIFETIME_S)
