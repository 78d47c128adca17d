"""What is known of a lens by its engravings, and what to measure next: `/v1/lens-estimate`."""

from typing import Any

import pytest
from flask.testing import FlaskClient

from asking import SET_UPS, answered, codes, pointers, refused

PATH = "/v1/lens-estimate"
WIDE: dict[str, Any] = {"focal_length_mm": 28, "widest_f_number": 2.8, "lens_register_mm": 45.46}
OWN_DATA: dict[str, Any] = {
    "front_principal_plane_mm": 37.0,
    "principal_plane_separation_mm": 26.0,
    "pupil_magnification": 1.8,
}


def estimate(api: FlaskClient, asked: dict[str, Any] = WIDE, **more: Any) -> dict[str, Any]:
    return answered(api, PATH, {**asked, **more})


def ruler(magnification: float, extension: float = 0.0) -> dict[str, Any]:
    """A frame of a ruler, the lens reversed on a camera of register 44 mm."""
    return {
        "mounting": "reversed",
        "extension_mm": extension,
        "camera_register_mm": 44,
        "magnification": magnification,
    }


def width(ranged: dict[str, Any]) -> float:
    return float(ranged["high"] - ranged["low"])


def next_of(answer: dict[str, Any], kind: str) -> dict[str, Any]:
    (found,) = (each for each in answer["next_measurements"] if each["kind"] == kind)
    return dict(found)


@pytest.mark.parametrize(
    ("asked", "low", "high"),
    [
        # documentation of the statistics, typical lenses, reversed on 44 mm: e 0, 25, 50
        ({}, 1.48, 2.23),
        ({"extension_mm": 25}, 2.35, 3.13),
        ({"extension_mm": 50}, 3.25, 4.02),
        ({"figure": "effective_f_number", "f_number": 8}, 15.9, 22.3),
    ],
)
def test_the_figure_has_the_range_published_with_the_statistics(
    api: FlaskClient, asked: dict[str, Any], low: float, high: float
) -> None:
    figure = estimate(api, {"focal_length_mm": 28, "widest_f_number": 2.8}, **asked)["figure"]
    assert (figure["low"], figure["high"]) == (pytest.approx(low, abs=0.06), pytest.approx(high, abs=0.06))
    assert figure["low"] < figure["value"] < figure["high"]


def test_without_a_set_up_the_lens_stands_reversed_on_44_mm_without_rings(api: FlaskClient) -> None:
    bare = estimate(api)
    stated = estimate(
        api, mounting="reversed", camera_register_mm=44, extension_mm=0, figure="magnification", lens_class="slr-prime"
    )
    taken = {name: bare["assumed"][name] for name in ("mounting", "camera_register_mm", "extension_mm", "figure")}
    assert taken == {"mounting": "reversed", "camera_register_mm": 44, "extension_mm": 0, "figure": "magnification"}
    assert stated["assumed"] == {}
    assert stated["figure"] == bare["figure"]


def test_get_and_post_answer_alike(api: FlaskClient) -> None:
    query = {**WIDE, "extension_mm": 7, "figure": "working_distance_mm"}
    assert api.get(PATH, query_string=query).get_json() == answered(api, PATH, query)


def test_figures_go_together_for_every_lens(api: FlaskClient) -> None:
    # reversed: flange to subject = register + F/m, and subject to sensor = F (2 + m + 1/m) + h; with all data stated
    lens = {**WIDE, **OWN_DATA, "extension_mm": 25}
    m = (44 + 25 + 37) / 28 - 1
    assert estimate(api, lens)["figure"]["value"] == pytest.approx(m)
    for figure, wanted in {
        "working_distance_mm": 45.46 + 28 / m,
        "subject_to_sensor_mm": 28 * (2 + m + 1 / m) + 26,
        "effective_f_number": 8 * (m + 1 / 1.8),
    }.items():
        more = {"f_number": 8} if figure == "effective_f_number" else {}
        found = estimate(api, lens, figure=figure, **more)["figure"]
        assert [found[name] for name in ("low", "value", "high")] == pytest.approx([wanted] * 3)


def test_a_lens_on_its_mount_is_of_its_camera(api: FlaskClient) -> None:
    answer = estimate(
        api,
        {"focal_length_mm": 50},
        mounting="normal",
        camera_register_mm=46.5,
        extension_mm=25,
        figure="magnification",
    )
    assert answer["assumed"]["lens_register_mm"] == 46.5
    # m = e/F, so that only the engraved focal length counts
    assert answer["figure"]["value"] == pytest.approx(0.5, rel=0.02)
    assert width(answer["figure"]) < 0.05


def test_data_that_are_stated_leave_no_range(api: FlaskClient) -> None:
    answer = estimate(api, **OWN_DATA)
    for name, value in OWN_DATA.items():
        assert answer["lens"][name] == {"value": value, "low": value, "high": value, "based_on": "stated"}
    assert answer["figure"]["low"] == answer["figure"]["high"]
    assert answer["next_measurements"] == []


def test_what_was_measured_narrows_and_is_not_to_be_measured_again(api: FlaskClient) -> None:
    bare, read = estimate(api), estimate(api, entrance_pupil_depth_mm=24, barrel_length_mm=47)
    kinds = [{each["kind"] for each in answer["next_measurements"]} for answer in (bare, read)]
    assert kinds == [
        {"barrel", "iris-depth", "pupils", "iris-depth-and-pupils", "frame-reversed"},
        {"pupils", "frame-reversed"},
    ]
    assert width(read["figure"]) < width(bare["figure"])
    assert bare["lens"]["front_principal_plane_mm"]["based_on"] == "lens-class"
    assert read["lens"]["front_principal_plane_mm"]["based_on"] == "measured"


def test_the_best_comes_first_and_says_how(api: FlaskClient) -> None:
    found = estimate(api, extension_mm=7)["next_measurements"]
    shares = [each["remaining_share"] for each in found]
    assert shares == sorted(shares)
    assert all(0 < share <= 1 for share in shares)
    first = found[0]
    assert (first["kind"], first["members"], first["extension_mm"]) == ("frame-reversed", ["measured"], 7)
    assert all(len(each["how"]) > 50 and each["minutes"] >= 1 for each in found)


@pytest.mark.parametrize(
    ("kind", "reading"),
    [
        ("frame-reversed", lambda lens, figure: {"measured": [ruler(figure["value"])]}),
        ("iris-depth", lambda lens, figure: {"entrance_pupil_depth_mm": lens["entrance_pupil_depth_mm"]["value"]}),
        ("barrel", lambda lens, figure: {"barrel_length_mm": lens["barrel_length_mm"]["value"]}),
    ],
)
def test_the_width_that_is_foretold_is_about_the_one_that_comes(api: FlaskClient, kind: str, reading: Any) -> None:
    before = estimate(api)
    after = estimate(api, **reading(before["lens"], before["figure"]))
    told = next_of(before, kind)
    assert told["expected_width"] == pytest.approx(width(after["figure"]), rel=0.25)
    assert told["remaining_share"] == pytest.approx(told["expected_width"] / width(before["figure"]))


def test_one_frame_leaves_about_a_tenth_of_a_long_lens(api: FlaskClient) -> None:
    # documentation of the statistics: one reversed reading of m narrows to about a tenth, pupils and depth together to a fifth
    answer = estimate(api, {"focal_length_mm": 85, "widest_f_number": 1.8, "extension_mm": 50})
    assert next_of(answer, "frame-reversed")["remaining_share"] < 0.15
    assert next_of(answer, "iris-depth-and-pupils")["remaining_share"] == pytest.approx(0.2, abs=0.07)


def test_a_frame_is_not_asked_for_where_the_lens_would_show_nothing(api: FlaskClient) -> None:
    without, long = (estimate(api, {"focal_length_mm": f, "widest_f_number": 2.8}) for f in (50, 135))
    assert next_of(without, "frame-reversed")["extension_mm"] >= 0
    assert "frame-reversed" not in {each["kind"] for each in long["next_measurements"]}


def test_a_frame_on_its_own_mount_needs_a_mount_and_an_extension(api: FlaskClient) -> None:
    asked = {"focal_length_mm": 50, "extension_mm": 25}
    assert next_of(estimate(api, asked), "frame-normal")["mounting"] == "normal"
    for more in ({"extension_mm": 0}, {"lens_class": "view-enlarging"}):
        kinds = {each["kind"] for each in estimate(api, {**asked, **more})["next_measurements"]}
        assert "frame-normal" not in kinds


def test_a_useless_range_has_no_single_figure(api: FlaskClient) -> None:
    answer = estimate(api, {"focal_length_mm": 135, "figure": "working_distance_mm"})
    assert answer["figure"]["value"] is None
    assert answer["figure"]["high"] is None
    assert answer["narrows"] == "magnification"
    assert "measure-first" in codes(answer["remarks"])
    assert answer["next_measurements"][0]["remaining_share"] < 0.3


def test_two_readings_that_are_of_no_lens_are_refused_with_both(api: FlaskClient) -> None:
    problem = refused(api, PATH, {**WIDE, "measured": [ruler(1.5), ruler(2.2)]})
    assert pointers(problem) == {"/measured/0", "/measured/1"}
    problem = refused(api, PATH, {**WIDE, "front_principal_plane_mm": 40, "measured": [ruler(1.5)]})
    assert pointers(problem) == {"/measured/0", "/front_principal_plane_mm"}
    assert "1.5" in problem["detail"]
    assert "40" in problem["detail"]


def test_in_a_set_up_they_are_refused_where_the_lens_stands(api: FlaskClient) -> None:
    lens = {"element": "lens", "focal_length_mm": 28, "reversed": True, "measured": [ruler(1.5), ruler(2.2)]}
    train = [lens, {"element": "spacer", "length_mm": 7}]
    problem = refused(api, SET_UPS, {"camera": {"register_mm": 44}, "train": train, "estimate_unknown": True})
    assert pointers(problem) == {"/train/0/measured/0", "/train/0/measured/1"}


def test_in_a_set_up_within_a_request_they_are_refused_there(api: FlaskClient) -> None:
    lens = {
        "element": "lens",
        "focal_length_mm": 28,
        "reversed": True,
        "f_number": 8,
        "measured": [ruler(1.5), ruler(2.2)],
    }
    asked = {
        "unknown": "exposure_time_s",
        "light": "continuous",
        "reference": {"f_number": 8, "magnification": 1, "exposure_time_s": 0.01, "iso": 100},
        "planned_set_up": {"camera": {"register_mm": 44}, "train": [lens]},
        "estimate_unknown": True,
    }
    problem = refused(api, "/v1/exposure", asked)
    assert pointers(problem) == {f"/planned_set_up/train/0/measured/{index}" for index in (0, 1)}


@pytest.mark.parametrize(
    ("more", "pointer"),
    [
        ({"zoom_from_mm": 35, "zoom_to_mm": 70}, "/focal_length_mm"),
        ({"zoom_from_mm": 70, "zoom_to_mm": 28}, "/zoom_from_mm"),
        ({"zoom_from_mm": 20}, "/zoom_to_mm"),
        ({"figure": "effective_f_number"}, "/f_number"),
        ({"mounting": "normal"}, "/extension_mm"),
        ({"lens_class": "slr"}, "/lens_class"),
    ],
)
def test_what_cannot_be_is_refused_at_its_member(api: FlaskClient, more: dict[str, Any], pointer: str) -> None:
    assert pointers(refused(api, PATH, {**WIDE, **more})) == {pointer}
