"""What is told of a scale that was proved, worked out by hand or by differences."""

from math import cos, hypot, radians, sin, sqrt, tan
from typing import Any

import numpy as np
import pytest

from closeup_service.measuring import ruler_result
from closeup_service.measuring.ruler_checks import Verdict
from closeup_service.measuring.ruler_fit import Fit, ScaleModel
from closeup_service.measuring.ruler_records import Measured

LAW = np.array([3.0, 40.0, 12.0, 0.08, -0.05, -0.03])
MODEL = ScaleModel(LAW, (599.5, 399.5), 721.0)
LINE = ((100.0, 420.0), (1150.0, 300.0))
ROOTS = np.random.default_rng(5).normal(0, 1e-3, (6, 6))
FIT = Fit(MODEL, ROOTS @ ROOTS.T, 0.004, np.ones(3, bool))


def verdict(marks: int) -> Verdict:
    return Verdict("", 1.0, 0, marks, 0.004, 1.0, 0.5, 5.0, 0.0, 0.05, 1, False, False, True)


@pytest.mark.parametrize(
    ("end", "expected"),
    [((9.0, 4.0), 0), ((9.0, -1.0), 45), ((9.0, 9.0), -45), ((-1.0, 4.0), 0), ((4.0, -1.0), 90), ((4.0, 9.0), 90)],
)
def test_the_direction_is_anticlockwise_as_seen_and_has_no_front(end: tuple[float, float], expected: float) -> None:
    assert ruler_result.direction_deg(((4.0, 4.0), end)) == pytest.approx(expected)


def test_the_scale_in_the_middle_is_one_mark_over_the_gradient_there() -> None:
    by_x, by_y = MODEL.gradient(599.5, 399.5)
    found = ruler_result.middle_scale(FIT, 0.5, verdict(50), LINE)
    assert found.value == pytest.approx(1 / (0.5 * hypot(by_x, by_y)), rel=1e-12)


def relative_by_differences() -> float:
    """Root of g C g^T, with g by differences of the logarithm of the scale (GUM 5.2.2)."""

    def log_scale(parameters: Any) -> float:
        return float(-np.log(ruler_result.across_marks(ScaleModel(parameters, MODEL.centre, MODEL.unit))[0]))

    steps = 1e-6 * np.eye(6)
    gradient = np.array([(log_scale(LAW + step) - log_scale(LAW - step)) / 2e-6 for step in steps])
    return sqrt(float(gradient @ FIT.covariance @ gradient))


@pytest.mark.parametrize(("marks", "free"), [(104, 100), (14, 10), (5, 1)])
def test_its_uncertainty_is_propagated_widened_for_few_marks_and_holds_what_one_term_leaves_out(
    marks: int, free: int
) -> None:
    found = ruler_result.middle_scale(FIT, 0.5, verdict(marks), LINE)
    left_out = ruler_result.distortion(FIT, LINE).value / 100
    expected = sqrt((1 + 2 / free) * (1.5 * relative_by_differences()) ** 2 + left_out**4 + 1e-10)
    assert found.uncertainty / found.value == pytest.approx(expected, rel=1e-6)


def test_the_keystone_is_the_change_of_scale_per_mm_along_the_ruler() -> None:
    """Scale along the ruler at two places one mm apart, by the gradient of the numbers without distortion."""
    plain = ScaleModel(np.array([0.0, 40.0, 12.0, 0.08, -0.05, 0.0]), MODEL.centre, MODEL.unit)
    along = np.array([40.0, 12.0]) / hypot(40, 12)
    ppm = 721 / hypot(40, 12) / 0.5

    def pixels_per_mark(mm: float) -> float:
        place = np.array(plain.centre) + mm * ppm * along
        by_x, by_y = plain.gradient(*place)
        return float(1 / (by_x * along[0] + by_y * along[1]))

    found = ruler_result.keystone_per_mm(Fit(plain, FIT.covariance, 0.004, FIT.kept), ppm)
    expected = (pixels_per_mark(0.01) - pixels_per_mark(-0.01)) / 0.02 / pixels_per_mark(0)
    assert found.value == pytest.approx(expected, rel=1e-5)
    both = FIT.covariance[3:5, 3:5]
    assert found.uncertainty == pytest.approx(2 * ppm / 721 * sqrt(float(along @ both @ along)), rel=1e-9)


def test_the_tilt_is_the_arc_sine_of_half_the_keystone_times_the_distance() -> None:
    found = ruler_result.tilt_deg(Measured(2 * sin(radians(30)) / 150, 1e-5), 150.0)
    assert found is not None
    assert found.value == pytest.approx(30)
    assert radians(found.uncertainty) == pytest.approx(1e-5 * 75 / cos(radians(30)))
    assert ruler_result.tilt_deg(Measured(0.01, 1e-5), None) is None
    assert ruler_result.tilt_deg(Measured(-0.01, 1e-5), 200.0) is None
    assert ruler_result.tilt_deg(Measured(-0.01, 1e-5), 199.0) is not None


def test_square_on_the_scale_is_over_the_cosine_and_as_uncertain_as_both() -> None:
    """GUM 5.1.2 of s / cos t, with the second order that counts where the tilt is none."""
    found = ruler_result.square_on(Measured(30.0, 0.06), Measured(20.0, 0.5))
    assert found is not None
    spread = radians(0.5)
    assert found.value == pytest.approx(30 / cos(radians(20)))
    assert found.uncertainty / found.value == pytest.approx(
        sqrt(0.002**2 + (tan(radians(20)) * spread) ** 2 + (spread**2 / 2) ** 2)
    )
    level = ruler_result.square_on(Measured(30.0, 0.0), Measured(0.0, 2.0))
    assert level is not None
    assert level.uncertainty / level.value == pytest.approx(1 / cos(radians(2)) - 1, rel=0.01)


def test_distortion_is_told_where_the_scale_ends_farther_out() -> None:
    square = ((1150 - 599.5) ** 2 + (300 - 399.5) ** 2) / 721**2
    found = ruler_result.distortion(FIT, LINE)
    assert found.value == pytest.approx(100 * (1 / (1 - 0.03 * square) - 1))
    assert found.uncertainty == pytest.approx(100 * square * sqrt(FIT.covariance[5, 5]))
