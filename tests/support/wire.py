"""A bare HTTP/1.1 connection, to send what no client library would."""

import http.client
import io
import select
import socket
from typing import cast

PATH = "/v1/effective-f-number"


def posted(head: str, body: bytes = b"", path: str = PATH) -> bytes:
    """A request by POST, with these header fields and whatever body."""
    start = f"POST {path} HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n{head}\r\n\r\n"
    return start.encode() + body


def chunked(*chunks: bytes) -> bytes:
    return b"".join(b"%x\r\n%b\r\n" % (len(chunk), chunk) for chunk in chunks) + b"0\r\n\r\n"


class Answer:
    """One answer read off a connection."""

    def __init__(self, response: http.client.HTTPResponse) -> None:
        self.status = response.status
        self.headers = response.headers
        self.body = response.read()


class _Readable:
    """What http.client wants of a socket, over bytes that are already being read."""

    def __init__(self, stream: io.BufferedReader) -> None:
        self._stream = stream

    def makefile(self, *_: object, **__: object) -> io.BufferedReader:
        return self._stream


class _Kept(io.BufferedReader):
    """A stream that http.client cannot close between two answers."""

    def close(self) -> None:
        pass

    def let_go(self) -> None:
        super().close()


class Wire:
    """One connection to the service."""

    def __init__(self, port: int, timeout: float = 20.0, source: str | None = None) -> None:
        own = None if source is None else (source, 0)
        self.socket = socket.create_connection(("127.0.0.1", port), timeout=timeout, source_address=own)
        self._stream = _Kept(self.socket.makefile("rb", buffering=0))

    def __enter__(self) -> "Wire":
        return self

    def __exit__(self, *_: object) -> None:
        self._stream.let_go()
        self.socket.close()

    def send(self, data: bytes) -> "Wire":
        self.socket.sendall(data)
        return self

    def answer(self, method: str = "GET") -> Answer:
        """Read one answer; raises http.client.BadStatusLine or RemoteDisconnected when the connection is closed."""
        response = http.client.HTTPResponse(cast(socket.socket, _Readable(self._stream)), method=method)
        response.begin()
        return Answer(response)

    def line(self) -> bytes:
        """Read an interim answer, up to its blank line; return its first line."""
        first = line = self._stream.readline()
        while line.strip():
            line = self._stream.readline()
        return first

    def has_come(self) -> bool:
        """Whether an answer has begun to come, or the end, without waiting for it."""
        return bool(select.select([self.socket], [], [], 0)[0])

    def peeked(self) -> bytes:
        """Return what comes next without taking it; empty when the other side has closed."""
        try:
            return self._stream.peek(1)
        except ConnectionResetError:
            return b""

    def is_closed(self) -> bool:
        """Whether the other side has closed, once everything sent has been read."""
        try:
            return self._stream.read(1) == b""
        except ConnectionResetError:
            return True
