"""Weighted quantiles, against numpy's where all weights are equal, and what says nothing."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from closeup_service.estimates.ranges import Range, is_measured_first, weighted_ranges


@given(st.lists(st.floats(-1e6, 1e6), min_size=1, max_size=60))
def test_with_equal_weights_they_are_hazens_quantiles(values: list[float]) -> None:
    """R. J. Hyndman, Y. Fan, *The American Statistician* 50 (1996) 361, definition 5 (Hazen), as numpy has it."""
    row = np.array(values)
    [found] = weighted_ranges(row[None], np.full(len(row), 1 / len(row)))
    expected = np.quantile(row, [0.5, 0.025, 0.975], method="hazen")
    assert (found.value, found.low, found.high) == pytest.approx(tuple(expected), abs=1e-6)


@given(st.lists(st.tuples(st.floats(-10, 10), st.integers(1, 5)), min_size=1, max_size=20))
def test_a_weight_counts_like_so_many_equal_members_in_the_order_of_the_ends(pairs: list[tuple[float, int]]) -> None:
    values, counts = np.array([value for value, _ in pairs]), np.array([count for _, count in pairs], float)
    [weighted] = weighted_ranges(values[None], counts / counts.sum())
    assert values.min() <= weighted.low <= weighted.value <= weighted.high <= values.max()


@pytest.mark.parametrize(
    ("low", "high", "useless"),
    [
        (0.05, 0.1, True),
        (0.0098, 0.0102, False),
        (0.06, 0.17, False),
        (0.06, 0.19, True),
        (-0.2, 1.0, True),
        (1.5, 2.2, False),
    ],
)
def test_a_range_down_to_nothing_or_over_three_times_is_measured_first(low: float, high: float, useless: bool) -> None:
    """Documentation of the statistics: lower end <= 0.05 or upper > 3 x lower."""
    assert is_measured_first(Range(0.1, low, high)) is useless


def test_ends_of_a_count_are_whole() -> None:
    assert Range(4.6, 3.4, 5.2).ends(whole=True) == {"low": 3, "high": 6}
