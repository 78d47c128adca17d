"""What is told of a scale that was proved, worked out by hand or by differences."""

from math import cos, hypot, radians, sqrt

import numpy as np
import pytest

from closeup_service.measuring.ruler import result
from closeup_service.measuring.ruler.fit import Fit, ScaleModel
from closeup_service.measuring.ruler.records import Measured, Tilt
from closeup_service.measuring.ruler.view import View

LAW = np.array([3.0, 40.0, 12.0, 0.08, -0.05, -0.03])
MODEL = ScaleModel(LAW, (599.5, 399.5), 721.0)
LINE = ((100.0, 420.0), (1150.0, 300.0))
ROOTS = np.random.default_rng(5).normal(0, 1e-3, (6, 6))
FIT = Fit(MODEL, ROOTS @ ROOTS.T, 0.004, np.ones(3, bool))


VIEW = View(0.3, 41.0, 0.05, -0.02, 0.001, np.diag([4e-6, 9e-6, 1e-6, 1e-6]))


@pytest.mark.parametrize(
    ("end", "expected"),
    [((9.0, 4.0), 0), ((9.0, -1.0), 45), ((9.0, 9.0), -45), ((-1.0, 4.0), 0), ((4.0, -1.0), 90), ((4.0, 9.0), 90)],
)
def test_the_direction_is_anticlockwise_as_seen_and_has_no_front(end: tuple[float, float], expected: float) -> None:
    assert result.direction_deg(((4.0, 4.0), end)) == pytest.approx(expected)


@pytest.mark.parametrize(("marks", "free"), [(104, 100), (14, 10), (5, 1)])
def test_the_scale_in_the_middle_is_one_mark_over_the_slope_along_the_ruler(marks: int, free: int) -> None:
    """Uncertainty as the slope's, widened for few marks, with half the square of what one term of distortion takes on."""
    found = result.middle_scale(VIEW, 721.0, 0.5, marks, -2.0)
    assert found.value == pytest.approx(721 / 41 / 0.5, rel=1e-12)
    assert found.relative_uncertainty == pytest.approx(
        sqrt((1 + 2 / free) * 4e-6 + (0.5 * 0.02**2) ** 2 + 1e-10), rel=1e-9
    )


def test_the_keystone_is_the_change_of_scale_per_mm_along_the_ruler() -> None:
    """Scale along a ruler at two places one mm apart, by the gradient of the numbers without distortion."""
    plain = ScaleModel(np.array([0.0, 40.0, 12.0, 0.08, -0.05, 0.0]), MODEL.centre, MODEL.unit)
    along = np.array([40.0, 12.0]) / hypot(40, 12)
    ppm = 721 / hypot(40, 12) / 0.5

    def pixels_per_mark(mm: float) -> float:
        place = np.array(plain.centre) + mm * ppm * along
        by_x, by_y = plain.gradient(*place)
        return float(1 / (by_x * along[0] + by_y * along[1]))

    seen = View(0.0, hypot(40, 12), float(along @ [0.08, -0.05]), 0.0, 0.0, np.diag([0.0, 9e-6, 0.0, 0.0]))
    found = result.keystone_per_mm(seen, 721.0, ppm, 104)
    expected = (pixels_per_mark(0.01) - pixels_per_mark(-0.01)) / 0.02 / pixels_per_mark(0)
    assert found.value == pytest.approx(expected, rel=1e-5)
    assert found.uncertainty == pytest.approx(2 * ppm / 721 * sqrt(1.02 * 9e-6), rel=1e-9)


def test_square_on_the_scale_is_over_the_cosine_and_as_uncertain_as_both() -> None:
    tilt = Tilt(Measured(20.0, 0.5), 0.004, None, 0.0, contradicted=False)
    found = result.scale_square_on(Measured(30.0, 0.09), tilt)
    assert found is not None
    assert found.value == pytest.approx(30 / cos(radians(20)))
    assert found.relative_uncertainty == pytest.approx(0.005)  # 3, 4 and 5
    assert result.add_tilt_uncertainty(Measured(30.0, 0.09), tilt).uncertainty == pytest.approx(0.09)


def test_a_tilt_that_is_not_known_widens_the_scale_as_seen() -> None:
    tilt = Tilt(None, 0.004, 5.0, 0.0, contradicted=False)
    assert result.scale_square_on(Measured(30.0, 0.09), tilt) is None
    assert result.add_tilt_uncertainty(Measured(30.0, 0.09), tilt).relative_uncertainty == pytest.approx(0.005)


def test_distortion_is_told_where_the_scale_ends_farther_out() -> None:
    square = ((1150 - 599.5) ** 2 + (300 - 399.5) ** 2) / 721**2
    found = result.distortion(FIT, LINE)
    assert found.value == pytest.approx(100 * (1 / (1 - 0.03 * square) - 1))
    assert found.uncertainty == pytest.approx(100 * square * sqrt(FIT.covariance[5, 5]))
