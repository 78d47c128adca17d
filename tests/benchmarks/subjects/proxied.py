"""The same GET again and again through the shipped proxy, which keeps the answer, against the peer without a proxy.

Proxy and service share the server's core; the peer has it to itself. Only the quota of one client's address is lifted.
"""

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path
from typing import Any

from load import CLIENT, requests_per_second
from machine import cores
from processes import Served, gunicorn, quiet_port, service, serving, uvicorn
from requests_asked import GET_PATH, QUERY
from rows import Effort, NotHere, Row, in_turns

SECONDS = 3.0
NO_QUOTA = {"settings/limits.conf": {"rate=20r/s": "rate=900000r/s", "burst=1200": "burst=900000"}}
PEER_PATH = f"/effective-f-number?{QUERY}"


def rows(effort: Effort) -> list[Row]:
    """Requests per second through the proxy, and without it."""
    peer_port, own_port, flask_port = quiet_port(), quiet_port(), quiet_port()
    seconds = SECONDS * effort.share
    with (
        serving(uvicorn("peers.fastapi_sums:app", peer_port), peer_port, PEER_PATH),
        serving(gunicorn("peers.bare_flask:app", flask_port), flask_port, "/"),
        serving(service(own_port), own_port, "/healthz"),
        shipped_proxy(own_port) as proxy_port,
    ):
        peer = requests_per_second(peer_port, PEER_PATH, seconds)
        flask = requests_per_second(flask_port, "/", seconds)
        kept = requests_per_second(proxy_port, GET_PATH, seconds)
        direct = requests_per_second(own_port, GET_PATH, seconds)
        fewer = Effort(max(3, effort.pairs // 3), effort.share)
        more: dict[str, Any] = {"unit": "per s", "more_is_better": True}
        return [
            in_turns(
                f"repeated GET through the proxy, by {CLIENT}", kept, "FastAPI direct", peer, fewer, goal=2, **more
            ),
            in_turns(f"GET without the proxy, by {CLIENT}", direct, "FastAPI direct", peer, fewer, **more),
            in_turns(f"GET without the proxy, by {CLIENT}", direct, "bare Flask, same server", flask, fewer, **more),
        ]


@contextmanager
def shipped_proxy(service_port: int) -> Iterator[int]:
    """Run the proxy as it is shipped on the server's core; yields its port."""
    try:
        running: Any = import_module("running_proxy")
    except ModuleNotFoundError:
        raise NotHere("the shipped proxy is not here") from None
    if running.NGINX is None:
        raise NotHere("nginx is not here")
    with (
        tempfile.TemporaryDirectory(prefix="closeup-benchmark-") as folder,
        running.running_proxy(Path(folder) / "proxy", [service_port], NO_QUOTA) as proxy,
    ):
        for pid in Served(proxy.port, proxy.pid, 0.0).family:
            os.sched_setaffinity(pid, {cores()[0]})
        yield proxy.port
