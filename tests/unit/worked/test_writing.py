"""Written quantities: what a function calculates, as people write it."""

import pytest

from closeup_service.optics import formulas
from closeup_service.optics.arithmetic import Arithmetic, R
from closeup_service.worked.formula import Calculated, Formula
from closeup_service.worked.notation import parsed
from closeup_service.worked.writing import WRITING, Written


def quantity(text: str) -> Written:
    return Written(parsed(text))


A, B, C = (quantity(name) for name in "abc")


@pytest.mark.parametrize(
    ("written", "text"),
    [
        (A + B - C, "a + b - c"),
        (A - (B - C), "a - (b - c)"),
        (2 * (A + 1) / B, "2 * (a + 1) / b"),
        (A * A, "a ** 2"),
        (A * B * B, "a * b ** 2"),
        ((A / B) * (A / B), "(a / b) ** 2"),
        (A * A / (B * B), "a ** 2 / b ** 2"),
        ((A * A + B * B) ** 0.5, "sqrt(a ** 2 + b ** 2)"),
        (A * 1e-3 * B, "a / 1000 * b"),
        (1e-6 * A, "a / 1000000"),
        (1e6 * A, "1000000 * a"),
        (0.75 * A, "0.75 * a"),
        (A * (B * C), "a * b * c"),
        (A * (B / C), "a * b / c"),
        (A * (1 / B), "a / b"),
        (1 / A * B, "b / a"),
        (A / (1 / B), "a * b"),
        (1 / (1 / A), "a"),
        (1 / (A / B), "b / a"),
        (1 / (1 / A + 1 / B), "1 / (1 / a + 1 / b)"),
        (A * 1.0 + 0.0 - 0.0, "a"),
        (0 + A, "a"),
        (-A / B, "-a / b"),
        (1 - A, "1 - a"),
        (abs(A - B), "abs(a - b)"),
        (A**3, "a ** 3"),
        (2.0**-A, "2 ** (-a)"),
        (B * 2.0 ** (A / 2), "b * 2 ** (a / 2)"),
        ((A * A + B * B) ** 0.5 * (A * A + B * B) ** 0.5, "a ** 2 + b ** 2"),
        ((A - B) * (A + B), "a ** 2 - b ** 2"),
        ((A - B) * (A + C), "(a - b) * (a + c)"),
        (C * A / B / 2, "c * a / (2 * b)"),
        (A / 2 / 3, "a / 2 / 3"),
    ],
)
def test_people_write_a_calculation_so(written: Written, text: str) -> None:
    assert str(written) == text


@pytest.mark.parametrize(
    ("constant", "text"),
    [
        (formulas.AIRY_DIAMETER, "2 * j_1 / pi * a"),
        (formulas.AIRY_DIAMETER / 2, "j_1 / pi * a"),
        (formulas.RAYLEIGH, "j_1 / (2 * pi) * a"),
    ],
)
def test_constants_are_spelt_out(constant: float, text: str) -> None:
    assert str(constant * A) == text


def test_what_operators_cannot_say_is_said_by_the_arithmetic() -> None:
    assert str(WRITING.log2(A / B)) == "log2(a / b)"
    assert str(WRITING.sin(A)) == "sin(a)"
    assert str(WRITING.sqrt(A * B)) == "sqrt(a * b)"
    assert str(WRITING.cos(A)) == "cos(a)"
    assert str(WRITING.least(1.0, A)) == "min(1, a)"
    assert str(WRITING.greatest(A, 0.0)) == "max(a, 0)"
    assert str(WRITING.whole_steps(A / B)) == "roundup(a / b)"
    assert str(WRITING.positive_reciprocal(A)) == "1 / a"
    assert WRITING.rounded(A, 3) is A


def test_what_is_compared_holds_so_that_the_first_branch_is_written() -> None:
    assert str(WRITING.where(A > B, A, B)) == str(WRITING.where(A < B, A, B)) == "a"
    assert str(WRITING.where(A >= B, A, B)) == str(WRITING.where(A <= B, A, B)) == "a"
    assert str(WRITING.where(False, A, B)) == "b"


def loss(effective: R, marked: R, arithmetic: Arithmetic[R]) -> R:
    return 2 * arithmetic.log2(effective / marked)


def test_a_function_writes_its_formula_and_evaluates_it() -> None:
    formula = Calculated("n_s", loss, "N_eff N", "Light lost", "nowhere")
    assert formula.text == "n_s = 2 * log2(N_eff / N)"
    assert formula.inputs == ["N_eff", "N"]
    assert formula.result({"N_eff": 16.0, "N": 8.0}) == formula.value({"N_eff": 16.0, "N": 8.0}) == 2.0


def test_a_parameter_may_be_an_expression_of_symbols() -> None:
    formula = Calculated("z", formulas.inverse_entrance_pupil_distance, "f m 1/p", "1/z", "nowhere")
    assert formula.expression == "1 / (f * (1 / m + p))"
    assert formula.result({"f": 50.0, "m": 1.0, "p": 1.0}) == 0.01


def test_a_text_is_evaluated_as_it_stands() -> None:
    formula = Formula("w = w_s / m", "Width", "nowhere")
    assert formula.result({"w_s": 36.0, "m": 2.0}) == 18.0
