"""The tilt along the ruler: by a distance, by marks off square, or up to a largest one; and what it leaves uncertain."""

from math import atan, cos, degrees, hypot, radians, sin, sqrt, tan

import numpy as np
import pytest

from closeup_service.measuring.ruler.records import Measured
from closeup_service.measuring.ruler.tilt import (
    ASSUMED_LARGEST_TILT_DEG,
    least_deg,
    spread,
    tilt_from_distance,
    tilt_from_skew,
    tilt_of,
)
from closeup_service.measuring.ruler.view import View

NONE = Measured(0.0, 1e-6)


def seen(along_deg: float, across_deg: float, focal: float = 5.0, spread_of_each: float = 1e-4) -> View:
    """What a pinhole at a distance of so many half-diagonals shows of a plane tilted along the ruler and along the marks."""
    along, across = tan(radians(along_deg)), tan(radians(across_deg))
    return View(0.0, 40.0, along / focal, across / focal, along * across, np.eye(4) * spread_of_each**2)


SQUARE = seen(0.0, 0.0)


def test_the_tilt_is_the_arc_sine_of_half_the_keystone_times_the_distance() -> None:
    found = tilt_from_distance(Measured(sin(radians(30)) / 150, 1e-5), 150.0)
    assert found is not None
    assert found.value == pytest.approx(30)
    assert radians(found.uncertainty) == pytest.approx(1e-5 * 150 / cos(radians(30)))
    assert tilt_from_distance(Measured(0.005, 1e-5), None) is None
    assert tilt_from_distance(Measured(-0.005, 1e-5), 200.0) is None
    assert tilt_from_distance(Measured(-0.005, 1e-5), 199.0) is not None


@pytest.mark.parametrize(("along", "across"), [(25.0, 25.0), (-30.0, 12.0), (10.0, -35.0)])
@pytest.mark.parametrize("focal", [2.0, 9.0])
def test_marks_off_square_tell_the_tilt_without_any_distance(along: float, across: float, focal: float) -> None:
    found = tilt_from_skew(seen(along, across, focal))
    assert found is not None
    assert found.value == pytest.approx(along)
    assert 0 < found.uncertainty < 2


def test_marks_square_to_the_ruler_or_seen_unsurely_tell_no_tilt() -> None:
    assert tilt_from_skew(SQUARE) is None
    assert tilt_from_skew(seen(25.0, 25.0, spread_of_each=0.05)) is None
    contrary = seen(25.0, 25.0)
    assert tilt_from_skew(View(0.0, 40.0, contrary.along, -contrary.across, contrary.skew, np.eye(4))) is None


def test_the_product_of_the_tangents_is_a_least_tilt_about_one_axis_or_the_other() -> None:
    assert least_deg(seen(25.0, 25.0, spread_of_each=0.0)) == pytest.approx(25)
    assert least_deg(seen(40.0, 1.0, spread_of_each=0.0)) == pytest.approx(
        degrees(atan(sqrt(tan(radians(40)) * tan(radians(1)))))
    )
    assert least_deg(SQUARE) == 0


def test_even_tilts_up_to_five_degrees_shorten_by_as_much_as_the_stated_interval_holds_in_95_of_100() -> None:
    """By hand: 95 % of even tilts lie within 4.75 degrees, where 1 - cos 4.75 deg over the cosine is 0.344 %."""
    mean, shortening = spread(None, 5.0)
    assert mean.value == pytest.approx(0, abs=1e-9)
    assert mean.uncertainty == pytest.approx(5 / sqrt(3), rel=2e-3)
    assert 1.96 * shortening == pytest.approx(1 / cos(radians(4.75)) - 1, rel=5e-3)


def test_a_measured_tilt_leaves_its_tangent_uncertain_and_none_the_square() -> None:
    steep = spread(Measured(30.0, 0.2), None)[1]
    assert steep == pytest.approx(tan(radians(30)) * radians(0.2), rel=0.01)
    level = spread(Measured(0.0, 2.0), None)[1]
    assert 1.96 * level == pytest.approx(1 / cos(radians(1.96 * 2)) - 1, rel=0.01)
    assert spread(Measured(12.0, 0.0), None)[1] == pytest.approx(0, abs=1e-7)


def test_without_distance_the_usual_largest_tilt_is_assumed_or_the_one_that_was_given_is_taken() -> None:
    usual, given = tilt_of(SQUARE, NONE, None, None), tilt_of(SQUARE, NONE, None, 1.0)
    assert (usual.measured, usual.largest_deg, given.largest_deg) == (None, ASSUMED_LARGEST_TILT_DEG, 1.0)
    assert (
        usual.assumed_uncertainty == usual.shortening == pytest.approx(25 * given.shortening, rel=0.01)
    )  # as the square of the tilt
    assert tilt_of(SQUARE, NONE, None, 0.0).shortening == 0


def test_a_well_measured_tilt_counts_alone() -> None:
    found = tilt_of(SQUARE, Measured(0.001, 1e-6), 200.0, None)
    assert found.measured is not None
    assert found.measured.value == pytest.approx(degrees(np.arcsin(0.2)))
    assert (found.largest_deg, found.assumed_uncertainty) == (None, 0.0)


def test_a_badly_measured_tilt_is_narrowed_by_the_largest() -> None:
    """Even tilts over 2 degrees either way, seen as 1 +- 1 degree: a normal law cut off, by quadrature."""
    found = tilt_of(SQUARE, Measured(radians(1) / 200, radians(1) / 200), 200.0, 2.0)
    assert found.measured is not None
    t = np.linspace(-2, 2, 4001)
    density = np.exp(-0.5 * (t - 1) ** 2)
    mean = float((t * density).sum() / density.sum())
    assert found.measured.value == pytest.approx(mean, rel=1e-3)
    assert found.measured.uncertainty == pytest.approx(
        sqrt(((t - mean) ** 2 * density).sum() / density.sum()), rel=2e-3
    )
    assert found.largest_deg == 2.0
    unsure = tilt_of(SQUARE, Measured(0.0, radians(20) / 200), 200.0, None)
    assert unsure.largest_deg == ASSUMED_LARGEST_TILT_DEG
    assert unsure.shortening == pytest.approx(spread(None, 5.0)[1], rel=0.05)


def test_a_picture_that_shows_more_than_the_largest_tilt_is_believed() -> None:
    steep = tilt_of(SQUARE, Measured(0.001, 1e-6), 200.0, 5.0)
    assert steep.contradicted
    assert steep.largest_deg is None
    assert not tilt_of(SQUARE, Measured(0.001, 1e-6), 200.0, 15.0).contradicted


def test_marks_off_square_widen_what_is_assumed_where_they_do_not_tell_the_tilt() -> None:
    plain = seen(12.0, 12.0)
    unsure = View(0.0, 40.0, plain.along, plain.across, plain.skew, np.diag([0, 1, 1, 1e-8]))
    found = tilt_of(unsure, NONE, None, None)
    assert found.measured is None
    assert found.largest_deg == pytest.approx(2 * found.least_deg)
    assert found.least_deg > 11.5
    assert found.shows_two_axes
    told = tilt_of(plain, NONE, None, 3.0)
    assert told.measured is not None
    assert told.measured.value == pytest.approx(12, abs=3 * told.measured.uncertainty)
    assert told.contradicted
    assert hypot(told.shortening, 1) > 1
