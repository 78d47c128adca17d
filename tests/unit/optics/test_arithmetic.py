"""One arithmetic for a point and for columns: each row comes to what the point does."""

import math

import numpy as np
import pytest

from closeup_service.optics.arithmetic import POINT, Columns, is_true
from closeup_service.optics.errors import Contradiction, NoRealSubject, OpticsError

VALUES = ([2.0, 0.5], [2.0, -4.0, 0.0, math.nan, math.inf, -math.inf], [-4.0, -0.25], [0.0, 0.0], [math.nan])


@pytest.mark.parametrize("values", VALUES)
def test_the_positive_reciprocal_of_a_column_is_that_of_its_points(values: list[float]) -> None:
    with np.errstate(all="ignore"):
        found = Columns(len(values)).positive_reciprocal(np.array(values))
    np.testing.assert_array_equal(found, [POINT.positive_reciprocal(value) for value in values])


@pytest.mark.parametrize(
    ("value", "reciprocal"), [(4.0, 0.25), (0.0, math.inf), (-4.0, math.inf), (math.inf, 0.0), (math.nan, math.nan)]
)
def test_nothing_positive_to_divide_by_is_infinite_and_nan_stays(value: float, reciprocal: float) -> None:
    np.testing.assert_equal(POINT.positive_reciprocal(value), reciprocal)


@pytest.mark.parametrize("condition", [[True, True], [True, False], [False, False]])
def test_a_column_chooses_row_by_row(condition: list[bool]) -> None:
    found = Columns(2).where(np.array(condition), np.array([1.0, 2.0]), np.array([3.0, 4.0]))
    assert list(found) == [POINT.where(*row) for row in zip(condition, (1.0, 2.0), (3.0, 4.0), strict=True)]
    assert is_true(np.array(condition)) is all(condition)


def test_a_column_notes_the_first_impossibility_of_each_row() -> None:
    columns = Columns(4)
    columns.refuse(np.array([False, False, False, False]), OpticsError, "none")
    columns.refuse(np.array([True, False, False, False]), NoRealSubject, "first")
    columns.refuse(np.array([True, True, False, False]), Contradiction, "second")
    columns.refuse(np.array([False, False, True, False]), NoRealSubject, "first again")
    assert list(columns.problem) == [NoRealSubject.code, Contradiction.code, NoRealSubject.code, ""]
    assert list(columns.impossible) == [True, True, True, False]


def test_a_point_refuses_with_the_values_and_members_given() -> None:
    POINT.refuse(False, NoRealSubject, "not said")
    with pytest.raises(NoRealSubject, match=r"^5\.00 mm short$") as refused:
        POINT.refuse(True, NoRealSubject, "{short:.2f} mm short", "/train/0", short=5.0)
    assert refused.value.members == ("/train/0",)
