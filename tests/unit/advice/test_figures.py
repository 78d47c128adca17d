"""Figures that are known within a range, in words."""

from collections.abc import Callable

import pytest

from closeup_service.advice.figures import decimal, percent, ratio, with_ends, with_range


@pytest.mark.parametrize(
    ("value", "low", "high", "write", "told"),
    [
        (2.121, 1.724, 2.484, ratio, "about 2.1:1, between 1.7:1 and 2.5:1"),
        (0.82, 0.61, 0.98, ratio, "about 1:1.2, between 1:1.6 and 1:1"),
        (57.312, 55.274, 60.399, decimal, "about 57, between 55 and 60"),
        (57.312, 57.309, 57.316, decimal, "about 57.312, between 57.309 and 57.316"),
        (0.707, 0.578, 0.828, percent, "about 71, between 58 and 83"),
    ],
)
def test_a_range_is_written_in_digits_that_tell_its_ends_apart(
    value: float, low: float, high: float, write: Callable[[float, int], str], told: str
) -> None:
    assert with_range(value, {"low": low, "high": high}, write) == told


def test_a_figure_without_a_range_is_written_as_ever() -> None:
    assert with_range(2.121, None, ratio) == "2.12:1"
    assert with_ends(57.312, None, decimal, "mm") == "57.3 mm"


def test_a_range_stands_in_brackets_behind_its_unit() -> None:
    assert with_ends(57.312, {"low": 52.0, "high": 61.2}, decimal, "mm") == "57 mm (52 to 61)"
