"""Long work asks whether its client is still there."""

import socket

import pytest
from flask import Request

from closeup_service.http import client_connection
from closeup_service.http.client_connection import is_open, still_connected


def test_a_client_that_has_closed_is_gone() -> None:
    here, there = socket.socketpair()
    with here:
        assert is_open(here)
        there.sendall(b"GET / HTTP/1.1")
        assert is_open(here)
        assert here.recv(64) == b"GET / HTTP/1.1"  # what it sent in advance is still to be read
        there.close()
        assert not is_open(here)
    assert not is_open(here)


def test_for_a_while_nobody_asks(monkeypatch: pytest.MonkeyPatch) -> None:
    here, there = socket.socketpair()
    there.close()
    request = Request({"gunicorn.socket": here})
    with here:
        assert still_connected(request)()
        monkeypatch.setattr(client_connection, "PATIENCE_S", -1.0)
        assert not still_connected(request)()


def test_a_connection_that_cannot_be_seen_is_open() -> None:
    assert still_connected(Request({}))()
