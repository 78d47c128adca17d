from collections.abc import Callable, Iterable
from importlib.metadata import EntryPoint
from typing import Any

import pytest
import requests

from closeup_client import Client, ServiceUnreachable, in_process


def found(monkeypatch: pytest.MonkeyPatch, *values: str) -> None:
    points = [EntryPoint(in_process.ENTRY_POINT, value, in_process.ENTRY_POINT_GROUP) for value in values]
    monkeypatch.setattr(in_process, "entry_points", lambda **_: points)


def test_without_the_service_the_error_says_how_to_install_it(monkeypatch: pytest.MonkeyPatch) -> None:
    found(monkeypatch)
    with pytest.raises(ServiceUnreachable, match=r"pip install '\.\[service\]'"):
        Client.in_process()


def test_without_what_the_service_needs_the_error_says_how_to_install_it(monkeypatch: pytest.MonkeyPatch) -> None:
    found(monkeypatch, "no_such_module_anywhere.web:create")
    with pytest.raises(ServiceUnreachable, match=r"pip install '\.\[service\]'") as caught:
        Client.in_process()
    assert "no_such_module_anywhere" in str(caught.value)
    assert isinstance(caught.value.__cause__, ModuleNotFoundError)


def test_a_service_that_is_broken_is_not_called_missing(monkeypatch: pytest.MonkeyPatch) -> None:
    found(monkeypatch, "closeup_service.http.app:no_such_factory")
    with pytest.raises(AttributeError, match="no_such_factory"):
        Client.in_process()


def test_no_connection_is_opened(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: Any, **__: Any) -> None:
        pytest.fail("a connection was asked for")

    monkeypatch.setattr("socket.socket.connect", refuse)
    with Client.in_process() as client:
        assert client.is_alive()


def test_the_application_gets_a_request_as_pep_3333_has_it() -> None:
    seen: dict[str, Any] = {}

    def application(environ: dict[str, Any], start_response: Callable[..., Any]) -> Iterable[bytes]:
        seen.update(environ, body=environ["wsgi.input"].read())
        start_response("404 Not Here", [("X-Kind", "a")])
        return [b"o", b"k"]

    with requests.Session() as session:
        session.mount("http://app.invalid", in_process.WsgiAdapter(application))
        response = session.post(
            "http://app.invalid/v1/a%20%C3%A9?b=%20c", data=b"xyz", headers={"Content-Type": "text/x", "X-Kind": "b"}
        )
    assert (response.status_code, response.reason, response.headers["x-kind"]) == (404, "Not Here", "a")
    assert response.content == b"ok"
    assert seen["REQUEST_METHOD"] == "POST"
    assert seen["PATH_INFO"] == "/v1/a é".encode().decode("latin-1")
    assert (seen["QUERY_STRING"], seen["body"]) == ("b=%20c", b"xyz")
    assert (seen["HTTP_HOST"], seen["HTTP_X_KIND"]) == ("app.invalid", "b")
    assert seen.keys().isdisjoint({"HTTP_CONTENT_TYPE", "HTTP_CONTENT_LENGTH", "HTTP_ACCEPT_ENCODING"})
    assert (seen["CONTENT_TYPE"], seen["CONTENT_LENGTH"], seen["SERVER_NAME"]) == ("text/x", "3", "app.invalid")


def test_the_answers_iterable_is_closed() -> None:
    closed = []

    class Pieces(list[bytes]):
        def close(self) -> None:
            closed.append(True)

    def application(environ: dict[str, Any], start_response: Callable[..., Any]) -> Iterable[bytes]:
        del environ
        start_response("200 OK", [])
        return Pieces([b"{}"])

    with requests.Session() as session:
        session.mount("http://app.invalid", in_process.WsgiAdapter(application))
        assert session.get("http://app.invalid/").json() == {}
    assert closed == [True]
