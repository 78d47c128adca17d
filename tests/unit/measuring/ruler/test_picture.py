"""A picture at several sizes: values between pixels, means over squares, and which size serves a period."""

from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from closeup_service.measuring.ruler.picture import GREEN, Level, bilinear, pyramid, shrink

RAMP = np.add.outer(100.0 * np.arange(60), np.arange(90.0)).astype(np.float32)
"""Each value tells its place: 100 y + x."""


def test_between_pixels_a_plane_is_straight_and_beyond_the_border_it_is_the_borders() -> None:
    x, y = np.array([0.0, 4.25, 88.5, 89.0, 200.0, -7.0]), np.array([0.0, 10.5, 58.25, 59.0, 90.0, 3.5])
    expected = 100 * np.clip(y, 0, 59) + np.clip(x, 0, 89)
    assert bilinear(RAMP, x, y) == pytest.approx(expected, abs=0.2)
    corner = np.array([[1.0, 2.0], [4.0, 8.0]], np.float32)
    assert bilinear(corner, np.array([0.25]), np.array([0.5])) == pytest.approx([0.5 * 1.25 + 0.5 * 5.0])


@pytest.mark.parametrize("kind", [np.uint8, np.uint16, np.float32])
def test_a_smaller_plane_holds_the_means_of_squares_without_the_remainder(kind: type) -> None:
    plane: NDArray[Any] = np.random.default_rng(1).integers(0, 256, (17, 22)).astype(kind)
    small = shrink(plane, 4)
    assert small.shape == (4, 5)
    assert small == pytest.approx(plane[:16, :20].reshape(4, 4, 5, 4).mean(axis=(1, 3)))


def test_means_of_bright_pixels_do_not_overflow() -> None:
    assert (shrink(np.full((40, 40), 255, np.uint8), 20) == 255).all()
    assert (shrink(np.full((9, 9), 65535, np.uint16), 9) == 65535).all()


@pytest.mark.parametrize("factor", [1, 2, 3, 5])
def test_every_size_has_the_values_of_the_same_places(factor: int) -> None:
    level = Level(factor, shrink(RAMP, factor))
    x, y = np.array([20.0, 41.5]), np.array([30.0, 22.25])
    assert level.sample(x, y) == pytest.approx(100 * y + x, abs=0.01)
    assert level.to_picture(level.to_level(x)) == pytest.approx(x)


def test_sizes_go_down_by_threes_while_the_shorter_side_has_forty_pixels() -> None:
    grey = np.zeros((1080, 1500), np.uint8)
    built = pyramid(grey)
    assert [level.factor for level in built.levels] == [1, 3, 9, 27]
    assert built.levels[-1].plane.shape == (40, 55)
    assert built.searched == built.levels
    assert built.size == (1500, 1080)
    assert built.centre == (749.5, 539.5)
    assert built.half_diagonal == pytest.approx(np.hypot(750, 540))


def test_a_large_picture_is_searched_smaller_and_kept_in_full() -> None:
    colour = np.zeros((2400, 3000, 3), np.uint8)
    colour[..., GREEN] = 9
    built = pyramid(colour)
    assert [level.factor for level in built.levels[:3]] == [1, 2, 6]
    assert [level.factor for level in built.searched[:2]] == [2, 6]
    assert (built.searched[0].plane == 9).all()
    assert built.size == (3000, 2400)


def test_the_smallest_size_that_still_resolves_a_period_is_taken() -> None:
    built = pyramid(np.zeros((1080, 1500), np.uint8))
    assert [built.choose_level(period, 12).factor for period in (5, 12, 36, 107, 108, 400)] == [1, 1, 3, 3, 9, 27]
