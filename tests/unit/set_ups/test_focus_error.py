"""How far behind an objective for infinity the sensor stands from the focus of its tube lens."""

from typing import Any

import pytest

from closeup_service.set_ups.set_up import evaluate

OBJECTIVE: Any = {"element": "objective", "magnification": 5.0, "numerical_aperture": 0.14}
OBJECTIVE |= {"tube_lens_focal_length_mm": 200.0, "working_distance_mm": 34.0, "parfocal_distance_mm": 95.0}
TUBE_LENS: Any = {"element": "lens", "focal_length_mm": 200.0, "f_number": 4.0, "register_mm": 45.46}
TUBE_LENS |= {"front_principal_plane_mm": 30.0, "principal_plane_separation_mm": 5.0}


def tube(length: float) -> Any:
    return {"element": "spacer", "length_mm": length}


def error(*train: Any) -> float | None:
    found: float | None = evaluate({"camera": {"register_mm": 45.46}, "train": list(train)}).focus_error_mm
    return found


@pytest.mark.parametrize("length", [3.0, 0.0, -2.0])
@pytest.mark.parametrize("before", [[], [tube(5.0)]])
def test_a_tube_behind_the_tube_lens_is_the_error(before: list[Any], length: float) -> None:
    assert error(*before, OBJECTIVE, tube(60.0), TUBE_LENS, tube(length)) == pytest.approx(length, abs=1e-9)


def test_without_a_tube_lens_or_an_objective_there_is_none() -> None:
    assert error(OBJECTIVE, tube(10.0)) is None
    assert error(TUBE_LENS, tube(100.0)) is None
