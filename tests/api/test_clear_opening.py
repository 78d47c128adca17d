"""How wide an opening must be where it stands: `/v1/clear-opening`."""

import math
from typing import Any

import pytest
from flask.testing import FlaskClient

from asking import LENS, SET_UPS, answered, codes, pointers, refused, set_up, spacer, text_of, without

PATH = "/v1/clear-opening"
NORMAL: dict[str, Any] = {
    "focal_length_mm": 50,
    "magnification": 1,
    "pupil_magnification": 1,
    "f_number": 5,
    "front_principal_plane_mm": 20,
    "subject_diagonal_mm": 40,
    "distance_mm": 30,
}
"""Working distance 50 x 2 - 20 = 80 mm, entrance pupil 100 mm from the subject and 10 mm wide; the plane 30 mm before the
front is 50 mm from the subject: half of 40 mm and half of 10 mm, by hand."""
REVERSED: dict[str, Any] = {
    "mounting": "reversed",
    "focal_length_mm": 50,
    "magnification": 2,
    "pupil_magnification": 1.5,
    "f_number": 5,
    "lens_register_mm": 45,
    "subject_diagonal_mm": 20,
    "distance_mm": 0,
}
"""Working distance 45 + 25 = 70 mm; entrance pupil 1.5 x 10 = 15 mm wide, 50 (0.5 + 1.5) = 100 mm from the subject, by hand."""


def only(answer: dict[str, Any]) -> dict[str, Any]:
    (row,) = answer["openings"]
    found: dict[str, Any] = row
    return found


def test_half_way_to_the_pupil_half_of_field_and_pupil_are_needed(api: FlaskClient) -> None:
    answer = answered(api, PATH, NORMAL)
    assert answer["working_distance_mm"] == pytest.approx(80)
    assert answer["entrance_pupil_distance_mm"] == pytest.approx(100)
    assert answer["entrance_pupil_diameter_mm"] == pytest.approx(10)
    row = only(answer)
    assert row["distance_from_subject_mm"] == pytest.approx(50)
    assert row["full_diameter_mm"] == pytest.approx(25)
    assert row["axial_diameter_mm"] == pytest.approx(5)
    assert row["chief_diameter_mm"] == pytest.approx(20)
    assert answer["assumed"] == {"mounting": "normal"}


def test_a_reversed_lens_turns_its_pupil_and_counts_from_its_flange(api: FlaskClient) -> None:
    answer = answered(api, PATH, REVERSED)
    assert answer["working_distance_mm"] == pytest.approx(70)
    assert answer["entrance_pupil_distance_mm"] == pytest.approx(100)
    assert answer["entrance_pupil_diameter_mm"] == pytest.approx(15)
    assert only(answer)["full_diameter_mm"] == pytest.approx(20 * 0.3 + 15 * 0.7)
    assert answer["assumed"] == {"focusing_extension_mm": 0}
    assert "reversed-rear-exposed" in codes(answer["cautions"])


def test_the_focus_ring_of_a_reversed_lens_carries_its_flange_nearer(api: FlaskClient) -> None:
    answer = answered(api, PATH, REVERSED | {"focusing_extension_mm": 5})
    assert answer["working_distance_mm"] == pytest.approx(65)
    assert only(answer)["distance_from_subject_mm"] == pytest.approx(65)


def test_the_field_follows_from_the_sensor(api: FlaskClient) -> None:
    asked = without(NORMAL, "subject_diagonal_mm") | {"magnification": 2}
    by_id = answered(api, PATH, asked | {"sensor": "36x24"})
    assert by_id["subject_diagonal_mm"] == pytest.approx(math.hypot(36, 24) / 2)
    assert by_id == answered(api, PATH, asked | {"sensor_width_mm": 36, "sensor_height_mm": 24})


def test_several_distances_are_rows_in_the_order_given(api: FlaskClient) -> None:
    answer = answered(api, PATH, without(NORMAL, "distance_mm") | {"distances_mm": [80, 30, 0]})
    assert [row["distance_mm"] for row in answer["openings"]] == [80, 30, 0]
    assert [row["full_diameter_mm"] for row in answer["openings"]] == pytest.approx([40, 25, 16])


def test_a_distance_from_the_subject_needs_no_front(api: FlaskClient) -> None:
    asked = without(NORMAL, "distance_mm", "front_principal_plane_mm") | {"distance_from_subject_mm": 50}
    answer = answered(api, PATH, asked)
    assert only(answer)["full_diameter_mm"] == pytest.approx(25)
    assert answer["working_distance_mm"] is only(answer)["distance_mm"] is None
    assert "front_principal_plane_mm" in text_of(answer, "not-determined")
    known = answered(api, PATH, asked | {"front_principal_plane_mm": 20})
    assert only(known)["distance_mm"] == pytest.approx(30)


def test_a_reversed_lens_without_register_names_the_register(api: FlaskClient) -> None:
    asked = without(REVERSED, "distance_mm", "lens_register_mm") | {"distance_from_subject_mm": 50}
    assert "lens_register_mm" in text_of(answered(api, PATH, asked), "not-determined")


@pytest.mark.parametrize(
    ("diameter", "clips", "share", "loss"),
    [
        (25, "nothing", 1, 0),
        (24.9, "corners", 0.995, 0),
        (15, "corners", 0.5, 0),
        (5, "corners", 0, 0),
        (2.5, "axis", 0, 2),
    ],
)
def test_a_given_opening_clips_the_corners_first_and_then_the_axis(
    api: FlaskClient, diameter: float, clips: str, share: float, loss: float
) -> None:
    row = only(answered(api, PATH, NORMAL | {"opening_diameter_mm": diameter}))
    assert (row["clips"], row["clears"]) == (clips, clips == "nothing")
    assert row["lit_field_share"] == pytest.approx(share)
    assert row["axial_loss_stops"] == pytest.approx(loss)


def test_what_an_opening_clips_is_told_with_the_worst_of_all_distances(api: FlaskClient) -> None:
    asked = without(NORMAL, "distance_mm") | {"distances_mm": [0, 30, 60]}
    assert "opening-clips-axis" in codes(answered(api, PATH, asked | {"opening_diameter_mm": 6})["remarks"])
    corners = answered(api, PATH, asked | {"opening_diameter_mm": 20})
    assert "56% of the frame's diagonal" in text_of(corners, "opening-clips-corners")  # (20 - 2) / 32, by hand
    clear = answered(api, PATH, asked | {"opening_diameter_mm": 40})
    assert not {"opening-clips-axis", "opening-clips-corners"} & codes(clear["remarks"])


def test_an_opening_that_stops_the_lens_down_says_to_which_f_number(api: FlaskClient) -> None:
    """Effective f/10; half the width of the cone is two stops: f/20, by hand."""
    told = text_of(answered(api, PATH, NORMAL | {"opening_diameter_mm": 2.5}), "opening-clips-axis")
    assert "2 stops" in told
    assert "f/20" in told


def test_without_an_opening_what_it_takes_is_null_and_the_opening_named(api: FlaskClient) -> None:
    answer = answered(api, PATH, NORMAL)
    row = only(answer)
    assert row["clears"] is row["clips"] is row["lit_field_share"] is row["axial_loss_stops"] is None
    assert "opening_diameter_mm" in text_of(answer, "not-determined")
    assert "stray light" in text_of(answer, "opening-geometric")


def test_steep_cones_are_told_to_spread_wider_than_the_straight_sum(api: FlaskClient) -> None:
    """NA = 10 / 200 here; at f/1 it is 0.25, and tan over sin of 14.48 degrees is 1.033, by hand."""
    assert "cone-steep" not in codes(answered(api, PATH, NORMAL)["remarks"])
    assert "3% wider" in text_of(answered(api, PATH, NORMAL | {"f_number": 1}), "cone-steep")


def test_the_pupils_agree_with_those_of_the_whole_set_up(api: FlaskClient) -> None:
    """The same reversed lens as a train: its magnification, aperture and working distance are the set-up's."""
    whole = answered(api, "/v1/set-ups/evaluate", set_up(LENS, spacer(31)))
    names = ("focal_length_mm", "f_number", "pupil_magnification")
    asked = {name: LENS[name] for name in names} | {
        "mounting": "reversed",
        "magnification": whole["magnification"],
        "lens_register_mm": LENS["register_mm"],
        "subject_diagonal_mm": 10,
        "distance_mm": 1,
    }
    answer = answered(api, PATH, asked)
    assert answer["working_distance_mm"] == pytest.approx(whole["working_distance_mm"], rel=1e-12)
    assert answer["numerical_aperture"] == pytest.approx(whole["numerical_aperture"], rel=1e-12)


@pytest.mark.parametrize(
    ("members", "expected", "code"),
    [
        (NORMAL | {"distance_mm": 80.1}, {"/distance_mm"}, "subject-inside-lens"),
        (
            without(NORMAL, "distance_mm") | {"distances_mm": [10, 90, 20, 100]},
            {"/distances_mm/1", "/distances_mm/3"},
            "subject-inside-lens",
        ),
        (
            without(NORMAL, "distance_mm") | {"distance_from_subject_mm": 81},
            {"/distance_from_subject_mm"},
            "subject-inside-lens",
        ),
        (
            NORMAL | {"front_principal_plane_mm": 120},
            {"/magnification", "/front_principal_plane_mm"},
            "subject-inside-lens",
        ),
        (NORMAL | {"f_number": 0.5, "magnification": 3, "pupil_magnification": 50}, None, "aperture-impossible"),
    ],
)
def test_an_opening_beyond_the_subject_or_inside_the_lens_is_refused(
    api: FlaskClient, members: dict[str, Any], expected: set[str] | None, code: str
) -> None:
    problem = refused(api, PATH, members)
    assert problem["code"] == code
    assert expected is None or pointers(problem) == expected


@pytest.mark.parametrize(
    ("members", "expected"),
    [
        (without(NORMAL, "distance_mm"), {"/distance_mm", "/distances_mm", "/distance_from_subject_mm"}),
        (NORMAL | {"distance_from_subject_mm": 5}, {"/distance_mm", "/distance_from_subject_mm"}),
        (without(NORMAL, "front_principal_plane_mm"), {"/front_principal_plane_mm"}),
        (without(REVERSED, "lens_register_mm"), {"/lens_register_mm"}),
        (without(NORMAL, "subject_diagonal_mm"), {"/subject_diagonal_mm"}),
        (NORMAL | {"sensor": "36x24"}, {"/subject_diagonal_mm", "/sensor"}),
        (without(NORMAL, "subject_diagonal_mm") | {"sensor_width_mm": 36}, {"/sensor_height_mm"}),
        (without(NORMAL, "focal_length_mm", "f_number"), {"/focal_length_mm", "/f_number"}),
        (NORMAL | {"distance_mm": -1}, {"/distance_mm"}),
        (NORMAL | {"opening_diameter_mm": 0}, {"/opening_diameter_mm"}),
        (without(NORMAL, "distance_mm") | {"distances_mm": [0] * 101}, {"/distances_mm"}),
    ],
)
def test_what_is_missing_impossible_or_contradictory_is_refused_by_pointer(
    api: FlaskClient, members: dict[str, Any], expected: set[str]
) -> None:
    problem = refused(api, PATH, members)
    assert problem["type"] == "/problems/invalid-fields"
    assert pointers(problem) == expected


def test_query_and_body_give_the_same_answer(api: FlaskClient) -> None:
    members = NORMAL | {"opening_diameter_mm": 20}
    assert api.get(PATH, query_string=members).get_json() == answered(api, PATH, members)


WHOLE: dict[str, Any] = set_up(LENS, spacer(31))


def test_a_whole_set_up_answers_the_same_opening_as_the_quantity(api: FlaskClient) -> None:
    whole = answered(api, SET_UPS, WHOLE | {"clear_opening": {"distance_mm": 20, "opening_diameter_mm": 9}})
    quantity = {
        "mounting": "reversed",
        "focal_length_mm": 35,
        "f_number": 8,
        "magnification": whole["magnification"],
        "pupil_magnification": 1.3,
        "lens_register_mm": 45.46,
        "sensor": "23.5x15.6",
        "distance_mm": 20,
        "opening_diameter_mm": 9,
    }
    (row,) = answered(api, PATH, quantity)["openings"]
    found = whole["clear_opening"]
    assert found["clips"] == row["clips"] == "corners"
    assert without(found, "clips") == pytest.approx(without(row, "clips"), rel=1e-12)


def test_an_opening_beyond_the_subject_of_a_set_up_is_refused(api: FlaskClient) -> None:
    problem = refused(api, SET_UPS, WHOLE | {"clear_opening": {"distance_mm": 500}})
    assert pointers(problem) == {"/clear_opening/distance_mm"}


def test_an_opening_that_the_set_up_does_not_determine_is_left_out_with_what_is_missing(api: FlaskClient) -> None:
    answer = answered(api, SET_UPS, {**WHOLE, "camera": {"register_mm": 18}, "clear_opening": {"distance_mm": 20}})
    assert "clear_opening" not in answer
    assert "clear_opening is not determined without /camera/sensor" in text_of(answer, "not-determined")


def test_a_too_narrow_opening_before_a_set_up_is_remarked_on(api: FlaskClient) -> None:
    asked = {"distance_mm": 20, "opening_diameter_mm": 2}
    answer = answered(api, SET_UPS, WHOLE | {"clear_opening": asked})
    assert answer["clear_opening"]["clips"] == "axis"
    assert {"opening-clips-axis", "opening-geometric"} <= codes(answer["remarks"])
