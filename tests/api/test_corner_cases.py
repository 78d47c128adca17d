"""Corners in which a set-up is easily told wrongly."""

from typing import Any

import pytest
from flask.testing import FlaskClient

from asking import SET_UPS, answered, codes, pointers, refused

CAMERA = {"register_mm": 44, "sensor": "36x24", "pixel_pitch_um": 4}


def lens(focal_length: float, **more: Any) -> dict[str, Any]:
    members = {"f_number": 4, "register_mm": 44, "front_principal_plane_mm": 20, "principal_plane_separation_mm": 10}
    return {"element": "lens", "focal_length_mm": focal_length, "pupil_magnification": 1} | members | more


def tube(length: float, **more: float) -> dict[str, Any]:
    return {"element": "spacer", "length_mm": length} | more


def objective(**more: float) -> dict[str, Any]:
    members = {"magnification": 4, "numerical_aperture": 0.1, "tube_length_mm": 160, "working_distance_mm": 20}
    return {"element": "objective"} | members | more


def document(*train: dict[str, Any], **more: Any) -> dict[str, Any]:
    return {"camera": CAMERA, "train": list(train), **more}


def solving(least: float, greatest: float, **target: float) -> dict[str, Any]:
    return {"unknown": "/train/1/length_mm", "minimum": least, "maximum": greatest, "target": target}


OPEN = {"element": "spacer"}


def test_the_end_of_the_range_itself_is_a_solution(api: FlaskClient) -> None:
    for length in (57.9, 12.3, 99.1):
        asked = document(lens(103.8), OPEN, solve=solving(0, length, magnification=length / 103.8))
        assert answered(api, SET_UPS, asked)["solved"]["value"] == pytest.approx(length)


def test_the_nearest_attainable_value_is_that_of_the_last_length_that_can_be(api: FlaskClient) -> None:
    asked = document(lens(50, front_principal_plane_mm=70), OPEN, solve=solving(10, 150, magnification=10))
    problem = refused(api, SET_UPS, asked)
    assert problem["type"] == "/problems/no-solution"
    assert "2.5, at 125 mm" in problem["detail"]
    inside = document(lens(50, front_principal_plane_mm=70), OPEN, solve=solving(10, 150, magnification=2.6))
    assert "2.5, at 125 mm" in refused(api, SET_UPS, inside)["detail"]


@pytest.mark.parametrize(
    ("front", "member"),
    [
        ({"element": "lens", "focal_length_mm": 50, "reversed": True, "front_principal_plane_mm": 20}, "register_mm"),
        ({**objective(focal_length_mm=30), "working_distance_mm": None}, "working_distance_mm"),
    ],
)
def test_solving_for_a_working_distance_names_the_members_it_lacks(
    api: FlaskClient, front: dict[str, Any], member: str
) -> None:
    kept = {name: value for name, value in front.items() if value is not None}
    problem = refused(api, SET_UPS, document(kept, OPEN, solve=solving(0, 200, working_distance_mm=60)))
    assert pointers(problem) == {f"/train/0/{member}"}


def test_nothing_finer_than_the_pixels_is_recorded(api: FlaskClient) -> None:
    coarse = {"f_number": 1.4, "magnification": 1, "pupil_magnification": 1, "pixel_pitch_um": 16}
    depth = coarse | {"model": "contrast", "sensor_detail_lp_per_mm": 90, "contrast": 0.05, "sensor": "36x24"}
    problem = refused(api, "/v1/depth-of-field", depth)
    assert problem["code"] == "contrast-unattainable"
    assert "too fine for its pixels" in problem["detail"]
    rows = answered(api, "/v1/diffraction", coarse | {"sensor_details_lp_per_mm": [31, 60, 90]})
    assert [row["contrast_with_pixels"] > 0 for row in rows["details"]] == [True, False, False]
    assert "finer-than-pixels" in codes(rows["remarks"])
    optimum = {name: value for name, value in coarse.items() if name != "f_number"}
    asked = optimum | {"subject_depth_mm": 0.05, "sensor_detail_lp_per_mm": 90, "contrast": 0.05}
    assert answered(api, "/v1/optimum-aperture", asked)["advice"] == "coarser-detail"


def test_an_infinity_objective_without_a_lens_behind_it_is_remarked_on_and_cautioned(api: FlaskClient) -> None:
    alone = objective(magnification=10, numerical_aperture=0.25, working_distance_mm=10, tube_lens_focal_length_mm=200)
    del alone["tube_length_mm"]
    answer = answered(api, SET_UPS, document(alone, tube(150)))
    assert "objective-without-tube-lens" in codes(answer["remarks"])
    assert "objective-without-lens" in codes(answer["cautions"])
    before_lens = answered(api, SET_UPS, document(alone, lens(200)))
    assert "objective-without-tube-lens" not in codes(before_lens["remarks"])


@pytest.mark.parametrize(
    "behind",
    [
        [tube(76), {"element": "teleconverter", "factor": 2, "added_length_mm": 40}, tube(30)],
        [tube(106), lens(100)],
    ],
)
def test_a_finite_objective_is_off_its_design_length_by_what_the_parts_behind_it_do(
    api: FlaskClient, behind: list[dict[str, Any]]
) -> None:
    problem = refused(api, SET_UPS, document(objective(), *behind))
    assert pointers(problem) == {"/train/0/focal_length_mm"}


def test_a_converter_that_keeps_the_image_where_it_belongs_is_taken(api: FlaskClient) -> None:
    converter = {"element": "teleconverter", "factor": 2, "added_length_mm": 40}
    answer = answered(api, SET_UPS, document(objective(), tube(106), converter))
    assert answer["magnification"] == pytest.approx(8)


@pytest.mark.parametrize(
    ("part", "pointer"),
    [
        ({"element": "teleconverter", "factor": 2, "focal_length_mm": 100}, "/train/1/focal_length_mm"),
        ({"element": "teleconverter", "factor": 2}, "/train/1/added_length_mm"),
        (
            {"element": "objective", "magnification": 4, "numerical_aperture": 0.1, "tube_lens_focal_length_mm": 200}
            | {"focal_length_mm": 50},
            "/train/1/focal_length_mm",
        ),
    ],
)
def test_data_that_a_part_cannot_have_are_refused(api: FlaskClient, part: dict[str, Any], pointer: str) -> None:
    assert pointers(refused(api, SET_UPS, document(lens(50), part))) == {pointer}


def test_lengths_that_cannot_be_are_contradictions(api: FlaskClient) -> None:
    short = {
        "magnification": 1,
        "focal_length_mm": 50,
        "front_principal_plane_mm": 10,
        "principal_plane_separation_mm": -300,
    }
    assert refused(api, "/v1/working-distance", short)["code"] == "contradiction"
    impossible = objective(working_distance_mm=60, parfocal_distance_mm=45, focal_length_mm=30)
    problem = refused(api, SET_UPS, document(impossible, tube(106)))
    assert pointers(problem) == {"/train/0/parfocal_distance_mm", "/train/0/working_distance_mm"}


def test_a_flat_subject_has_no_best_aperture(api: FlaskClient) -> None:
    answer = answered(api, SET_UPS, document(lens(50), tube(50), subject_depth_mm=0))
    assert answer["optimum_effective_f_number"] is None
    assert answer["optimum_f_number"] is None
    assert "flat-subject" in codes(answer["remarks"])


def test_a_best_aperture_at_which_another_stop_governs_is_not_told(api: FlaskClient) -> None:
    pair = [lens(50, reversed=True, f_number=2.8), lens(100, f_number=11)]
    answer = answered(api, SET_UPS, document(*pair, subject_depth_mm=0.005))
    assert answer["optimum_f_number"] is None
    assert "other-stop-governs" in codes(answer["remarks"])


def test_an_unlimited_depth_takes_one_frame(api: FlaskClient) -> None:
    answer = answered(api, SET_UPS, document(lens(50, f_number=22, focusing_extension_mm=0.5), subject_depth_mm=10))
    assert answer["stack_frames"] == 1
    assert "one-frame-does" in codes(answer["remarks"])


def test_depth_beyond_the_glass_is_remarked_on(api: FlaskClient) -> None:
    asked = document(lens(50, front_principal_plane_mm=67.8, f_number=22), tube(140))
    asked["camera"] = CAMERA | {"circle_of_confusion_mm": 0.2}
    answer = answered(api, SET_UPS, asked)
    assert answer["depth_of_field"]["front_depth_mm"] > answer["working_distance_mm"]
    assert "depth-ends-at-glass" in codes(answer["remarks"])


def test_a_tube_that_stops_down_further_than_the_iris_is_named(api: FlaskClient) -> None:
    answer = answered(api, SET_UPS, document(lens(50), tube(50, clear_diameter_mm=4)))
    assert answer["aperture_stop"] == 1
    assert "tube-governs" in codes(answer["remarks"])
    assert "shortcut-pupils-ignored" not in codes(answer["remarks"])


@pytest.mark.parametrize(
    ("front", "clearance"), [(tube(2), 78 - 58), ({"element": "close-up-lens", "power_dpt": 2}, None)]
)
def test_what_stands_out_of_the_lens_behind_a_front_part_counts(
    api: FlaskClient, front: dict[str, Any], clearance: float | None
) -> None:
    answer = answered(api, SET_UPS, document(front, lens(50, front_protrusion_mm=60), tube(50)))
    reach = 60 - front.get("length_mm", 0)
    assert answer["clearance_mm"] == pytest.approx(answer["working_distance_mm"] - reach)
    if clearance is not None:
        assert answer["clearance_mm"] == pytest.approx(clearance)


def test_a_hood_in_the_way_is_named_as_the_cause(api: FlaskClient) -> None:
    problem = refused(api, SET_UPS, document(tube(100), lens(50), tube(50)))
    assert problem["code"] == "subject-inside-lens"
    assert "Shorten what stands before the lens" in problem["detail"]


def test_a_lens_focused_too_near_for_the_part_before_it_is_told_so(api: FlaskClient) -> None:
    close_up = {"element": "close-up-lens", "power_dpt": 4}
    near = refused(api, SET_UPS, document(close_up, lens(50, front_principal_plane_mm=70), tube(200)))
    assert "less extension" in near["detail"]


def test_an_afocal_pair_behind_an_objective_images(api: FlaskClient) -> None:
    front = objective(magnification=10, numerical_aperture=0.25, tube_lens_focal_length_mm=200, working_distance_mm=10)
    del front["tube_length_mm"]
    pair = {"element": "close-up-lens", "focal_length_mm": 50}
    response = api.post(SET_UPS, json=document(front, pair, tube(100), pair, tube(100)))
    assert response.status_code in (200, 422)
    assert response.get_json().get("code") != "overflow"


def test_the_focus_ring_of_a_reversed_lens_counts_in_both_resources(api: FlaskClient) -> None:
    members = {"mounting": "reversed", "focal_length_mm": 50, "lens_register_mm": 44, "focusing_extension_mm": 10}
    m = answered(api, "/v1/magnification", members | {"working_distance_mm": 60})["magnification"]
    back = answered(api, "/v1/working-distance", members | {"magnification": m})
    assert back["working_distance_mm"] == pytest.approx(60)


def test_no_light_lost_is_plain_zero(api: FlaskClient) -> None:
    close_up = {"element": "close-up-lens", "power_dpt": 4}
    answer = answered(api, SET_UPS, document(close_up, lens(100)))
    assert answer["light_loss_stops"] == 0
    assert str(answer["light_loss_stops"]) == "0.0"


def test_a_train_that_is_no_list_is_told_so(api: FlaskClient) -> None:
    found = refused(api, SET_UPS, {"camera": CAMERA, "train": tube(10)})
    assert [error["pointer"] for error in found["errors"]] == ["/train"]
