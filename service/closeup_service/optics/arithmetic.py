"""One text of each formula for one point and for a million rows.

A formula is written in operators only, or takes one of these two arithmetics for what operators cannot say. `POINT`
works on Python floats and raises at the first impossibility; `Columns` works on numpy columns, notes the code of the
first impossibility of each row, and goes on.
"""

import math
from typing import Any, Protocol, TypeAlias

import numpy as np
import numpy.typing as npt

from closeup_service.optics.errors import OpticsError

Real: TypeAlias = Any
"""A Python float, or a numpy column of them, shape (rows,)."""


class Arithmetic(Protocol):
    """What the formulas need besides operators."""

    def log2(self, value: Real) -> Real:
        """Binary logarithm."""

    def sin(self, value: Real) -> Real:
        """Sine of an angle in radians."""

    def sqrt(self, value: Real) -> Real:
        """Square root."""

    def where(self, condition: Any, yes: Real, no: Real) -> Real:
        """`yes` where the condition holds, else `no`; both are computed beforehand."""

    def positive_reciprocal(self, value: Real) -> Real:
        """1/value where value > 0, else infinity; NaN, which is not determined, stays so."""

    def refuse(self, condition: Any, error: type[OpticsError], text: str, *members: str, **values: Real) -> None:
        """Refuse where the condition holds; `text` is a format string over `values`."""


class Point:
    """Arithmetic of one set-up, on Python floats."""

    log2 = staticmethod(math.log2)
    sin = staticmethod(math.sin)
    sqrt = staticmethod(math.sqrt)

    @staticmethod
    def where(condition: Any, yes: Real, no: Real) -> Real:
        """Choose one of two values."""
        return yes if condition else no

    @staticmethod
    def positive_reciprocal(value: Real) -> Real:
        """1/value where value > 0, else infinity; NaN, which is not determined, stays so."""
        return 1 / value if value > 0 else math.nan if math.isnan(value) else math.inf

    @staticmethod
    def refuse(condition: Any, error: type[OpticsError], text: str, *members: str, **values: Real) -> None:
        """Raise the error when the condition holds."""
        if condition:
            raise error(text.format(**values), *members)


POINT = Point()


class Columns:
    """Arithmetic of many set-ups at once, on numpy columns; run it under `numpy.errstate(all="ignore")`.

    `problem` holds, per row, the code of the first impossibility found, or "".
    """

    log2 = staticmethod(np.log2)
    sin = staticmethod(np.sin)
    sqrt = staticmethod(np.sqrt)
    where = staticmethod(np.where)

    def __init__(self, rows: int) -> None:
        self.problem: npt.NDArray[np.str_] = np.full(rows, "", dtype="<U24")

    @staticmethod
    def positive_reciprocal(value: Real) -> Real:
        """1/value where value > 0, else infinity; NaN, which is not determined, stays so."""
        return np.where(value > 0, 1 / np.asarray(value, dtype=float), np.where(np.isnan(value), np.nan, np.inf))

    def refuse(self, condition: Any, error: type[OpticsError], text: str, *members: str, **values: Real) -> None:
        """Note the error's code in every row where the condition holds and none is noted yet."""
        del text, members, values
        self.problem[np.asarray(condition) & (self.problem == "")] = error.code
