"""Bodies that come too slowly are given up: each holds a thread while it is read, and a photograph a place at the proxy.

A read on a socket returns when something has come, however little, so no time limit of the socket bounds a trickle. One thread
of each process looks at all bodies that are being read, and closes the reading side of those that are too late.
"""

import contextlib
import socket
import threading
import time
from typing import Any

from werkzeug.exceptions import RequestTimeout

from closeup_service.http.client_connection import SOCKET
from closeup_service.operations.asking.limits import LEAST_BYTES_PER_S, SLOW_START_S
from closeup_service.running.observing import Environ

PIECE_BYTES = 64 * 1024
LOOKS_PER_S = 2


class TimedBody:
    """Body of a request, read piece by piece while the watch looks on."""

    def __init__(self, stream: Any, connection: socket.socket) -> None:
        self._stream = stream
        self._connection = connection
        self._received = 0
        self._begun: float | None = None
        self._late = False

    def read(self, size: int | None = None) -> bytes:
        """Read on.

        Raises
        ------
        RequestTimeout
            Where the body came too slowly.
        """
        wanted = size if size is not None and size >= 0 else None
        pieces: list[bytes] = []
        while wanted is None or wanted > 0:
            piece = self._piece(PIECE_BYTES if wanted is None else min(PIECE_BYTES, wanted))
            if not piece:
                break
            pieces.append(piece)
            wanted = None if wanted is None else wanted - len(piece)
        return b"".join(pieces)

    def _piece(self, size: int) -> bytes:
        if self._begun is None:
            self._begun = time.monotonic()
        WATCH.begin(self)
        try:
            piece: bytes = self._stream.read(size)
        except Exception:
            if self._late:
                raise RequestTimeout from None
            raise
        finally:
            WATCH.end(self)
        if self._late:
            raise RequestTimeout
        self._received += len(piece)
        return piece

    def is_late(self, now: float) -> bool:
        """Whether less has come by now than should have."""
        return self._begun is not None and now > self._begun + SLOW_START_S + self._received / LEAST_BYTES_PER_S

    def give_up(self) -> None:
        """End the read that waits; the answer can still be sent."""
        self._late = True
        with contextlib.suppress(OSError):
            self._connection.shutdown(socket.SHUT_RD)


class Watch:
    """Looks at the bodies that are being read; its thread begins with the first of them, in the process that reads it."""

    def __init__(self) -> None:
        self._reading: set[TimedBody] = set()
        self._any = threading.Event()
        self._starting = threading.Lock()
        self._thread: threading.Thread | None = None

    def begin(self, body: TimedBody) -> None:
        """Look at a body from now on."""
        self._reading.add(body)
        if self._thread is None:
            self._start()
        if not self._any.is_set():
            self._any.set()

    def end(self, body: TimedBody) -> None:
        """Look at it no more."""
        self._reading.discard(body)

    def _start(self) -> None:
        with self._starting:
            if self._thread is None:
                self._thread = threading.Thread(target=self._look, name="slow-bodies", daemon=True)
                self._thread.start()

    def _look(self) -> None:
        while self._any.wait():
            time.sleep(1 / LOOKS_PER_S)
            now = time.monotonic()
            for body in [each for each in self._reading.copy() if each.is_late(now)]:
                body.give_up()
            if not self._reading:
                self._any.clear()
                if self._reading:  # one that has begun just now may have found it set
                    self._any.set()


WATCH = Watch()
"""Of this process."""


def time_body(environ: Environ) -> None:
    """Have the body of a request read so, where one may be read and its connection can be seen."""
    connection = environ.get(SOCKET)
    if environ["REQUEST_METHOD"] == "POST" and isinstance(connection, socket.socket):
        environ["wsgi.input"] = TimedBody(environ["wsgi.input"], connection)
