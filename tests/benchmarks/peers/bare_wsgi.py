"""A bare WSGI application that answers a constant: what the server itself costs."""

from collections.abc import Callable, Iterable
from typing import Any


def app(environ: dict[str, Any], start_response: Callable[..., Any]) -> Iterable[bytes]:
    """Answer."""
    del environ
    start_response("200 OK", [("Content-Type", "text/plain"), ("Content-Length", "8")])
    return [b"constant"]
