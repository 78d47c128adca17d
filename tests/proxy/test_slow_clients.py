"""Slow and silent clients: the proxy bears them, and others notice nothing."""

import os
import signal
import socket
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager

import pytest

from running_proxy import Proxy
from service_client import Service
from wire import Wire

CHANGES = {
    "nginx.conf": {"worker_shutdown_timeout 70s;": "worker_shutdown_timeout 2s;"},
    "settings/limits.conf": {
        f"{name} 1{number}s;": f"{name} 3s;"
        for name, number in (("client_header_timeout", 0), ("keepalive_timeout", 5))
    },
}
LONGEST_WAIT_S = 3.0
"""For an answer of the service while others stall; a matter of milliseconds on a machine that has nothing else to do."""
LONGEST_LIFE_S = 15.0
"""For a client that has fallen silent, with a deadline of three seconds."""
SOMEONE_ELSE = "127.0.0.2"
QUERY = "/v1/effective-f-number?f_number=8&magnification="
UPLOAD = (
    b"POST /v1/scale-reading/photo HTTP/1.1\r\nHost: localhost\r\nContent-Type: multipart/form-data; boundary=part\r\n"
    b'Content-Length: 30000000\r\n\r\n--part\r\nContent-Disposition: form-data; name="photo"; filename="a.jpg"\r\n\r\n'
)
HEAD = b"POST %b HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"

SLOW = {
    "silent": b"",
    "slow headers": b"GET / HTTP/1.1\r\nHost: localhost\r\nX-Slow: a",
    "slow body": HEAD % b"/v1/magnification" + b'Content-Length: 100\r\n\r\n{"a":',
    "slow chunks": HEAD % b"/v1/magnification" + b"Transfer-Encoding: chunked\r\n\r\n5\r\n{",
    "stalled upload": UPLOAD + b"a" * 65536,
    "kept alive": b"GET /healthz HTTP/1.1\r\nHost: localhost\r\n\r\n",
}


@contextmanager
def stalled(port: int, count: int, sent: bytes) -> Iterator[list[Wire]]:
    with ExitStack() as stack:
        yield [stack.enter_context(Wire(port, source=SOMEONE_ELSE)).send(sent) for _ in range(count)]


def worst_wait_s(ask: Callable[[int], int], count: int = 20) -> float:
    waits = []
    for number in range(count):
        started = time.monotonic()
        assert ask(number) == 200
        waits.append(time.monotonic() - started)
    return max(waits)


@pytest.mark.parametrize("kind", SLOW)
@pytest.mark.parametrize("count", [24, 300])
def test_others_notice_nothing_of_slow_clients(through: Service, proxy: Proxy, kind: str, count: int) -> None:
    """L07"""
    with stalled(proxy.port, count, SLOW[kind]):
        assert worst_wait_s(lambda _: through.get("/healthz").status_code) < LONGEST_WAIT_S
        assert worst_wait_s(lambda i: through.get(f"{QUERY}{count / 100 + i / 7:.5f}").status_code) < LONGEST_WAIT_S


def test_others_can_send_a_body_meanwhile(through: Service, proxy: Proxy) -> None:
    with stalled(proxy.port, 24, SLOW["slow body"]), stalled(proxy.port, 12, SLOW["stalled upload"]):
        body = b'{"f_number": 8, "magnification": 1}'
        assert worst_wait_s(lambda _: through.post("/v1/effective-f-number", body).status_code) < LONGEST_WAIT_S


def test_who_falls_silent_is_closed_at_the_deadline(proxy: Proxy) -> None:
    with ExitStack() as stack:
        wires = {kind: stack.enter_context(stalled(proxy.port, 10, sent)) for kind, sent in SLOW.items()}
        deadline = time.monotonic() + LONGEST_LIFE_S
        for kind, wire in ((kind, wire) for kind, of_a_kind in wires.items() for wire in of_a_kind):
            wire.socket.settimeout(max(deadline - time.monotonic(), 0.1))
            assert ends(wire), kind


def ends(wire: Wire) -> bool:
    """Whether the other side closes the connection, after whatever it has to say."""
    try:
        while wire.socket.recv(65536):
            pass
    except ConnectionResetError:
        return True
    except TimeoutError:
        return False
    return True


def test_a_client_that_sends_a_byte_now_and_then_is_closed_as_well(proxy: Proxy) -> None:
    """The header fields have one deadline together."""
    with Wire(proxy.port, source=SOMEONE_ELSE).send(b"GET / HTTP/1.1\r\nX-Drip: ") as wire:
        deadline = time.monotonic() + LONGEST_LIFE_S
        while time.monotonic() < deadline:
            try:
                wire.socket.sendall(b"a")
            except (BrokenPipeError, ConnectionResetError):
                return
            time.sleep(0.3)
    pytest.fail("The client was borne with for longer than it may be.")


def test_a_reload_cuts_off_who_trickles_a_body(through: Service, proxy: Proxy) -> None:
    with Wire(proxy.port, source=SOMEONE_ELSE).send(SLOW["slow body"]) as wire:
        os.kill(proxy.pid, signal.SIGHUP)
        deadline = time.monotonic() + LONGEST_LIFE_S
        while time.monotonic() < deadline:
            try:
                wire.send(b" ")
                time.sleep(0.3)
            except (BrokenPipeError, ConnectionResetError):
                break
        else:
            pytest.fail("The client was tolerated for longer than it may be.")
    assert through.get("/healthz").status_code == 200


def test_a_client_that_does_not_read_is_no_hindrance(through: Service, proxy: Proxy) -> None:
    with ExitStack() as stack:
        for _ in range(24):
            wire = stack.enter_context(Wire(proxy.port, source=SOMEONE_ELSE))
            wire.socket.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 4096)
            wire.send(b"GET /openapi.json HTTP/1.1\r\nHost: localhost\r\n\r\n")
        assert worst_wait_s(lambda i: through.get(f"{QUERY}{9 + i / 7:.5f}").status_code) < LONGEST_WAIT_S
