"""A server in the service's place that tells what it was sent, and fails as it is told to."""

import json
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any
from urllib.parse import parse_qsl, urlsplit


class Handler(BaseHTTPRequestHandler):
    """Answers with the header fields that it got; the query says how: status, seconds to wait, or no answer at all."""

    protocol_version = "HTTP/1.1"

    def do_GET(self) -> None:
        """Answer a request of any method."""
        how = dict(parse_qsl(urlsplit(self.path).query))
        self.rfile.read(int(self.headers.get("Content-Length", 0)))
        time.sleep(float(how.get("wait_s", 0)))
        self.close_connection = True
        if "silent" in how:
            return
        body = json.dumps(
            {"path": self.path, "fields": [[name.lower(), value] for name, value in self.headers.items()]}
        )
        self.send_response(int(how.get("status", 200)))
        self.send_header("Cache-Control", how.get("cache", "no-store"))
        self.send_header("X-Request-Id", "of-the-service")
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        if self.command != "HEAD":
            self.wfile.write(body.encode())

    do_POST = do_HEAD = do_OPTIONS = do_GET  # noqa: N815

    def log_message(self, *_: Any) -> None:
        """Say nothing."""


class Server(ThreadingHTTPServer):
    """A server that does not mind when whoever asked has gone."""

    def handle_error(self, *_: Any) -> None:
        """Say nothing."""


@contextmanager
def standing_in() -> Iterator[int]:
    """Run the server; yields its port."""
    server = Server(("127.0.0.1", 0), Handler)
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.05})
    thread.start()
    try:
        yield server.server_port
    finally:
        server.shutdown()
        thread.join()
        server.server_close()
