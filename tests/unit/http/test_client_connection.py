"""Long work asks whether its client is still there."""

import socket

import pytest
from flask import Flask

from closeup_service.gear.errors import NobodyWaits
from closeup_service.http import client_connection, headers
from closeup_service.http.client_connection import is_open, still_connected
from closeup_service.operations.asking import effort


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
    environ = {"gunicorn.socket": here}
    with here:
        assert still_connected(environ)()
        monkeypatch.setattr(client_connection, "PATIENCE_S", -1.0)
        assert not still_connected(environ)()


def test_a_connection_that_cannot_be_seen_is_open() -> None:
    assert still_connected({})()


def may_go_on() -> bool:
    try:
        effort.go_on()
    except NobodyWaits:
        return False
    return True


def test_a_thread_asks_for_the_client_of_its_own_request() -> None:
    here, there = socket.socketpair()
    there.close()
    app = Flask(__name__)
    headers.register(app, ["*"])
    app.add_url_rule("/", "asked", lambda: str(may_go_on()))
    with here, pytest.MonkeyPatch.context() as patch:
        patch.setattr(client_connection, "PATIENCE_S", -1.0)
        gone = app.test_client().get("/", environ_overrides={"gunicorn.socket": here})
        waiting = app.test_client().get("/")
    assert (gone.text, waiting.text) == ("False", "True")
