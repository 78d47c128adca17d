"""Uncertain lenses, case by case."""

from math import inf, log
from typing import Any

import pytest

from closeup_service.set_ups.set_up import evaluate
from closeup_service.set_ups.uncertainty import Propagated, margin, propagate

REGISTER_MM = 45.46


def uncertain_lens(focal_length: float, sigma: float, **more: Any) -> Any:
    stated = {"parameters": ["focal_length_mm"], "covariance": [[sigma * sigma]]}
    members = {"f_number": 2.0, "front_principal_plane_mm": 10.0, "principal_plane_separation_mm": 5.0}
    lens = {"element": "lens", "focal_length_mm": focal_length, "register_mm": REGISTER_MM, **members, **more}
    return {**lens, "uncertainty": stated}


def propagated(*train: Any) -> Propagated:
    document: Any = {"camera": {"register_mm": REGISTER_MM}, "train": list(train)}
    return propagate(document, evaluate(document))


def test_two_ends_of_one_tube_that_always_govern_alike_are_not_taken_for_a_change_of_stop() -> None:
    """Between lenses focused at infinity light is parallel: both ends of a tube cut it at D/2 over the front focal length."""
    rear = {name: value for name, value in uncertain_lens(100.0, 0.0).items() if name != "uncertainty"}
    tube = {"element": "spacer", "length_mm": 20.0, "clear_diameter_mm": 5.0}
    found = propagated(uncertain_lens(50.0, 0.5, reversed=True), tube, rear)
    assert not found.switching
    assert found.uncertainties["numerical_aperture"] == pytest.approx(2.5 / 50.0 * 0.5 / 50.0, rel=1e-3)
    assert found.uncertainties["magnification"] == pytest.approx(100.0 / 50.0 * 0.5 / 50.0, rel=1e-3)


def test_a_stop_that_may_come_to_govern_within_two_standard_uncertainties_is_told() -> None:
    """The front lens lets 50/2 mm through, so a tube of 24.5 mm governs by 2 %, two standard uncertainties of 1 %."""
    rear = {name: value for name, value in uncertain_lens(100.0, 0.0).items() if name != "uncertainty"}
    tube = {"element": "spacer", "length_mm": 20.0, "clear_diameter_mm": 24.5}
    for sigma, switching in ((0.4, False), (0.6, True)):
        found = propagated(uncertain_lens(50.0, sigma, reversed=True, pupil_magnification=1.0), tube, rear)
        assert found.switching is switching
        assert (found.uncertainties["effective_f_number"] is None) is switching
        assert found.uncertainties["magnification"] == pytest.approx(100.0 / 50.0 * sigma / 50.0, rel=1e-3)


def test_a_stop_in_an_image_of_the_subject_never_comes_to_govern() -> None:
    """The axial cone has no width there; elsewhere the ratio of widths counts."""
    assert margin([4.0, 1.0], 0, 1) == pytest.approx(log(4.0))
    assert margin([4.0, 0.0], 0, 1) == inf
