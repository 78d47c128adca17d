"""How much one address may ask for, and that nobody gets round it."""

import json
import select
import time
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest

from running_proxy import Proxy, running_proxy
from standing_in import standing_in
from wire import Answer, Wire

PACE = {"rate=20r/s": "rate=1r/m", "burst=1200": "burst=9", "q=1200;w=60": "q=10;w=600"}
CHANGES = {
    "settings/limits.conf": PACE,
    "settings/addresses.conf": {"# set_real_ip_from 192.0.2.10": "set_real_ip_from 127.0.0.9"},
}
QUOTA = 10
GET = "GET {} HTTP/1.1\r\nHost: localhost\r\n{}\r\n"


def ask(port: int, source: str, fields: str = "", path: str = "/healthz") -> Answer:
    with Wire(port, source=source).send(GET.format(path, fields).encode()) as wire:
        return wire.answer()


def spent(port: int, source: str, *fields: str) -> list[int]:
    """Statuses of a few requests more than the quota, with these fields in turn."""
    return [ask(port, source, fields[number % len(fields)] if fields else "").status for number in range(QUOTA + 5)]


def test_over_the_quota_is_429_with_retry_after_and_the_policy(proxy: Proxy) -> None:
    """H07"""
    assert spent(proxy.port, "127.0.0.3") == [200] * QUOTA + [429] * 5
    refused = ask(proxy.port, "127.0.0.3")
    assert int(refused.headers["Retry-After"]) > 0
    assert refused.headers.get_all("RateLimit-Policy") == ['"default";q=10;w=600']
    assert refused.headers["Access-Control-Allow-Origin"] == "*"


def test_every_answer_states_the_policy_once(proxy: Proxy) -> None:
    """H07"""
    assert ask(proxy.port, "127.0.0.4").headers.get_all("RateLimit-Policy") == ['"default";q=10;w=600']


def test_the_quota_of_one_address_is_not_that_of_another(proxy: Proxy) -> None:
    spent(proxy.port, "127.0.0.5")
    assert ask(proxy.port, "127.0.0.6").status == 200


@pytest.mark.parametrize(
    ("source", "name"),
    [("127.0.1.1", "X-Forwarded-For"), ("127.0.1.2", "Forwarded"), ("127.0.1.3", "X-Real-IP"), ("127.0.1.4", "Via")],
)
def test_a_forged_address_is_no_way_round(proxy: Proxy, source: str, name: str) -> None:
    forged = [f"{name}: {'for=' * (name == 'Forwarded')}203.0.113.{number}\r\n" for number in range(15)]
    assert spent(proxy.port, source, *forged) == [200] * QUOTA + [429] * 5


def test_a_named_proxy_is_believed_but_not_what_its_client_forged(proxy: Proxy) -> None:
    forged = [f"X-Forwarded-For: 203.0.113.{number}, 198.51.100.7\r\n" for number in range(15)]
    assert spent(proxy.port, "127.0.0.9", *forged) == [200] * QUOTA + [429] * 5
    assert ask(proxy.port, "127.0.0.9", "X-Forwarded-For: 198.51.100.8\r\n").status == 200


def test_a_network_of_64_bits_is_one_asker(proxy: Proxy) -> None:
    neighbours = [f"X-Forwarded-For: 2001:db8:0:7:{number:x}::1\r\n" for number in range(15)]
    assert spent(proxy.port, "127.0.0.9", *neighbours) == [200] * QUOTA + [429] * 5
    assert ask(proxy.port, "127.0.0.9", "X-Forwarded-For: 2001:db8:0:8::1\r\n").status == 200


@pytest.fixture(scope="module")
def unhurried(tmp_path_factory: pytest.TempPathFactory, service_port: int) -> Iterator[Proxy]:
    with running_proxy(tmp_path_factory.mktemp("unhurried") / "root", [service_port]) as proxy:
        yield proxy


def test_the_shipped_quota_may_be_asked_at_once_and_is_stated(unhurried: Proxy) -> None:
    with Wire(unhurried.port, source="127.0.0.3") as wire:
        for _ in range(900):
            wire.send(GET.format("/healthz", "").encode())
            answer = wire.answer()
            assert answer.status == 200
    assert answer.headers["RateLimit-Policy"] == '"default";q=1200;w=60'


def test_one_address_has_so_many_requests_under_way(tmp_path: Path) -> None:
    with standing_in() as port, running_proxy(tmp_path / "root", [port]) as proxy:
        assert statuses_at_once(proxy, "/", 40) == [200] * 32 + [429] * 8


def test_who_trickles_bodies_leaves_places_to_the_others_behind_the_address(unhurried: Proxy) -> None:
    with ExitStack() as stack:
        assert refused(stack, unhurried, "/v1/magnification", "127.0.0.4", 40) == 40 - 24
        assert [ask(unhurried.port, "127.0.0.4").status for _ in range(9)] == [200] * 9
        assert ask(unhurried.port, "127.0.0.7").status == 200


def test_one_address_has_so_many_photographs_under_way_and_all_together(unhurried: Proxy) -> None:
    path = "/v1/scale-reading/photo"
    with ExitStack() as stack:
        assert [refused(stack, unhurried, path, f"127.0.0.{number}", 5) for number in (5, 6, 7)] == [2, 2, 5]
        assert ask(unhurried.port, "127.0.0.7").status == 200


@pytest.mark.parametrize(
    ("path", "source"),
    [
        ("/v1/set-ups/table", "127.0.2.1"),
        ("/v1/set-ups/search", "127.0.2.2"),
        ("/de/v1/charts/aperture", "127.0.2.3"),
        ("/tasks/find-set-up", "127.0.2.4"),
    ],
)
def test_one_address_has_fewer_heavy_requests_under_way(unhurried: Proxy, path: str, source: str) -> None:
    """One that is refused is told as the other limits tell it, and small requests of that address go on."""
    with ExitStack() as stack:
        assert refused(stack, unhurried, path, source, 12) == 12 - 8
        too_many = ask(unhurried.port, source, path=path)
        assert (too_many.status, json.loads(too_many.body)["type"]) == (429, "/problems/too-many-requests")
        assert int(too_many.headers["Retry-After"]) > 0
        assert ask(unhurried.port, source, path="/v1/cautions").status == 200
        assert ask(unhurried.port, "127.0.2.9", path=path).status != 429


def test_a_heavy_request_that_is_being_worked_out_counts_too(tmp_path: Path) -> None:
    with standing_in() as port, running_proxy(tmp_path / "root", [port]) as proxy:
        assert statuses_at_once(proxy, "/v1/charts/stack", 12) == [200] * 8 + [429] * 4


def statuses_at_once(proxy: Proxy, path: str, count: int) -> list[int]:
    """Ask for so many answers at once that each take a second."""
    with ExitStack() as stack:
        wires = [stack.enter_context(Wire(proxy.port)) for _ in range(count)]
        for number, wire in enumerate(wires):
            wire.send(GET.format(f"{path}?wait_s=1&number={number}", "").encode())
        return sorted(wire.answer().status for wire in wires)


def refused(stack: ExitStack, proxy: Proxy, path: str, source: str, count: int) -> int:
    """Begin so many requests without sending their bodies; return how many are refused at once."""
    form = "Content-Type: multipart/form-data; boundary=a\r\nContent-Length: 9\r\n"
    begun = f"POST {path} HTTP/1.1\r\nHost: localhost\r\n{form}\r\n".encode()
    wires = [stack.enter_context(Wire(proxy.port, source=source)).send(begun) for _ in range(count)]
    time.sleep(1)
    answered, _, _ = select.select([wire.socket for wire in wires], [], [], 0)
    statuses = [wire.answer("POST").status for wire in wires if wire.socket in answered]
    assert set(statuses) <= {429}
    return len(statuses)
