"""Magnification and its uncertainty from a frame of a ruler: `/v1/scale-reading`."""

import math
from typing import Any

import pytest
from flask.testing import FlaskClient

from asking import answered, codes, pointers, refused, text_of, without

PATH = "/v1/scale-reading"
EDGES: dict[str, Any] = {
    "first_mark_mm": 20.2,
    "last_mark_mm": 35.2,
    "sensor": "23.5x15.6",
    "reading_error_mm": 0.1,
    "scale_error": 0,
    "pitch_error": 0,
    "tilt_error_deg": 0,
}
PLACES: dict[str, Any] = {
    "first_mark_mm": 1,
    "last_mark_mm": 5,
    "first_mark_x_px": 100,
    "first_mark_y_px": 200,
    "last_mark_x_px": 400,
    "last_mark_y_px": 600,
    "pixel_pitch_um": 4,
}
"""A distance of 500 pixels by the triangle of 3, 4, 5; 2 mm on the sensor for 4 mm."""


def part_of(answer: dict[str, Any], source: str) -> float:
    found: float = next(each["relative_uncertainty"] for each in answer["contributions"] if each["source"] == source)
    return found


def test_marks_at_the_edges_by_hand(api: FlaskClient) -> None:
    """23.5 / 15 = 1.5667; sqrt(2) 0.1 / 15 = 0.009428; 1.96 of them either way: by hand."""
    answer = answered(api, PATH, EDGES)
    assert answer["magnification"] == pytest.approx(1.56667, rel=1e-5)
    assert answer["ratio"] == "1.57:1"
    assert answer["relative_uncertainty"] == pytest.approx(0.0094281, rel=1e-4)
    assert answer["magnification_uncertainty"] == pytest.approx(0.0147707, rel=1e-4)
    assert answer["magnification_low"] == pytest.approx(1.53772, rel=1e-5)
    assert answer["magnification_high"] == pytest.approx(1.59562, rel=1e-5)
    assert answer["subject_height_mm"] == pytest.approx(15.6 / 23.5 * 15)
    assert answer["subject_width_uncertainty_mm"] == pytest.approx(math.sqrt(2) * 0.1)
    assert answer["dominant"] == "reading"
    assert answer["assumed"] == {"tilt_deg": 0}


def test_a_reduction_is_written_as_one_to_more(api: FlaskClient) -> None:
    assert answered(api, PATH, EDGES | {"last_mark_mm": 57.1})["ratio"] == "1:1.57"


def test_places_on_a_slanted_ruler_count_along_it(api: FlaskClient) -> None:
    answer = answered(api, PATH, PLACES)
    assert answer["magnification"] == pytest.approx(0.5)
    assert answer["scale_px_per_mm"] == pytest.approx(125)
    assert answer["subject_width_mm"] is None
    assert "image_width_px" in text_of(answer, "not-determined")
    assert "full-resolution-taken" in codes(answer["remarks"])


def test_marks_may_be_given_in_either_order(api: FlaskClient) -> None:
    turned = EDGES | {"first_mark_mm": 35.2, "last_mark_mm": 20.2}
    assert answered(api, PATH, turned)["magnification"] == answered(api, PATH, EDGES)["magnification"]


def test_a_picture_that_was_scaled_down_is_counted_in_its_own_pixels(api: FlaskClient) -> None:
    """A quarter of the width of the sensor, 5.875 mm, for 4 mm, whatever the pitch of the sensor."""
    small = without(PLACES, *[name for name in PLACES if name.endswith("_px")]) | {
        "distance_px": 375,
        "sensor": "23.5x15.6",
        "image_width_px": 1500,
    }
    answer = answered(api, PATH, small)
    assert answer["magnification"] == pytest.approx(5.875 / 4)
    assert "15.7 um" in text_of(answer, "picture-scaled")
    assert "picture-scaled" not in codes(answered(api, PATH, small | {"image_width_px": 5875})["remarks"])


@pytest.mark.parametrize("crop", [{"crop_factor": 1.6}, {"used_width_mm": 23.5 / 1.6}])
def test_the_used_part_of_the_sensor_counts(api: FlaskClient, crop: dict[str, float]) -> None:
    answer = answered(api, PATH, EDGES | crop)
    assert answer["magnification"] == pytest.approx(23.5 / 1.6 / 15)
    assert "60% too much" in text_of(answer, "shortcut-whole-sensor")


def test_the_height_of_a_video_frame_follows_from_its_pixels_alone(api: FlaskClient) -> None:
    video = EDGES | {"used_width_mm": 16}
    answer = answered(api, PATH, video)
    assert answer["subject_height_mm"] is None
    assert "image_height_px" in text_of(answer, "not-determined")
    answer = answered(api, PATH, video | {"image_width_px": 3840, "image_height_px": 2160})
    assert answer["subject_height_mm"] == pytest.approx(15 * 9 / 16)


def test_a_reading_error_that_is_not_given_is_assumed_from_the_division_and_said(api: FlaskClient) -> None:
    asked = without(EDGES, "reading_error_mm")
    answer = answered(api, PATH, asked)
    assert answer["assumed"]["finest_division_mm"] == 1
    assert answer["assumed"]["reading_error_mm"] == pytest.approx(0.5 / math.sqrt(3))
    assert "0.289 mm" in text_of(answer, "reading-error-assumed")
    finer = answered(api, PATH, asked | {"finest_division_mm": 0.1})
    assert finer["relative_uncertainty"] == pytest.approx(answer["relative_uncertainty"] / 10)
    assert "finest_division_mm" not in finer["assumed"]


def test_a_place_that_is_not_said_to_be_exact_is_assumed_within_a_pixel(api: FlaskClient) -> None:
    answer = answered(api, PATH, PLACES)
    assert answer["assumed"]["reading_error_px"] == pytest.approx(1 / math.sqrt(3))
    assert part_of(answer, "reading") == pytest.approx(math.sqrt(2 / 3) / 500)


def test_a_reading_error_in_mm_also_serves_places(api: FlaskClient) -> None:
    answer = answered(api, PATH, PLACES | {"reading_error_mm": 0.02})
    assert part_of(answer, "reading") == pytest.approx(math.sqrt(2) * 0.02 / 4)


def test_errors_that_are_not_given_are_taken_as_none_and_named(api: FlaskClient) -> None:
    asked = without(EDGES, "scale_error", "tilt_error_deg")
    assert "scale_error, tilt_error_deg" in text_of(answered(api, PATH, asked), "errors-not-counted")
    assert "errors-not-counted" not in codes(answered(api, PATH, EDGES)["remarks"])


@pytest.mark.parametrize(
    ("worst", "source", "advice"),
    [
        ({"reading_error_mm": 1}, "reading", "farther apart"),
        ({"scale_error": 0.1}, "ruler", "certificate"),
        ({"pitch_error": 0.1}, "sensor", "pixel pitch"),
        ({"tilt_error_deg": 15}, "tilt", "mirror"),
    ],
)
def test_the_dominant_source_is_named_with_what_would_help(
    api: FlaskClient, worst: dict[str, float], source: str, advice: str
) -> None:
    answer = answered(api, PATH, EDGES | worst)
    assert answer["dominant"] == source
    assert advice in text_of(answer, "what-helps-most")


def test_without_any_error_nothing_dominates(api: FlaskClient) -> None:
    answer = answered(api, PATH, EDGES | {"reading_error_mm": 0})
    assert answer["dominant"] is None
    assert answer["magnification_low"] == answer["magnification_high"] == answer["magnification"]
    assert "what-helps-most" not in codes(answer["remarks"])


def test_tilt_counts_by_its_cosine_and_the_shortcut_is_told(api: FlaskClient) -> None:
    answer = answered(api, PATH, EDGES | {"tilt_deg": 60})
    assert answer["magnification"] == pytest.approx(2 * 23.5 / 15)
    assert answer["subject_width_mm"] == pytest.approx(7.5)
    assert "50% too little" in text_of(answer, "shortcut-no-tilt")
    assert "tilt-changes-scale" in codes(answer["remarks"])


def test_a_tilt_known_only_by_its_uncertainty_still_counts(api: FlaskClient) -> None:
    """sqrt(3)/2 s^2 with s = 5 degrees = 0.08727: 0.66 %, by hand."""
    answer = answered(api, PATH, EDGES | {"tilt_error_deg": 5})
    assert part_of(answer, "tilt") == pytest.approx(0.006595, rel=1e-3)


def test_where_the_interval_reaches_zero_its_low_end_is_null_and_said(api: FlaskClient) -> None:
    answer = answered(api, PATH, EDGES | {"last_mark_mm": 20.4})
    assert answer["magnification_low"] is None
    assert {"interval-without-low-end", "uncertainty-rough"} <= codes(answer["remarks"])


def test_the_error_of_the_sensor_cancels_in_the_subjects_width(api: FlaskClient) -> None:
    asked = PLACES | {"reading_error_px": 0, "pitch_error": 0.1, "image_width_px": 6000}
    assert answered(api, PATH, asked)["subject_width_uncertainty_mm"] == 0
    by_width = without(asked, "image_width_px") | {"used_width_mm": 23.5}
    answer = answered(api, PATH, by_width)
    assert answer["subject_width_uncertainty_mm"] == pytest.approx(0.1 * answer["subject_width_mm"])


NO_PLACES = without(PLACES, "pixel_pitch_um")


@pytest.mark.parametrize(
    ("members", "expected"),
    [
        ({}, {"/first_mark_mm", "/last_mark_mm", "/sensor"}),
        ({"first_mark_mm": 1, "last_mark_mm": 2}, {"/sensor"}),
        ({"first_mark_mm": 1, "last_mark_mm": 2, "pixel_pitch_um": 4}, {"/image_width_px"}),
        ({"first_mark_mm": 1, "last_mark_mm": 2, "image_width_px": 4000}, {"/pixel_pitch_um"}),
        (EDGES | {"last_mark_mm": 20.2}, {"/first_mark_mm", "/last_mark_mm"}),
        (EDGES | {"tilt_deg": 90}, {"/tilt_deg"}),
        (EDGES | {"reading_error_px": 1}, {"/reading_error_mm", "/reading_error_px"}),
        (without(EDGES, "reading_error_mm") | {"reading_error_px": 1}, {"/reading_error_px"}),
        (EDGES | {"finest_division_mm": 1}, {"/finest_division_mm"}),
        (PLACES | {"finest_division_mm": 1}, {"/finest_division_mm"}),
        (EDGES | {"crop_factor": 1.5, "used_width_mm": 16}, {"/crop_factor", "/used_width_mm"}),
        (EDGES | {"used_width_mm": 24}, {"/used_width_mm"}),
        (PLACES | {"crop_factor": 1.5}, {"/sensor"}),
        (EDGES | {"image_height_px": 4000}, {"/image_width_px"}),
        (NO_PLACES, {"/pixel_pitch_um"}),
        (NO_PLACES | {"image_width_px": 6000}, {"/sensor"}),
        (NO_PLACES | {"sensor": "23.5x15.6"}, {"/image_width_px"}),
        (without(PLACES, "last_mark_y_px"), {"/last_mark_y_px"}),
        (
            PLACES | {"distance_px": 500},
            {
                "/distance_px",
                "/first_mark_x_px",
                "/first_mark_y_px",
                "/last_mark_x_px",
                "/last_mark_y_px",
            },
        ),
        (
            PLACES | {"last_mark_x_px": 100, "last_mark_y_px": 200},
            {"/first_mark_x_px", "/first_mark_y_px", "/last_mark_x_px", "/last_mark_y_px"},
        ),
        (PLACES | {"image_width_px": 300, "image_height_px": 500}, {"/last_mark_x_px", "/last_mark_y_px"}),
        (EDGES | {"first_mark_mm": "20", "colour": "red"}, {"/first_mark_mm", "/colour"}),
    ],
)
def test_what_cannot_be_is_refused_with_every_member_at_fault(
    api: FlaskClient, members: dict[str, Any], expected: set[str]
) -> None:
    problem = refused(api, PATH, members)
    assert problem["type"] == "/problems/invalid-fields"
    assert pointers(problem) == expected


def test_the_extremes_of_the_bounds_are_answered_or_refused_but_never_fail(api: FlaskClient) -> None:
    marks = {"first_mark_mm": 0, "last_mark_mm": 1e-300, "used_width_mm": 1000}
    assert refused(api, PATH, marks)["code"] == "overflow"
    wide = {"first_mark_mm": 0, "last_mark_mm": 1e5, "used_width_mm": 0.1, "tilt_deg": 80, "tilt_error_deg": 20}
    assert 0 < answered(api, PATH, wide)["magnification"] < 1e-5
