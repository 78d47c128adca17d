"""Whole set-ups with lenses of which only the engravings are known."""

from typing import Any

import pytest
from flask.testing import FlaskClient

from asking import LENS, answered, codes, pointers, refused, spacer, without

PATH = "/v1/set-ups/evaluate"
CAMERA: dict[str, Any] = {"register_mm": 44, "sensor": "36x24"}
WIDE: dict[str, Any] = {"element": "lens", "focal_length_mm": 28, "reversed": True, "f_number": 8, "register_mm": 45.5}


def estimated(*train: dict[str, Any], **more: Any) -> dict[str, Any]:
    return {"camera": CAMERA, "train": list(train), "estimate_unknown": True, **more}


def test_a_set_up_says_what_the_quantities_say(api: FlaskClient) -> None:
    """Columns of the core against the closed formulas, asked member by member: the same medians and ranges."""
    whole = answered(api, PATH, estimated(WIDE, spacer(7)))
    lens = {"focal_length_mm": 28, "lens_register_mm": 45.5, "mounting": "reversed", "estimate_unknown": True}
    alone = answered(
        api,
        "/v1/magnification",
        lens | {"camera_register_mm": 44, "extension_mm": 7, "sensor": "36x24"},
    )
    for name in ("magnification", "subject_width_mm", "subject_height_mm"):
        assert whole[name] == pytest.approx(alone[name])
        assert whole["ranges"][name] == pytest.approx(alone["ranges"][name])


def test_every_range_holds_its_figure(api: FlaskClient) -> None:
    answer = answered(api, PATH, estimated(WIDE, spacer(7), subject_depth_mm=1))
    assert {"magnification", "depth_of_field.total_mm", "optimum_f_number", "stack_frames"} <= set(answer["ranges"])
    for name, found in answer["ranges"].items():
        value: Any = answer
        for step in name.split("."):
            value = value[step]
        assert found["low"] <= value <= found["high"], name


def test_figures_that_do_not_depend_on_the_lens_have_no_range(api: FlaskClient) -> None:
    answer = answered(api, PATH, estimated(WIDE, spacer(7)))
    assert "diffraction.wavelength_nm" not in answer["ranges"]
    assert answer["diffraction"]["wavelength_nm"] == 550


def test_a_complete_lens_answers_as_without(api: FlaskClient) -> None:
    document = estimated(LENS, spacer(31))
    answer = answered(api, PATH, document)
    assert answer == answered(api, PATH, without(document, "estimate_unknown"))


def test_an_open_length_is_solved_for_every_lens(api: FlaskClient) -> None:
    """e = F (m + 1) - R - a is affine in m: 3:1 wants 28 mm more than 2:1, at every end of the range."""
    low, high = (
        answered(
            api,
            PATH,
            estimated(
                WIDE, {"element": "spacer"}, solve={"unknown": "/train/1/length_mm", "target": {"magnification": m}}
            ),
        )
        for m in (2.5, 3.5)
    )
    assert high["magnification"] == pytest.approx(3.5)
    assert "magnification" not in high["ranges"]
    assert high["solved"]["value"] - low["solved"]["value"] == pytest.approx(28, rel=0.05)
    assert low["ranges"]["solved.value"]["low"] < low["solved"]["value"] < low["ranges"]["solved.value"]["high"]


@pytest.mark.parametrize("target", [{"working_distance_mm": 60}, {"subject_width_mm": 12}])
def test_other_targets_are_reached_too(api: FlaskClient, target: dict[str, float]) -> None:
    solve = {"unknown": "/train/1/length_mm", "target": target}
    answer = answered(api, PATH, estimated(WIDE, {"element": "spacer"}, solve=solve))
    [(name, wanted)] = target.items()
    assert answer[name] == pytest.approx(wanted, rel=1e-6)


def test_two_estimated_lenses_are_drawn_together_and_the_same_each_time(api: FlaskClient) -> None:
    long = {"element": "lens", "focal_length_mm": 135, "f_number": 4, "register_mm": 45.5}
    document = estimated(WIDE, long)
    answer = answered(api, PATH, document)
    assert answer["ranges"]["magnification"]["low"] < answer["magnification"]
    assert {"/train/0/front_principal_plane_mm", "/train/1/front_principal_plane_mm"} <= set(answer["estimated"])
    assert answered(api, PATH, document) == answer


def test_a_lens_that_hardly_ever_gives_an_image_is_to_be_measured_first(api: FlaskClient) -> None:
    answer = answered(api, PATH, estimated(WIDE | {"focal_length_mm": 135}, spacer(7)))
    assert answer["magnification"] is None
    assert answer["depth_of_field"]["front_extent"] == "undetermined"
    assert {"magnification", "effective_f_number"} <= set(answer["measure_first"])
    assert answer["diffraction"]["wavelength_nm"] == 550
    assert "measure-first" in codes(answer["remarks"])


def test_light_and_openings_have_ranges_too(api: FlaskClient) -> None:
    reference = {"f_number": 8, "magnification": 1, "exposure_time_s": 1}
    document = estimated(
        WIDE,
        spacer(7),
        exposure={"unknown": "exposure_time_s", "reference": reference},
        clear_opening={"distance_mm": 5},
    )
    answer = answered(api, PATH, document)
    for name in ("exposure.value", "exposure.planned.effective_f_number", "clear_opening.full_diameter_mm"):
        assert name in answer["ranges"]


def test_light_is_left_out_as_a_whole_where_it_cannot_be_told(api: FlaskClient) -> None:
    reference = {"f_number": 8, "magnification": 1, "exposure_time_s": 1}
    document = estimated(
        WIDE | {"focal_length_mm": 85},
        spacer(7),
        exposure={"unknown": "exposure_time_s", "reference": reference},
        clear_opening={"distance_mm": 5},
    )
    answer = answered(api, PATH, document)
    assert {"exposure", "magnification"} <= set(answer["measure_first"])
    assert "exposure" not in answer
    assert not [name for name in answer["ranges"] if name.startswith("exposure")]


def test_the_focal_length_of_a_lens_on_its_mount_has_its_range_too(api: FlaskClient) -> None:
    """m = e/F: published focal lengths differ from what is engraved by some per cent."""
    lens = {"element": "lens", "focal_length_mm": 50, "f_number": 2, "register_mm": 44}
    answer = answered(api, PATH, estimated(lens, spacer(25)))
    assert answer["magnification"] == pytest.approx(0.5, rel=0.02)
    assert 0.45 < answer["ranges"]["magnification"]["low"] < answer["ranges"]["magnification"]["high"] < 0.55


def test_an_enlarging_lens_on_a_bellows_needs_where_it_is_sharp_at_infinity(api: FlaskClient) -> None:
    lens = {"element": "lens", "focal_length_mm": 50, "f_number": 8, "lens_class": "view-enlarging"}
    problem = refused(api, PATH, estimated(lens, spacer(50)))
    assert pointers(problem) == {"/train/0/register_mm"}
    turned = answered(api, PATH, estimated(lens | {"reversed": True}, spacer(100)))
    assert turned["ranges"]["magnification"]["low"] > 1


def test_a_small_magnification_with_a_narrow_range_is_told(api: FlaskClient) -> None:
    """m = 0.5/50 within the spread of the true focal length."""
    lens = {"element": "lens", "focal_length_mm": 50, "f_number": 8, "register_mm": 44}
    assert answered(api, PATH, estimated(lens, spacer(0.5)))["magnification"] == pytest.approx(0.01, rel=0.05)


def test_no_lens_of_the_class_focuses_at_infinity_without_rings(api: FlaskClient) -> None:
    lens = {"element": "lens", "focal_length_mm": 50, "f_number": 2, "register_mm": 44}
    problem = refused(api, PATH, estimated(lens))
    assert problem["code"] == "focused-at-infinity"


def test_steps_are_those_of_a_lens_in_the_middle(api: FlaskClient) -> None:
    answer = answered(api, PATH, estimated(WIDE, spacer(7), show_steps=True))
    assert answer["steps"]
    assert "steps-of-middle-lens" in codes(answer["remarks"])


def test_contradictory_frames_of_a_lens_are_refused_where_they_stand(api: FlaskClient) -> None:
    frames = [
        {"mounting": "reversed", "extension_mm": 0, "camera_register_mm": 44, "magnification": m} for m in (1.5, 2.2)
    ]
    problem = refused(api, PATH, estimated(WIDE | {"measured": frames}, spacer(7)))
    assert pointers(problem) == {"/train/0/measured/0", "/train/0/measured/1"}
