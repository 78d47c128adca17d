"""Quantities of a lens of which only the engravings are known: medians with ranges, and what is not told."""

from typing import Any

import pytest
from flask.testing import FlaskClient
from hypothesis import given
from hypothesis import strategies as st

from asking import answered, codes, pointers, refused, text_of, without
from closeup_service.estimates.ensemble import estimate_lens
from closeup_service.estimates.joint import draw
from closeup_service.estimates.known_lens import KnownLens
from closeup_service.operations.asking.ask import answer_to, loaded
from closeup_service.operations.registry import operation_at

WIDE: dict[str, Any] = {
    "focal_length_mm": 28,
    "lens_register_mm": 45.5,
    "mounting": "reversed",
    "estimate_unknown": True,
}
ON_7_MM: dict[str, Any] = {"camera_register_mm": 44, "extension_mm": 7, "sensor": "36x24"}
LIGHT: dict[str, Any] = {"f_number": 8, "magnification": 2}
REQUESTS: dict[str, dict[str, Any]] = {
    "/v1/magnification": ON_7_MM,
    "/v1/working-distance": {"magnification": 2},
    "/v1/effective-f-number": LIGHT,
    "/v1/depth-of-field": LIGHT | {"sensor": "36x24"},
    "/v1/diffraction": LIGHT | {"sensor": "36x24"},
    "/v1/optimum-aperture": {"magnification": 2, "subject_depth_mm": 2},
    "/v1/focus-stack": LIGHT | {"sensor": "36x24", "subject_depth_mm": 2},
    "/v1/flash": LIGHT | {"guide_number_m": 20},
    "/v1/clear-opening": LIGHT | {"sensor": "36x24", "distance_mm": 10},
    "/v1/motion-blur": {"magnification": 2, "rotation_rad_s": 0.1, "exposure_time_s": 0.01},
    "/v1/format-equivalence": LIGHT | {"sensor": "36x24", "other_sensor": "23.5x15.6"},
    "/v1/exposure": {
        "unknown": "exposure_time_s",
        "reference": {"f_number": 8, "magnification": 1, "exposure_time_s": 0.01, "mounting": "reversed"},
        "planned": {"magnification": 2},
    },
}
"""A request of each quantity that lacks nothing but data of the lens."""


def asked(path: str, **more: Any) -> dict[str, Any]:
    request = WIDE | REQUESTS[path] | more
    return without(request, "mounting") if path == "/v1/exposure" else request


def test_the_first_question_is_answered_with_a_range(api: FlaskClient) -> None:
    """28 mm, reversed on a register of 44 mm, 7 mm of rings: between the rows e 0 and e 25 of the statistics' table."""
    answer = answered(api, "/v1/magnification", WIDE | ON_7_MM)
    found = answer["ranges"]["magnification"]
    assert 1.48 < found["low"] < 2.35
    assert 2.23 < found["high"] < 3.13
    assert found["low"] < answer["magnification"] < found["high"]
    assert answer["coverage"] == 0.95
    assert answer["estimated"]["/front_principal_plane_mm"]["based_on"] == "lens-class"
    assert "lens-estimated" in codes(answer["remarks"])


@pytest.mark.parametrize("path", REQUESTS)
def test_every_quantity_has_ranges_around_its_medians(api: FlaskClient, path: str) -> None:
    answer = answered(api, path, asked(path))
    assert answer["ranges"]
    assert answer["measure_first"] == []
    for name, found in answer["ranges"].items():
        value: Any = answer
        for step in name.split("."):
            value = value[int(step) if step.isdecimal() else step]
        assert found["low"] <= value <= found["high"], name


@pytest.mark.parametrize("path", REQUESTS)
def test_nothing_changes_where_it_is_not_asked_for(api: FlaskClient, path: str) -> None:
    """The API's default is that of 1.0.0: what lacks data is refused, or taken as usual, and nothing is estimated."""
    given = without(asked(path), "estimate_unknown")
    response, also = api.post(path, json=given), api.post(path, json=given | {"estimate_unknown": False})
    told, also_told = ({**each.get_json(), "request_id": None} for each in (response, also))
    assert (response.status_code, told) == (also.status_code, also_told)
    assert "ranges" not in response.get_json()


@pytest.mark.parametrize("path", REQUESTS)
def test_the_same_request_gives_the_same_bytes(api: FlaskClient, path: str) -> None:
    first = api.post(path, json=asked(path)).data
    estimate_lens.cache_clear()
    draw.cache_clear()
    assert api.post(path, json=asked(path)).data == first


@pytest.mark.parametrize("path", ["/v1/magnification", "/v1/effective-f-number", "/v1/depth-of-field"])
def test_steps_are_those_of_a_lens_in_the_middle(api: FlaskClient, path: str) -> None:
    answer = answered(api, path, asked(path, show_steps=True))
    assert answer["steps"]
    assert "steps-of-middle-lens" in codes(answer["remarks"])


def test_a_lens_that_states_its_pupils_leaves_no_range(api: FlaskClient) -> None:
    given = asked("/v1/effective-f-number", pupil_magnification=1.8)
    answer = answered(api, "/v1/effective-f-number", given)
    assert answer == answered(api, "/v1/effective-f-number", without(given, "estimate_unknown"))


def test_a_long_lens_is_to_be_measured_first(api: FlaskClient) -> None:
    answer = answered(api, "/v1/magnification", WIDE | ON_7_MM | {"focal_length_mm": 85})
    assert answer["magnification"] is None
    assert "magnification" in answer["measure_first"]
    assert answer["extension_mm"] == 7
    assert "measure-first" in codes(answer["remarks"])


def test_measuring_it_once_tells_it(api: FlaskClient) -> None:
    frame = {"mounting": "reversed", "extension_mm": 50, "camera_register_mm": 44, "magnification": 0.7}
    given = WIDE | ON_7_MM | {"focal_length_mm": 85, "extension_mm": 70, "measured": [frame]}
    answer = answered(api, "/v1/magnification", given)
    expected = 0.7 + 20 / 85
    assert answer["magnification"] == pytest.approx(expected, rel=0.05)
    found = answer["ranges"]["magnification"]
    assert (found["high"] - found["low"]) / 2 <= 0.1 * expected
    assert answer["estimated"]["/front_principal_plane_mm"]["based_on"] == "measured"


def test_a_query_holds_no_photograph_of_a_ruler(api: FlaskClient) -> None:
    problem = api.get("/v1/magnification?focal_length_mm=28&measured=1").get_json()
    assert pointers(problem) == {"/measured"}
    assert "by POST" in problem["errors"][0]["detail"]


def test_a_focal_length_beyond_the_statistics_says_so(api: FlaskClient) -> None:
    answer = answered(api, "/v1/magnification", WIDE | ON_7_MM | {"focal_length_mm": 12})
    assert answer["magnification"] is None
    assert "18 to 210 mm" in text_of(answer, "no-statistics")


def test_without_a_focal_length_nothing_is_estimated(api: FlaskClient) -> None:
    answer = answered(api, "/v1/effective-f-number", LIGHT | {"estimate_unknown": True})
    assert {"not-estimated", "pupil-magnification-assumed"} <= codes(answer["remarks"])


def test_the_register_that_is_assumed_is_told(api: FlaskClient) -> None:
    answer = answered(api, "/v1/magnification", without(WIDE | ON_7_MM, "lens_register_mm"))
    assert answer["assumed"]["lens_register_mm"] == 45.5


def test_a_reading_unlike_the_class_is_questioned(api: FlaskClient) -> None:
    answer = answered(api, "/v1/magnification", WIDE | ON_7_MM | {"barrel_length_mm": 180})
    assert "barrel_length_mm of 180" in text_of(answer, "unexpected-reading")


def test_readings_that_contradict_each_other_are_refused_with_both_figures(api: FlaskClient) -> None:
    frames = [
        {"mounting": "reversed", "extension_mm": 0, "camera_register_mm": 44, "magnification": m} for m in (1.5, 2.2)
    ]
    problem = refused(api, "/v1/magnification", WIDE | ON_7_MM | {"measured": frames})
    assert problem["code"] == "contradiction"
    assert pointers(problem) == {"/measured/0", "/measured/1"}
    assert "2.2" in problem["detail"] or "1.5" in problem["detail"]


@pytest.mark.parametrize(
    ("members", "at_fault"),
    [
        ({"zoom_from_mm": 28}, {"/zoom_to_mm"}),
        ({"zoom_from_mm": 70, "zoom_to_mm": 28}, {"/zoom_from_mm"}),
        ({"exit_pupil_diameter_mm": 12}, {"/entrance_pupil_diameter_mm"}),
        ({"entrance_pupil_diameter_mm": 12}, {"/exit_pupil_diameter_mm"}),
        ({"barrel_length_uncertainty_mm": 2}, {"/barrel_length_mm"}),
        ({"lens_class": "fisheye"}, {"/lens_class"}),
        (
            {"measured": [{"mounting": "reversed", "extension_mm": 0, "camera_register_mm": 44}]},
            {"/measured/0/magnification", "/measured/0/subject_width_mm"},
        ),
    ],
)
def test_half_a_statement_is_refused_where_it_stands(
    api: FlaskClient, members: dict[str, Any], at_fault: set[str]
) -> None:
    assert pointers(refused(api, "/v1/magnification", WIDE | ON_7_MM | members)) == at_fault


@given(
    st.sampled_from([20.0, 24.0, 28.0, 35.0]),
    st.floats(0, 100),
)
def test_every_member_answers_as_the_closed_formula_says(focal_length: float, extension: float) -> None:
    """m = (R + e + a)/F - 1 of each member lies between the least and the greatest; by hand."""
    operation = operation_at("/v1/magnification")
    given = WIDE | ON_7_MM | {"focal_length_mm": focal_length, "extension_mm": extension}
    answer: Any = answer_to(operation, loaded(operation, given), lambda: pytest.fail("no kit is needed"))
    lens = estimate_lens(KnownLens(focal_length_mm=focal_length, register_mm=45.5))
    m = (44 + extension + lens.front_plane) / lens.focal_length - 1
    assert m.min() <= answer["ranges"]["magnification"]["low"] <= answer["magnification"]
    assert answer["magnification"] <= answer["ranges"]["magnification"]["high"] <= m.max()


def test_a_wider_aperture_engraved_changes_what_is_expected(api: FlaskClient) -> None:
    """Location of the plane falls with ln(N/2.8): a faster wide lens has it deeper."""
    slow, fast = (
        answered(api, "/v1/magnification", WIDE | ON_7_MM | {"widest_f_number": n})["magnification"] for n in (4, 2)
    )
    assert fast > slow
