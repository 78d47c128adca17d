"""Flash by guide number against printed examples, and the disc against a sum over its surface.

`seen` means that the passage was read, mostly in an excerpt of the page.
"""

import math

import pytest
from scipy.integrate import quad

from closeup_service.optics import flash
from closeup_service.optics.arithmetic import POINT
from closeup_service.optics.flash import Head


def f_number(guide_number: float, distance_mm: float, gain: float = 1.0) -> float:
    found: float = flash.effective_f_number(flash.light_of(Head(guide_number, distance_mm), 0.0), gain, POINT)
    return found


def guide_number(stated: float, gain: float) -> float:
    """Guide number in use, read off at one metre."""
    return f_number(stated, 1000, gain)


@pytest.mark.parametrize(
    ("stated", "distance_m", "printed"),
    [
        (45, 5, 9),  # a photographic dictionary, "guide number" (seen)
        (32, 4, 8),  # Open Photographic Society, flash guide numbers (seen)
        (40, 10, 4),  # a question-and-answer archive on guide number and ISO (seen)
    ],
)
def test_the_f_number_is_guide_number_over_distance_as_printed(
    stated: float, distance_m: float, printed: float
) -> None:
    assert f_number(stated, 1000 * distance_m) == pytest.approx(printed, rel=1e-9)


def test_the_distance_is_guide_number_over_f_number_as_printed() -> None:
    """GN 45 at f/11 reaches "approx. 4 m" (a page on guide numbers, seen; rounded in print, hence 3 %)."""
    found = flash.distance(45, 1.0, 11, 0.0, POINT)
    assert found == pytest.approx(4000, rel=0.03)


def test_four_times_the_iso_is_twice_the_guide_number_as_printed() -> None:
    """GN 40 is 80 at ISO 400 (a question-and-answer archive on guide number and ISO, seen)."""
    assert guide_number(40, flash.gain(400, 1, 1, 1)) == pytest.approx(80, rel=1e-9)


def test_twice_the_joules_are_one_stop() -> None:
    """Light goes as energy, and a stop is a factor of two in light (common practice): 400 J of a head of 800 J."""
    full, half = (f_number(30, 500, flash.gain(100, joules / 800, 1, 1)) for joules in (800, 400))
    assert 2 * math.log2(full / half) == pytest.approx(1, rel=1e-12)


def test_two_equal_heads_are_one_stop_and_four_are_two() -> None:
    one = f_number(20, 700)
    for heads, stops in ((2, 1), (4, 2)):
        light = flash.light_of_all([Head(20, 700)] * heads, 0.0)
        assert 2 * math.log2(flash.effective_f_number(light, 1.0, POINT) / one) == pytest.approx(stops, rel=1e-12)


def light_summed_over_the_disc(radius: float, distance: float) -> float:
    """Light on the axis of an evenly bright disc, ring by ring, over that of all its light from its middle.

    Each patch counts by the cosine at the patch, the cosine at the subject, and its own inverse square.
    """

    def ring(r: float) -> float:
        square = distance * distance + r * r
        cosine = distance / math.sqrt(square)
        return cosine * cosine / square * 2 * math.pi * r

    summed, _ = quad(ring, 0, radius, epsrel=1e-12)
    return float(summed) / (math.pi * radius * radius / (distance * distance))


@pytest.mark.parametrize("distance", [3.0, 20.0, 100.0, 400.0])
def test_a_disc_falls_off_as_the_sum_over_its_surface(distance: float) -> None:
    radius = 20.0
    of_the_disc = flash.light_of(Head(30, distance), radius) / flash.light_of(Head(30, distance), 0.0)
    assert of_the_disc == pytest.approx(light_summed_over_the_disc(radius, distance), rel=1e-9)


@pytest.mark.parametrize(("times_the_radius", "error"), [(5, 0.04), (10, 0.01)])
def test_the_inverse_square_is_off_by_four_and_one_per_cent(times_the_radius: float, error: float) -> None:
    """A lamp of radius r at 5 r and 10 r (textbooks of photometry, from memory), and by the sum over the disc."""
    radius = 30.0
    distance = times_the_radius * radius
    found = flash.inverse_square_error([Head(25, distance)], radius)
    assert found == pytest.approx(error, rel=1e-12)
    assert 1 / light_summed_over_the_disc(radius, distance) - 1 == pytest.approx(error, rel=1e-9)
