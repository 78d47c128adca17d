"""A formula: its text, what it says, and where it is from."""

import ast
from collections.abc import Mapping
from dataclasses import dataclass, field

from closeup_service.worked.notation import display, evaluated, names_in, parsed, shown_symbol
from closeup_service.worked.symbols import SYMBOLS


@dataclass(frozen=True)
class Formula:
    """One formula, `text` being `symbol = expression`; the symbols stand in `symbols.SYMBOLS`.

    What follows from no closed formula has `words` behind the equals sign that say how it is found, and no expression.
    """

    text: str
    meaning: str
    source: str
    in_words: bool = False
    tree: ast.expr | None = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        tree = None if self.in_words else parsed(self.expression)
        object.__setattr__(self, "tree", tree)
        for name in (self.symbol, *self.inputs):
            if name not in SYMBOLS:
                raise KeyError(f"{self.text}: {name} is no symbol.")

    @property
    def symbol(self) -> str:
        """Symbol of the result."""
        return self.text.partition(" = ")[0]

    @property
    def expression(self) -> str:
        """What stands behind the equals sign."""
        return self.text.partition(" = ")[2]

    @property
    def inputs(self) -> list[str]:
        """Symbols that numbers are put in for."""
        return [] if self.tree is None else names_in(self.tree)

    @property
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
        """Result with these values."""
        assert self.tree is not None
        return float(evaluated(self.tree, values))


def found(symbol: str, words: str, meaning: str, source: str) -> Formula:
    """Something that is found by no closed formula, and in words how."""
    return Formula(f"{symbol} = {words}", meaning, source, in_words=True)
