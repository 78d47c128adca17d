"""What a formula of the worked sums says is what the function calculates that writes it."""

from math import isclose, isfinite, isnan

import pytest
from hypothesis import assume, given, reject, settings
from hypothesis import strategies as st

from closeup_service.optics.errors import OpticsError
from closeup_service.optics.formulas import FIRST_ZERO
from closeup_service.worked.formula import Calculated
from closeup_service.worked.notation import evaluated, names_in, shown_symbol
from closeup_service.worked.registry import formulas
from pocket_calculator import calculated
from set_ups import lengths

CALCULATED = [each for own in formulas().values() for each in own if isinstance(each, Calculated)]
CONSTANTS = {"j_1": FIRST_ZERO}
NUMBERS = lengths(0.05, 0.7)
"""Small enough for the first branch of every function, which is the one that is written."""


@pytest.mark.parametrize("formula", CALCULATED, ids=lambda formula: formula.text[:60])
@settings(max_examples=25)
@given(data=st.data())
def test_the_text_says_what_the_function_calculates(formula: Calculated, data: st.DataObject) -> None:
    names = sorted({name for tree in formula.trees for name in names_in(tree)})
    values = {name: data.draw(NUMBERS, label=name) for name in names} | CONSTANTS
    assume(all(evaluated(tree, values) >= 0 for tree in formula.trees))
    try:
        result = formula.result(values)
    except (ZeroDivisionError, OpticsError):
        reject()
    assume(isfinite(result))  # a second branch says that there is no limit
    assume(result != 0 or formula.value(values) == 0)  # or nothing
    assert isclose(formula.value(values), result, rel_tol=1e-9, abs_tol=1e-12)


@pytest.mark.parametrize("formula", CALCULATED, ids=lambda formula: formula.text[:60])
def test_people_read_it_so_too(formula: Calculated) -> None:
    """By a calculator that knows nothing of ours, at one place for each symbol."""
    shown = formula.shown.partition(" = ")[2]
    for spoken in (formula.inputs, formula.inputs[::-1]):
        places = {name: 0.1 + 0.07 * index for index, name in enumerate(spoken)} | CONSTANTS
        if has_no_result(formula, places):
            continue
        by_symbol = {symbol: places[name] for symbol, name in zip(symbols(formula), formula.inputs, strict=True)}
        assert isclose(calculated(shown, by_symbol), formula.value(places), rel_tol=1e-9, abs_tol=1e-12)


def has_no_result(formula: Calculated, values: dict[str, float]) -> bool:
    try:
        return isnan(formula.result(values))
    except OpticsError:
        return True


def symbols(formula: Calculated) -> list[str]:
    return [shown_symbol(name) for name in formula.inputs]
