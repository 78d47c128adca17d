"""A pocket calculator for formulas as people read them: an evaluator of our own, which knows nothing of the service's."""

import math
import re
from collections.abc import Callable, Mapping

TOKEN = re.compile(r"\s*(\d+(?:\.\d+)?|log₂|[A-Za-zα-ω][A-Za-zα-ω0-9_]*|[()|⌈⌉⌊⌋,+−·/^²³√])")
SCIENTIFIC: Mapping[str, Callable[..., float]] = {
    "log₂": lambda value: math.log(value, 2),
    "sin": math.sin,
    "cos": math.cos,
    "tan": math.tan,
    "acos": math.acos,
    "min": lambda *values: sorted(values)[0],
    "max": lambda *values: sorted(values)[-1],
}
BRACKETS: Mapping[str, tuple[str, Callable[[float], float]]] = {
    "|": ("|", math.fabs),
    "⌈": ("⌉", lambda value: -math.floor(-(value - 1e-9))),
    "⌊": ("⌋", lambda value: math.floor(value + 1e-9)),
    "(": (")", lambda value: value),
}


def calculated(text: str, values: Mapping[str, float] | None = None) -> float:
    """Value of an expression, with these values of its symbols."""
    calculator = Calculator(tokens_of(text), values or {})
    value = calculator.sum()
    assert calculator.at == len(calculator.tokens), text
    return value


def tokens_of(text: str) -> list[str]:
    found, at = [], 0
    while at < len(text.rstrip()):
        match = TOKEN.match(text, at)
        assert match is not None, text[at:]
        found.append(match[1])
        at = match.end()
    return found


class Calculator:
    """Descends from sums to products, signs, powers and single values."""

    def __init__(self, tokens: list[str], values: Mapping[str, float]) -> None:
        self.tokens, self.values, self.at = tokens, values, 0

    def next_is(self, *tokens: str) -> bool:
        return self.at < len(self.tokens) and self.tokens[self.at] in tokens

    def take(self) -> str:
        self.at += 1
        return self.tokens[self.at - 1]

    def sum(self) -> float:
        value = self.product()
        while self.next_is("+", "−"):
            value = value + self.product() if self.take() == "+" else value - self.product()
        return value

    def product(self) -> float:
        value = self.signed()
        while self.next_is("·", "/"):
            value = value * self.signed() if self.take() == "·" else value / self.signed()
        return value

    def signed(self) -> float:
        if self.next_is("−"):
            self.take()
            return -self.signed()
        return self.power()

    def power(self) -> float:
        value = self.single()
        while self.next_is("²", "³", "^"):
            sign = self.take()
            value = math.pow(value, self.signed() if sign == "^" else {"²": 2, "³": 3}[sign])
        return value

    def single(self) -> float:
        token = self.take()
        if token in BRACKETS:
            closing, function = BRACKETS[token]
            value = self.sum()
            assert self.take() == closing
            return function(value)
        if token == "√":
            return math.sqrt(self.single())
        if token in SCIENTIFIC:
            return SCIENTIFIC[token](*self.arguments())
        if token == "π":
            return math.pi
        return float(token) if token[0].isdigit() else self.values[token]

    def arguments(self) -> list[float]:
        assert self.take() == "("
        values = [self.sum()]
        while self.next_is(","):
            self.take()
            values.append(self.sum())
        assert self.take() == ")"
        return values
