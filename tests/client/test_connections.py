"""Lost, silent and missing connections, on real sockets."""

import contextlib
import socket
import socketserver
import struct
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from importlib.metadata import version
from typing import Any

import pytest
import requests

from closeup_client import Client, ServiceRefused, ServiceUnreachable, over_http
from running_service import until

RECORDS = b'{"records": []}'


class ScriptedServer(socketserver.ThreadingTCPServer):
    """Plays one script for each connection; the last one plays all further ones."""

    def __init__(self, *scripts: Callable[["Handler"], None]) -> None:
        super().__init__(("127.0.0.1", 0), Handler)
        self.scripts = scripts
        self.connections = 0
        self.open: set[socket.socket] = set()
        self.heads: list[str] = []
        self.over = threading.Event()

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.server_address[1]}"

    def process_request(self, request: Any, client_address: Any) -> None:
        self.connections += 1
        self.open.add(request)
        super().process_request(request, client_address)

    def shutdown_request(self, request: Any) -> None:
        self.open.discard(request)
        request.close()

    def finish(self) -> None:
        self.over.set()
        self.shutdown()
        for connection in tuple(self.open):
            with contextlib.suppress(OSError):  # its handler may have closed it by now
                connection.shutdown(socket.SHUT_RD)


class Handler(socketserver.StreamRequestHandler):
    """One connection."""

    server: ScriptedServer

    def handle(self) -> None:
        turn = min(self.server.connections, len(self.server.scripts)) - 1
        self.server.scripts[turn](self)

    def hear(self) -> bool:
        """Read one request; False when the other side has gone."""
        head = ""
        while (line := self.rfile.readline().decode("latin-1")) not in ("", "\r\n"):
            head += line.lower()
        for line in head.splitlines():
            if line.startswith("content-length:"):
                self.rfile.read(int(line.partition(":")[2]))
        if head:
            self.server.heads.append(head)
        return bool(head)

    def say(self, body: bytes = RECORDS, status: str = "200 OK", length: int | None = None) -> None:
        size = len(body) if length is None else length
        head = f"HTTP/1.1 {status}\r\nContent-Type: application/json\r\nContent-Length: {size}\r\n\r\n"
        self.wfile.write(head.encode() + body)


def answer(handler: Handler) -> None:
    while handler.hear():
        handler.say()


def answer_500(handler: Handler) -> None:
    while handler.hear():
        handler.say(b"{}", "500 Internal Server Error")


def reset(handler: Handler) -> None:
    handler.hear()
    handler.request.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))


def hang_up(handler: Handler) -> None:
    handler.hear()


def break_off(handler: Handler) -> None:
    handler.hear()
    handler.say(RECORDS[:5], length=len(RECORDS))


def keep_silent(handler: Handler) -> None:
    handler.hear()
    handler.server.over.wait(30)


def fall_silent(handler: Handler) -> None:
    handler.hear()
    handler.say(RECORDS[:5], length=len(RECORDS))
    handler.server.over.wait(30)


@contextmanager
def serving(*scripts: Callable[[Handler], None]) -> Iterator[ScriptedServer]:
    with ScriptedServer(*scripts) as server:
        thread = threading.Thread(target=server.serve_forever, args=(0.02,))
        thread.start()
        try:
            yield server
        finally:
            server.finish()
            thread.join()


@pytest.fixture(autouse=True)
def pauses(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    """Seconds that the client paused; it does not really wait."""
    paused: list[float] = []
    monkeypatch.setattr("closeup_client.over_http.time.sleep", paused.append)
    return paused


def closed_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


@pytest.mark.parametrize("lose", [reset, hang_up, break_off])
def test_a_lost_connection_is_tried_again_once_and_then_succeeds(
    lose: Callable[[Handler], None], pauses: list[float]
) -> None:
    with serving(lose, answer) as server, Client(server.url) as client:
        assert client.sensors() == ()
        assert server.connections == 2
    assert pauses == [over_http.FIRST_PAUSE_S]


def test_a_lost_sum_is_tried_again_with_its_body() -> None:
    with serving(reset, answer_500) as server, Client(server.url) as client:
        with pytest.raises(ServiceRefused):
            client.magnification(subject_width_mm=36, sensor="36x24")
        first, second = server.heads
    assert first == second
    assert first.startswith("post /v1/magnification ")


def test_a_connection_that_is_lost_every_time_is_given_up(pauses: list[float]) -> None:
    with serving(hang_up) as server, Client(server.url, retries=6) as client:
        with pytest.raises(ServiceUnreachable, match="cannot be reached") as caught:
            client.sensors()
        assert server.connections == 7
    assert caught.value.__cause__ is not None
    assert pauses == [0.1, 0.2, 0.4, 0.8, 1.0, 1.0]


def test_without_retries_a_lost_connection_is_told_at_once(pauses: list[float]) -> None:
    with serving(hang_up, answer) as server, Client(server.url, retries=0) as client:
        with pytest.raises(ServiceUnreachable):
            client.sensors()
        assert server.connections == 1
    assert pauses == []


@pytest.mark.parametrize("silence", [keep_silent, fall_silent])
def test_silence_is_a_timeout_and_not_tried_again(silence: Callable[[Handler], None], pauses: list[float]) -> None:
    with serving(silence) as server, Client(server.url, timeout=0.2) as client:
        with pytest.raises(ServiceUnreachable, match=r"did not answer in time \(timeout 0.2 s\)"):
            client.sensors()
        assert until(lambda: server.connections == 1)  # a busy server takes it late
    assert pauses == []


def test_waiting_and_connecting_can_have_limits_of_their_own() -> None:
    with (
        serving(keep_silent) as server,
        Client(server.url, timeout=(5.0, 0.1)) as client,
        pytest.raises(ServiceUnreachable, match="did not answer in time"),
    ):
        client.sensors()


def test_what_the_caller_is_handling_is_not_taken_for_the_cause() -> None:
    with serving(keep_silent) as server, Client(server.url, timeout=0.2) as client:
        try:
            raise ConnectionResetError("of the caller's own")
        except ConnectionResetError:
            with pytest.raises(ServiceUnreachable, match="did not answer in time"):
                client.sensors()
        assert until(lambda: server.connections == 1)


def test_a_closed_port_is_unreachable_without_another_try(pauses: list[float]) -> None:
    with Client(f"http://127.0.0.1:{closed_port()}") as client:
        with pytest.raises(ServiceUnreachable, match="refused") as caught:
            client.sensors()
        assert not client.is_alive()
    assert isinstance(caught.value.__cause__, requests.ConnectionError)
    assert pauses == []


@pytest.mark.parametrize("host", ["closeup.invalid", "a" * 70, "*"])
def test_no_other_librarys_error_leaks_from_a_host_that_is_none(host: str) -> None:
    with Client(f"http://{host}") as client, pytest.raises(ServiceUnreachable, match="cannot be reached"):
        client.sensors()


def test_a_500_is_not_tried_again(pauses: list[float]) -> None:
    with serving(answer_500, answer) as server, Client(server.url) as client:
        with pytest.raises(ServiceRefused) as caught:
            client.sensors()
        assert len(server.heads) == 1
    assert caught.value.status == 500
    assert pauses == []


def test_calls_share_one_connection_and_name_the_version() -> None:
    with serving(answer) as server, Client(server.url) as client:
        client.sensors()
        client.sensors()
        assert server.connections == 1
        assert f"user-agent: closeup-client/{version('closeup-optics')}\r\n" in server.heads[0]


def test_a_path_before_the_services_own_is_kept() -> None:
    with serving(answer) as server, Client(f"{server.url}/optics/") as client:
        client.sensors()
        assert server.heads[0].startswith("get /optics/v1/catalogue/sensors ")


def test_proxies_of_the_environment_are_not_heeded(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("NO_PROXY", "no_proxy"):
        monkeypatch.delenv(name, raising=False)
    for name in ("HTTP_PROXY", "http_proxy", "ALL_PROXY", "all_proxy"):
        monkeypatch.setenv(name, f"http://127.0.0.1:{closed_port()}")
    with serving(answer) as server, Client(server.url) as client, requests.Session() as heeding:
        assert client.sensors() == ()
        with pytest.raises(ServiceUnreachable):  # requests' own default does heed them
            Client(server.url, session=heeding).sensors()


@pytest.mark.parametrize(
    "address", ["", "127.0.0.1:8000", "ftp://127.0.0.1", "http://", "http://a/?b=c", "http://a/#b"]
)
def test_an_address_that_is_none_is_refused_at_once(address: str) -> None:
    with pytest.raises(ValueError, match="base_url"):
        Client(address)


@pytest.mark.parametrize("timeout", [0, -1, float("inf"), float("nan"), None, (1, 0), "10"])
def test_there_is_no_client_without_a_timeout(timeout: Any) -> None:
    with pytest.raises(ValueError, match="timeout"):
        Client(timeout=timeout)


@pytest.mark.parametrize("retries", [-1, 1.5, None])
def test_a_number_of_retries_that_is_none_is_refused(retries: Any) -> None:
    with pytest.raises(ValueError, match="retries"):
        Client(retries=retries)
