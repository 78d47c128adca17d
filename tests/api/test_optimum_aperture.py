"""Which aperture to set."""

import math

import pytest
from flask.testing import FlaskClient

from asking import LENS, SET_UPS, answered, codes, set_up, spacer, text_of, without
from sharpness_requests import DEEP, DEPTH, DIFFRACTION, OPTIMUM, depth_of

EFFECTIVE = "/v1/effective-f-number"


@pytest.mark.parametrize("mounting", ["normal", "reversed"])
@pytest.mark.parametrize("magnification", [0.5, 1, 6])
def test_the_closed_form_put_back_gives_an_airy_disk_as_wide_as_the_blur_at_both_ends(
    api: FlaskClient, mounting: str, magnification: float
) -> None:
    lens = {"mounting": mounting, "magnification": magnification, "pupil_magnification": 1.3}
    answer = answered(api, OPTIMUM, lens | {"subject_depth_mm": 3})
    assert answer["effective_f_number"] == pytest.approx(magnification * math.sqrt(3 / (4.87868 * 0.00055)), rel=1e-6)
    put_back = lens | {"f_number": answer["f_number"]}
    assert answered(api, EFFECTIVE, put_back)["effective_f_number"] == pytest.approx(answer["effective_f_number"])
    airy = answered(api, DIFFRACTION, put_back)["airy_diameter_um"]
    same_blur = put_back | {"model": "geometric", "circle_of_confusion_mm": airy / 1000}
    assert answered(api, DEPTH, same_blur)["total_mm"] == pytest.approx(3, rel=1e-9)


def test_a_set_up_finds_the_same_best_aperture(api: FlaskClient) -> None:
    whole = answered(api, SET_UPS, set_up(LENS, spacer(31), subject_depth_mm=1.5))
    lens = without(depth_of(LENS, whole["magnification"]), "focal_length_mm", "f_number")
    part = answered(api, OPTIMUM, lens | {"subject_depth_mm": 1.5})
    assert whole["optimum_effective_f_number"] == pytest.approx(part["effective_f_number"], rel=1e-12)
    assert whole["optimum_f_number"] == pytest.approx(part["f_number"], rel=1e-12)
    set_there = answered(api, SET_UPS, set_up(LENS | {"f_number": whole["optimum_f_number"]}, spacer(31)))
    assert set_there["effective_f_number"] == pytest.approx(whole["optimum_effective_f_number"], rel=1e-12)


def test_the_best_of_a_list_is_the_one_with_the_most_contrast_at_the_ends(api: FlaskClient) -> None:
    answer = answered(
        api, OPTIMUM, DEEP | {"subject_depth_mm": 0.6, "sensor_detail_lp_per_mm": 30, "f_numbers": [16, 4, 8, 8, 5.6]}
    )
    assert [row["nominal_f_number"] for row in answer["curve"]] == [4, 5.6, 8, 16]
    assert [row["f_number"] for row in answer["curve"]] == [4, 5.6, 8, 16]  # a list is taken as exact
    assert answer["best"] == max(answer["curve"], key=lambda row: float(row["end_contrast"]))
    assert answer["best"]["nominal_f_number"] == 8
    assert not {"aperture_series", "least_f_number", "greatest_f_number"} & set(answer["assumed"])


def test_a_row_of_the_curve_is_what_the_other_quantities_say(api: FlaskClient) -> None:
    asked = {"mounting": "reversed", "magnification": 2, "pupil_magnification": 1.3, "pixel_pitch_um": 4}
    answer = answered(api, OPTIMUM, asked | {"subject_depth_mm": 0.8, "sensor_detail_lp_per_mm": 25})
    for row in answer["curve"]:
        lens = asked | {"f_number": row["f_number"]}
        at_focus = answered(api, DIFFRACTION, lens | {"sensor_details_lp_per_mm": [25]})
        assert row["effective_f_number"] == pytest.approx(at_focus["effective_f_number"], rel=1e-12)
        assert row["middle_contrast"] == pytest.approx(at_focus["details"][0]["contrast_with_pixels"], abs=1e-12)
    best = answer["best"]
    kept = {"model": "contrast", "sensor_detail_lp_per_mm": 25, "contrast": best["end_contrast"]}
    assert answered(api, DEPTH, asked | kept | {"f_number": best["f_number"]})["total_mm"] == pytest.approx(
        0.8, rel=1e-6
    )


def test_with_a_focal_length_the_ends_are_equally_blurred_from_a_middle_off_centre(api: FlaskClient) -> None:
    """The whole depth by the contrast model, with the pupil's position, is the subject's depth again."""
    lens = {"magnification": 0.2, "focal_length_mm": 20, "pupil_magnification": 1}
    answer = answered(api, OPTIMUM, lens | {"subject_depth_mm": 100, "sensor_detail_lp_per_mm": 5})
    best = answer["best"]
    kept = {"model": "contrast", "sensor_detail_lp_per_mm": 5, "contrast": best["end_contrast"]}
    depth = answered(api, DEPTH, lens | kept | {"f_number": best["f_number"]})
    assert depth["total_mm"] == pytest.approx(100, rel=1e-6)
    assert depth["rear_depth_mm"] > 1.5 * depth["front_depth_mm"]


def test_one_frame_is_advised_exactly_where_the_best_mark_reaches_the_contrast(api: FlaskClient) -> None:
    asked = DEEP | {"sensor_detail_lp_per_mm": 20}
    reached = answered(api, OPTIMUM, asked)["best"]["end_contrast"]
    one = answered(api, OPTIMUM, asked | {"contrast": reached - 1e-9})
    assert one["advice"] == "one-frame"
    assert "stack-instead" not in codes(one["remarks"])
    stack = answered(api, OPTIMUM, asked | {"contrast": reached + 1e-9})
    assert stack["advice"] == "stack"
    (told,) = (note["text"] for note in stack["remarks"] if note["code"] == "stack-instead")
    assert f"{reached:.2g}" in told


@pytest.mark.parametrize(("depth", "end"), [(0.001, 2.8), (500, 22)])
def test_a_best_aperture_that_is_not_on_the_ring_is_told_and_the_nearest_end_given(
    api: FlaskClient, depth: float, end: float
) -> None:
    answer = answered(api, OPTIMUM, DEEP | {"subject_depth_mm": depth})
    assert answer["nominal_f_number"] == end
    assert "beyond-the-ring" in codes(answer["remarks"])
    assert "beyond-the-ring" not in codes(answered(api, OPTIMUM, DEEP)["remarks"])


@pytest.mark.parametrize(
    ("series", "marks"),
    [("full", [2.8, 4, 5.6, 8]), ("half", [2.8, 3.3, 4, 4.8, 5.6, 6.7, 8])],
)
def test_the_ring_has_the_marks_of_its_series_between_its_ends(
    api: FlaskClient, series: str, marks: list[float]
) -> None:
    ring = {"aperture_series": series, "least_f_number": 2.8, "greatest_f_number": 8}
    answer = answered(api, OPTIMUM, DEEP | ring | {"sensor_detail_lp_per_mm": 20})
    assert [row["nominal_f_number"] for row in answer["curve"]] == marks
    assert not set(ring) & set(answer["assumed"])


def test_a_ring_without_a_mark_between_its_ends_has_its_ends(api: FlaskClient) -> None:
    ring = {"aperture_series": "full", "least_f_number": 8.5, "greatest_f_number": 9.5}
    answer = answered(api, OPTIMUM, DEEP | ring | {"sensor_detail_lp_per_mm": 20})
    assert [row["f_number"] for row in answer["curve"]] == [8.5, 9.5]


def test_without_a_detail_there_is_no_curve_and_the_detail_is_named(api: FlaskClient) -> None:
    answer = answered(api, OPTIMUM, DEEP)
    assert (answer.get("best"), answer["curve"], answer["advice"]) == (None, [], None)
    assert answer["sensor_detail_lp_per_mm"] is None
    (told,) = (note["text"] for note in answer["remarks"] if note["code"] == "not-determined")
    assert "sensor_detail_lp_per_mm" in told
    assert "best" in told
    assert "advice" in told


def test_a_detail_on_the_subject_is_told_as_it_falls_on_the_sensor(api: FlaskClient) -> None:
    answer = answered(api, OPTIMUM, DEEP | {"magnification": 2, "subject_detail_lp_per_mm": 30})
    assert answer["sensor_detail_lp_per_mm"] == 15
    assert answer["best"]["end_contrast"] > 0


@pytest.mark.parametrize(
    "blur",
    [
        {"sensor": "36x24"},
        {"circle_of_confusion_mm": 0.02, "model": "geometric"},
        {"model": "wave"},
        {"sensor": "23.5x15.6", "print_width_mm": 300, "viewing_distance_mm": 400},
        {"sensor_width_mm": 13, "sensor_height_mm": 9, "model": "combined", "wavelength_nm": 450},
    ],
)
@pytest.mark.parametrize("pupils", [{}, {"focal_length_mm": 35, "mounting": "reversed"}, {"focal_length_mm": 90}])
@pytest.mark.parametrize("magnification", [0.4, 2, 7])
def test_at_the_covering_aperture_the_depth_of_field_is_the_subjects(
    api: FlaskClient, blur: dict[str, object], pupils: dict[str, object], magnification: float
) -> None:
    lens = {"pupil_magnification": 1.3, "magnification": magnification, **pupils, **blur}
    answer = answered(api, OPTIMUM, lens | {"subject_depth_mm": 0.3})
    there = answered(api, DEPTH, lens | {"f_number": answer["covering_f_number"]})
    assert there["total_mm"] == pytest.approx(0.3, rel=1e-9)


def test_without_a_blur_no_aperture_covers(api: FlaskClient) -> None:
    assert "covering_f_number" not in answered(api, OPTIMUM, DEEP)


@pytest.mark.parametrize(("depth", "said"), [(0.001, "every mark"), (40, "no mark")])
def test_a_covering_aperture_beyond_the_ring_says_so(api: FlaskClient, depth: float, said: str) -> None:
    answer = answered(api, OPTIMUM, {"magnification": 1, "subject_depth_mm": depth, "sensor": "36x24"})
    assert said in text_of(answer, "cover-beyond-the-ring")


def test_a_covering_aperture_that_diffraction_spoils_says_so(api: FlaskClient) -> None:
    deep, flat = (
        answered(api, OPTIMUM, {"magnification": 2, "subject_depth_mm": depth, "sensor": "36x24"}) for depth in (2, 0.2)
    )
    assert "cover-diffracts" in codes(deep["remarks"])
    assert "cover-diffracts" not in codes(flat["remarks"])


def test_an_estimated_lens_gives_a_range_of_covering_apertures(api: FlaskClient) -> None:
    asked = {
        "magnification": 2,
        "subject_depth_mm": 1,
        "sensor": "36x24",
        "focal_length_mm": 50,
        "estimate_unknown": True,
    }
    answer = answered(api, OPTIMUM, asked)
    ends = answer["ranges"]["covering_f_number"]
    assert ends["low"] < answer["covering_f_number"] < ends["high"]
