"""Ask the service in this container whether it is alive: exit code 0 when it says so in time, 1 when it does not.

A plain socket keeps this light: the container runs it every few seconds.
"""

import os
import socket
import sys

TIMEOUT_S = 2.0
"""For each of connecting and answering, so that both end before the container engine's own limit."""


def status_line(port: int) -> bytes:
    """First line of the answer of the liveness address."""
    with socket.create_connection(("127.0.0.1", port), timeout=TIMEOUT_S) as connection:
        connection.sendall(b"GET /healthz HTTP/1.0\r\nHost: localhost\r\n\r\n")
        with connection.makefile("rb") as answer:
            return answer.readline(128)


def main() -> None:
    """Exit with a reason unless the service answers 200."""
    try:
        line = status_line(int(os.environ.get("CLOSEUP_PORT", "8000")))
    except OSError as error:
        sys.exit(f"no answer: {error}")
    if line.split()[1:2] != [b"200"]:
        sys.exit(f"unexpected answer: {line!r}")


if __name__ == "__main__":
    main()
