"""The budget of a scale reading against draws from the distributions, and against the package `uncertainties`."""

import math

import numpy as np
import pytest
from uncertainties import ufloat, umath

from closeup_service.measuring import scale_reading as measuring

DRAWS = 400_000


def drawn(seed: int, tilt: float, tilt_error: float) -> tuple[float, float]:
    """Root mean square of 1/cos drawn, over 1/cos stated, less 1; and the formula's value for it."""
    angles = np.radians(np.random.default_rng(seed).normal(tilt, tilt_error, DRAWS))
    log_ratio = np.log(np.cos(math.radians(tilt)) / np.cos(angles))
    return float(np.sqrt(np.mean(log_ratio**2))), measuring.tilt_uncertainty(tilt, tilt_error)


@pytest.mark.parametrize(("tilt", "error"), [(0, 1), (0, 5), (5, 1), (5, 3), (30, 2), (60, 1)])
def test_the_part_of_the_tilt_is_the_root_mean_square_of_draws(tilt: float, error: float) -> None:
    by_draws, by_formula = drawn(1, tilt, error)
    assert by_formula == pytest.approx(by_draws, rel=0.02)


@pytest.mark.parametrize("tilt", [0, 20, 45, 65])
def test_beyond_the_first_order_the_part_of_the_tilt_is_that_of_quadrature(tilt: float) -> None:
    """The variance less tan^2 t s^2, by Gauss and Hermite's rule of 40 points (numpy), for a spread of half a degree."""
    nodes, weights = np.polynomial.hermite_e.hermegauss(40)
    angle, spread = math.radians(tilt), math.radians(0.5)
    log_ratio = np.log(math.cos(angle) / np.cos(angle + spread * nodes))
    variance = float(weights @ log_ratio**2 / weights.sum())
    first_order = (math.tan(angle) * spread) ** 2
    assert measuring.tilt_uncertainty(tilt, 0.5) ** 2 - first_order == pytest.approx(variance - first_order, rel=0.02)


def test_five_degrees_foreshorten_by_four_thousandths() -> None:
    """cos 5 degrees = 0.99619, from any table of cosines."""
    assert measuring.foreshortened_length(1.0, 5.0) == pytest.approx(0.99619, abs=5e-6)


@pytest.mark.parametrize(
    ("reading", "ruler", "sensor", "tilt", "tilt_error"),
    [(0.1, 0.001, 0.002, 0, 2), (0.02, 0.005, 0.001, 10, 1), (0.05, 0.0, 0.01, 0, 4), (0.3, 0.0, 0.0, 0, 0)],
)
def test_the_whole_budget_agrees_with_draws_and_its_interval_holds_95_of_100(
    reading: float, ruler: float, sensor: float, tilt: float, tilt_error: float
) -> None:
    """The scheme of JCGM 101: every input is drawn, the measurement repeated for each draw."""
    chance = np.random.default_rng(7)
    marks = chance.normal(20, reading, DRAWS), chance.normal(35, reading, DRAWS)
    length = (marks[1] - marks[0]) * chance.normal(1, ruler, DRAWS)
    width = 23.5 * chance.normal(1, sensor, DRAWS)
    angle = np.radians(chance.normal(tilt, tilt_error, DRAWS))
    values = width / (length * np.cos(angle))
    value = measuring.magnification(23.5, 15, tilt)
    parts = [measuring.two_mark_uncertainty(reading, 15), ruler, sensor, measuring.tilt_uncertainty(tilt, tilt_error)]
    relative = measuring.combined_uncertainty(parts)
    assert relative == pytest.approx(float(np.sqrt(np.mean((values / value - 1) ** 2))), rel=0.02)
    low, high = measuring.interval(value, relative)
    assert low is not None
    assert float(np.mean((values >= low) & (values <= high))) == pytest.approx(0.95, abs=0.01)


def test_first_order_propagation_is_that_of_the_package() -> None:
    first, last = ufloat(20, 0.05), ufloat(35, 0.05)
    ruler, sensor = ufloat(1, 0.001), ufloat(23.5, 23.5 * 0.002)
    tilt = ufloat(math.radians(12), math.radians(0.5))
    theirs = sensor / ((last - first) * ruler * umath.cos(tilt))
    value = measuring.magnification(23.5, 15, 12)
    parts = [measuring.two_mark_uncertainty(0.05, 15), 0.001, 0.002, measuring.tilt_uncertainty(12, 0.5)]
    assert value == pytest.approx(theirs.nominal_value, rel=1e-12)
    assert measuring.combined_uncertainty(parts) == pytest.approx(theirs.std_dev / theirs.nominal_value, rel=2e-3)


def test_a_reading_to_the_nearest_division_has_the_deviation_of_a_uniform_draw() -> None:
    """JCGM 100, 4.3.7, from memory: a / sqrt(3) for a rectangle of half-width a."""
    errors = np.random.default_rng(3).uniform(-0.25, 0.25, DRAWS)
    assert measuring.division_uncertainty(0.5) == pytest.approx(float(np.std(errors)), rel=0.005)
