"""The notation of the formulas: what a machine evaluates, and from it what people read.

A formula is written as an expression in `+ - * / **` and the functions below, with names for its quantities. People read it
with a middle dot, minus sign, superscripts and roots, and with the numbers put in.
"""

import ast
import math
import operator
import re
from collections.abc import Callable, Mapping

ALMOST = 1e-9
"""So little above a whole number is none: rounding up and down forgive it."""

FUNCTIONS: Mapping[str, Callable[..., float]] = {
    "sqrt": math.sqrt,
    "log2": math.log2,
    "sin": math.sin,
    "cos": math.cos,
    "tan": math.tan,
    "acos": math.acos,
    "abs": abs,
    "min": min,
    "max": max,
    "roundup": lambda value: math.ceil(value - ALMOST),
    "rounddown": lambda value: math.floor(value + ALMOST),
}
CONSTANTS = {"pi": math.pi}
OPERATORS: Mapping[type[ast.AST], Callable[..., float]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Pow: operator.pow,
    ast.USub: operator.neg,
}
SHOWN = {"log2": "log₂", "sqrt": "√", "pi": "π", "lam": "λ", "omega": "ω", "theta": "θ", "alpha": "α", "tau": "τ"}
BRACKETS = {"abs": "||", "roundup": "⌈⌉", "rounddown": "⌊⌋"}
SIGNS = {"*": "·", "-": "−", "**": "^"}
TOKEN = re.compile(r" \*\* [23]\b|\*\*|[*()-]|[A-Za-z]\w*")
SUPERSCRIPTS = {"2": "²", "3": "³"}


def parsed(expression: str) -> ast.expr:
    """Tree of an expression."""
    return ast.parse(expression, mode="eval").body


def evaluated(node: ast.expr, values: Mapping[str, float]) -> float:
    """Value of a tree with these values of its names."""
    match node:
        case ast.Constant(value=int() | float() as number):
            return number
        case ast.Name(id=name):
            return CONSTANTS[name] if name in CONSTANTS else values[name]
        case ast.UnaryOp(op=op, operand=operand):
            return OPERATORS[type(op)](evaluated(operand, values))
        case ast.BinOp(left=left, op=op, right=right):
            return OPERATORS[type(op)](evaluated(left, values), evaluated(right, values))
        case ast.Call(func=ast.Name(id=name), args=arguments):
            return FUNCTIONS[name](*(evaluated(each, values) for each in arguments))
    raise ValueError(f"No formula holds {ast.dump(node)}.")


def names_in(node: ast.expr) -> list[str]:
    """Names of the quantities that a tree holds, in the order of reading."""
    named = sorted((each for each in ast.walk(node) if isinstance(each, ast.Name)), key=place)
    return list(dict.fromkeys(each.id for each in named if each.id not in FUNCTIONS and each.id not in CONSTANTS))


def place(node: ast.expr) -> tuple[int, int]:
    """Where a tree's part stands in its text."""
    return node.lineno, node.col_offset


def shown_symbol(name: str) -> str:
    """Symbol as people read it: Greek letters for their names."""
    head, underscore, index = name.partition("_")
    return SHOWN.get(head, head) + underscore + SHOWN.get(index, index)


def display(expression: str, put_in: Mapping[str, str] | None = None) -> str:
    """Expression as people read it, with texts put in for its names where they are given."""
    closing: list[str] = []
    function = ""

    def shown(match: re.Match[str]) -> str:
        nonlocal function
        token = match[0]
        if token[-1] in SUPERSCRIPTS and token.startswith(" **"):
            return SUPERSCRIPTS[token[-1]]
        if token == "(":
            brackets = BRACKETS.get(function, "()")
            closing.append(brackets[1])
            function = ""
            return brackets[0]
        if token == ")":
            return closing.pop()
        if token in FUNCTIONS:
            function = token
            return "" if token in BRACKETS else SHOWN.get(token, token)
        if token in SIGNS:
            return SIGNS[token]
        return (put_in or {}).get(token) or shown_symbol(token)

    return TOKEN.sub(shown, expression).replace(" ^ ", "^")
