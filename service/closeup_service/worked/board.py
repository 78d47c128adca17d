"""The board on which a teacher writes: steps one below the other, and the value of every symbol so far."""

import re
from collections.abc import Mapping
from math import isfinite

from msgspec import Struct

from closeup_service.language import ENGLISH, spoken, tr, with_decimal_sign
from closeup_service.worked.digits import result_text, texts_for
from closeup_service.worked.formula import Formula
from closeup_service.worked.notation import shown_symbol
from closeup_service.worked.symbols import SYMBOLS

NUMBER = re.compile(r"\d+\.\d+")
BY_QUANTITY = {symbol.quantity: name for name, symbol in SYMBOLS.items() if symbol.in_vocabulary}


class Input(Struct, frozen=True):
    """One number that is put in."""

    symbol: str
    quantity: str
    value: float
    unit: str


class Step(Struct, frozen=True):
    """One step: what is found, by which formula, with which numbers, and where the formula is from."""

    quantity: str
    symbol: str
    formula: str
    numbers: str | None
    result: float
    unit: str
    source: str
    inputs: tuple[Input, ...]


class Board:
    """Steps in their order; `values` holds what each symbol stands for, given or found."""

    def __init__(self, *given: Mapping[str, object]) -> None:
        self.steps: list[Step] = []
        self.values: dict[str, float] = {}
        for members in given:
            self.give(members)

    def give(self, members: Mapping[str, object]) -> None:
        """Take every number whose name is a quantity with a symbol."""
        for name, value in members.items():
            if name in BY_QUANTITY and isinstance(value, int | float) and not isinstance(value, bool):
                self.values[BY_QUANTITY[name]] = float(value)

    def put(self, **values: float) -> "Board":
        """Let symbols stand for these values."""
        self.values |= {name: float(value) for name, value in values.items()}
        return self

    def write(self, formula: Formula, result: float | None, **values: float) -> None:
        """Write a step with the result that the sums gave; nothing where there is none, or no finite one."""
        self.put(**values)
        if result is None or not isfinite(result):
            return
        own = {name: self.values[name] for name in formula.inputs}
        texts = {} if formula.tree is None else texts_for(float(result), own, formula.value)
        self.steps.append(step(formula, float(result), own, texts))
        self.values[formula.symbol] = float(result)

    def work(self, formula: Formula, **values: float) -> float:
        """Write an intermediate step, which no answer holds, and return its result."""
        self.put(**values)
        result = formula.result(self.values)
        self.write(formula, result)
        return result


def with_decimal_signs(formula: str) -> str:
    """Formula, or its numbers, as the language writes them; what stands between arguments of a function is told apart."""
    if spoken() == ENGLISH:
        return formula
    return NUMBER.sub(lambda found: with_decimal_sign(found[0]), formula.replace(", ", "; "))


def step(formula: Formula, result: float, values: Mapping[str, float], texts: Mapping[str, str]) -> Step:
    """Step of a formula with its numbers."""
    symbol, numbers = SYMBOLS[formula.symbol], formula.numbers(texts, result_text(result))
    return Step(
        quantity=tr(symbol.quantity),
        symbol=shown_symbol(formula.symbol),
        formula=tr(formula.shown) if formula.in_words else with_decimal_signs(formula.shown),
        numbers=None if numbers is None else with_decimal_signs(numbers),
        result=result,
        unit=symbol.unit,
        source=tr(formula.source),
        inputs=tuple(
            Input(shown_symbol(name), tr(SYMBOLS[name].quantity), value, SYMBOLS[name].unit)
            for name, value in values.items()
        ),
    )
