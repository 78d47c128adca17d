"""One text of each formula for one point and for a million rows.

A formula is written in operators only, or takes one of these two arithmetics for what operators cannot say. `POINT`
works on Python floats and raises at the first impossibility; `Columns` works on numpy columns, notes the code of the
first impossibility of each row, and goes on. A third one, `worked.writing`, makes any such formula write itself down.
"""

import math
from typing import Any, Protocol, TypeAlias

import numpy as np
import numpy.typing as npt

from closeup_service.optics.errors import OpticsError

FloatArray: TypeAlias = npt.NDArray[np.float64]

Real: TypeAlias = Any
"""A Python float, or a numpy column of them, shape (rows,)."""

ALMOST = 1e-9
"""So little above a whole number is none: a length of exactly nine steps takes nine and not ten."""


class Arithmetic(Protocol):
    """What the formulas need besides operators."""

    def log2(self, value: Real) -> Real:
        """Binary logarithm."""

    def sin(self, value: Real) -> Real:
        """Sine of an angle in radians."""

    def sqrt(self, value: Real) -> Real:
        """Square root."""

    def least(self, first: Real, second: Real) -> Real:
        """Lesser of two values."""

    def whole_steps(self, value: Real) -> Real:
        """Fewest whole steps that reach so far, none for a negative value; `ALMOST` above a whole number is none more."""

    def rounded(self, value: Real, decimals: int) -> Real:
        """Value to so many decimals."""

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
    least = staticmethod(min)

    @staticmethod
    def whole_steps(value: Real) -> Real:
        """Fewest whole steps that reach so far."""
        return max(0, math.ceil(value - ALMOST))

    @staticmethod
    def rounded(value: Real, decimals: int) -> Real:
        """Value to so many decimals."""
        return round(value, decimals)

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

    `problem` gives, per row, the code of the first impossibility found, or "".
    """

    log2 = staticmethod(np.log2)
    sin = staticmethod(np.sin)
    sqrt = staticmethod(np.sqrt)
    least = staticmethod(np.minimum)
    rounded = staticmethod(np.round)

    @staticmethod
    def whole_steps(value: Real) -> Real:
        """Fewest whole steps that reach so far, row by row."""
        return np.maximum(0, np.ceil(value - ALMOST))

    def __init__(self, rows: int) -> None:
        self._codes = [""]
        self._found: npt.NDArray[np.int8] = np.zeros(rows, np.int8)

    @property
    def impossible(self) -> npt.NDArray[np.bool_]:
        """Which rows are impossible."""
        found: npt.NDArray[np.bool_] = self._found != 0
        return found

    @property
    def problem(self) -> npt.NDArray[np.str_]:
        """Code of the first impossibility of each row, or ""."""
        return np.array(self._codes)[self._found]

    @staticmethod
    def where(condition: Any, yes: Real, no: Real) -> Real:
        """Choose row by row; one of the two as it is where it holds for all rows, which is the usual case."""
        if is_true(condition):
            return yes
        return np.where(condition, yes, no)

    @staticmethod
    def positive_reciprocal(value: Real) -> Real:
        """1/value where value > 0, else infinity; NaN, which is not determined, stays so."""
        if is_true(value > 0):
            return 1 / value
        return np.where(value > 0, 1 / np.asarray(value, dtype=float), np.where(np.isnan(value), np.nan, np.inf))

    def refuse(self, condition: Any, error: type[OpticsError], text: str, *members: str, **values: Real) -> None:
        """Note the error's code in every row where the condition holds and none is noted yet."""
        del text, members, values
        self.note(condition, error.code)

    def note(self, condition: Any, code: str) -> None:
        """Note a code in every row where the condition holds and none is noted yet."""
        condition = np.asarray(condition)
        if not condition.any():
            return
        if code not in self._codes:
            self._codes.append(code)
        self._found[condition & (self._found == 0)] = self._codes.index(code)


def is_true(condition: Any) -> bool:
    """Whether a condition holds in every row."""
    return bool(condition.all()) if isinstance(condition, np.ndarray) else bool(condition)
