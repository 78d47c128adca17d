"""Calls of applications within this process, as cheap as a server could make them."""

import asyncio
import io
from collections.abc import Callable, Iterable
from typing import Any

from werkzeug.test import EnvironBuilder

Wsgi = Callable[[dict[str, Any], Callable[..., Any]], Iterable[bytes]]


def wsgi(app: Wsgi, method: str, path: str, body: bytes = b"", *, status_begins: str = "200") -> Callable[[], bytes]:
    """Call of a WSGI application by an environment made once and copied for each call; returns the body of a good answer."""
    content_type = "application/json" if body else None
    environ = EnvironBuilder(path=path, method=method, content_type=content_type).get_environ()
    if body:
        environ["CONTENT_LENGTH"] = str(len(body))

    def start(status: str, headers: Any, exc_info: Any = None) -> Callable[[bytes], None]:
        del headers, exc_info
        if not status.startswith(status_begins):
            raise RuntimeError(f"{method} {path} was answered with {status}")
        return lambda data: None

    def call() -> bytes:
        chunks = app({**environ, "wsgi.input": io.BytesIO(body)}, start)
        answer = b"".join(chunks)
        close = getattr(chunks, "close", None)
        if close is not None:
            close()
        return answer

    return call


def asgi(app: Any, loop: asyncio.AbstractEventLoop, path: str, body: bytes) -> Callable[[], bytes]:
    """Call of an ASGI application by POST; returns the body of a good answer."""
    headers = [(b"host", b"localhost"), (b"content-type", b"application/json"), (b"content-length", b"%d" % len(body))]
    scope = {
        "type": "http", "asgi": {"version": "3.0", "spec_version": "2.3"}, "http_version": "1.1", "method": "POST",
        "scheme": "http", "path": path, "raw_path": path.encode(), "query_string": b"", "root_path": "", "headers": headers,
        "client": ("127.0.0.1", 1), "server": ("127.0.0.1", 2),
    }  # fmt: skip

    async def ask() -> bytes:
        parts: list[bytes] = []

        async def receive() -> dict[str, Any]:
            return {"type": "http.request", "body": body, "more_body": False}

        async def send(message: dict[str, Any]) -> None:
            if message.get("status", 200) != 200:
                raise RuntimeError(f"{path} was refused: {message['status']}")
            parts.append(message.get("body", b""))

        await app({**scope, "state": {}}, receive, send)
        return b"".join(parts)

    return lambda: loop.run_until_complete(ask())
