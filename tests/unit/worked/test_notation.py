"""The notation: read by the machine, shown to people, with as many digits as a pocket calculator needs."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from closeup_service.worked.digits import exact, plain, result_text, texts_for
from closeup_service.worked.formula import Formula, Found
from closeup_service.worked.notation import display, evaluated, names_in, parsed
from pocket_calculator import calculated


@pytest.mark.parametrize(
    ("written", "shown"),
    [
        ("N * (m + 1 / p)", "N · (m + 1 / p)"),
        ("c * N_eff / m ** 2", "c · N_eff / m²"),
        ("sqrt(w_s ** 2 + h_s ** 2) / 1500", "√(w_s² + h_s²) / 1500"),
        ("-2 * log2(N)", "−2 · log₂(N)"),
        ("E * 2 ** (-G)", "E · 2^(−G)"),
        ("abs(f * (1 / m + p) + e)", "|f · (1 / m + p) + e|"),
        ("roundup((T - t) / d) + 1", "⌈(T − t) / d⌉ + 1"),
        ("pi * lam * u_theta", "π · λ · u_θ"),
    ],
)
def test_people_read_a_formula_as_it_is_set_in_print(written: str, shown: str) -> None:
    assert display(written) == shown


@given(st.floats(0.1, 10), st.floats(0.1, 10), st.floats(0.1, 10))
def test_the_shown_form_says_what_the_machine_works_out(x: float, y: float, z: float) -> None:
    values = {"x": x, "y": y, "z": z}
    written = "-x ** 2 * sqrt(y) / abs(x - z) ** 3 + max(x, log2(1 + y)) * 2 ** (-z) - roundup(x / y) + rounddown(y)"
    if abs(x - z) > 1e-3:
        assert math.isclose(evaluated(parsed(written), values), calculated(display(written), values), rel_tol=1e-12)


def test_symbols_come_in_the_order_of_reading() -> None:
    assert names_in(parsed("N * (m + 1 / p) + pi * sqrt(m)")) == ["N", "m", "p"]


def test_a_formula_of_unknown_symbols_is_refused() -> None:
    with pytest.raises(KeyError):
        _ = Formula("m = nonsense / 2", "No formula", "nowhere").inputs


def test_a_formula_holds_sums_alone() -> None:
    with pytest.raises(ValueError, match="No formula"):
        evaluated(parsed("[1, 2]"), {})


def test_what_is_found_in_words_has_no_numbers() -> None:
    assert Found("m", "by trial", "Magnification", "nowhere").numbers({}, "2") is None


@pytest.mark.parametrize(
    ("value", "text"),
    [(18.153846, "18.15"), (33504.27, "33504"), (7.0, "7"), (0.000123456, "0.0001235"), (-1e-17, "0"), (-2.5, "−2.5")],
)
def test_results_are_shown_to_four_significant_digits(value: float, text: str) -> None:
    assert result_text(value) == text


def test_a_number_that_is_short_is_written_in_full() -> None:
    assert exact(45.46, 8) == "45.46"
    assert exact(1 / 3, 8) is None
    assert plain(1 / 3, 4) == "0.3333"


def test_numbers_that_cancel_each_other_are_shown_with_more_digits() -> None:
    near, nearer = 1 + 1 / 3000, 1 + 1 / 3001
    texts = texts_for(near - nearer, {"x": near, "y": nearer}, lambda values: values["x"] - values["y"])
    assert len(texts["x"]) > 8
    assert result_text(calculated(f"{texts['x']} − {texts['y']}")) == result_text(near - nearer)
