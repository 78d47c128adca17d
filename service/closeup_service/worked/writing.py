"""A third arithmetic beside that of a point and of columns: quantities that write down what is calculated with them.

A function of the optics, called with `Written` quantities in place of numbers, gives its own formula. So a formula stands
once, where it is calculated. It is written as people write it: `x * x` as a square, `x * 1e-3` as a division by 1000.
"""

import ast
from math import log10
from typing import Any, TypeAlias, Union

from closeup_service.optics.errors import OpticsError
from closeup_service.optics.formulas import FIRST_ZERO
from closeup_service.worked.notation import evaluated, parsed

Operand: TypeAlias = Union["Written", float]

SPELT = {
    evaluated(parsed(text), {"j_1": FIRST_ZERO}): text
    for text in (
        *("pi", "sqrt(2)", "sqrt(3)", "log2(10)", "pi / 180 / 60", "1 / 1500"),
        *("2 * j_1 / pi", "j_1 / pi", "4 * j_1 / pi", "j_1 / (2 * pi)"),
    )
}
"""Constants of the formulas by their value, as people write them."""


class Written:
    """A quantity as the tree of what it is calculated by."""

    __slots__ = ("tree",)

    def __init__(self, tree: ast.expr) -> None:
        self.tree = tree

    def __str__(self) -> str:
        return ast.unparse(self.tree)

    def __neg__(self) -> "Written":
        return Written(ast.UnaryOp(ast.USub(), self.tree))

    def __abs__(self) -> "Written":
        return called("abs", self)

    def __add__(self, other: Operand) -> "Written":
        return self if is_number(other, 0) else joined(self, ast.Add(), other)

    def __sub__(self, other: Operand) -> "Written":
        return self if is_number(other, 0) else joined(self, ast.Sub(), other)

    def __mul__(self, other: Operand) -> "Written":
        return product(self.tree, tree_of(other))

    def __truediv__(self, other: Operand) -> "Written":
        return quotient(self.tree, tree_of(other))

    def __pow__(self, other: float) -> "Written":
        return called("sqrt", self) if is_number(other, 0.5) else joined(self, ast.Pow(), other)

    def __rpow__(self, base: float) -> "Written":
        return joined(base, ast.Pow(), self)

    def __radd__(self, other: Operand) -> "Written":
        return self if is_number(other, 0) else joined(other, ast.Add(), self)

    def __rsub__(self, other: Operand) -> "Written":
        return joined(other, ast.Sub(), self)

    def __rmul__(self, other: float) -> "Written":
        return product(tree_of(other), self.tree)

    def __rtruediv__(self, other: float) -> "Written":
        return quotient(tree_of(other), self.tree)

    def __gt__(self, other: Operand) -> bool:
        return True

    def __ge__(self, other: Operand) -> bool:
        return True

    def __lt__(self, other: Operand) -> bool:
        return True

    def __le__(self, other: Operand) -> bool:
        return True


class Writing:
    """Arithmetic of written quantities. What is compared holds, so that the first branch of a formula is written."""

    @staticmethod
    def log2(value: Written) -> Written:
        """Binary logarithm."""
        return called("log2", value)

    @staticmethod
    def sin(value: Written) -> Written:
        """Sine of an angle in radians."""
        return called("sin", value)

    @staticmethod
    def cos(value: Written) -> Written:
        """Cosine of an angle in radians."""
        return called("cos", value)

    @staticmethod
    def sqrt(value: Written) -> Written:
        """Square root."""
        return called("sqrt", value)

    @staticmethod
    def least(first: Operand, second: Operand) -> Written:
        """Lesser of two values."""
        return called("min", first, second)

    @staticmethod
    def greatest(first: Operand, second: Operand) -> Written:
        """Greater of two values."""
        return called("max", first, second)

    @staticmethod
    def whole_steps(value: Written) -> Written:
        """Fewest whole steps that reach so far."""
        return called("roundup", value)

    @staticmethod
    def rounded(value: Written, decimals: int) -> Written:
        """Value as it is: a formula does not say how it is rounded."""
        del decimals
        return value

    @staticmethod
    def where(condition: bool, yes: Any, no: Any) -> Any:
        """Choose one of two values."""
        return yes if condition else no

    @staticmethod
    def positive_reciprocal(value: Written) -> Written:
        """1/value."""
        return 1 / value

    @staticmethod
    def refuse(condition: Any, error: type[OpticsError], text: str, *members: str, **values: Any) -> None:
        """Refuse nothing: what is written holds for every number."""


WRITING = Writing()


def is_number(value: Operand, number: float) -> bool:
    """Whether a value is this number."""
    if isinstance(value, Written):
        return isinstance(value.tree, ast.Constant) and bool(value.tree.value == number)
    return value == number


def tree_of(value: Operand) -> ast.expr:
    """Tree of a quantity or of a number."""
    if isinstance(value, Written):
        return value.tree
    if value in SPELT:
        return parsed(SPELT[value])
    return ast.Constant(int(value) if float(value).is_integer() else value)


def joined(left: Operand, sign: ast.operator, right: Operand) -> Written:
    """Two values with a sign between them."""
    return Written(ast.BinOp(tree_of(left), sign, tree_of(right)))


def called(name: str, *values: Operand) -> Written:
    """Value of a function."""
    return Written(ast.Call(ast.Name(name), [tree_of(value) for value in values], []))


def product(left: ast.expr, right: ast.expr) -> Written:
    """Product: a factor that comes twice as a square, sum times difference as a difference of squares, quotients as such."""
    match left, right:
        case _ if same(left, right):
            tree = squared(left)
        case ast.BinOp(before, ast.Mult(), last), _ if same(last, right):
            tree = times(before, squared(last))
        case ast.BinOp(one, ast.Sub(), other), ast.BinOp(_, ast.Add(), _) as added if same(plus(one, other), added):
            tree = ast.BinOp(squared(one), ast.Sub(), squared(other))
        case (ast.Constant(1), other) | (other, ast.Constant(1)):
            tree = other
        case (ast.Constant(float() as number), other) | (other, ast.Constant(float() as number)) if tens_under(number):
            tree = over(other, ast.Constant(tens_under(number)))
        case ast.BinOp(ast.Constant(1), ast.Div(), divisor), _:
            tree = over(right, divisor)
        case _, ast.BinOp(dividend, ast.Div(), divisor):
            tree = over(product(left, dividend).tree, divisor)
        case _, ast.BinOp(first, ast.Mult(), second):
            tree = product(product(left, first).tree, second).tree
        case _:
            tree = times(left, right)
    return Written(tree)


def quotient(dividend: ast.expr, divisor: ast.expr) -> Written:
    """Quotient: one over a quotient turned round, division by a reciprocal as a product, a number with the divisor."""
    match dividend, divisor:
        case _, ast.Constant(1):
            return Written(dividend)
        case ast.Constant(1), ast.BinOp(upper, ast.Div(), lower):
            return quotient(lower, upper)
        case _, ast.BinOp(ast.Constant(1), ast.Div(), other):
            return product(dividend, other)
        case ast.BinOp(upper, ast.Div(), ast.Name() as lower), ast.Constant():
            return Written(over(upper, times(divisor, lower)))
    return Written(over(dividend, divisor))


def times(left: ast.expr, right: ast.expr) -> ast.expr:
    """Tree of a product as it stands."""
    return ast.BinOp(left, ast.Mult(), right)


def over(dividend: ast.expr, divisor: ast.expr) -> ast.expr:
    """Tree of a quotient as it stands."""
    return ast.BinOp(dividend, ast.Div(), divisor)


def plus(left: ast.expr, right: ast.expr) -> ast.expr:
    """Tree of a sum."""
    return ast.BinOp(left, ast.Add(), right)


def squared(tree: ast.expr) -> ast.expr:
    """Tree of a square; that of a root is what the root is of."""
    match tree:
        case ast.Call(ast.Name("sqrt"), [radicand]):
            return radicand
    return ast.BinOp(tree, ast.Pow(), ast.Constant(2))


def tens_under(number: float) -> int:
    """Power of ten that a number is one over; 0 for others."""
    power = round(-log10(number)) if 0 < number < 1 else 0
    return 10**power if power and number == float(f"1e-{power}") else 0


def same(one: ast.expr, other: ast.expr) -> bool:
    """Whether two trees say the same."""
    return ast.unparse(one) == ast.unparse(other)
