"""What was typed and has no part in the result does not pass for given: the page says that it is not used."""

import re

import pytest
from flask.testing import FlaskClient

from closeup_service.pages.basis import NOT_DECISIVE, NOT_USED
from closeup_service.pages.form import UNUSED
from closeup_service.pages.task import Example, Task
from page_reading import EXAMPLES, example_address, example_id, read, result_of

LENS = "register_mm=18&sensor=36x24&focal_length_mm=50&lens_register_mm=18&f_number=8&tube_mm=20"


@pytest.mark.parametrize(
    ("address", "field", "label"),
    [
        (f"/tasks/set-up?{LENS}&drawn_height_mm=8", "drawn_height_mm", "Height of the subject"),
        (f"/tasks/set-up?{LENS}&bellows_mm=60", "bellows_mm", "Length"),
        ("/tasks/light?f_number=8&magnification=1&iso=400", "iso", "ISO speed"),
        (
            "/tasks/light?f_number=8&magnification=3&unknown=iso&iso=400&before_iso=100&before_magnification=1",
            "iso",
            "ISO speed",
        ),
        (
            "/tasks/sharpness?f_number=8&magnification=1&sensor=36x24&other_focal_length_mm=60",
            "other_focal_length_mm",
            "",
        ),
        (
            "/tasks/fill-the-frame?subject_width_mm=15&sensor=36x24&principal_plane_separation_mm=5",
            "",
            "Principal-plane",
        ),
    ],
)
def test_what_is_not_used_says_so(api: FlaskClient, address: str, field: str, label: str) -> None:
    page = read(api, address)
    assert UNUSED in result_of(page)
    assert f'id="{field or "principal_plane_separation_mm"}-doubt">{UNUSED}' in page.text
    rows = re.findall(r'<th scope="row">([^<]*)</th><td class="number">.*?<td class="basis">([^<]*)', page.text)
    assert [told for told, basis in rows if basis == NOT_USED and told.startswith(label)]


@pytest.mark.parametrize(("task", "example"), EXAMPLES, ids=example_id)
def test_everything_that_an_example_gives_is_used(api: FlaskClient, task: Task, example: Example) -> None:
    assert UNUSED not in read(api, example_address(task, example)).text


@pytest.mark.parametrize(
    "sides", ["subject_width_mm=40&subject_height_mm=10", "subject_width_mm=20&subject_height_mm=24"]
)
def test_width_and_height_are_both_weighed(api: FlaskClient, sides: str) -> None:
    assert UNUSED not in read(api, f"/tasks/fill-the-frame?{sides}&sensor=36x24").text


@pytest.mark.parametrize(
    "address",
    [
        "/tasks/find-set-up?subject_width_mm=12&camera=field-camera&best=5",
        "/tasks/light?f_number=8&magnification=3&unknown=iso&before_iso=100&before_magnification=1&before_f_number=8",
        "/tasks/light?f_number=8&magnification=3&mounting=normal",
    ],
)
def test_what_says_what_is_usual_anyhow_is_used(api: FlaskClient, address: str) -> None:
    page = read(api, address)
    assert 'id="result"' in page.text
    assert UNUSED not in page.text


def test_a_box_that_is_not_used_says_so_beside_itself(api: FlaskClient) -> None:
    page = read(api, "/tasks/set-up?camera=field-camera&before=finite-4&reversed=yes&part=rms-to-m52&tube_mm=128")
    box = next(each for each in page.controls if each["name"] == "reversed")
    assert "reversed-doubt" in box["aria-describedby"].split()
    assert f'id="reversed-doubt">{UNUSED}' in page.text


def test_the_side_that_does_not_decide_is_not_listed_as_used_for_the_result(api: FlaskClient) -> None:
    page = read(api, "/tasks/fill-the-frame?subject_width_mm=40&subject_height_mm=10&sensor=36x24")
    assert "Subject width 40 mm given " in page.shown
    assert f"Subject height 10 mm {NOT_DECISIVE}" in page.shown
