"""The law by which marks lie in a picture: its derivatives, its inverse, and what a fit gets back."""

import numpy as np
import pytest
from numpy.typing import NDArray

from closeup_service.measuring.ruler.fit import FLOOR, ScaleModel, fit_scale, mark_scatter, numbers, slopes
from closeup_service.measuring.ruler.picture import Floats

LAW = np.array([3.0, 40.0, 12.0, 0.08, -0.05, -0.03])
MODEL = ScaleModel(LAW, (599.5, 399.5), 721.0)
X, Y = (part.ravel() for part in np.meshgrid(np.linspace(40, 1100, 7), np.linspace(30, 700, 5)))


def test_the_number_of_a_mark_is_the_homography_of_the_undistorted_place() -> None:
    u, v = (1000 - 599.5) / 721, (100 - 399.5) / 721
    stretch = 1 - 0.03 * (u**2 + v**2)
    expected = (3 + 40 * u * stretch + 12 * v * stretch) / (1 + 0.08 * u * stretch - 0.05 * v * stretch)
    assert MODEL.numbers(1000.0, 100.0) == pytest.approx(expected, rel=1e-12)


def test_the_gradient_is_the_difference_from_pixel_to_pixel() -> None:
    by_x, by_y = MODEL.gradient(X, Y)
    h = 0.01
    assert by_x == pytest.approx((MODEL.numbers(X + h, Y) - MODEL.numbers(X - h, Y)) / (2 * h), rel=1e-7)
    assert by_y == pytest.approx((MODEL.numbers(X, Y + h) - MODEL.numbers(X, Y - h)) / (2 * h), rel=1e-6, abs=1e-9)


def test_the_slopes_are_the_differences_by_each_parameter() -> None:
    u, v = MODEL.normalise(X, Y)
    h = 1e-6
    for place, column in enumerate(slopes(LAW, u, v).T):
        step = h * np.eye(6)[place]
        expected = (numbers(LAW + step, u, v) - numbers(LAW - step, u, v)) / (2 * h)
        assert column == pytest.approx(expected, rel=1e-6, abs=1e-7)


def test_newtons_steps_find_the_mark_of_every_number_along_a_direction() -> None:
    wanted, direction = np.arange(-20.0, 21.0), (0.96, 0.28)
    away = MODEL.distance_to_mark(600.0, 400.0, direction, wanted, 5)
    assert MODEL.numbers(600 + away * 0.96, 400 + away * 0.28) == pytest.approx(wanted, abs=1e-9)


def points(scatter: float, seed: int = 3) -> tuple[Floats, Floats, NDArray[np.int64]]:
    """Five points on each of the marks from -25 to 31, each mark off by a chance of its own [marks]."""
    rng = np.random.default_rng(seed)
    number = np.repeat(np.arange(-25, 32), 5)
    lines = np.tile(np.linspace(-40, 40, 5), 57)
    off = np.repeat(rng.normal(0, scatter, 57), 5)
    x = 570.0 + MODEL.distance_to_mark(570.0, 400.0 + lines, (1.0, 0.0), number + off, 6)
    return x, 400.0 + lines, number


def test_exact_points_give_the_law_back_along_the_marks() -> None:
    x, y, number = points(0.0)
    fit = fit_scale(ScaleModel(np.array([2.0, 41.0, 10.0, 0, 0, 0]), MODEL.centre, MODEL.unit), x, y, number)
    assert fit.model.numbers(x, y) == pytest.approx(number, abs=2e-4)
    assert fit.model.parameters[[0, 1, 3, 5]] == pytest.approx(LAW[[0, 1, 3, 5]], rel=0.02, abs=2e-3)
    assert fit.scatter == FLOOR
    assert fit.kept.all()


def test_a_mark_far_off_is_given_up_and_does_not_move_the_others() -> None:
    x, y, number = points(0.001)
    clean = fit_scale(MODEL, x, y, number)
    far = x + np.where(number == 12, 6.0, 0.0)
    fit = fit_scale(MODEL, far, y, number)
    assert not fit.kept[number == 12].any()
    assert fit.model.numbers(x, y) == pytest.approx(clean.model.numbers(x, y), abs=6e-4)


def test_the_covariance_is_that_of_fits_drawn_at_random() -> None:
    fits = [fit_scale(MODEL, *points(0.004, seed), rounds=3) for seed in range(200)]
    assert np.median([fit.scatter for fit in fits]) == pytest.approx(0.004, rel=0.05)
    for place in (0, 1):
        spread = np.std([fit.model.parameters[place] for fit in fits])
        told = np.median([np.sqrt(fit.covariance[place, place]) for fit in fits])
        assert told == pytest.approx(spread, rel=0.25)


def test_the_scatter_is_that_of_whole_marks_with_four_parameters_taken_off() -> None:
    """By hand: means 3, -1, 2, -2, 1 thousandths, their squares 19e-6 over 5 - 4."""
    ordinal = np.array([0, 0, 1, 1, 3, 3, 4, 4, 5, 5, 5])
    away = np.array([2, 4, -1, -1, 3, 1, 0, -4, 1, 1, 900]) / 1000
    kept = np.ones(11, bool)
    kept[-1] = False
    assert mark_scatter(away, ordinal, kept) == pytest.approx(np.sqrt(19e-6))
    assert mark_scatter(away * 0, ordinal, kept) == FLOOR
