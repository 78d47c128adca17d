"""Every length of an address and of a header field that is passed on: answered, or refused as too long."""

from collections.abc import Iterator

import pytest

from running_proxy import Proxy
from wire import Answer, Wire

CHANGES = {"settings/limits.conf": {"burst=1200": "burst=60000"}}
LONGEST_LINE = 8190
LONGEST_FIELD = 4096
START, END = "GET /physics?", " HTTP/1.1"
STEP = 50
"""No part of what the proxy allots is as small."""
ACCEPT = "text/html"
FIELDS = {
    "Accept": f"{ACCEPT}, x/",
    "Origin": "https://",
    "Content-Type": "text/plain; a=",
    "traceparent": "00-",
}


def answered(proxy: Proxy, line: str, *fields: str) -> Answer:
    with Wire(proxy.port) as wire:
        wire.send("\r\n".join([line, "Host: localhost", *fields, "", ""]).encode())
        answer = wire.answer()
    assert answer.status == 200 or answer.headers["Content-Type"] == "application/problem+json"
    return answer


def line_of(length: int) -> str:
    return f"{START}{'a' * (length - len(START + END))}{END}"


def field_of(name: str, length: int) -> str:
    return f"{name}: {FIELDS[name].ljust(length, 'a')}"


def lengths(longest: int) -> Iterator[int]:
    """Up to the longest and twice beyond it, closer to each other near it."""
    yield from range(STEP, 2 * longest, STEP)
    yield from range(longest - 20, longest + 20)


def test_an_address_of_any_length_is_answered_or_too_long(proxy: Proxy) -> None:
    """L10 L03"""
    found = {length: answered(proxy, line_of(length)).status for length in lengths(LONGEST_LINE)}
    assert {length for length, status in found.items() if status != (200 if length <= LONGEST_LINE else 414)} == set()


@pytest.mark.parametrize("name", FIELDS)
def test_a_field_of_any_length_is_answered_or_too_large(proxy: Proxy, name: str) -> None:
    """L03"""
    found = {length: answered(proxy, line_of(100), field_of(name, length)).status for length in lengths(LONGEST_FIELD)}
    assert {length for length, status in found.items() if status != (200 if length <= LONGEST_FIELD else 431)} == set()


def test_the_longest_of_all_together_is_answered_and_kept(proxy: Proxy) -> None:
    fields = [field_of(name, LONGEST_FIELD) for name in FIELDS]
    first, second = (answered(proxy, line_of(LONGEST_LINE), *fields) for _ in range(2))
    assert (first.status, second.status, second.headers["Cache-Status"]) == (200, 200, "closeup; hit")


def test_a_field_that_is_too_large_is_too_large_for_any_method(proxy: Proxy) -> None:
    assert answered(proxy, "OPTIONS /physics HTTP/1.1", field_of("Origin", LONGEST_FIELD + 1)).status == 431
