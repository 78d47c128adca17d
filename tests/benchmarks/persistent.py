"""The cheapest client: prepared requests over connections that stay open."""

import socket
from collections.abc import Callable

from processes import Served
from rows import Measure

HEAD_ENDS = b"\r\n\r\n"
LENGTH = b"content-length:"


def prepared(method: str, path: str, body: bytes = b"", media_type: str = "application/json") -> bytes:
    """Bytes of a request."""
    about = f"Content-Type: {media_type}\r\nContent-Length: {len(body)}\r\n" if body else ""
    return f"{method} {path} HTTP/1.1\r\nHost: localhost\r\nAccept: */*\r\n{about}\r\n".encode() + body


class Connection:
    """A connection that stays open."""

    def __init__(self, port: int) -> None:
        self._socket = socket.create_connection(("127.0.0.1", port), timeout=60)
        self._socket.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)

    def send(self, request: bytes) -> None:
        """Send a request."""
        self._socket.sendall(request)

    def receive(self) -> bytes:
        """Body of the answer, which must be a good one."""
        read = self._socket.recv(65536)
        while HEAD_ENDS not in read:
            read += self.more()
        head, _, body = read.partition(HEAD_ENDS)
        if b" 200 " not in head[:15]:
            raise RuntimeError(f"refused: {head.decode()}\n{body.decode()}")
        length = int(head.lower().partition(LENGTH)[2].split(b"\r\n", 1)[0])
        parts, missing = [body], length - len(body)
        while missing > 0:
            parts.append(self.more())
            missing -= len(parts[-1])
        return b"".join(parts)

    def more(self) -> bytes:
        """Whatever comes next."""
        read = self._socket.recv(65536)
        if not read:
            raise RuntimeError("The server closed the connection.")
        return read

    def ask(self, request: bytes) -> bytes:
        """Send a request and wait for its answer."""
        self.send(request)
        return self.receive()

    def close(self) -> None:
        """Close it."""
        self._socket.close()


def server_cpu(served: Served, ask: Callable[[], object], calls: int) -> Measure:
    """CPU seconds of all the server's processes for each call."""

    def measure() -> float:
        before = served.cpu_s
        for _ in range(calls):
            ask()
        return (served.cpu_s - before) / calls

    return measure


def kept_open(served: Served, request: bytes, calls: int) -> Measure:
    """CPU seconds of the server for a request, many of them over one connection; each turn opens its own."""

    def measure() -> float:
        connection = Connection(served.port)
        connection.ask(request)
        spent = server_cpu(served, lambda: connection.ask(request), calls)()
        connection.close()
        return spent

    return measure
