"""Which marks are longer, and which pitches they fit."""

from math import log10

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from closeup_service.measuring.ruler.pitch import fits_pitch, is_decimal, spacing

MANY, FEW = np.arange(-7, 40), np.arange(3, 13)


@given(st.sampled_from([2, 4, 5, 8, 10, 16, 20]), st.integers(0, 19))
def test_the_spacing_of_longer_marks_is_found_wherever_the_count_began(every: int, shift: int) -> None:
    seen = (MANY + shift) % every == 0
    if seen.sum() > 1:
        assert spacing(MANY, seen, np.ones(len(MANY), bool)) == every


@pytest.mark.parametrize("every", [2, 5])
def test_of_few_marks_one_longer_is_enough(every: int) -> None:
    assert spacing(FEW, FEW % every == 0, np.ones(len(FEW), bool)) == every
    assert spacing(FEW, FEW % 10 == 0, np.ones(len(FEW), bool)) == 10


def test_of_few_marks_one_in_three_may_be_seen_by_chance() -> None:
    numbers = np.arange(3, 14)
    everywhere = np.ones(11, bool)
    assert spacing(numbers, (numbers % 5 == 0) | (numbers == 8), everywhere) == 5
    assert spacing(numbers, (numbers % 5 == 0) | (numbers == 4), everywhere) is None


def test_marks_all_seen_or_none_have_no_spacing() -> None:
    everywhere = np.ones(len(MANY), bool)
    assert spacing(MANY, everywhere, everywhere) is None
    assert spacing(MANY, ~everywhere, everywhere) is None
    assert spacing(MANY, MANY % 3 == 0, everywhere) is None


def test_marks_out_of_the_picture_do_not_count_against_a_spacing() -> None:
    inside = MANY < 20
    assert spacing(MANY, (MANY % 5 == 0) & inside, inside) == 5
    assert spacing(MANY, (MANY % 5 == 0) & inside, np.ones(len(MANY), bool)) is None


def test_longer_marks_seen_but_for_one_in_four_are_still_spaced() -> None:
    seen = (MANY % 5 == 0) & (MANY != 10)
    assert spacing(MANY, seen, np.ones(len(MANY), bool)) == 5
    assert spacing(MANY, seen & (MANY != 25) & (MANY != 0), np.ones(len(MANY), bool)) is None


@pytest.mark.parametrize(
    ("every", "pitch", "expected"),
    [
        *[((5, 10), 1.0, True), ((5, 10), 0.1, True), ((10,), 0.01, True), ((2, 10), 0.5, True), ((2, 20), 0.5, True)],
        *[((5,), 0.5, False), ((2,), 1.0, False), ((4,), 1.0, False), ((5, 20), 1.0, False), ((20,), 1.0, False)],
        *[((2, 4, 8, 16), 25.4 / 16, True), ((4, 8), 25.4 / 32, True), ((2, 4), 25.4, True), ((5,), 25.4 / 16, False)],
        *[((2,), 25.4 / 17, False), ((4,), 25.4 / 64 * 1.0005, True), ((4,), 25.4 / 64 * 1.002, False)],
    ],
)
def test_longer_marks_are_those_of_a_decimal_scale_or_of_a_halved_inch(
    every: tuple[int, ...], pitch: float, expected: bool
) -> None:
    assert fits_pitch(every, pitch) is expected


@given(st.integers(-4, 4), st.sampled_from([1, 2, 2.5, 4, 5, 8, 9.99, 5.001, 1.001]))
def test_a_decimal_length_is_one_or_five_times_a_power_of_ten(power: int, figure: float) -> None:
    assert is_decimal(figure * 10.0**power) is (figure in {1, 5})
    assert log10(figure) >= 0
