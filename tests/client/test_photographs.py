"""Photographs through the client: as a path, as bytes or as an open file, by socket and in process."""

import io
from pathlib import Path
from typing import Any

import pytest
import requests
from PIL import Image

from busy import every_place_taken
from closeup_client import AnswerNotUnderstood, Client, ScalePhotoAnswer, ServiceRefused, ServiceUnreachable
from closeup_client.over_http import form_of
from closeup_client.reading import read
from ruler_pictures import draw, pictures

RULER = pictures()["ruler.jpg"]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    draw(tmp_path)
    return tmp_path


def test_a_path_an_open_file_and_bytes_give_the_same(client: Client, folder: Path) -> None:
    path = folder / "ruler.jpg"
    with path.open("rb") as file:
        answers = [client.scale_reading_photo(photo, tick_pitch_mm=0.5) for photo in (path, str(path), file, RULER)]
    assert len({answer.scale_px_per_mm for answer in answers}) == 1
    assert answers[0].overlay is None
    assert answers[0].zones[3].zone == "middle-left"


def test_the_overlay_is_a_png_file(client: Client) -> None:
    answer = client.scale_reading_photo(RULER, tick_pitch_mm=0.5, overlay=True)
    assert answer.overlay is not None
    assert Image.open(io.BytesIO(answer.overlay)).format == "PNG"
    assert "PNG" not in repr(answer)


def test_photographs_are_compared_in_their_order(client: Client, folder: Path) -> None:
    answer = client.scale_reading_comparison([folder / "ruler-f4.jpg", pictures()["ruler-f8.jpg"]], tick_pitch_mm=0.5)
    assert answer.best_frame == 2
    assert [frame.frame for frame in answer.frames] == [1, 2]


def test_what_is_refused_names_its_fields(client: Client) -> None:
    with pytest.raises(ServiceRefused) as refusal:
        client.scale_reading_photo(b"no photograph", tick_pitch_mm=0.5)
    assert (refusal.value.status, refusal.value.code) == (422, "photo-format")
    assert [fault.pointer for fault in refusal.value.fields] == ["/photo"]
    with pytest.raises(ServiceRefused) as refusal:
        client.scale_reading_photo(RULER, tick_pitch_mm=-1)
    assert [fault.pointer for fault in refusal.value.fields] == ["/tick_pitch_mm"]


def test_a_file_that_is_not_there_is_the_callers_error(client: Client, tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError):
        client.scale_reading_photo(tmp_path / "nothing.jpg", tick_pitch_mm=0.5)


def test_a_busy_service_is_told(in_process: Client) -> None:
    with every_place_taken(), pytest.raises(ServiceRefused) as refusal:
        in_process.scale_reading_photo(RULER, tick_pitch_mm=0.5)
    assert (refusal.value.status, refusal.value.type) == (503, "/problems/busy")


@pytest.mark.parametrize("value", [float("nan"), float("inf")])
def test_numbers_that_are_not_finite_are_never_sent(client: Client, value: float) -> None:
    with pytest.raises(ValueError, match="/tick_pitch_mm"):
        client.scale_reading_photo(RULER, tick_pitch_mm=value)


def test_uploads_have_a_time_limit_too() -> None:
    with Client("http://192.0.2.1", timeout=0.2, retries=0) as client, pytest.raises(ServiceUnreachable):
        client.scale_reading_photo(RULER, tick_pitch_mm=0.5)  # an address of documentation (RFC 5737): nobody there


def test_an_upload_is_sent_whole_again_when_the_connection_was_lost(service_url: str) -> None:
    sent: list[bytes] = []

    class Losing(requests.adapters.HTTPAdapter):
        def send(self, request: requests.PreparedRequest, *rest: Any, **more: Any) -> requests.Response:
            assert isinstance(request.body, bytes)
            sent.append(request.body)
            if len(sent) == 1:
                raise requests.ConnectionError from ConnectionResetError()
            return super().send(request, *rest, **more)

    session = requests.Session()
    session.trust_env = False
    session.mount("http://", Losing())
    with session, Client(service_url, session=session) as client:
        client.scale_reading_photo(io.BytesIO(RULER), tick_pitch_mm=0.5)
    assert len(sent) == 2
    assert sent[0] == sent[1]


def test_fields_are_written_as_in_json() -> None:
    content = form_of({"tick_pitch_mm": 0.5, "overlay": True, "sensor": "36x24"}, [("photo", b"bytes")])
    assert content.media_type.startswith("multipart/form-data; boundary=")
    for name, value in (("tick_pitch_mm", "0.5"), ("overlay", "true"), ("sensor", "36x24")):
        assert f'name="{name}"\r\n\r\n{value}\r\n'.encode() in content.data
    assert (
        b'name="photo"; filename="photo-1"\r\nContent-Type: application/octet-stream\r\n\r\nbytes\r\n' in content.data
    )


def test_an_overlay_that_is_no_base64_is_not_understood(client: Client) -> None:
    raw = dict(client.scale_reading_photo(RULER, tick_pitch_mm=0.5).raw)
    with pytest.raises(AnswerNotUnderstood, match="/overlay is not in base64"):
        read(ScalePhotoAnswer, raw | {"overlay": "?"})
