"""A blurred bar seen by pixels: the profile worked out by hand, and what a fit gets back of it."""

from math import asin, erf, pi, sqrt

import numpy as np
import pytest

from closeup_service.measuring.ruler.blurred_bar import BLURS, Blur, Profile, bars, fit_bar

DISK, NORMAL = BLURS
PERIOD = 24.0
AWAY = (np.arange(96) + 0.5) / 96 * PERIOD - PERIOD / 2


def edge_of(blur: Blur, u: float) -> float:
    """The edge of a blur with a standard deviation of 1, by its closed formula."""
    if blur is NORMAL:
        return 0.5 * (1 + erf(u / sqrt(2)))
    half = min(max(u / 2, -1), 1)
    return 0.5 + (half * sqrt(1 - half * half) + asin(half)) / pi


def drawn(blur: Blur, edge_width: float, width: float, middle: float = 0.2, noise: float = 0.0) -> Profile:
    """A mark 100 high on a ground of 20, blurred, seen by pixels: the mean of point values over each pixel, by sums."""
    s = edge_width / blur.rise
    offsets = (np.arange(-20, 20) + 0.5) / 40
    values = np.zeros(len(AWAY))
    for neighbour in (-1, 0, 1):
        for sign, side in ((1, 0.5), (-1, -0.5)):
            x = AWAY - middle - neighbour * PERIOD + side * width
            values += sign * np.array(
                [np.mean([edge_of(blur, (one + off) / s) for off in offsets]) for one in x.tolist()]
            )
    grain = np.random.default_rng(6).normal(0, noise, len(AWAY)) if noise else 0.0
    return Profile(AWAY, 20 + 100 * values + grain, np.full(len(AWAY), 60.0), PERIOD, 1.0)


@pytest.mark.parametrize("blur", BLURS)
def test_an_edge_rises_from_10_to_90_percent_in_what_the_blur_says(blur: Blur) -> None:
    assert edge_of(blur, blur.rise / 2) == pytest.approx(0.9, abs=1e-5)


@pytest.mark.parametrize("blur", BLURS)
@pytest.mark.parametrize(("edge", "width"), [(1.0, 4.0), (6.0, 3.0)])
def test_bars_are_blurred_and_seen_as_means_over_pixels(blur: Blur, edge: float, width: float) -> None:
    expected = drawn(blur, edge, width)
    shape = np.array([[np.log(edge / blur.rise), width, 0.2]])
    assert 20 + 100 * bars(expected, blur, shape)[0] == pytest.approx(expected.values, abs=0.1)


@pytest.mark.parametrize("blur", BLURS)
@pytest.mark.parametrize(("edge", "width"), [(0.7, 5.0), (2.0, 5.0), (4.5, 5.0), (6.0, 8.0)])
def test_the_width_of_the_edge_is_the_blurs_alone(blur: Blur, edge: float, width: float) -> None:
    found = fit_bar(drawn(blur, edge, width, noise=0.4))
    assert found is not None
    assert found.edge_width == pytest.approx(edge, rel=0.04, abs=0.05)
    assert found.width == pytest.approx(width, rel=0.06)


@pytest.mark.parametrize("edge", [3.5, 6.0, 8.0])
def test_a_mark_narrower_than_the_blur_of_a_disk_hides_nothing(edge: float) -> None:
    found = fit_bar(drawn(DISK, edge, 2.5, noise=0.4))
    assert found is not None
    assert found.edge_width == pytest.approx(edge, rel=0.04)


def test_a_width_that_is_known_is_kept() -> None:
    found = fit_bar(drawn(NORMAL, 6.0, 2.4, noise=0.4), 0.1)
    assert found is not None
    assert found.width == pytest.approx(2.4)
    assert found.edge_width == pytest.approx(6.0, rel=0.02)


def test_what_falls_below_its_ground_is_no_bar() -> None:
    flat = Profile(AWAY, np.full(96, 7.0), np.full(96, 60.0), PERIOD, 1.0)
    found = fit_bar(flat)
    assert found is None or found.rest < 1e-9
