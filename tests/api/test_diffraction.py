"""What diffraction leaves of the detail, and what the pixels do of it."""

import math
from typing import Any

import pytest
from flask.testing import FlaskClient

from asking import CAMERA, LENS, SET_UPS, answered, set_up, spacer, without
from sharpness_requests import BLUR, DEPTH, DIFFRACTION, LIFE_SIZE, depth_of


@pytest.mark.parametrize(("pitch", "verdict"), [(8, "pixels-limit"), (5, "matched"), (3, "diffraction-limits")])
def test_pixels_are_held_against_what_diffraction_leaves(api: FlaskClient, pitch: float, verdict: str) -> None:
    """f/16 effective: Rayleigh 10.73 um takes pixels of 5.37 um, and the cut-off 113.6 lp/mm pixels of 4.4 um; by hand."""
    answer = answered(api, DIFFRACTION, LIFE_SIZE | {"pixel_pitch_um": pitch, "sensor": "36x24"})
    assert answer["sampling"] == verdict
    assert answer["nyquist_lp_per_mm"] == pytest.approx(500 / pitch)
    assert answer["filled_share"] == pytest.approx(min(1, (pitch / 5.367) ** 2), rel=1e-3)
    assert answer["filled_megapixels"] == pytest.approx(answer["filled_share"] * 36 * 24 / pitch**2)
    assert (answer["nyquist_contrast"] == 0) == (verdict == "diffraction-limits")


def test_the_figures_in_the_plane_of_focus_hang_together(api: FlaskClient) -> None:
    answer = answered(api, DIFFRACTION, LIFE_SIZE | {"magnification": 4})
    assert answer["effective_f_number"] == 40
    assert answer["airy_diameter_um"] == pytest.approx(2.43934 * 0.55 * 40, rel=1e-5)
    assert answer["sensor_resolution_um"] == pytest.approx(answer["airy_diameter_um"] / 2)
    assert answer["sensor_cutoff_lp_per_mm"] == pytest.approx(1000 / (0.55 * 40))
    assert answer["subject_cutoff_lp_per_mm"] == pytest.approx(2000 * answer["numerical_aperture"] / 0.55)
    for on_subject, on_sensor in (
        ("subject_airy_diameter_um", "airy_diameter_um"),
        ("subject_resolution_um", "sensor_resolution_um"),
    ):
        assert answer[on_subject] == pytest.approx(answer[on_sensor] / 4)


def test_the_contrast_of_details_is_told_coarsest_first(api: FlaskClient) -> None:
    asked = {"sensor_details_lp_per_mm": [60, 10], "subject_details_lp_per_mm": [80], "pixel_pitch_um": 5}
    rows = answered(api, DIFFRACTION, LIFE_SIZE | {"magnification": 2} | asked)["details"]
    assert [row["sensor_detail_lp_per_mm"] for row in rows] == [10, 40, 60]
    assert [row["subject_detail_lp_per_mm"] for row in rows] == [20, 80, 120]
    for row in rows:
        v = row["sensor_detail_lp_per_mm"] * 0.00055 * 24
        assert row["contrast"] == pytest.approx(2 / math.pi * (math.acos(v) - v * math.sqrt(1 - v * v)))
        sampled = math.pi * row["sensor_detail_lp_per_mm"] * 0.005
        assert row["contrast_with_pixels"] == pytest.approx(row["contrast"] * math.sin(sampled) / sampled)


def test_details_are_asked_for_in_a_query_by_commas(api: FlaskClient) -> None:
    query = "?f_number=8&magnification=1&pupil_magnification=1&sensor_details_lp_per_mm=10,20"
    response = api.get(DIFFRACTION + query)
    assert response.status_code == 200
    by_body = answered(api, DIFFRACTION, LIFE_SIZE | {"sensor_details_lp_per_mm": [10, 20]})
    assert response.get_json() == by_body
    assert len(by_body["details"]) == 2


@pytest.mark.parametrize("value", ["10,", "10,twenty", "10;20", ",", "10,1e9"])
def test_a_list_in_a_query_that_is_not_of_numbers_is_refused(api: FlaskClient, value: str) -> None:
    response = api.get(DIFFRACTION, query_string=LIFE_SIZE | {"sensor_details_lp_per_mm": value})
    assert response.status_code == 422
    assert {error.get("pointer", error.get("parameter")) for error in response.get_json()["errors"]}


@pytest.mark.parametrize(
    ("mounting", "more"),
    [
        ("normal", BLUR),
        ("reversed", BLUR),
        ("reversed", {"sensor": "36x24"}),
        ("normal", {"sensor": "36x24", "print_width_mm": 400, "viewing_distance_mm": 300}),
    ],
)
def test_at_the_largest_useful_f_number_the_airy_disk_is_as_wide_as_the_blur(
    api: FlaskClient, mounting: str, more: dict[str, Any]
) -> None:
    lens = {"mounting": mounting, "magnification": 2.5, "pupil_magnification": 1.6, "f_number": 4}
    largest = answered(api, DIFFRACTION, lens | more)["largest_useful_f_number"]
    there = answered(api, DIFFRACTION, lens | more | {"f_number": largest})
    blur = answered(api, DEPTH, lens | more | {"model": "geometric"})["circle_of_confusion_mm"]
    assert there["airy_diameter_um"] == pytest.approx(1000 * blur, rel=1e-12)
    assert there["largest_useful_f_number"] == pytest.approx(largest, rel=1e-12)


def test_what_needs_pixels_blur_or_sensor_is_null_without_and_names_them(api: FlaskClient) -> None:
    answer = answered(api, DIFFRACTION, LIFE_SIZE)
    nulls = {name for name, value in answer.items() if value is None}
    assert nulls == {
        "nyquist_lp_per_mm",
        "nyquist_contrast",
        "filled_share",
        "sampling",
        "filled_megapixels",
        "largest_useful_f_number",
    }
    told = " ".join(note["text"] for note in answer["remarks"] if note["code"] == "not-determined")
    assert all(name in told for name in (*nulls, "pixel_pitch_um", "circle_of_confusion_mm", "sensor"))
    assert answer["details"] == []


def test_contrasts_with_pixels_are_null_without_a_pixel_pitch(api: FlaskClient) -> None:
    (row,) = answered(api, DIFFRACTION, LIFE_SIZE | {"sensor_details_lp_per_mm": [30]})["details"]
    assert row["contrast"] > 0
    assert row["contrast_with_pixels"] is None


def test_a_set_up_tells_of_diffraction_as_the_quantity_does(api: FlaskClient) -> None:
    whole = answered(api, SET_UPS, set_up(LENS, spacer(31), camera=CAMERA | {"pixel_pitch_um": 4}))
    lens = without(depth_of(LENS, whole["magnification"], pixel_pitch_um=4), "focal_length_mm")
    part = answered(api, DIFFRACTION, lens)
    for name, value in whole["diffraction"].items():
        assert part[name] == (pytest.approx(value, rel=1e-9) if isinstance(value, float) else value), name
