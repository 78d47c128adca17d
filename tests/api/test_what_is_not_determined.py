"""What the input does not determine is null, and a remark names the missing datum; no magnification is a refusal."""

import pytest
from flask.testing import FlaskClient

from asking import CAMERA, LENS, SET_UPS, answered, codes, pointers, refused, set_up, spacer, without


@pytest.mark.parametrize(
    ("missing", "nulls"),
    [
        (
            "f_number",
            [
                *("effective_f_number", "numerical_aperture", "light_loss_stops", "aperture_stop", "optimum_f_number"),
                *("stack_frames", "stack_step_mm"),
            ],
        ),
        ("register_mm", ["working_distance_mm", "clearance_mm", "rig_length_mm"]),
        ("principal_plane_separation_mm", ["subject_to_sensor_mm", "rig_length_mm"]),
    ],
)
def test_a_missing_datum_of_the_lens_leaves_nulls_and_is_named(
    api: FlaskClient, missing: str, nulls: list[str]
) -> None:
    answer = answered(api, SET_UPS, set_up(without(LENS, missing), spacer(31), subject_depth_mm=1))
    assert {name for name, value in answer.items() if value is None} == set(nulls)
    told = " ".join(remark["text"] for remark in answer["remarks"] if remark["code"] == "not-determined")
    assert f"/train/0/{missing}" in told
    assert all(name in told for name in nulls if name != "aperture_stop")


def test_without_a_subjects_depth_the_best_aperture_is_open_and_the_depth_is_named(api: FlaskClient) -> None:
    answer = answered(api, SET_UPS, set_up(LENS, spacer(31)))
    assert answer["optimum_effective_f_number"] is None
    assert answer["optimum_f_number"] is None
    (told,) = (note["text"] for note in answer["remarks"] if "optimum_f_number" in note["text"])
    assert "optimum_effective_f_number" in told
    assert "subject_depth_mm" in told


def test_without_a_sensor_the_subject_size_and_depth_are_open(api: FlaskClient) -> None:
    answer = answered(api, SET_UPS, set_up(LENS, spacer(31), camera={"register_mm": 18}))
    assert answer["subject_width_mm"] is None
    assert answer["depth_of_field"]["total_mm"] is None
    assert answer["depth_of_field"]["front_extent"] == "undetermined"


def test_a_reversed_lens_without_front_plane_is_refused_with_how_to_measure_it(api: FlaskClient) -> None:
    problem = refused(api, SET_UPS, set_up(without(LENS, "front_principal_plane_mm"), spacer(31)))
    assert problem["type"] == "/problems/undetermined"
    assert pointers(problem) == {"/train/0/front_principal_plane_mm"}
    assert "photograph a ruler" in problem["detail"]


def test_a_normal_lens_without_register_is_refused_and_the_cameras_is_not_assumed(api: FlaskClient) -> None:
    problem = refused(api, SET_UPS, set_up(without(LENS, "register_mm", "reversed"), spacer(31)))
    assert pointers(problem) == {"/train/0/register_mm"}
    assert "enlarger" in problem["detail"]


def test_a_lens_of_known_rear_plane_needs_no_register(api: FlaskClient) -> None:
    lens = without(LENS, "register_mm", "reversed")
    by_plane = answered(api, SET_UPS, set_up(lens | {"rear_principal_plane_mm": 45.46 - 35}, spacer(31)))
    by_register = answered(api, SET_UPS, set_up(lens | {"register_mm": 45.46}, spacer(31)))
    assert by_plane["magnification"] == pytest.approx(by_register["magnification"])


def test_two_statements_of_the_rear_plane_that_disagree_are_refused(api: FlaskClient) -> None:
    problem = refused(api, SET_UPS, set_up(LENS | {"rear_principal_plane_mm": 0}, spacer(31)))
    assert problem["code"] == "contradiction"
    assert pointers(problem) == {"/train/0/register_mm", "/train/0/rear_principal_plane_mm"}


def test_every_assumption_is_named_with_its_value(api: FlaskClient) -> None:
    lens = without(LENS, "pupil_magnification")
    answer = answered(api, SET_UPS, set_up(lens, spacer(31)))
    diagonal = (23.5**2 + 15.6**2) ** 0.5
    assert answer["assumed"] == {
        "/train/0/focusing_extension_mm": 0,
        "/train/0/pupil_magnification": 1,
        "/train/0/front_protrusion_mm": 0,
        "/camera/circle_of_confusion_mm": pytest.approx(diagonal / 1500),
        "/wavelength_nm": 550,
        "/depth_of_field_model": "combined",
    }
    assert "pupil-magnification-assumed" in codes(answer["remarks"])


def test_lenses_coupled_at_infinity_need_no_planes_between_them(api: FlaskClient) -> None:
    front = {"element": "lens", "reversed": True, "focal_length_mm": 50, "f_number": 2, "register_mm": 45.46}
    rear = {"element": "lens", "focal_length_mm": 100, "f_number": 8, "register_mm": 18}
    answer = answered(api, SET_UPS, set_up(front, rear))
    assert answer["magnification"] == pytest.approx(2)
    assert answer["working_distance_mm"] == pytest.approx(45.46)
    assert answer["effective_f_number"] == pytest.approx(8)
    assert answer["aperture_stop"] == 1
    assert answer["depth_of_field"]["front_extent"] == "undetermined"
    told = " ".join(remark["text"] for remark in answer["remarks"])
    assert "depth_of_field" in told
    assert "/train/0/front_principal_plane_mm and /train/1/front_principal_plane_mm" in told
    by_front = answered(api, SET_UPS, set_up(front | {"f_number": 8}, rear | {"f_number": 4}))
    assert by_front["aperture_stop"] == 0
    assert by_front["depth_of_field"]["total_mm"] > 0


def test_coupled_lenses_off_infinity_need_their_planes(api: FlaskClient) -> None:
    front = {"element": "lens", "reversed": True, "focal_length_mm": 50, "f_number": 2, "register_mm": 45.46}
    rear = {"element": "lens", "focal_length_mm": 100, "f_number": 8, "register_mm": 18}
    problem = refused(api, SET_UPS, set_up(front, rear, spacer(5)))
    assert pointers(problem) == {"/train/0/front_principal_plane_mm", "/train/1/front_principal_plane_mm"}


def test_a_converter_of_unknown_focal_length_is_taken_as_thin(api: FlaskClient) -> None:
    lens = without(LENS, "reversed") | {"register_mm": 44}
    converter = {"element": "teleconverter", "factor": 2, "added_length_mm": 25}
    answer = answered(api, SET_UPS, set_up(lens, spacer(35), converter, camera=CAMERA | {"register_mm": 44}))
    assert answer["magnification"] == pytest.approx(2)
    assert answer["assumed"]["/train/2/focal_length_mm"] == pytest.approx(-50)
    assert answer["assumed"]["/train/2/register_mm"] == 44
