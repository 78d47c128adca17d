"""Degrees of freedom from a calibration by scatter into set-ups and kits, and outliers among few frames."""

from typing import Any

import numpy as np
import pytest
from flask.testing import FlaskClient
from scipy import stats

from asking import CAMERA, LENS, SET_UPS, answered, pointers, refused, set_up, spacer, without

PATH = "/v1/lens-calibration"
PUPILS = {
    "entrance_pupil_diameter_mm": 10,
    "entrance_pupil_diameter_uncertainty_mm": 0.1,
    "exit_pupil_diameter_mm": 12,
    "exit_pupil_diameter_uncertainty_mm": 0.1,
}
ONE = [[0.01]]


def scattered(count: int, **more: Any) -> dict[str, Any]:
    off = (0.001, -0.002, 0.001, 0.0005, -0.001)
    frames = [{"extension_mm": 20.0 + 15 * i, "magnification": (20 + 15 * i + 0.4) / 60 + off[i]} for i in range(count)]
    return {"camera_register_mm": 18, "frames": frames, **more}


def half_interval(answer: dict[str, Any], name: str) -> float:
    return float(answer["upper_95"][name] - answer["lower_95"][name]) / 2


@pytest.mark.parametrize("count", [3, 4, 5])
def test_the_magnification_of_a_lens_from_few_frames_has_students_interval(api: FlaskClient, count: int) -> None:
    lens = answered(api, PATH, scattered(count))["lens"]
    assert lens["uncertainty"]["degrees_of_freedom"] == count - 2
    told = answered(api, SET_UPS, {"camera": {"register_mm": 18}, "train": [lens, spacer(30)]})
    factor = told["expanded_uncertainty"]["magnification"] / told["uncertainty"]["magnification"]
    assert factor == pytest.approx(stats.t.ppf(0.975, count - 2), rel=1e-4)


def test_stated_uncertainties_have_no_degrees_and_the_normal_factor(api: FlaskClient) -> None:
    asked = scattered(4)
    for frame in asked["frames"]:
        frame["magnification_uncertainty"] = 0.002
    lens = answered(api, PATH, asked)["lens"]
    assert not {"degrees_of_freedom", "scatter_covariance"} & lens["uncertainty"].keys()
    told = answered(api, SET_UPS, {"camera": {"register_mm": 18}, "train": [lens, spacer(30)]})
    for name, value in told["uncertainty"].items():
        wider = told["expanded_uncertainty"][name]
        assert (wider is None) if value is None else wider == pytest.approx(1.959964 * value, rel=1e-6)


def test_each_quantity_has_the_interval_of_its_own_source(api: FlaskClient) -> None:
    """Three frames leave one degree, t = 12.71; the pupils were stated, 1.96 (JCGM 100, table G.2)."""
    answer = answered(api, PATH, scattered(3, **PUPILS))
    u = answer["uncertainty"]
    assert half_interval(answer, "focal_length_mm") == pytest.approx(12.7062 * u["focal_length_mm"], rel=1e-5)
    assert half_interval(answer, "pupil_magnification") == pytest.approx(1.959964 * u["pupil_magnification"], rel=1e-6)
    assert 1.97 < half_interval(answer, "f_number_estimate") / u["f_number_estimate"] < 12
    told = answered(api, SET_UPS, {"camera": {"register_mm": 18}, "train": [answer["lens"], spacer(30)]})
    factors = {name: told["expanded_uncertainty"][name] / u for name, u in told["uncertainty"].items() if u}
    assert factors["magnification"] == pytest.approx(12.7062, rel=1e-3)
    assert 1.95 < factors["light_loss_stops"] < 12


def test_a_kit_keeps_the_degrees_of_freedom(api: FlaskClient) -> None:
    kit = api.get("/v1/kit").get_json()["kit"]
    stated = {"parameters": ["focal_length_mm"], "covariance": ONE, "degrees_of_freedom": 2}
    lens = kit["lenses"][0]
    lens["settings"] = [lens["settings"][0] | {"uncertainty": stated}]
    train = [{"element": "kit-part", "use": lens["id"], "f_number": 8}, spacer(60)]
    told = answered(api, SET_UPS, {"camera": {"register_mm": 18}, "train": train, "kit": kit})
    factor = told["expanded_uncertainty"]["magnification"] / told["uncertainty"]["magnification"]
    assert factor == pytest.approx(stats.t.ppf(0.975, 2), rel=1e-6)
    assert "whole_kit" not in api.get("/v1/kit").get_json()
    listed = answered(api, "/v1/kit", {"kit": kit})
    assert listed["kit"]["lenses"][0]["settings"][0]["uncertainty"] == without(stated, "degrees_of_freedom")
    assert listed["whole_kit"]["lenses"][0]["settings"][0]["uncertainty"] == stated
    again = answered(api, "/v1/kit", {"kit": listed["whole_kit"]})
    assert (again["revision"], again["whole_kit"]) == (listed["revision"], listed["whole_kit"])


def test_the_part_from_a_scatter_alone_has_few_degrees(api: FlaskClient) -> None:
    """Half the variance from a scatter of 4 degrees: more than 4 degrees, and fewer than without a limit."""
    part = {"parameters": ["focal_length_mm"], "covariance": ONE, "degrees_of_freedom": 4}
    factors = []
    for more in ({}, {"scatter_covariance": [[0.005]]}, {"scatter_covariance": [[0.0]]}):
        told = answered(api, SET_UPS, set_up(LENS | {"uncertainty": part | more}, spacer(31)))
        factors.append(told["expanded_uncertainty"]["magnification"] / told["uncertainty"]["magnification"])
    assert factors[0] == pytest.approx(stats.t.ppf(0.975, 4), rel=1e-6)
    assert factors[0] > factors[1] > factors[2] == pytest.approx(1.959964, rel=1e-6)


@pytest.mark.parametrize(
    ("more", "pointer", "told"),
    [
        ({"degrees_of_freedom": 0.5}, "degrees_of_freedom", "from 1"),
        ({"degrees_of_freedom": "3"}, "degrees_of_freedom", "number"),
        ({"scatter_covariance": ONE}, "degrees_of_freedom", "Needed with scatter_covariance"),
        ({"degrees_of_freedom": 3, "scatter_covariance": [[0.02]]}, "scatter_covariance", "part of covariance"),
        ({"degrees_of_freedom": 3, "scatter_covariance": [[-0.02]]}, "scatter_covariance", "none is negative"),
        ({"degrees_of_freedom": 3, "scatter_covariance": [[0.0, 0.0]]}, "scatter_covariance", "1 rows of 1"),
        (
            {"degrees_of_freedom": 3, "covariance": [[0.0]], "scatter_covariance": ONE},
            "scatter_covariance",
            "part of covariance",
        ),
    ],
)
def test_bad_degrees_are_refused_where_they_stand(
    api: FlaskClient, more: dict[str, Any], pointer: str, told: str
) -> None:
    lens = LENS | {"uncertainty": {"parameters": ["focal_length_mm"], "covariance": ONE, **more}}
    problem = refused(api, SET_UPS, {"camera": CAMERA, "train": [lens, spacer(31)]})
    assert pointers(problem) == {f"/train/0/uncertainty/{pointer}"}
    assert told in problem["errors"][0]["detail"]


@pytest.mark.parametrize("count", [4, 5])
def test_clean_frames_with_working_distances_are_seldom_called_outliers(api: FlaskClient, count: int) -> None:
    """At most 7 % of sessions: of 60, 10 and more come once in a hundred series (binomial)."""
    rng, sessions, wrong = np.random.default_rng(4), 60, 0
    for _ in range(sessions):
        frames = [
            {
                "extension_mm": e,
                "magnification": float(e / 50.3 + rng.normal(0, 0.002)),
                "working_distance_mm": float(50.3 + 50.3**2 / e - 21 + rng.normal(0, 0.5)),
                "working_distance_uncertainty_mm": 0.5,
            }
            for e in np.linspace(10, 60, count).tolist()
        ]
        wrong += any(each["outlier"] for each in answered(api, PATH, {"frames": frames})["residuals"])
    assert wrong <= stats.binom.ppf(0.99, sessions, 0.07)


def test_a_wrong_frame_is_still_named_beside_working_distances(api: FlaskClient) -> None:
    off = (0.0003, -0.0006, 0.02, 0.0005, -0.0004, 0.0002)
    frames = [
        {
            "extension_mm": e,
            "magnification": e / 50.3 + o,
            "working_distance_mm": 50.3 + 50.3**2 / e - 21,
            "working_distance_uncertainty_mm": 0.5,
        }
        for e, o in zip((10, 20, 30, 40, 50, 60), off, strict=True)
    ]
    answer = answered(api, PATH, {"frames": frames})
    assert [each["outlier"] for each in answer["residuals"]] == [False, False, True, False, False, False]


def test_three_frames_leave_no_verdict_on_any_of_them(api: FlaskClient) -> None:
    asked = scattered(3)
    asked["frames"][1]["magnification"] += 0.1
    assert not any(each["outlier"] for each in answered(api, PATH, asked)["residuals"])
