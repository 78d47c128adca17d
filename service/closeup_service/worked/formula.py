"""A formula: its text, what it says, and where it is from.

What a function of the service calculates is written by that function (`Calculated`), so that it stands once. What is taken as
it is, and what no one function calculates, such as the form of a general sum in one case, is written as a text (`Formula`).
What follows from no closed formula is described in words (`Found`). Texts are written and read when the first step wants them.
"""

import ast
from collections.abc import Callable, Mapping
from functools import cached_property, partial
from typing import Any

from closeup_service.optics.arithmetic import POINT
from closeup_service.worked.notation import display, evaluated, names_in, parsed, shown_symbol
from closeup_service.worked.symbols import SYMBOLS
from closeup_service.worked.writing import WRITING, Written


class Formula:
    """One formula, `text` being `symbol = expression`; the symbols stand in `symbols.SYMBOLS`."""

    in_words = False

    def __init__(self, text: str, meaning: str, source: str) -> None:
        self.symbol, _, self._given = text.partition(" = ")
        self.meaning = meaning
        self.source = source

    @property
    def text(self) -> str:
        """Formula in the notation of machines."""
        return f"{self.symbol} = {self.expression}"

    @cached_property
    def expression(self) -> str:
        """What stands behind the equals sign."""
        return self._given

    @cached_property
    def tree(self) -> ast.expr | None:
        """Tree of the expression; None where there are only words."""
        return parsed(self.expression)

    @cached_property
    def inputs(self) -> list[str]:
        """Symbols that numbers are put in for."""
        names = [] if self.tree is None else names_in(self.tree)
        for name in (self.symbol, *names):
            if name not in SYMBOLS:
                raise KeyError(f"{self.text}: {name} is no symbol.")
        return names

    @cached_property
    def shown(self) -> str:
        """Formula as people read it."""
        expression = self.expression if self.tree is None else display(self.expression)
        return f"{shown_symbol(self.symbol)} = {expression}"

    def numbers(self, texts: Mapping[str, str], result: str) -> str | None:
        """Formula with numbers put in, and its result; None where there is no formula."""
        if self.tree is None:
            return None
        if self.expression in texts:
            return f"{shown_symbol(self.symbol)} = {result}"
        put_in = {name: f"({text})" if text.startswith("−") else text for name, text in texts.items()}
        return f"{shown_symbol(self.symbol)} = {display(self.expression, put_in)} = {result}"

    def value(self, values: Mapping[str, float]) -> float:
        """Result of the text with these values, as a pocket calculator has it."""
        assert self.tree is not None
        return float(evaluated(self.tree, values))

    def result(self, values: Mapping[str, float]) -> float:
        """Result with these values."""
        return self.value(values)


class Calculated(Formula):
    """Formula that a function calculates, and writes.

    Parameters
    ----------
    symbol : of the result
    function : of the physics; an `arithmetic` that it takes stands last
    arguments : a symbol for each of its parameters, or an expression of symbols; parted by spaces
    """

    def __init__(self, symbol: str, function: Callable[..., Any], arguments: str, meaning: str, source: str) -> None:
        super().__init__(symbol, meaning, source)
        self.function = function
        self.arguments = arguments

    @cached_property
    def trees(self) -> list[ast.expr]:
        """What the function is called with."""
        return [parsed(each) for each in self.arguments.split()]

    @cached_property
    def expression(self) -> str:
        """What the function calculates."""
        return str(with_arithmetic(self.function, WRITING)(*map(Written, self.trees)))

    def result(self, values: Mapping[str, float]) -> float:
        """Result of the function with these values."""
        return float(with_arithmetic(self.function, POINT)(*(evaluated(tree, values) for tree in self.trees)))


class Found(Formula):
    """Something that is found by no closed formula, and in words how."""

    in_words = True

    def __init__(self, symbol: str, words: str, meaning: str, source: str) -> None:
        super().__init__(f"{symbol} = {words}", meaning, source)

    @cached_property
    def tree(self) -> None:
        """No tree."""
        return None


def with_arithmetic(function: Callable[..., Any], arithmetic: Any) -> Callable[..., Any]:
    """Function with its arithmetic chosen, where it takes one."""
    code = function.__code__
    taken = code.co_varnames[: code.co_argcount]
    return partial(function, arithmetic=arithmetic) if "arithmetic" in taken else function
