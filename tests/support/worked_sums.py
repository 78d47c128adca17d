"""What every worked sum must keep, and requests that between them show every formula."""

from collections.abc import Mapping
from math import floor, isclose, log10
from typing import Any

from closeup_service.operations.registry import operations
from pocket_calculator import calculated

WORKED = [operation for operation in operations() if operation.steps is not None]
EXACTLY = 1e-9
NEXT_TO_NOTHING = 1e-11


def check(step: Mapping[str, Any]) -> None:
    """The formula gives the result to 1e-9, and the numbers as they stand give the result as it is shown."""
    if step["numbers"] is None:
        assert step["inputs"] == []
        return
    values = {each["symbol"]: each["value"] for each in step["inputs"]}
    symbol, formula = step["formula"].split(" = ")
    assert symbol == step["symbol"]
    found = calculated(formula, values)
    assert isclose(found, step["result"], rel_tol=EXACTLY, abs_tol=rounding_of(values)), step
    check_numbers(step)


def rounding_of(values: Mapping[str, float]) -> float:
    """What the last digits of numbers that cancel each other may leave."""
    return NEXT_TO_NOTHING * max(1e-3, *(min(abs(value), 1.0) for value in values.values()))


def check_numbers(step: Mapping[str, Any]) -> None:
    """Whoever types the numbers into a pocket calculator sees the result, to half of its last place."""
    symbol, *between, shown = step["numbers"].split(" = ")
    assert symbol == step["symbol"]
    assert len(between) <= 1
    result = number(shown)
    half = half_of_last_place(shown)
    assert abs(result - step["result"]) <= half * (1 + 1e-6), step
    for text in between:
        assert abs(calculated(text) - result) <= half * (1 + 1e-6), step


def number(text: str) -> float:
    return float(text.replace("−", "-"))


def half_of_last_place(shown: str) -> float:
    """Half of the last place shown, or of the fourth significant digit where fewer are shown; of none, 0.00005."""
    value = number(shown)
    if value == 0:
        return 5e-5
    return 0.5 * min(10.0 ** -len(shown.partition(".")[2]), 10.0 ** (floor(log10(abs(value))) - 3))
