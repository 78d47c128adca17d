"""What a lens really is, from frames of a ruler: `/v1/lens-calibration`."""

import json
from typing import Any

import pytest
from flask.testing import FlaskClient

from asking import SET_UPS, answered, codes, pointers, refused, text_of, without
from closeup_service.operations.measure.lens_calibration.operation import OPERATION

PATH = "/v1/lens-calibration"


def frame(extension: float, m: float, **more: float) -> dict[str, float]:
    return {"extension_mm": extension, "magnification": m, **more}


NORMAL: dict[str, Any] = {
    "camera_register_mm": 18,
    "frames": [frame(e, (e + 0.4) / 60, magnification_uncertainty=0.002) for e in (20, 40, 60)],
}
SCATTER: dict[str, Any] = {
    "frames": [frame(e, (e + 0.4) / 60 + off) for e, off in ((20, 0.001), (40, -0.002), (60, 0.001))]
}
REVERSED: dict[str, Any] = {
    "mounting": "reversed",
    "camera_register_mm": 18,
    "frames": [frame(e, (18 + e + 21) / 35 - 1, magnification_uncertainty=0.002) for e in (30, 45, 60)],
}
ONE: dict[str, Any] = REVERSED | {
    "focal_length_mm": 35,
    "focal_length_uncertainty_mm": 0.3,
    "frames": REVERSED["frames"][1:2],
}


def with_frame(asked: dict[str, Any], place: int, **changed: float) -> dict[str, Any]:
    frames = [each | changed if index == place else each for index, each in enumerate(asked["frames"])]
    return asked | {"frames": frames}


def zoom(*marks: float, **more: Any) -> dict[str, Any]:
    settings = [
        {"setting": mark, "frames": [frame(e, e / (mark + 0.01 * mark * mark)) for e in (10, 20, 30)]} for mark in marks
    ]
    return {"camera_register_mm": 18, "settings": settings, **more}


def detail_at(problem: dict[str, Any], pointer: str) -> str:
    return " ".join(error["detail"] for error in problem["errors"] if error["pointer"] == pointer)


def test_frames_on_rings_tell_focal_length_and_rear_plane(api: FlaskClient) -> None:
    answer = answered(api, PATH, NORMAL)
    assert answer["focal_length_mm"] == pytest.approx(60)
    assert answer["extension_at_infinity_mm"] == pytest.approx(0.4)
    assert answer["rear_principal_plane_mm"] == pytest.approx(18 - 0.4 - 60)
    assert answer["front_principal_plane_mm"] is None
    assert "working_distance_mm" in text_of(answer, "not-determined")
    assert answer["degrees_of_freedom"] == 1
    low, high = answer["lower_95"]["focal_length_mm"], answer["upper_95"]["focal_length_mm"]
    assert (high - low) / 2 == pytest.approx(1.959964 * answer["uncertainty"]["focal_length_mm"], rel=1e-6)


def test_without_uncertainties_the_scatter_is_taken_with_students_factor(api: FlaskClient) -> None:
    answer = answered(api, PATH, SCATTER)
    half = (answer["upper_95"]["focal_length_mm"] - answer["lower_95"]["focal_length_mm"]) / 2
    assert half == pytest.approx(12.7062 * answer["uncertainty"]["focal_length_mm"], rel=1e-5)  # table of t, 1 degree
    assert answer["assumed"]["error_model"] == "constant"
    assert answer["chi_square"] is None
    relative = answered(api, PATH, SCATTER | {"error_model": "relative"})
    assert relative["focal_length_mm"] != answer["focal_length_mm"]
    shares = [each["magnification_uncertainty"] / each["magnification"] for each in relative["residuals"]]
    assert shares == pytest.approx([shares[0]] * 3)


def test_two_frames_give_values_without_uncertainty_and_say_so(api: FlaskClient) -> None:
    answer = answered(api, PATH, {"frames": SCATTER["frames"][:2]})
    assert answer["focal_length_mm"] > 0
    assert set(answer["uncertainty"].values()) == {None}
    assert answer["parameters"] == answer["covariance"] == answer["frames_to_halve"] == []
    assert answer["repeats_to_halve"] is None
    assert "Two frames" in text_of(answer, "no-uncertainty")
    assert "uncertainty" not in answer["lens"]


def test_two_frames_with_uncertainties_have_them_but_no_check(api: FlaskClient) -> None:
    answer = answered(api, PATH, NORMAL | {"frames": NORMAL["frames"][:2]})
    assert answer["uncertainty"]["focal_length_mm"] > 0
    assert answer["chi_square"] is None
    assert "no-check" in codes(answer["remarks"])


def test_one_frame_reversed_tells_the_front_plane_from_the_focal_length(api: FlaskClient) -> None:
    answer = answered(api, PATH, ONE)
    m = ONE["frames"][0]["magnification"]
    assert answer["front_principal_plane_mm"] == pytest.approx(35 * (m + 1) - 18 - 45)
    assert answer["uncertainty"]["front_principal_plane_mm"] == pytest.approx(
        (((m + 1) * 0.3) ** 2 + (35 * 0.002) ** 2) ** 0.5  # GUM 5.1.2, of a = f (m + 1) - R - e
    )


def test_an_exact_focal_length_is_remarked_on(api: FlaskClient) -> None:
    answer = answered(api, PATH, without(ONE, "focal_length_uncertainty_mm"))
    assert answer["uncertainty"]["focal_length_mm"] is None
    assert answer["uncertainty"]["front_principal_plane_mm"] == pytest.approx(35 * 0.002)
    assert "focal-length-exact" in codes(answer["remarks"])


def test_a_known_focal_length_is_weighed_with_several_frames(api: FlaskClient) -> None:
    alone = answered(api, PATH, REVERSED)
    both = answered(api, PATH, REVERSED | {"focal_length_mm": 35.1, "focal_length_uncertainty_mm": 0.05})
    assert 35 < both["focal_length_mm"] < 35.1
    assert both["uncertainty"]["focal_length_mm"] < min(alone["uncertainty"]["focal_length_mm"], 0.05)


def test_pupils_tell_their_magnification_and_the_f_number(api: FlaskClient) -> None:
    pupils = {
        "entrance_pupil_diameter_mm": 10,
        "entrance_pupil_diameter_uncertainty_mm": 0.1,
        "exit_pupil_diameter_mm": 12,
        "exit_pupil_diameter_uncertainty_mm": 0.24,
    }
    answer = answered(api, PATH, NORMAL | pupils)
    assert answer["pupil_magnification"] == pytest.approx(1.2)
    assert answer["uncertainty"]["pupil_magnification"] == pytest.approx(1.2 * (0.01**2 + 0.02**2) ** 0.5)
    assert answer["f_number_estimate"] == answer["lens"]["f_number"] == pytest.approx(6)
    share = answer["uncertainty"]["focal_length_mm"] / 60
    assert answer["uncertainty"]["f_number_estimate"] == pytest.approx(6 * (0.01**2 + share**2) ** 0.5)
    bare = answered(api, PATH, NORMAL | without(pupils, *(name for name in pupils if "uncertainty" in name)))
    assert bare["uncertainty"]["pupil_magnification"] is None
    assert "pupil-uncertainty-missing" in codes(bare["remarks"])


def test_the_light_against_a_known_f_number_tells_another(api: FlaskClient) -> None:
    light = {"reference_f_number": 4, "reference_light_loss_stops": 2, "reference_light_loss_uncertainty_stops": 0.1}
    answer = answered(api, PATH, NORMAL | light)
    assert answer["f_number_estimate"] == pytest.approx(8)
    assert answer["uncertainty"]["f_number_estimate"] == pytest.approx(8 * 0.1 * 0.34657359)  # ln 2 / 2
    less = answered(api, PATH, NORMAL | without(light, "reference_light_loss_uncertainty_stops"))
    assert "light-loss-uncertainty-missing" in codes(less["remarks"])


def test_distances_tell_the_front_plane_and_whether_they_agree(api: FlaskClient) -> None:
    def asked(off: float) -> dict[str, Any]:
        frames = [
            each
            | {
                "working_distance_mm": 60 + 60 / each["magnification"] - 21 + (-1) ** index * off,
                "working_distance_uncertainty_mm": 0.5,
            }
            for index, each in enumerate(NORMAL["frames"])
        ]
        return NORMAL | {"frames": frames}

    agreeing, disagreeing = answered(api, PATH, asked(0)), answered(api, PATH, asked(5))
    assert agreeing["front_principal_plane_mm"] == pytest.approx(21)
    assert "distances-agree" in codes(agreeing["remarks"])
    assert {"distances-disagree", "scatter-too-large"} <= codes(disagreeing["remarks"])
    assert disagreeing["residuals"][0]["working_distance_residual_mm"] is not None


def test_subject_to_sensor_tells_the_separation_of_the_planes(api: FlaskClient) -> None:
    m = NORMAL["frames"][0]["magnification"]
    far = {"subject_to_sensor_mm": 60 * (2 + m + 1 / m) + 9, "subject_to_sensor_uncertainty_mm": 1}
    answer = answered(api, PATH, with_frame(NORMAL, 0, **far))
    assert answer["principal_plane_separation_mm"] == pytest.approx(9)
    assert answer["uncertainty"]["principal_plane_separation_mm"] > 1


def test_a_reversed_lens_says_why_it_bears_reversed(api: FlaskClient) -> None:
    answer = answered(api, PATH, REVERSED | {"lens_register_mm": 45.46})
    assert answer["lens"]["reversed"] is True
    assert answer["lens"]["register_mm"] == 45.46
    assert answer["rear_principal_plane_mm"] == pytest.approx(10.46)
    assert {"lens-reversed"} <= codes(answer["remarks"])
    assert "reversed-rear-exposed" in codes(answer["cautions"])
    assert "reversed" not in answered(api, PATH, NORMAL)["lens"]


def test_the_focus_ring_counts_as_extension_and_says_for_which_lenses(api: FlaskClient) -> None:
    frames = [{"focusing_extension_mm": e, "magnification": (e + 0.4) / 60} for e in (5, 10)]
    answer = answered(api, PATH, {"frames": [*frames, frame(20, 25.4 / 60, focusing_extension_mm=5)]})
    assert answer["focal_length_mm"] == pytest.approx(60)
    assert [each["extension_mm"] for each in answer["residuals"]] == [5, 10, 25]
    assert "focused-by-ring" in codes(answer["remarks"])


def test_a_frame_that_does_not_belong_is_named(api: FlaskClient) -> None:
    frames = [frame(e, (e + 0.4) / 60, magnification_uncertainty=0.002) for e in (10, 20, 30, 40, 50)]
    frames[2]["magnification"] += 0.05
    answer = answered(api, PATH, {"frames": frames})
    assert [each["outlier"] for each in answer["residuals"]].count(True) == 1
    assert "/frames/2" in text_of(answer, "outlier")
    assert "scatter-too-large" in codes(answer["remarks"])


def test_registers_are_compared_with_what_the_frames_say(api: FlaskClient) -> None:
    answer = answered(api, PATH, NORMAL | {"lens_register_mm": 18})
    assert "17.6 mm" in text_of(answer, "register-compared")
    assert answer["rear_principal_plane_mm"] == answer["lens"]["rear_principal_plane_mm"]
    assert 17.6 < answer["rear_principal_plane_mm"] + answer["focal_length_mm"] < 18


def test_what_would_halve_the_interval_is_said(api: FlaskClient) -> None:
    answer = answered(api, PATH, NORMAL | {"greatest_extension_mm": 120})
    assert answer["repeats_to_halve"] == 3
    at_ends = [each["extension_mm"] for each in answer["frames_to_halve"]]
    assert at_ends[-1] == 120
    short = answered(api, PATH, NORMAL)
    assert sum(each["frames"] for each in short["frames_to_halve"]) > sum(
        each["frames"] for each in answer["frames_to_halve"]
    )


def test_the_lens_can_be_pasted_into_a_train(api: FlaskClient) -> None:
    for asked in (NORMAL, REVERSED):
        lens = answered(api, PATH, asked)["lens"]
        for each in asked["frames"]:
            train = [lens, {"element": "spacer", "length_mm": each["extension_mm"]}]
            told = answered(api, SET_UPS, {"camera": {"register_mm": 18}, "train": train})
            assert told["magnification"] == pytest.approx(each["magnification"], rel=1e-9)
            assert told["uncertainty"]["magnification"] > 0


def test_a_zoom_is_one_lens_per_setting_and_one_between(api: FlaskClient) -> None:
    answer = answered(api, PATH, zoom(20, 30, 40, interpolate_at=25))
    assert [each["setting"] for each in answer["settings"]] == [20, 30, 40]
    found = [each["focal_length_mm"] for each in answer["settings"]]
    assert found == pytest.approx([24, 39, 56])
    assert answer["focal_length_mm"] == pytest.approx((24 + 39) / 2)
    assert answer["uncertainty"]["focal_length_mm"] == pytest.approx(abs(39 - (24 + 56) / 2))
    assert answer["lens"]["focal_length_mm"] == answer["focal_length_mm"]
    assert "interpolation-left-out" in codes(answer["remarks"])


def test_two_settings_give_a_lens_between_without_uncertainty(api: FlaskClient) -> None:
    answer = answered(api, PATH, zoom(20, 30, interpolate_at=25))
    assert answer["uncertainty"]["focal_length_mm"] is None
    assert "interpolation-unchecked" in codes(answer["remarks"])


def test_a_setting_that_was_measured_keeps_its_own_lens(api: FlaskClient) -> None:
    answer = answered(api, PATH, zoom(20, 30, 40, interpolate_at=30))
    assert answer["lens"] == answer["settings"][1]["lens"]
    assert "setting-measured" in codes(answer["remarks"])


def test_without_a_setting_wanted_the_lenses_stand_apart(api: FlaskClient) -> None:
    answer = answered(api, PATH, zoom(20, 30))
    assert answer["focal_length_mm"] is None
    assert "lens" not in answer
    assert "settings-apart" in codes(answer["remarks"])


def test_get_takes_the_document_and_answers_the_same(api: FlaskClient) -> None:
    asked = OPERATION.examples[0].request
    got = api.get(PATH, query_string={"document": json.dumps(asked)})
    assert got.get_json() == answered(api, PATH, dict(asked))


@pytest.mark.parametrize(
    ("asked", "pointer", "told"),
    [
        ({"camera_register_mm": 18}, "/frames", "Give frames"),
        ({"frames": []}, "/frames", "1 to 100"),
        ({"frames": NORMAL["frames"][:1]}, "/focal_length_mm", "add a frame at another extension"),
        (without(REVERSED, "camera_register_mm"), "/camera_register_mm", "mounted reversed"),
        (with_frame(NORMAL, 0, extension_mm=-1), "/frames/0/extension_mm", "from 0 to 2000"),
        (with_frame(NORMAL, 1, magnification=0), "/frames/1/magnification", "from 0.0001"),
        (with_frame(NORMAL, 1, magnification_uncertainty=0), "/frames/1/magnification_uncertainty", "from 0.000000001"),
        (NORMAL | {"frames": [{"magnification": 1}]}, "/frames/0/extension_mm", "focusing_extension_mm"),
        (
            REVERSED | {"frames": [{"focusing_extension_mm": 3, "magnification": m} for m in (1, 2)]},
            "/frames/0/extension_mm",
            "does not change the magnification",
        ),
        ({"frames": [frame(20, 0.3), frame(20, 0.31), frame(20, 0.3)]}, "/frames/1/extension_mm", "at another"),
        (
            with_frame(NORMAL, 2, working_distance_mm=50),
            "/frames/2/working_distance_uncertainty_mm",
            "Needed with working_distance_mm",
        ),
        (
            with_frame(NORMAL, 2, subject_to_sensor_uncertainty_mm=1),
            "/frames/2/subject_to_sensor_mm",
            "Needed with subject_to_sensor_uncertainty_mm",
        ),
        (
            {"frames": [*SCATTER["frames"], frame(70, 1.2, magnification_uncertainty=0.01)]},
            "/frames/0/magnification_uncertainty",
            "for every frame or for none",
        ),
        (SCATTER | {"focal_length_mm": 60}, "/focal_length_mm", "leave it out"),
        (NORMAL | {"error_model": "relative"}, "/error_model", "leave it out"),
        (NORMAL | {"exit_pupil_diameter_mm": 5}, "/entrance_pupil_diameter_mm", "Needed with exit_pupil"),
        (NORMAL | {"reference_f_number": 5}, "/reference_light_loss_stops", "Needed with reference_f_number"),
        (
            NORMAL | {"reference_f_number": 5, "reference_light_loss_stops": 1, "entrance_pupil_diameter_mm": 5},
            "/reference_f_number",
            "not from both",
        ),
        (NORMAL | {"least_extension_mm": 9, "greatest_extension_mm": 3}, "/least_extension_mm", "above"),
        (NORMAL | {"interpolate_at": 30}, "/settings", "Needed with interpolate_at"),
        (zoom(20, 30, interpolate_at=31), "/interpolate_at", "from 20 to 30"),
        (zoom(20, 20), "/settings/1/setting", "given already"),
        (zoom(20, 30) | NORMAL, "/frames", "within each of them"),
        (zoom(20), "/settings", "2 to 20"),
        ({"frames": [frame(20, 0.9), frame(40, 0.5)]}, "/frames", "do not grow"),
        (NORMAL | {"lens_register_mm": 30}, "/lens_register_mm", "leave lens_register_mm out"),
        ({"frames": [frame(20, 0.0002), frame(40, 0.0003)]}, "/frames", "beyond"),
    ],
)
def test_bad_input_is_refused_where_it_stands_with_what_to_do(
    api: FlaskClient, asked: dict[str, Any], pointer: str, told: str
) -> None:
    problem = refused(api, PATH, asked)
    assert pointer in pointers(problem)
    assert told in detail_at(problem, pointer)


def test_registers_that_contradict_working_distances_are_refused(api: FlaskClient) -> None:
    frames = [
        each | {"working_distance_mm": 45.46 + 35 / each["magnification"], "working_distance_uncertainty_mm": 0.5}
        for each in REVERSED["frames"]
    ]
    answer = answered(api, PATH, REVERSED | {"frames": frames, "lens_register_mm": 45.46})
    assert answer["rear_principal_plane_mm"] == pytest.approx(45.46 - 35)
    problem = refused(api, PATH, REVERSED | {"frames": frames, "lens_register_mm": 35})
    assert {"/lens_register_mm", "/camera_register_mm"} == pointers(problem)


def test_faults_of_several_settings_are_told_at_once(api: FlaskClient) -> None:
    asked = zoom(20, 30)
    asked["settings"][0]["frames"] = [frame(20, 0.3), frame(20, 0.31)]
    asked["settings"][1]["frames"][0]["magnification"] = -1
    assert "/settings/1/frames/0/magnification" in pointers(refused(api, PATH, asked))
    asked["settings"][1]["frames"] = [frame(5, 0.3)]
    assert pointers(refused(api, PATH, asked)) >= {"/settings/1/focal_length_mm"}


@pytest.mark.parametrize("mounting", ["normal", "reversed"])
@pytest.mark.parametrize("small", [1e-9, 100.0])
@pytest.mark.parametrize("large", [1e-9, 100.0])
@pytest.mark.parametrize("end", [21.0, 20.0000001, 2000.0])
@pytest.mark.parametrize("m", [0.0002, 0.4, 1000.0])
def test_extreme_readings_are_answered_or_refused(
    api: FlaskClient, mounting: str, small: float, large: float, end: float, m: float
) -> None:
    """J10: what weighs nothing beside what weighs all, and extensions that hardly differ."""
    far = {"working_distance_mm": 1e6, "working_distance_uncertainty_mm": 1e-6}
    frames = [
        frame(20, m * 0.5, magnification_uncertainty=small, **far),
        frame(end, m, magnification_uncertainty=large, subject_to_sensor_mm=1e-3, subject_to_sensor_uncertainty_mm=1e4),
        frame(20, m * 0.5, magnification_uncertainty=large),
    ]
    for taken in (frames, [without(each, *far) for each in frames]):
        asked = {"mounting": mounting, "camera_register_mm": 1000, "frames": taken, "greatest_extension_mm": 2000}
        assert api.post(PATH, json=asked).status_code in (200, 422)
