"""A photograph sent by the form of a task page: what is shown of it, and what is refused."""

import re
from io import BytesIO
from typing import Any

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from page_reading import RULER, Reading, result_of
from ruler_pictures import pictures


def posted(api: FlaskClient, **parts: Any) -> TestResponse:
    return api.post(RULER, data=parts, content_type="multipart/form-data")


def photograph() -> tuple[BytesIO, str]:
    return BytesIO(pictures()["ruler.jpg"]), "ruler.jpg"


def test_a_photograph_is_read_and_shown_with_what_was_found(api: FlaskClient) -> None:
    answer = posted(api, photo=photograph(), tick_pitch_mm="0,5 mm", sensor="23.5x15.6", units="")
    assert answer.status_code == 200
    page = Reading(answer.text)
    assert "1.57:1" in result_of(page)
    assert any(picture.startswith("data:image/png;base64,") for picture in page.pictures)
    assert "img-src 'self' data:;" in answer.headers["Content-Security-Policy"]
    assert answer.headers["Cache-Control"] == "no-store"
    assert "closeup scale-reading photo ruler.jpg --tick-pitch-mm 0.5" in page.shown


def test_only_the_overlay_may_stand_in_a_page(api: FlaskClient) -> None:
    for address in ("/", RULER, f"{RULER}?first_mark_mm=0&last_mark_mm=9&sensor=36x24"):
        assert "data:" not in api.get(address).headers["Content-Security-Policy"]
    assert "data:" not in posted(api, tick_pitch_mm="1").headers["Content-Security-Policy"]


@pytest.mark.parametrize(
    ("parts", "field", "said"),
    [
        ({"tick_pitch_mm": "1"}, "photo", "Choose the photograph"),
        ({"tick_pitch_mm": "1", "photo": (BytesIO(b""), "")}, "photo", "Choose the photograph"),
        ({"tick_pitch_mm": "1", "photo": (BytesIO(b"nothing"), "a.jpg")}, "photo", ""),
        ({"tick_pitch_mm": "fine", "photo": (BytesIO(b"nothing"), "a.jpg")}, "tick_pitch_mm", "not a number"),
    ],
)
def test_a_photograph_that_cannot_be_read_is_refused_at_its_field(
    api: FlaskClient, parts: dict[str, Any], field: str, said: str
) -> None:
    page = Reading(posted(api, **parts).text)
    assert f'href="#photo-{field}"' in page.text
    fault = re.search(rf'id="photo-{field}-fault">(.*?)</p>', page.text)
    assert fault
    assert said in fault[1]


def test_a_form_that_is_none_is_refused_in_words(api: FlaskClient) -> None:
    answer = api.post(RULER, data=b"nothing", content_type="application/json")
    assert answer.status_code == 200
    assert "Please correct the form" in answer.text
