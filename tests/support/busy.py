"""A service that is busy: every place in the line for photographs taken, or one that says so at first."""

import threading
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any

import requests

from closeup_service.operations.asking.turns import TURN, one_at_a_time
from closeup_service.running.settings import Settings
from closeup_service.schemas.upload import Patience
from running_service import until

LONGEST_S = 60.0


@contextmanager
def every_place_taken() -> Iterator[None]:
    """Hold the turn of photographs in this process, and let as many threads wait for it as may by default."""
    places = Settings().limits.patience.most_waiting
    patience = Patience(LONGEST_S, places)

    def wait() -> None:
        with one_at_a_time(patience):
            pass

    waiting = [threading.Thread(target=wait) for _ in range(places)]
    try:
        with one_at_a_time():
            for each in waiting:
                each.start()
            assert until(lambda: TURN.waiting == places)
            yield
    finally:
        for each in waiting:
            each.join()


class Scripted(BaseHTTPRequestHandler):
    """Says with each of the fields in turn that it is busy, and then passes everything on."""

    protocol_version = "HTTP/1.1"
    fields: Sequence[str | None] = ()
    behind = ""
    asked: list[str]

    def do_POST(self) -> None:
        """Answer a request."""
        body = self.rfile.read(int(self.headers.get("Content-Length", 0)))
        number = len(self.asked)
        self.asked.append(self.path)
        if number < len(self.fields):
            self.say(503, {"Retry-After": self.fields[number]}, b"")
            return
        headers = {"Content-Type": self.headers["Content-Type"], "Accept": self.headers["Accept"]}
        answer = requests.post(self.behind + self.path, data=body, headers=headers, timeout=LONGEST_S)
        self.say(answer.status_code, {"Content-Type": answer.headers["Content-Type"]}, answer.content)

    def say(self, status: int, headers: dict[str, str | None], body: bytes) -> None:
        self.send_response(status)
        for name, value in headers.items():
            if value is not None:
                self.send_header(name, value)
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, *_: Any) -> None:
        """Say nothing."""


@contextmanager
def busy_at_first(behind: str, *retry_after: str | None) -> Iterator[tuple[str, list[str]]]:
    """Run a server that is busy as often as told, before the service behind it; yields its address and what was asked."""
    asked: list[str] = []
    handler = type("Handler", (Scripted,), {"fields": retry_after, "behind": behind, "asked": asked})
    with ExitStack() as stack:
        server = stack.enter_context(ThreadingHTTPServer(("127.0.0.1", 0), handler))
        thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.05})
        thread.start()
        stack.callback(thread.join)
        stack.callback(server.shutdown)
        server.daemon_threads = True
        yield f"http://127.0.0.1:{server.server_port}", asked
