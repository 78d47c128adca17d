"""Photographs that trickle through the proxy are refused within seconds, and give their places back."""

import json
import time
from contextlib import ExitStack

import pytest

from running_proxy import Proxy
from service_client import Service
from wire import Answer, Wire

PATH = "/v1/scale-reading/photo"
LONGEST_LIFE_S = 40.0
"""For a trickle, of which the service refuses each after some ten seconds."""
PART = b'--part\r\nContent-Disposition: form-data; name="photo"; filename="a.jpg"\r\n\r\n'
HEAD = f"POST {PATH} HTTP/1.1\r\nHost: localhost\r\nContent-Type: multipart/form-data; boundary=part\r\n"
TRICKLES = {
    "length": (f"{HEAD}Content-Length: 30000000\r\n\r\n".encode() + PART, b"a"),
    "chunks": (f"{HEAD}Transfer-Encoding: chunked\r\n\r\n{len(PART):x}\r\n".encode() + PART + b"\r\n", b"1\r\na\r\n"),
}


def trickled(wires: list[Wire], drop: bytes) -> list[Answer]:
    """Send drop after drop on each connection until it is answered; all of them must be."""
    answers: dict[int, Answer] = {}
    deadline = time.monotonic() + LONGEST_LIFE_S
    while len(answers) < len(wires) and time.monotonic() < deadline:
        for number, wire in enumerate(wires):
            if number in answers:
                continue
            if wire.has_come():
                answers[number] = wire.answer("POST")
            else:
                wire.send(drop)
        time.sleep(0.2)
    assert len(answers) == len(wires)
    return list(answers.values())


@pytest.mark.parametrize("kind", TRICKLES)
def test_a_trickled_photograph_is_refused_and_closed(proxy: Proxy, kind: str) -> None:
    head, drop = TRICKLES[kind]
    with Wire(proxy.port).send(head) as wire:
        (answer,) = trickled([wire], drop)
        assert (answer.status, json.loads(answer.body)["status"]) == (408, 408)
        assert wire.is_closed()


def test_trickles_give_their_places_back(proxy: Proxy, through: Service) -> None:
    head, drop = TRICKLES["length"]
    with ExitStack() as stack:
        sources = [f"127.0.3.{number}" for number in (1, 1, 1, 2, 2, 2)]
        wires = [stack.enter_context(Wire(proxy.port, source=source)).send(head) for source in sources]
        assert {answer.status for answer in trickled(wires, drop)} == {408}
        deadline = (
            time.monotonic() + LONGEST_LIFE_S
        )  # the proxy reads on for some seconds what a refused client may still send
        while (answer := through.ask("POST", PATH, files={"photo": ("a.jpg", b"no picture")})).status_code == 429:
            assert time.monotonic() < deadline
            time.sleep(0.5)
        assert answer.status_code == 422
