"""The service within this process: found by its entry point, asked without a connection."""

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from closeup_client import Client, ServiceRefused, ServiceUnreachable, in_process, installed


def found(monkeypatch: pytest.MonkeyPatch, value: str | None) -> None:
    monkeypatch.setattr(in_process, "find_entry_point", lambda *_: value)


def test_without_the_service_the_error_says_how_to_install_it(monkeypatch: pytest.MonkeyPatch) -> None:
    found(monkeypatch, None)
    with pytest.raises(ServiceUnreachable, match=r"pip install '\.\[service\]'"):
        Client.in_process()


def test_without_what_the_service_needs_the_error_says_how_to_install_it(monkeypatch: pytest.MonkeyPatch) -> None:
    found(monkeypatch, "no_such_module_anywhere.web:Service")
    with pytest.raises(ServiceUnreachable, match=r"pip install '\.\[service\]'") as caught:
        Client.in_process()
    assert "no_such_module_anywhere" in str(caught.value)
    assert isinstance(caught.value.__cause__, ModuleNotFoundError)


def test_a_service_that_is_broken_is_not_called_missing(monkeypatch: pytest.MonkeyPatch) -> None:
    found(monkeypatch, "closeup_service.in_process:no_such_class")
    with pytest.raises(AttributeError, match="no_such_class"):
        Client.in_process()


def test_no_connection_is_opened(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: Any, **__: Any) -> None:
        pytest.fail("a connection was asked for")

    monkeypatch.setattr("socket.socket.connect", refuse)
    with Client.in_process() as client:
        assert client.is_alive()


class Recording:
    """A service that keeps what it is asked, and answers all of it alike."""

    def __init__(
        self, status: int = 200, media_type: str = "application/json", body: bytes = b'{"records": []}'
    ) -> None:
        self.asked: list[tuple[Any, ...]] = []
        self.answer = status, media_type, body

    def ask(self, *asked: Any) -> tuple[int, str, bytes]:
        self.asked.append(asked)
        return self.answer

    ask_form = ask


def client_of(service: Recording, monkeypatch: pytest.MonkeyPatch) -> Client:
    monkeypatch.setattr(in_process, "start_service", lambda: service)
    return Client.in_process()


def test_the_service_is_asked_with_path_body_and_media_type(monkeypatch: pytest.MonkeyPatch) -> None:
    service = Recording()
    client = client_of(service, monkeypatch)
    client.sensors()
    service.answer = 200, "image/svg+xml", b"<svg/>"
    assert client.scale_bar_image(scale_px_per_mm=500, image_width_px=6000) == b"<svg/>"
    assert service.asked == [
        ("/v1/catalogue/sensors", b"", "application/json"),
        ("/v1/scale-bar", b'{"scale_px_per_mm": 500, "image_width_px": 6000}', "image/svg+xml"),
    ]


def test_a_form_is_handed_over_in_parts_written_as_in_json(monkeypatch: pytest.MonkeyPatch) -> None:
    service = Recording(422, "application/problem+json", b'{"title": "No", "detail": "Because."}')
    with pytest.raises(ServiceRefused, match=r"No \(422\): Because."):
        client_of(service, monkeypatch).scale_reading_photo(b"bytes", tick_pitch_mm=0.5, overlay=True, sensor="36x24")
    values = [("tick_pitch_mm", "0.5"), ("overlay", "true"), ("sensor", "36x24")]
    assert service.asked == [("/v1/scale-reading/photo", values, [("photo", b"bytes")], "application/json")]


def test_a_client_in_process_needs_no_requests(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delitem(sys.modules, "closeup_client.over_http", raising=False)
    monkeypatch.setitem(sys.modules, "requests", None)
    assert client_of(Recording(), monkeypatch).sensors() == ()
    with pytest.raises(ModuleNotFoundError):
        Client()


METADATA = "Metadata-Version: 2.4\nName: closeup-optics\nVersion: 9.8.7\n\nVersion: 1 is in the text\n"
POINTS = "[console_scripts]\nservice = no:no\n\n[closeup_client.in_process]\nother = a:b\nservice = c.d : E\n"


@pytest.fixture
def metadata(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    folder = tmp_path / "closeup_optics-9.8.7.dist-info"
    folder.mkdir()
    (folder / "METADATA").write_text(METADATA, encoding="utf-8")
    monkeypatch.setattr(sys, "path", [str(tmp_path / "none"), str(tmp_path), *sys.path])
    kept = installed.find_metadata
    kept.cache_clear()
    yield folder
    kept.cache_clear()


def test_what_is_installed_is_read_from_the_first_metadata_on_the_path(metadata: Path) -> None:
    assert installed.read_own_version() == "9.8.7"
    assert installed.find_entry_point("closeup_client.in_process", "service") is None
    (metadata / "entry_points.txt").write_text(POINTS, encoding="utf-8")
    assert installed.find_entry_point("closeup_client.in_process", "service") == "c.d : E"
    assert installed.find_entry_point("closeup_client.in_process", "third") is None


def test_metadata_that_is_no_folder_is_read_by_the_library(metadata: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(installed, "find_metadata", lambda: None)
    assert installed.read_own_version() == "9.8.7"
    monkeypatch.setattr(installed, "DISTRIBUTION", "no-such-distribution")
    assert installed.read_own_version() is None
    assert installed.find_entry_point("closeup_client.in_process", "service") is None
    assert metadata.is_dir()


def test_what_http_would_refuse_by_its_size_is_refused_here_too(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: Any) -> None:
        pytest.fail("it was read")

    monkeypatch.setattr("closeup_service.operations.asking.strict_json.loads", refuse)
    with Client.in_process() as studio, pytest.raises(ServiceRefused) as caught:
        studio.drawing(camera={"sensor": "36x24"}, train=[], title="x" * 1_100_000)  # type: ignore[call-arg,unused-ignore]
    assert caught.value.status == 413


def test_photographs_larger_than_a_form_over_http_are_refused_here_too() -> None:
    with Client.in_process() as studio, pytest.raises(ServiceRefused) as caught:
        studio.scale_reading_photo(bytes(40_000_001), marks_pitch_mm=1)  # type: ignore[call-arg,unused-ignore]
    assert caught.value.status == 413
