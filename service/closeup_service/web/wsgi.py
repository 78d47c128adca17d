"""Layers around the application, as plain WSGI (PEP 3333): a hook of the framework costs more than a sum."""

from collections.abc import Callable, Iterable
from time import perf_counter
from typing import Any, NamedTuple

from flask import Request

Environ = dict[str, Any]
Headers = list[tuple[str, str]]
Wsgi = Callable[[Environ, Callable[..., Any]], Iterable[bytes]]

UNKNOWN = "none"
"""Stands for the operation of a request that is for none: such addresses never become names of anything."""


class Seen(NamedTuple):
    """What can be seen of a request from outside."""

    environ: Environ
    operation: str
    status: int
    headers: Headers
    seconds: float


def observing(inner: Wsgi, observe: Callable[[Seen], None]) -> Wsgi:
    """Application of which every answered request is shown to an observer; time runs on the monotonic clock."""

    def observed(environ: Environ, start_response: Callable[..., Any]) -> Iterable[bytes]:
        started = perf_counter()
        operation, status, sent = UNKNOWN, 500, []

        def start(line: str, headers: Headers, exc_info: Any = None) -> Any:
            nonlocal operation, status, sent
            operation, status, sent = operation_of(environ), int(line[:3]), headers
            return start_response(line, headers, exc_info)

        try:
            return inner(environ, start)
        finally:
            observe(Seen(environ, operation, status, sent, perf_counter() - started))

    return observed


def operation_of(environ: Environ) -> str:
    """Operation that answers; the framework keeps its request in the environment until it has answered."""
    asked: Request = environ["werkzeug.request"]
    return asked.endpoint or UNKNOWN
