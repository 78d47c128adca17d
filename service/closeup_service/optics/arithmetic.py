"""One text of each formula for one point and for a million rows.

A formula is written in operators only, or takes one of these two arithmetics for what operators cannot say. `POINT`
works on Python floats and raises at the first impossibility; `Columns` works on numpy columns, notes the code of the
first impossibility of each row, and goes on. A third one, `worked.writing`, makes any such formula write itself down.
"""

import math
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Protocol, TypeAlias, TypeVar, cast, overload

import numpy as np
import numpy.typing as npt

from closeup_service.language import tr
from closeup_service.optics.errors import OpticsError

FloatArray: TypeAlias = npt.NDArray[np.float64]
IntArray: TypeAlias = npt.NDArray[np.intp]
BoolArray: TypeAlias = npt.NDArray[np.bool_]

Condition: TypeAlias = bool | BoolArray
"""What holds or not, or a numpy column of that, shape (rows,)."""

Real: TypeAlias = float | FloatArray
"""A Python float, or a numpy column of them, shape (rows,)."""

if TYPE_CHECKING:
    from typing_extensions import TypeVar as TypeVarWithDefault

    R = TypeVarWithDefault("R", float, Real, default=float)

    def absolute(value: R) -> R:
        """Absolute value; the built-in's own type loses the kind of number."""
else:
    R = TypeVar("R")
    """The kind of number that a formula is given and gives: floats, or what may be columns; a bare record is of floats."""

    absolute = abs

Words: TypeAlias = str | npt.NDArray[np.str_]
"""A word, or a numpy column of them."""

Chosen = TypeVar("Chosen")
"""What is chosen of two."""

ALMOST = 1e-9
"""So little above a whole number is none: a length of exactly nine steps takes nine and not ten."""


class Arithmetic(Protocol[R]):
    """What the formulas need besides operators."""

    def log2(self, value: R, /) -> R:
        """Binary logarithm."""

    def sin(self, value: R, /) -> R:
        """Sine of an angle in radians."""

    def cos(self, value: R, /) -> R:
        """Cosine of an angle in radians."""

    def sqrt(self, value: R, /) -> R:
        """Square root."""

    def least(self, first: R, second: R, /) -> R:
        """Lesser of two values."""

    def greatest(self, first: R, second: R, /) -> R:
        """Greater of two values."""

    def whole_steps(self, value: R, /) -> R:
        """Fewest whole steps that reach so far, none for a negative value; `ALMOST` above a whole number is none more."""

    def rounded(self, value: R, decimals: int, /) -> R:
        """Value to so many decimals."""

    # `yes` where the condition holds, else `no`; both are computed beforehand.
    @overload
    def where(self, condition: Condition, yes: R, no: R, /) -> R: ...

    @overload
    def where(self, condition: Condition, yes: Words, no: Words, /) -> Words: ...

    def positive_reciprocal(self, value: R, /) -> R:
        """1/value where value > 0, else infinity; NaN, which is not determined, stays so."""

    def refuse(
        self, condition: Condition, error: type[OpticsError], text: str, *members: str, **values: object
    ) -> None:
        """Refuse where the condition holds; `text` is a format string over `values`."""


class Point:
    """Arithmetic of one set-up, on Python floats."""

    log2 = staticmethod(math.log2)
    sin = staticmethod(math.sin)
    cos = staticmethod(math.cos)
    sqrt = staticmethod(math.sqrt)
    least = staticmethod(min)
    greatest = staticmethod(max)

    @staticmethod
    def whole_steps(value: float) -> float:
        """Fewest whole steps that reach so far."""
        return max(0, math.ceil(value - ALMOST))

    @staticmethod
    def rounded(value: float, decimals: int) -> float:
        """Value to so many decimals."""
        return round(value, decimals)

    @staticmethod
    def where(condition: Condition, yes: Chosen, no: Chosen) -> Chosen:
        """Choose one of two values."""
        return yes if condition else no

    @staticmethod
    def positive_reciprocal(value: float) -> float:
        """1/value where value > 0, else infinity; NaN, which is not determined, stays so."""
        return 1 / value if value > 0 else math.nan if math.isnan(value) else math.inf

    @staticmethod
    def refuse(condition: Condition, error: type[OpticsError], text: str, *members: str, **values: object) -> None:
        """Raise the error when the condition holds."""
        if condition:
            raise error(tr(text, **values), *members)


POINT: Arithmetic[float] = Point()

USUAL: Any = POINT
"""What is calculated with where nothing is said; as a default it is of the type that the other arguments are of."""


class Columns:
    """Arithmetic of many set-ups at once, on numpy columns; run it under `numpy.errstate(all="ignore")`.

    `problem` gives, per row, the code of the first impossibility found, or "".
    """

    # No overload of numpy's own types takes what may be a float or a column.
    log2 = staticmethod(cast("Callable[[Real], Real]", np.log2))
    sin = staticmethod(cast("Callable[[Real], Real]", np.sin))
    cos = staticmethod(cast("Callable[[Real], Real]", np.cos))
    sqrt = staticmethod(cast("Callable[[Real], Real]", np.sqrt))
    least = staticmethod(cast("Callable[[Real, Real], Real]", np.minimum))
    greatest = staticmethod(cast("Callable[[Real, Real], Real]", np.maximum))
    rounded = staticmethod(cast("Callable[[Real, int], Real]", np.round))

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

    @overload
    @staticmethod
    def where(condition: Condition, yes: Real, no: Real) -> Real: ...

    @overload
    @staticmethod
    def where(condition: Condition, yes: Words, no: Words) -> Words: ...

    @staticmethod
    def where(condition: Condition, yes: Real | Words, no: Real | Words) -> Real | Words:
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

    def refuse(
        self, condition: Condition, error: type[OpticsError], text: str, *members: str, **values: object
    ) -> None:
        """Note the error's code in every row where the condition holds and none is noted yet."""
        del text, members, values
        self.note(condition, error.code)

    def note(self, condition: Condition, code: str) -> None:
        """Note a code in every row where the condition holds and none is noted yet."""
        condition = np.asarray(condition)
        if not condition.any():
            return
        if code not in self._codes:
            self._codes.append(code)
        self._found[condition & (self._found == 0)] = self._codes.index(code)


def is_true(condition: Condition) -> bool:
    """Whether a condition holds in every row."""
    return bool(condition.all()) if isinstance(condition, np.ndarray) else bool(condition)
