"""Everything that is wrong with a form is told at once, each at its field; and nothing is blamed that may be right."""

import re

import pytest
from flask.testing import FlaskClient

from page_reading import read

TYPED_LENS = "register_mm=18&sensor=36x24&focal_length_mm=50&lens_register_mm=18&f_number=8"


def at_fault(api: FlaskClient, address: str) -> list[str]:
    return re.findall(r'<li><a href="#([^"]*)">', read(api, address).text)


@pytest.mark.parametrize(
    ("address", "fields"),
    [
        ("/tasks/fill-the-frame?subject_width_mm=wide", {"subject_width_mm", "sensor"}),
        ("/tasks/fill-the-frame?subject_width_mm=wide&sensor=9x9", {"subject_width_mm", "sensor"}),
        ("/tasks/fill-the-frame?subject_width_mm=9&focal_length_mm=0&sensor=9x9", {"focal_length_mm", "sensor"}),
        ("/tasks/sharpness?f_number=wide&sensor=36x24", {"f_number", "magnification"}),
        ("/tasks/sharpness?f_number=0&magnification=2:0&sensor=36x24", {"f_number", "magnification"}),
        ("/tasks/light?f_number=0&magnification=1&unknown=iso&before_magnification=1", {"f_number", "before_iso"}),
        (
            "/tasks/light?f_number=8&magnification=1&guide_number_m=0&unknown=x&before_magnification=1",
            {"guide_number_m", "unknown"},
        ),
        ("/tasks/ruler?first_mark_mm=x&last_mark_mm=20&sensor=1x1", {"first_mark_mm", "sensor"}),
        ("/tasks/set-up?camera=field-camera&wavelength_nm=1", {"part1", "wavelength_nm"}),
        (
            "/tasks/set-up?register_mm=18&focal_length_mm=fifty&f_number=0&tube_mm=9",
            {"part1_focal_length_mm", "part1_f_number"},
        ),
        (
            f"/tasks/set-up?{TYPED_LENS}&wavelength_nm=1&target_magnification=1&target_working_distance_mm=90",
            {"target_working_distance_mm", "wavelength_nm"},
        ),
        (
            f"/tasks/set-up?{TYPED_LENS}&wavelength_nm=1&target_magnification=1&tube_mm=9",
            {"target_magnification", "wavelength_nm"},
        ),
        (
            "/tasks/find-set-up?subject_width_mm=9&best=few&pixel_pitch_um=0&mount=x&sensor=36x24",
            {"best", "pixel_pitch_um"},
        ),
        (
            "/tasks/find-set-up?subject_width_mm=9&best=0&least_clearance_mm=x&camera=field-camera",
            {"best", "least_clearance_mm"},
        ),
        (
            '/tasks/set-up?document={"camera":{"register_mm":-5},"train":[{"element":"lens","focal_length_mm":"fifty"}]}',
            {"register_mm", "part1_more"},
        ),
    ],
)
def test_everything_that_is_wrong_is_told_at_once(api: FlaskClient, address: str, fields: set[str]) -> None:
    told = at_fault(api, address)
    assert set(told) == fields
    assert len(told) == len(fields)


@pytest.mark.parametrize(
    ("address", "field"),
    [
        ("/tasks/fill-the-frame?subject_width_mm=wide&sensor=36x24", "subject_width_mm"),
        (
            "/tasks/fill-the-frame?subject_height_mm=9&subject_width_mm=x&sensor=36x24&focal_length_mm=50",
            "subject_width_mm",
        ),
        ("/tasks/sharpness?f_number=8&magnification=x&sensor=36x24&subject_depth_mm=1", "magnification"),
        ("/tasks/light?f_number=x&magnification=1&guide_number_m=36", "f_number"),
        ("/tasks/light?f_number=8&magnification=1&unknown=iso&before_magnification=1&before_iso=x", "before_iso"),
        ("/tasks/ruler?first_mark_mm=1&last_mark_mm=x&distance_px=4800&pixel_pitch_um=3.9", "last_mark_mm"),
        (f"/tasks/set-up?{TYPED_LENS}&tube_mm=x", "part2_length_mm"),
        (f"/tasks/set-up?{TYPED_LENS}&tube_mm=9&reversed=perhaps", "part1_reversed"),
        (f"/tasks/set-up?{TYPED_LENS}&target_magnification=x", "target_magnification"),
        ("/tasks/find-set-up?subject_width_mm=x&camera=field-camera&longest_rig_mm=90", "subject_width_mm"),
        ("/tasks/set-up?document=[", "document"),
    ],
)
def test_only_what_cannot_be_read_is_blamed_where_the_rest_may_be_right(
    api: FlaskClient, address: str, field: str
) -> None:
    assert at_fault(api, address) == [field]


def test_a_set_up_without_parts_is_asked_for_its_lens(api: FlaskClient) -> None:
    page = read(api, "/tasks/set-up?camera=field-camera")
    assert "Choose a lens of the kit, or describe one." in page.text
    assert "elements" not in page.text


def test_one_field_is_told_one_fault_of_several_operations(api: FlaskClient) -> None:
    page = read(api, "/tasks/sharpness?f_number=0&magnification=1&sensor=36x24&subject_depth_mm=1&other_sensor=36x24")
    assert page.text.count('class="fault"') == 1
