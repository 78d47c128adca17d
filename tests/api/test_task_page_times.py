"""A shutter time of whole seconds: 125 on a camera's dial is 1/125 s, so the page says what it read."""

import pytest
from flask.testing import FlaskClient

from page_reading import read, result_of

FRAME = "/tasks/light?f_number=8&magnification=3&unknown=exposure_time_s&before_magnification=1&before_exposure_time_s="


@pytest.mark.parametrize("typed", ["125", "2", " 60 "])
def test_whole_seconds_without_a_unit_are_said_with_what_else_may_be_meant(api: FlaskClient, typed: str) -> None:
    seconds = typed.strip()
    page = read(api, FRAME + seconds)
    said = f"Read as {seconds} s. If 1/{seconds} s is meant, write 1/{seconds}."
    assert said in result_of(page)
    control = next(each for each in page.controls if each["name"] == "before_exposure_time_s")
    assert "before_exposure_time_s-doubt" in control["aria-describedby"].split()
    assert f'id="before_exposure_time_s-doubt">{said}' in page.text


@pytest.mark.parametrize("typed", ["1/125", "125 s", "125s", "0.5", "2.5", "1", "2 min"])
def test_what_says_its_unit_or_is_a_fraction_is_taken_without_a_word(api: FlaskClient, typed: str) -> None:
    page = read(api, FRAME + typed)
    assert "Read as" not in page.text
    assert 'id="result"' in page.text


def test_it_is_said_beside_what_is_to_be_mended_too(api: FlaskClient) -> None:
    page = read(api, f"{FRAME}125&before_iso=none")
    assert "Read as 125 s." in page.text
    assert 'href="#before_iso"' in page.text


def test_the_api_takes_seconds_without_a_word(api: FlaskClient) -> None:
    asked = {"magnification": 1, "sideways_speed_mm_s": 2, "exposure_time_s": 125}
    assert "1/125" not in api.post("/v1/motion-blur", json=asked).text
