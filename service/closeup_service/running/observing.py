"""Layers around the application, as plain WSGI (PEP 3333): a hook of the framework costs more than a sum."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from time import perf_counter
from typing import TYPE_CHECKING, Any, NamedTuple, TypeAlias

from flask import Request

if TYPE_CHECKING:
    from _typeshed import OptExcInfo
    from _typeshed.wsgi import StartResponse

Environ = dict[str, Any]
Headers = list[tuple[str, str]]
Wsgi: TypeAlias = "Callable[[Environ, StartResponse], Iterable[bytes]]"

REQUEST_ID = "X-Request-Id"
"""Header that names a request, in its answer and in the log."""

ROUTE = "closeup.route"
"""Where the environment of a request that has been answered keeps its route, as the documentation writes it."""

UNKNOWN = "none"
"""Stands for the operation of a request that is for none: such addresses never become names of anything."""


class Seen(NamedTuple):
    """What can be seen of a request from outside."""

    operation: str
    status: int
    seconds: float


def observing(inner: Wsgi, begin: Callable[[], None], observe: Callable[[Seen], None]) -> Wsgi:
    """Application of which every answered request is shown to an observer; time runs on the monotonic clock."""

    def observed(environ: Environ, start_response: StartResponse) -> Iterable[bytes]:
        started = perf_counter()
        operation, status = UNKNOWN, 500

        def start(line: str, headers: Headers, exc_info: OptExcInfo | None = None) -> Callable[[bytes], object]:
            nonlocal operation, status
            operation, status = noted(environ), int(line[:3])
            return start_response(line, headers, exc_info)

        begin()
        try:
            return inner(environ, start)
        finally:
            observe(Seen(operation, status, perf_counter() - started))

    return observed


def noted(environ: Environ) -> str:
    """Operation that answers, and its route noted; the framework keeps its request only until it has answered."""
    asked: Request = environ["werkzeug.request"]
    if asked.url_rule is None:
        return UNKNOWN
    environ[ROUTE] = asked.url_rule.rule
    return str(asked.url_rule.endpoint)
