"""`/v1/magnification`: one route, with what it needs."""

from typing import Any

import pytest
from flask.testing import FlaskClient

from asking import answered, codes, pointers, refused

PATH = "/v1/magnification"
ROUTES = {"/subject_width_mm", "/subject_height_mm", "/extension_mm", "/working_distance_mm"}


def test_no_route_names_all_that_are_possible(api: FlaskClient) -> None:
    assert pointers(refused(api, PATH, {"focal_length_mm": 50})) == ROUTES


def test_two_routes_are_refused_by_name(api: FlaskClient) -> None:
    problem = refused(api, PATH, {"extension_mm": 25, "subject_width_mm": 36, "sensor": "36x24", "focal_length_mm": 50})
    assert pointers(problem) == {"/extension_mm", "/subject_width_mm"}


@pytest.mark.parametrize(
    ("members", "missing"),
    [
        ({"subject_width_mm": 36}, {"/sensor"}),
        ({"extension_mm": 25}, {"/focal_length_mm"}),
        (
            {"extension_mm": 25, "mounting": "reversed"},
            {"/focal_length_mm", "/camera_register_mm", "/front_principal_plane_mm"},
        ),
        ({"working_distance_mm": 60}, {"/focal_length_mm", "/front_principal_plane_mm"}),
        ({"working_distance_mm": 60, "mounting": "reversed"}, {"/focal_length_mm", "/lens_register_mm"}),
        ({"extension_mm": 25, "focal_length_mm": 50, "lens_register_mm": 44}, {"/camera_register_mm"}),
        ({"subject_width_mm": 36, "sensor_width_mm": 36}, {"/sensor_height_mm"}),
        (
            {"subject_width_mm": 36, "sensor": "36x24", "sensor_width_mm": 36},
            {"/sensor", "/sensor_width_mm"},
        ),
    ],
)
def test_a_route_names_what_it_lacks(api: FlaskClient, members: dict[str, Any], missing: set[str]) -> None:
    assert missing <= pointers(refused(api, PATH, members))


def test_a_longer_register_of_the_camera_counts_as_extension(api: FlaskClient) -> None:
    members = {"extension_mm": 20, "focal_length_mm": 50, "lens_register_mm": 40, "camera_register_mm": 45}
    assert answered(api, PATH, members)["magnification"] == pytest.approx(0.5)


def test_the_lens_focused_nearer_counts_too(api: FlaskClient) -> None:
    members = {"extension_mm": 20, "focal_length_mm": 50, "focusing_extension_mm": 5}
    answer = answered(api, PATH, members)
    assert answer["magnification"] == pytest.approx(0.5)
    assert "registers-assumed-equal" in codes(answer["remarks"])


def test_the_extension_for_a_framing_is_found(api: FlaskClient) -> None:
    answer = answered(api, PATH, {"subject_width_mm": 18, "sensor": "36x24", "focal_length_mm": 50})
    assert answer["magnification"] == 2
    assert answer["extension_mm"] == 100
    assert answer["subject_height_mm"] == 12


def test_a_framing_that_needs_less_than_no_extension_says_so(api: FlaskClient) -> None:
    members = {
        "subject_width_mm": 72,
        "sensor": "36x24",
        "mounting": "reversed",
        "focal_length_mm": 28,
        "camera_register_mm": 44,
        "front_principal_plane_mm": 25,
    }
    answer = answered(api, PATH, members)
    assert answer["extension_mm"] is None
    assert "extension-negative" in codes(answer["remarks"])


@pytest.mark.parametrize(
    ("members", "code"),
    [
        ({"extension_mm": 0, "focal_length_mm": 50}, "focused-at-infinity"),
        (
            {"extension_mm": 1, "focal_length_mm": 50, "lens_register_mm": 45, "camera_register_mm": 18},
            "no-real-subject",
        ),
        (
            {
                "extension_mm": 0,
                "mounting": "reversed",
                "focal_length_mm": 200,
                "camera_register_mm": 18,
                "front_principal_plane_mm": -30,
            },
            "no-real-subject",
        ),
        (
            {"working_distance_mm": 30, "mounting": "reversed", "focal_length_mm": 35, "lens_register_mm": 45},
            "subject-inside-lens",
        ),
        (
            {"working_distance_mm": 10, "focal_length_mm": 50, "front_principal_plane_mm": 20},
            "subject-inside-lens",
        ),
    ],
)
def test_what_cannot_be_is_refused_with_its_reason(api: FlaskClient, members: dict[str, Any], code: str) -> None:
    problem = refused(api, PATH, members)
    assert problem["type"] == "/problems/impossible"
    assert problem["code"] == code
    assert problem["errors"]


@pytest.mark.parametrize(
    ("path", "members"),
    [
        (
            PATH,
            {
                "mounting": "reversed",
                "focal_length_mm": 35,
                "camera_register_mm": 18,
                "front_principal_plane_mm": 17,
                "extension_mm": 0,
            },
        ),
        (PATH, {"focal_length_mm": 35, "working_distance_mm": 14, "front_principal_plane_mm": 21}),
        ("/v1/working-distance", {"focal_length_mm": 50, "magnification": 1, "front_principal_plane_mm": 100}),
    ],
)
def test_a_refusal_right_at_the_bound_says_zero(api: FlaskClient, path: str, members: dict[str, Any]) -> None:
    """35 - 18 - 17 mm, 14 + 21 - 35 mm, 2 x 50 - 100 mm."""
    detail = refused(api, path, members)["detail"]
    assert " 0 mm " in detail
    assert "-0" not in detail
