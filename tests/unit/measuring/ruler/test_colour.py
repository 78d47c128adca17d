"""Colour, light and sharpness along a scale: straight lines, the coding of light, shifts and flanks of marks."""

import numpy as np
import pytest
from numpy.typing import NDArray

from closeup_service.measuring.ruler.colour import RED, as_percent, end_shift, fit_line, linear_light, shift
from closeup_service.measuring.ruler.fit import ScaleModel
from closeup_service.measuring.ruler.marks import Scale
from closeup_service.measuring.ruler.picture import bilinear
from closeup_service.measuring.ruler.profiles import STEP_PX, mean_of, places_of, window_of
from closeup_service.measuring.ruler.start import Start

PERIOD = 20.0
WINDOW = np.linspace(-0.5, 0.5, 33)


def scale(along: tuple[float, float] = (1.0, 0.0), dark: bool = True) -> Scale:
    """A scale of marks 20 pixels apart, one of them at (200, 100)."""
    start = Start(200.0, 100.0, along, PERIOD, 30.0, np.exp(-0.5 * (WINDOW / 0.1) ** 2), dark, 1.0)
    model = ScaleModel(np.array([0.0, *(np.array(along) * 250 / PERIOD), 0, 0, 0]), (200.0, 100.0), 250.0)
    return Scale(model, start, 0.0, 0.0, 30.0, start.shape, -8, 8)


def marked(shifted: float = 0.0, slope: float = 0.0, width: float = 2.0, factor: float = 1.0) -> NDArray[np.float32]:
    """A plane of dark marks at every 20 pixels on light ground that changes evenly."""
    x = np.arange(401.0)
    away = (x - shifted + PERIOD / 2) % PERIOD - PERIOD / 2
    line = factor * (180 + slope * (x - 200) - 120 * np.exp(-0.5 * (away / width) ** 2))
    return np.tile(line.astype(np.float32), (201, 1))


def test_light_is_coded_as_the_standard_says() -> None:
    """IEC 61966-2-1, from memory: 0 and 1 stay, half is coded 0.7354, and both branches meet at 0.04045."""
    assert linear_light(np.array([0.0, 1.0, 0.735357])) == pytest.approx([0, 1, 0.5], abs=1e-6)
    assert linear_light(np.array([0.02, 0.04])) == pytest.approx([0.02 / 12.92, 0.04 / 12.92], rel=1e-12)
    assert linear_light(np.array([0.04044])) == pytest.approx(linear_light(np.array([0.04046])), rel=1e-3)


def test_a_straight_line_and_its_uncertainty_are_those_of_polyfit() -> None:
    places = np.array([-30.0, -12, 4, 21, 37, 55])
    values = 0.3 + 0.01 * places + np.array([0.02, -0.03, 0.01, 0.02, -0.01, -0.02])
    (slope, at_start), covariance = np.polyfit(places, values, 1, cov=True)
    assert fit_line(places, values) == pytest.approx((at_start, slope, np.sqrt(covariance[0, 0])))
    told = as_percent((0.2, 0.0005, 0.00002))
    assert (told.value, told.uncertainty) == pytest.approx((0.05, 0.002))


def test_shifts_at_the_ends_are_positive_away_from_the_middle() -> None:
    red, blue = (1.0, 0.01, 0.0), (-1.0, 0.02, 0.0)
    right = end_shift(scale(), (300.0, 100.0), 20.0, red, blue)
    assert (right.red_minus_green_px, right.blue_minus_green_px) == pytest.approx((2.0, 1.0))
    left = end_shift(scale(), (100.0, 100.0), 20.0, red, blue)
    assert (left.red_minus_green_px, left.blue_minus_green_px) == pytest.approx((0.0, 3.0))
    down = end_shift(scale((0.0, 1.0)), (200.0, 50.0), 0.0, red, blue)
    assert (down.red_minus_green_px, down.blue_minus_green_px) == pytest.approx((-0.5, 2.0))


@pytest.mark.parametrize("shifted", [-0.4, 0.0, 0.05, 0.3])
@pytest.mark.parametrize("slope", [0.0, 0.3])
def test_the_shift_of_a_colour_is_what_was_drawn_in_uneven_light(shifted: float, slope: float) -> None:
    image = np.stack([marked(shifted, slope, factor=0.8), marked(), marked()], axis=2)
    x = np.arange(60.0, 341.0, PERIOD)
    found = shift(image, RED, scale(), x, np.full(len(x), 100.0), PERIOD)
    assert found == pytest.approx(shifted, abs=0.02)


@pytest.mark.parametrize("dark", [True, False])
def test_a_mean_profile_rises_to_the_mark_from_nothing_at_its_ends(dark: bool) -> None:
    plane = marked(slope=0.5) if dark else 255 - marked(slope=0.5)
    window = window_of(PERIOD)
    x = np.arange(60.0, 341.0, PERIOD)
    found = scale(dark=dark)
    values = bilinear(plane, *places_of(found, x, np.full(len(x), 100.0), window))
    profile = mean_of(values, found, window)
    assert window[np.argmax(profile)] == 0
    assert profile.max() == pytest.approx(120, rel=0.02)
    assert profile[[0, -1]] == pytest.approx([0, 0], abs=1.0)


def test_a_window_is_a_period_wide_in_steps_of_half_a_pixel() -> None:
    for period in (9.0, 20.0, 33.3):
        window = window_of(period)
        assert (window[0], window[-1]) == (-period / 2, period / 2)
        assert len(window) % 2 == 1
        assert 0.9 * STEP_PX < window[1] - window[0] <= STEP_PX
    assert len(window_of(5000.0)) == 601
