"""An exposure time as cameras show it: 125 is 1/125 s there, so the page asks which of the two is meant."""

import html
import re

import pytest
from flask.testing import FlaskClient

from page_reading import read, result_of

FRAME = "/tasks/light?f_number=8&magnification=3&unknown=exposure_time_s&before_magnification=1&before_exposure_time_s="
FIELD = "before_exposure_time_s"


@pytest.mark.parametrize("typed", ["125", "2", " 60 "])
def test_whole_seconds_without_a_unit_are_a_fault_with_both_times_to_choose_from(api: FlaskClient, typed: str) -> None:
    shown = typed.strip()
    page = read(api, FRAME + typed)
    assert 'id="result"' not in page.text
    assert f'href="#{FIELD}"' in page.text
    control = next(each for each in page.controls if each["name"] == FIELD)
    assert (control["value"], control["aria-invalid"]) == (shown, "true")
    assert f"{FIELD}-fault" in control["aria-describedby"].split()
    fault = re.search(rf'id="{FIELD}-fault">(.*?)</div>', page.text, re.DOTALL)
    assert fault
    choices = re.findall(r'<a href="([^"]*)">([^<]*)</a>', fault[1])
    assert [words for _, words in choices] == [f"1/{shown} s", f"{shown} s"]


@pytest.mark.parametrize(("chosen", "basis"), [(0, "1/125 s given"), (1, "125 s given")])
def test_either_choice_fills_the_field_and_gives_the_result(api: FlaskClient, chosen: int, basis: str) -> None:
    page = read(api, FRAME + "125")
    links = re.findall(r'<li><a href="(/tasks/light[^"]*)">', page.text)
    result = read(api, html.unescape(links[chosen]))
    assert f"Earlier exposure time {basis}" in re.sub(r"\s+", " ", result.shown)
    assert "New setting" in result_of(result)


@pytest.mark.parametrize("typed", ["1/125", "1/60 s", "125 s", "125s", "0.5", "2.5", "1", "2 min", '2"', "2″", '0"3'])
def test_what_says_its_unit_or_is_a_fraction_is_taken_without_a_word(api: FlaskClient, typed: str) -> None:
    page = read(api, FRAME + typed)
    assert 'class="fault"' not in page.text
    assert 'id="result"' in page.text


@pytest.mark.parametrize(
    ("typed", "seconds"), [('2"', "2 s"), ('0"3', "0.3 s"), ("1/60 s", "1/60 s"), ("0.5", "1/2 s")]
)
def test_times_as_cameras_show_them_are_understood(api: FlaskClient, typed: str, seconds: str) -> None:
    shown = re.sub(r"\s+", " ", read(api, FRAME + typed).shown)
    assert f"Earlier exposure time {seconds} given" in shown


def test_it_is_asked_beside_every_other_fault(api: FlaskClient) -> None:
    page = read(api, f"{FRAME}125&before_iso=none")
    assert f'href="#{FIELD}"' in page.text
    assert 'href="#before_iso"' in page.text


def test_the_api_takes_seconds_without_a_word(api: FlaskClient) -> None:
    asked = {"magnification": 1, "sideways_speed_mm_s": 2, "exposure_time_s": 125}
    assert "1/125" not in api.post("/v1/motion-blur", json=asked).text
