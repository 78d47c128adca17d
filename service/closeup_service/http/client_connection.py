"""Whether the client of the request in hand is still connected, for work that takes long."""

import select
import socket
import time

from closeup_service.operations.asking.effort import Waiting, always
from closeup_service.running.observing import Environ

SOCKET = "gunicorn.socket"
"""Where the environment of a request keeps its connection."""
PATIENCE_S = 1.0
"""For so long no one asks: a client may close its own side as soon as it has sent its request, and still read."""


def still_connected(environ: Environ) -> Waiting:
    """Make the question for the request of an environment; it answers yes where the connection cannot be seen."""
    connection = environ.get(SOCKET)
    if not isinstance(connection, socket.socket):
        return always
    since = time.monotonic()
    return lambda: time.monotonic() - since < PATIENCE_S or is_open(connection)


def is_open(connection: socket.socket) -> bool:
    """Whether the other side has not closed the connection; what it has sent in advance stays to be read."""
    try:
        readable, _, _ = select.select([connection], [], [], 0)
        return not readable or connection.recv(1, socket.MSG_PEEK | socket.MSG_DONTWAIT) != b""
    except BlockingIOError:
        return True
    except (OSError, ValueError):
        return False
