"""`solve` in `/v1/set-ups/evaluate`."""

from typing import Any

import pytest
from flask.testing import FlaskClient

from asking import LENS, SET_UPS, answered, pointers, refused, set_up, spacer, without

OPEN = {"element": "spacer"}


def solving(unknown: str = "/train/1/length_mm", **target: float) -> dict[str, Any]:
    return {"unknown": unknown, "minimum": 0, "maximum": 150, "target": target}


def test_a_bellows_is_solved_for_a_magnification(api: FlaskClient) -> None:
    answer = answered(api, SET_UPS, set_up(LENS, OPEN, solve=solving(magnification=2)))
    assert answer["solved"] == {"pointer": "/train/1/length_mm", "value": pytest.approx(66)}
    assert answer["magnification"] == pytest.approx(2)


def test_the_solved_length_put_back_gives_the_same_answer(api: FlaskClient) -> None:
    solved = answered(api, SET_UPS, set_up(LENS, OPEN, solve=solving(subject_width_mm=10)))
    direct = answered(api, SET_UPS, set_up(LENS, spacer(solved["solved"]["value"])))
    assert {**direct, "solved": solved["solved"]} == solved


def test_the_focus_ring_is_solved_for_a_working_distance(api: FlaskClient) -> None:
    lens = without(LENS, "reversed") | {"focal_length_mm": 60, "register_mm": 44}
    document = set_up(lens, solve=solving("/train/0/focusing_extension_mm", working_distance_mm=150))
    answer = answered(api, SET_UPS, document | {"camera": {"register_mm": 44, "sensor": "36x24"}})
    assert answer["working_distance_mm"] == pytest.approx(150)


def test_out_of_range_the_nearest_attainable_value_is_stated(api: FlaskClient) -> None:
    problem = refused(api, SET_UPS, set_up(LENS, OPEN, solve=solving(magnification=9)))
    assert problem["type"] == "/problems/no-solution"
    assert "4.4, at 150 mm" in problem["detail"]
    assert pointers(problem) == {"/solve/target/magnification", "/solve/unknown"}


@pytest.mark.parametrize(
    ("solve", "at_fault"),
    [
        (solving("/train/0/length_mm", magnification=1), "/solve/unknown"),
        (solving("/train/7/length_mm", magnification=1), "/solve/unknown"),
        (solving("/train/1/clear_diameter_mm", magnification=1), "/solve/unknown"),
        (solving("/train/0/focal_length_mm", magnification=1), "/solve/unknown"),
        (solving("/train/1/length_mm\n", magnification=1), "/solve/unknown"),
        (solving() | {"target": {}}, "/solve/target/magnification"),
        (solving(magnification=1, working_distance_mm=60), "/solve/target/working_distance_mm"),
        (solving(magnification=1) | {"minimum": 200}, "/solve/minimum"),
        ({"target": {"magnification": 1}}, "/solve/unknown"),
    ],
)
def test_a_faulty_question_is_named(api: FlaskClient, solve: dict[str, Any], at_fault: str) -> None:
    assert at_fault in pointers(refused(api, SET_UPS, set_up(LENS, OPEN, solve=solve)))


def test_the_unknown_must_be_left_out(api: FlaskClient) -> None:
    problem = refused(api, SET_UPS, set_up(LENS, spacer(31), solve=solving(magnification=1)))
    assert pointers(problem) == {"/solve/unknown"}
    assert "Leave /train/1/length_mm out" in problem["errors"][0]["detail"]


def test_a_subject_width_needs_the_sensor(api: FlaskClient) -> None:
    document = set_up(LENS, OPEN, solve=solving(subject_width_mm=10)) | {"camera": {"register_mm": 18}}
    assert pointers(refused(api, SET_UPS, document)) == {"/camera/sensor"}


def test_a_spacer_without_length_is_refused_where_nothing_solves_it(api: FlaskClient) -> None:
    assert pointers(refused(api, SET_UPS, set_up(LENS, OPEN))) == {"/train/1/length_mm"}
