"""The questions that people ask most come out through the pages, without JavaScript, from what they know."""

import html
import re
from urllib.parse import urlencode

import pytest
from flask.testing import FlaskClient

from page_reading import Reading, read, result_of

FIGURE = r'.*?class="figure">([^<]*)'


def ask(api: FlaskClient, task: str, **typed: str) -> Reading:
    """The page for what was typed, which has a result and no fault."""
    page = read(api, f"/tasks/{task}?{urlencode(typed)}")
    assert 'class="faults"' not in page.text
    assert 'id="result"' in page.text
    return page


def figure(page: Reading, label: str) -> str:
    """First figure of the result under a label."""
    found = re.search(rf">{re.escape(label)}(?:<| ).*?class=\"figure\">([^<]*)", result_of(page), re.DOTALL)
    assert found, (label, page.shown)
    return html.unescape(found[1])


def number(text: str) -> float:
    found = re.search(r"\d+(?:\.\d+)?", text)
    assert found, text
    return float(found[0])


def test_a_wide_angle_reversed_on_tubes_of_which_only_the_focal_length_is_known(api: FlaskClient) -> None:
    page = ask(api, "set-up", register_mm="44", focal_length_mm="28 mm", reversed="yes", tube_mm="20 mm")
    assert 2 < number(figure(page, "Magnification")) < 3.2
    assert 40 < number(figure(page, "Working distance")) < 70
    assert "between" in result_of(page)


def test_how_far_the_bellows_are_drawn_out_for_a_seed(api: FlaskClient) -> None:
    seed = {"subject_width_mm": "6 mm", "sensor": "36x24", "mounting": "reversed", "focal_length_mm": "50"}
    page = ask(api, "fill-the-frame", **seed, camera_register_mm="44")
    assert figure(page, "Magnification") == "6:1"
    assert 250 < number(figure(page, "Extension")) < 330


def test_whether_a_small_aperture_is_too_small(api: FlaskClient) -> None:
    page = ask(api, "sharpness", f_number="f/16", magnification="3:1", sensor="36x24")
    assert number(figure(page, "Airy disk")) == 85.9
    assert "nothing in this picture meets the criterion" in result_of(page)


def test_the_same_question_without_a_sensor_is_answered_as_far_as_it_goes(api: FlaskClient) -> None:
    page = ask(api, "sharpness", f_number="f/16", magnification="3:1")
    assert number(figure(page, "Airy disk")) == 85.9
    assert 'id="sensor-doubt">Choose the sensor' in page.text


def test_which_aperture_gives_a_depth(api: FlaskClient) -> None:
    page = ask(api, "sharpness", magnification="2:1", subject_depth_mm="1 mm", sensor="36x24")
    covering = figure(page, "f-number that covers the subject&#39;s depth")
    assert covering.startswith("f/10.5")
    there = ask(api, "sharpness", magnification="2:1", f_number="10.5", sensor="36x24")
    assert number(figure(there, "Total depth of field")) == pytest.approx(1, rel=0.01)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        (
            {"magnification": "1:2", "subject_depth_mm": "1 mm", "sensor": "36x24"},
            "A depth of 1 mm at 1:2 takes f/2.52.",
        ),
        (
            {"magnification": "2:1", "subject_depth_mm": "1 mm", "sensor": "36x24"},
            "A depth of 1 mm asks for f/10.5, and",
        ),
        ({"magnification": "2:1", "subject_depth_mm": "1 mm"}, "For a depth of 1 mm at 2:1, set f/13."),
    ],
)
def test_the_aperture_for_a_depth_is_said_first(api: FlaskClient, typed: dict[str, str], said: str) -> None:
    assert said in ask(api, "sharpness", **typed).shown


def test_which_frames_and_step_a_deep_subject_needs(api: FlaskClient) -> None:
    page = ask(api, "sharpness", magnification="2:1", f_number="5.6", subject_depth_mm="4 mm", sensor="36x24")
    assert figure(page, "Frames") == "13"
    assert figure(page, "Step") == "0.318 mm"


@pytest.mark.parametrize("known", [{}, {"f_number": "f/11"}, {"unknown": "flash_power"}])
def test_which_power_of_the_flash_a_greater_magnification_needs(api: FlaskClient, known: dict[str, str]) -> None:
    page = ask(api, "light", magnification="2.5:1", before_magnification="1:1", before_flash_power="1/32", **known)
    assert "0.0957" in result_of(page)


def test_an_exposure_time_as_the_camera_shows_it_is_asked_about(api: FlaskClient) -> None:
    typed = {"magnification": "2.5:1", "before_magnification": "1:1", "before_exposure_time_s": "125"}
    asked = read(api, f"/tasks/light?{urlencode(typed)}")
    assert "Choose the exposure time that you mean." in asked.shown
    chosen = next(link for link in asked.links if "before_exposure_time_s=1%2F125" in link)
    assert "1/40" in figure(read(api, chosen), "New setting, as marked")


def test_which_of_my_lenses_reaches_a_magnification(api: FlaskClient) -> None:
    page = ask(api, "find-set-up", magnification="2:1", camera="field-camera")
    assert "Best first" in page.shown
    assert len([link for link in page.links if link.startswith("/tasks/set-up?document=")]) == 5


def test_the_sheet_is_printed_from_a_set_up_and_from_what_a_search_found(api: FlaskClient) -> None:
    found = ask(api, "find-set-up", magnification="2:1", camera="field-camera")
    hit = next(link for link in found.links if link.startswith("/tasks/set-up?document="))
    kit = {"camera": "field-camera", "lens": "normal-50", "reversed": "yes", "f_number": "8", "part": "reversing-49"}
    made = ask(api, "set-up", **kit, tube_mm="20")
    for page in (read(api, html.unescape(hit)), made):
        sheet = next(link for link in page.links if "sheet" in link)
        answer = api.get(html.unescape(sheet), headers={"Accept": "text/html"})
        assert answer.status_code == 200
        assert "<html" in answer.text
