"""Values of header fields cannot be shifted from one to another to get what is kept for somebody else."""

import itertools
import json
from collections.abc import Iterator

import pytest

from running_proxy import Proxy, running_proxy
from standing_in import standing_in
from wire import Wire

CHANGES = {"settings/limits.conf": {"burst=1200": "burst=60000"}}
ALPHABET = ("", "a", "gzip", "de", "a b", " a", "a\tb", "a a", "gzip de", r"a\na")
"""Values that make up each other where they are joined by any of their signs."""
PASSED_ON = {"accept-encoding": "gzip", "accept-language": "de"}
"""The one value of each that is passed on."""


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Proxy]:
    """A proxy before a server that tells what it was sent, in answers that are kept."""
    with standing_in() as port, running_proxy(tmp_path_factory.mktemp("kept") / "root", [port], CHANGES) as proxy:
        yield proxy


def told(wire: Wire, address: str, **fields: str) -> tuple[dict[str, str], str | None]:
    """Fields that the server was sent, as the answer tells them, and whether it was kept."""
    sent = "".join(f"{name.replace('_', '-')}: {value}\r\n" for name, value in fields.items() if value)
    wire.send(f"GET {address} HTTP/1.1\r\nHost: localhost\r\n{sent}\r\n".encode())
    answer = wire.answer()
    assert answer.status == 200
    return dict(json.loads(answer.body)["fields"]), answer.headers["Cache-Status"]


def test_no_two_pairs_of_origin_and_accept_share_an_answer(kept: Proxy) -> None:
    with Wire(kept.port) as wire:
        for _, origin, accept in itertools.product(range(2), ALPHABET, ALPHABET):
            found, _ = told(wire, "/?cache=max-age%3D60", Origin=origin, Accept=accept)
            assert (found.get("origin", ""), found.get("accept", "")) == (origin.strip(), accept.strip())


@pytest.mark.parametrize("name", PASSED_ON)
def test_nor_do_languages_and_encodings_with_either(kept: Proxy, name: str) -> None:
    with Wire(kept.port) as wire:
        for value, origin, accept in itertools.product(ALPHABET, ("", "a", "gzip", "de"), ("", "de", "a de", "gzip")):
            fields = {name.replace("-", "_"): value, "Origin": origin, "Accept": accept}
            found, _ = told(wire, "/?cache=max-age%3D60", **fields)
            assert found.get(name, "") == (value if value == PASSED_ON[name] else "")
            assert (found.get("origin", ""), found.get("accept", "")) == (origin, accept)


def test_an_address_does_not_reach_into_the_fields(kept: Proxy) -> None:
    with Wire(kept.port) as wire:
        for end, origin in [("", "a"), ("a", ""), ("%0Aa", ""), ("\\na", ""), ("%20a", "")]:
            found, _ = told(wire, f"/?cache=max-age%3D60&x={end}", Origin=origin)
            assert found.get("origin", "") == origin


def test_the_same_fields_are_a_hit(kept: Proxy) -> None:
    with Wire(kept.port) as wire:
        states = [told(wire, "/?cache=max-age%3D60&hit=1", Origin="a b", Accept="c d")[1] for _ in range(2)]
    assert states == ["closeup; fwd=miss", "closeup; hit"]
