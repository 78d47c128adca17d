"""Tell a container to end while it works on a long table: the table comes whole, and nobody new is answered.

usage: in_flight.py HOST:PORT CONTAINER
"""

import http.client
import json
import math
import socket
import subprocess
import sys
import threading
import time

LENGTHS_MM = [float(20 + row) for row in range(50)]
TABLE = {  # the contrast of white light takes a second or two for so many rows, each for all the lenses that it may be
    "camera": {"register_mm": 44.0, "sensor": "23.5x15.6"},
    "train": [
        {"element": "lens", "focal_length_mm": 80, "f_number": 8, "register_mm": 44.0},
        {"element": "spacer"},
    ],
    "depth_of_field_model": "contrast",
    "light": "white",
    "estimate_unknown": True,
    "sensor_detail_lp_per_mm": 20,
    "contrast": 0.3,
    "fields": ["magnification", "depth_of_field.total_mm"],
    "columns": {"/train/1/length_mm": LENGTHS_MM},
}


class Table(threading.Thread):
    """One long request, its answer kept."""

    def __init__(self, address: str) -> None:
        super().__init__()
        self.connection = http.client.HTTPConnection(address, timeout=30)
        self.status, self.text = 0, b""

    def run(self) -> None:
        """Send it and read all of the answer."""
        headers = {"Content-Type": "application/json"}
        self.connection.request("POST", "/v1/set-ups/table", body=json.dumps(TABLE), headers=headers)
        reply = self.connection.getresponse()
        self.status, self.text = reply.status, reply.read()


def is_refused(address: str) -> bool:
    """Whether a new connection is turned away, at once or without an answer."""
    host, port = address.split(":")
    try:
        with socket.create_connection((host, int(port)), timeout=0.5) as connection:
            connection.sendall(b"GET /healthz HTTP/1.0\r\nHost: localhost\r\n\r\n")
            return connection.recv(1) == b""
    except OSError:
        return True


def fault(table: Table, refused_while_working: bool) -> str | None:
    """What is wrong with the end, or None."""
    if table.status != 200:
        return f"status {table.status}: {table.text[:300]!r}"
    found = json.loads(table.text)["columns"]["magnification"]
    # An extension of x beyond the infinity focus gives m = x / f.
    if len(found) != len(LENGTHS_MM) or not math.isclose(found[-1], LENGTHS_MM[-1] / 80, rel_tol=1e-9):
        return f"{len(found)} rows, the last {found[-1:]}"
    return None if refused_while_working else "new requests were answered until the end"


def main() -> None:
    """Exit with a reason unless it ends as it should."""
    address, container = sys.argv[1:]
    table = Table(address)
    table.start()
    time.sleep(0.3)
    subprocess.run(["docker", "kill", "--signal", "TERM", container], check=True, capture_output=True)
    refused = False
    while table.is_alive() and not refused:
        refused = is_refused(address) and table.is_alive()
    table.join(30)
    sys.exit(fault(table, refused))


if __name__ == "__main__":
    main()
