"""The uncertainty of a lens through `/v1/set-ups/evaluate`, held against simulation through the same evaluation."""

from typing import Any

import numpy as np
import numpy.typing as npt
import pytest
from flask.testing import FlaskClient

from asking import CAMERA, LENS, SET_UPS, answered, codes, pointers, refused, set_up, spacer, text_of, without
from closeup_service.set_ups.set_up import evaluate
from closeup_service.set_ups.uncertainty import BY_STOP, FIELDS, propagate, results

Column = npt.NDArray[np.float64]

DRAWS = 4000
PARAMETERS = ("focal_length_mm", "front_principal_plane_mm", "pupil_magnification", "f_number")
DEVIATIONS = np.array([0.05, 0.12, 0.01, 0.04])
CORRELATION = np.array([[1, 0.9, 0, 0.3], [0.9, 1, 0, 0.2], [0, 0, 1, 0.5], [0.3, 0.2, 0.5, 1]])
COVARIANCE = CORRELATION * np.outer(DEVIATIONS, DEVIATIONS)


def uncertain(lens: Any, parameters: tuple[str, ...], covariance: Column) -> Any:
    return lens | {"uncertainty": {"parameters": list(parameters), "covariance": covariance.tolist()}}


def document(*train: Any) -> Any:
    camera = {"register_mm": 18.0, "sensor_width_mm": 23.5, "sensor_height_mm": 15.6, "circle_of_confusion_mm": 0.019}
    return {"camera": camera, "train": list(train)}


def simulated(asked: Any, seed: int = 3) -> dict[str, float]:
    """Standard deviation of every result over lenses drawn at random from what the document states of them."""
    rng = np.random.default_rng(seed)
    drawn: dict[str, list[float]] = {}
    for _ in range(DRAWS):
        train = []
        for element in asked["train"]:
            stated = element.get("uncertainty")
            moved = dict(element)
            if stated is not None:
                names = stated["parameters"]
                change = rng.multivariate_normal(np.zeros(len(names)), np.array(stated["covariance"]))
                moved |= {name: element[name] + by for name, by in zip(names, change, strict=True)}
            train.append(moved)
        for name, value in results(evaluate(asked | {"train": train})).items():
            drawn.setdefault(name, []).append(value)
    return {name: float(np.std(values)) for name, values in drawn.items()}


def test_one_lens_is_propagated_as_simulation_says() -> None:
    """JCGM 100, 5.2.2, against 4,000 draws of correlated data: 5 % covers the scatter of a standard deviation (1.1 %)."""
    asked = document(uncertain(LENS, PARAMETERS, COVARIANCE), spacer(31))
    found = propagate(asked, evaluate(asked)).uncertainties
    expected = simulated(asked)
    assert expected.keys() == {name for name, value in found.items() if value is not None}
    for name, value in expected.items():
        assert found[name] == pytest.approx(value, rel=0.05, abs=1e-9), name


def test_two_lenses_are_independent_of_each_other() -> None:
    """Coupled lenses, each with its own covariance, against simulation."""
    rear = {
        "element": "lens",
        "focal_length_mm": 100,
        "f_number": 2.8,
        "front_principal_plane_mm": 30,
        "register_mm": 18.0,
        "focusing_extension_mm": 5.0,
    }
    two = np.array([[0.09, 0.05], [0.05, 0.16]])
    asked = document(
        uncertain(LENS, PARAMETERS, COVARIANCE), uncertain(rear, ("focal_length_mm", "front_principal_plane_mm"), two)
    )
    found = propagate(asked, evaluate(asked)).uncertainties
    expected = simulated(asked)
    for name in ("magnification", "working_distance_mm", "effective_f_number", "total_mm"):
        assert found[name] == pytest.approx(expected[name], rel=0.06), name


def test_correlation_counts() -> None:
    """A reversed lens whose plane follows its focal length: m = (R + e + a)/f - 1, worked out (GUM 5.2.2)."""
    names = ("focal_length_mm", "front_principal_plane_mm")
    m, f = (18 + 31 + 21) / 35 - 1, 35.0
    for rho in (-1.0, 0.0, 0.6, 1.0):
        covariance = np.array([[0.01, rho * 0.02], [rho * 0.02, 0.04]])
        asked = document(uncertain(LENS, names, covariance), spacer(31))
        gradient = np.array([-(m + 1) / f, 1 / f])
        found = propagate(asked, evaluate(asked)).uncertainties["magnification"]
        assert found == pytest.approx(float(gradient @ covariance @ gradient) ** 0.5, rel=1e-6, abs=1e-9)


def test_the_rear_plane_follows_the_focal_length_where_the_register_is_given() -> None:
    """m = (e + R - register)/f, whatever f; with a rear plane of its own b: m = (R + e - b)/f - 1."""
    lens = without(LENS, "reversed")
    one = np.array([[0.01]])
    by_register = document(uncertain(lens, ("focal_length_mm",), one), spacer(60))
    m = (60 + 18 - 45.46) / 35
    found = propagate(by_register, evaluate(by_register)).uncertainties["magnification"]
    assert found == pytest.approx(m / 35 * 0.1, rel=1e-6)
    own = document(
        uncertain(lens, ("focal_length_mm", "rear_principal_plane_mm"), np.array([[0.01, 0], [0, 0.04]])), spacer(60)
    )
    found = propagate(own, evaluate(own)).uncertainties["magnification"]
    assert found == pytest.approx(((m + 1) ** 2 * 0.01 + 0.04) ** 0.5 / 35, rel=1e-6)


def tube_before_stop(clear_diameter: float) -> Any:
    """A lens with a tube behind it whose opening may govern instead of the iris."""
    lens = uncertain(LENS, ("f_number",), np.array([[0.04]]))
    return document(lens, {"element": "spacer", "length_mm": 31.0, "clear_diameter_mm": clear_diameter})


def diameter_of_the_switch() -> float:
    """Clear diameter at which tube and iris limit alike, by halving."""
    low, high = 0.5, 40.0
    for _ in range(60):
        middle = (low + high) / 2
        governs = evaluate(tube_before_stop(middle)).aperture_stop == 1
        low, high = (middle, high) if governs else (low, middle)
    return high


@pytest.mark.parametrize(
    ("sigmas_away", "switches"), [(-2.3, False), (-1.7, True), (0.0, True), (1.7, True), (2.3, False)]
)
def test_near_a_switch_of_the_stop_the_apertures_uncertainty_is_null(sigmas_away: float, switches: bool) -> None:
    """u(N)/N is 0.2/8: the tube's diameter stands so many of these from where it comes to govern."""
    asked = tube_before_stop(diameter_of_the_switch() * (1 + 0.2 / 8 * sigmas_away))
    propagated = propagate(asked, evaluate(asked))
    assert propagated.switching is switches
    for name in BY_STOP - {"optimum_f_number"}:
        assert (propagated.uncertainties[name] is None) is (switches or name not in results(evaluate(asked)))
    assert propagated.uncertainties["magnification"] == pytest.approx(0, abs=1e-9)


def test_a_tube_that_governs_makes_the_iris_harmless() -> None:
    asked = tube_before_stop(diameter_of_the_switch() * 0.5)
    assert propagate(asked, evaluate(asked)).uncertainties["effective_f_number"] == pytest.approx(0, abs=1e-9)


def test_without_stated_uncertainty_the_answer_has_none(api: FlaskClient) -> None:
    answer = answered(api, SET_UPS, set_up(LENS, spacer(31)))
    assert not {"uncertainty", "expanded_uncertainty"} & answer.keys()
    assert "uncertainty-of-lenses-alone" not in codes(answer["remarks"])


def test_the_answer_bears_every_field_and_the_remark(api: FlaskClient) -> None:
    lens = uncertain(LENS, PARAMETERS, COVARIANCE)
    answer = answered(api, SET_UPS, set_up(lens, spacer(31)))
    assert set(answer["uncertainty"]) == set(FIELDS)
    assert answer["uncertainty"]["magnification"] > 0
    assert "uncertainty-of-lenses-alone" in codes(answer["remarks"])
    plain = answered(api, SET_UPS, set_up(LENS, spacer(31)))
    assert set(answer["expanded_uncertainty"]) == set(FIELDS)
    assert without(answer, "uncertainty", "expanded_uncertainty", "remarks") == without(plain, "remarks")


def test_a_solved_length_is_held_and_said(api: FlaskClient) -> None:
    lens = uncertain(LENS, PARAMETERS, COVARIANCE)
    solve = {"unknown": "/train/1/length_mm", "target": {"magnification": 2}}
    answer = answered(api, SET_UPS, set_up(lens, {"element": "spacer"}, solve=solve))
    held = answered(api, SET_UPS, set_up(lens, spacer(answer["solved"]["value"])))
    for name, value in held["uncertainty"].items():
        assert answer["uncertainty"][name] == (None if value is None else pytest.approx(value, rel=1e-6))
    (told,) = (note["text"] for note in answer["remarks"] if note["code"] == "solved-length-held")
    assert "/train/1/length_mm" in told


def test_a_set_up_that_may_fail_has_no_uncertainty_and_says_why(api: FlaskClient) -> None:
    wild = uncertain(without(LENS, "principal_plane_separation_mm"), ("front_principal_plane_mm",), np.array([[400.0]]))
    answer = answered(api, SET_UPS, set_up(wild, spacer(31)))
    assert set(answer["uncertainty"].values()) == {None}
    (told,) = (note["text"] for note in answer["remarks"] if note["code"] == "uncertainty-set-up-fails")
    assert "No real subject plane" in told


@pytest.mark.parametrize("times", [0.5, 0.8, 1000])
@pytest.mark.parametrize("name", ["focal_length_mm", "pupil_magnification", "f_number"])
def test_a_member_that_may_come_to_nothing_or_below_is_named(api: FlaskClient, name: str, times: float) -> None:
    covariance = np.array([[(times * LENS[name]) ** 2]])
    tube = spacer(31) | {"clear_diameter_mm": 2}
    answer = answered(api, SET_UPS, document(uncertain(LENS, (name,), covariance), tube))
    (told,) = (note["text"] for note in answer["remarks"] if note["code"] == "uncertainty-set-up-fails")
    assert f"/train/0/{name} would be " in told
    assert set(answer["uncertainty"].values()) == {None}


@pytest.mark.parametrize(("share", "ends"), [(0.75, False), (0.9, True)])
def test_a_depth_that_may_become_unlimited_has_no_uncertainty(api: FlaskClient, share: float, ends: bool) -> None:
    """The half depth c N_eff/m^2 reaches the distance of the pupil, from which on all behind is sharp: u(N)/N is a tenth."""
    lens = without(LENS, "reversed", "pupil_magnification")
    bare = document(lens, spacer(28.0)) | {"depth_of_field_model": "geometric"}
    sure = evaluate(bare)
    m, inverse, effective = sure.magnification, sure.inverse_pupil_distance, sure.effective_f_number
    assert inverse is not None
    assert effective is not None
    camera = bare["camera"] | {"circle_of_confusion_mm": share * m * m / (inverse * effective)}
    asked = bare | {"camera": camera, "train": [uncertain(lens, ("f_number",), np.array([[0.64]])), spacer(28.0)]}
    propagated = propagate(asked, evaluate(asked))
    assert propagated.failing == (("rear_depth_mm", "total_mm") if ends else ())
    assert (propagated.uncertainties["rear_depth_mm"] is None) is ends
    assert propagated.uncertainties["front_depth_mm"] is not None
    told = "rear_depth_mm, total_mm have no uncertainty" in text_of(
        answered(api, SET_UPS, asked), "uncertainty-unlimited"
    )
    assert told is ends


PAIR = ("focal_length_mm", "f_number")


@pytest.mark.parametrize(
    ("parameters", "covariance", "pointer", "told"),
    [
        (PAIR, [[1, 0.5], [0.4, 1]], "covariance", "symmetric"),
        (PAIR, [[1, 2], [2, 1]], "covariance", "below zero"),
        (PAIR, [[-1, 0], [0, 1]], "covariance", "none is negative"),
        (PAIR, [[0, 0.1], [0.1, 1]], "covariance", "leave it out"),
        (PAIR, [[1]], "covariance", "2 rows of 2"),
        (PAIR, [[1, 0], [0]], "covariance", "2 rows of 2"),
        (PAIR, [], "covariance", "1 to 6"),
        (PAIR, [[1, "0"], [0, 1]], "covariance/0/1", "Give a number"),
        (PAIR, [[1e13, 0], [0, 1]], "covariance/0/0", "from -1e+12"),
        (("focal_length_mm", "colour"), [[1, 0], [0, 1]], "parameters/1", "Give one of"),
        (("f_number", "f_number"), [[1, 0], [0, 1]], "parameters/1", "once"),
        (("pupil_magnification", "f_number"), [[1, 0], [0, 1]], "parameters/0", "gives no pupil_magnification"),
    ],
)
def test_a_bad_covariance_is_refused_where_it_stands(
    api: FlaskClient, parameters: tuple[str, ...], covariance: Any, pointer: str, told: str
) -> None:
    lens = without(LENS, "pupil_magnification")
    lens |= {"uncertainty": {"parameters": list(parameters), "covariance": covariance}}
    problem = refused(api, SET_UPS, {"camera": CAMERA, "train": [lens, spacer(31)]})
    assert pointers(problem) == {f"/train/0/uncertainty/{pointer}"}
    assert told in problem["errors"][0]["detail"]
