"""What people type into forms, and how pages write numbers back."""

import math
import re
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from closeup_service.advice import figures
from closeup_service.optics.aperture_series import marks_of_ring
from closeup_service.optics.vocabulary import VOCABULARY
from closeup_service.pages.typed_numbers import UNITS, CannotRead, number

NAMES = st.sampled_from(sorted(VOCABULARY))
PLAIN = st.decimals(-99999, 99999, places=4, allow_nan=False)
MARKS = marks_of_ring("third", 0.5, 256)
POSITIVE = st.floats(1e-6, 1e9)


def written(value: Decimal) -> str:
    return f"{value:f}"


@given(st.text(max_size=80), NAMES)
def test_any_text_is_a_finite_number_or_refused_in_words(text: str, name: str) -> None:
    refusals = []
    try:
        assert math.isfinite(number(text, name, VOCABULARY[name].unit))
    except CannotRead as error:
        refusals.append(str(error))
    assert all(refusals)


@given(PLAIN, NAMES)
def test_a_plain_number_is_itself(value: Decimal, name: str) -> None:
    assert number(f"  {written(value)} ", name, VOCABULARY[name].unit) == float(value)


@given(st.decimals(-99999, 99999, places=2, allow_nan=False))
def test_a_comma_is_a_point(value: Decimal) -> None:
    assert number(written(value).replace(".", ","), "length_mm", "mm") == float(value)


@given(
    st.decimals(0, 9999, places=2, allow_nan=False), st.sampled_from(sorted(UNITS["mm"])), st.sampled_from(["", " "])
)
def test_a_unit_multiplies(value: Decimal, unit: str, between: str) -> None:
    assert number(f"{written(value)}{between}{unit}", "length_mm", "mm") == float(value * Decimal(UNITS["mm"][unit]))


@given(st.integers(1, 99), st.integers(1, 99))
def test_a_ratio_is_a_quotient(above: int, below: int) -> None:
    assert number(f"{above}:{below}", "magnification", "") == pytest.approx(above / below, rel=1e-15)
    assert number(f"{above}/{below}", "exposure_time_s", "s") == pytest.approx(above / below, rel=1e-15)


@pytest.mark.parametrize(
    ("text", "name", "unit", "value"),
    [
        ("2:1", "magnification", "", 2),
        ("1:4", "magnification", "", 0.25),
        ("2x", "magnification", "", 2),
        ("×2", "magnification", "", 2),
        ("f/5.6", "f_number", "", 5.6),
        ("F 5,6", "f_number", "", 5.6),
        ("1:2,8", "f_number", "", 2.8),
        ("1/125", "exposure_time_s", "s", 0.008),
        ("1/125 s", "exposure_time_s", "s", 0.008),
        ("5,6", "focal_length_mm", "mm", 5.6),
        ("35mm", "focal_length_mm", "mm", 35),
        ("3.5 cm", "focal_length_mm", "mm", 35),
        ("1.5 in", "subject_width_mm", "mm", 38.1),
        ('1"', "subject_width_mm", "mm", 25.4),
        ("3/4 in", "subject_width_mm", "mm", 19.05),
        ("1 1/2 inches", "subject_width_mm", "mm", 38.1),
        ("−3", "front_principal_plane_mm", "mm", -3),
        ("550 nm", "wavelength_nm", "nm", 550),
        ("1/64", "flash_power", "", 0.015625),
        ("30 %", "contrast", "", 0.3),
    ],
)
def test_what_people_type_is_read(text: str, name: str, unit: str, value: float) -> None:
    assert number(text, name, unit) == value


@pytest.mark.parametrize(
    ("text", "name", "unit", "said"),
    [
        ("1,500", "subject_width_mm", "mm", "1500 or 1.500"),
        ("1/0", "exposure_time_s", "s", "divides by zero"),
        ("35 kg", "focal_length_mm", "mm", "no unit"),
        ("wide", "subject_width_mm", "mm", "not a number"),
        ("1e9999", "subject_width_mm", "mm", "too large"),
        ("0x10", "subject_width_mm", "mm", "not a number"),
        ("9" * 61, "subject_width_mm", "mm", "too long"),
        ("٣", "subject_width_mm", "mm", "not a number"),
        ("inf", "subject_width_mm", "mm", "not a number"),
    ],
)
def test_what_cannot_be_read_is_refused_with_what_would_be_right(text: str, name: str, unit: str, said: str) -> None:
    with pytest.raises(CannotRead, match=said):
        number(text, name, unit)


@given(POSITIVE, NAMES)
def test_figures_have_no_power_of_ten(value: float, name: str) -> None:
    shown = figures.figure(value, name, VOCABULARY[name].unit)
    assert not re.search(r"\de[+-]?\d", shown)


@given(st.floats(0.5, 250))
def test_an_f_number_is_a_decimal_number_with_the_nearest_third_of_a_stop_in_words_after_it(value: float) -> None:
    assert float(figures.f_number(value).removeprefix("f/")) == pytest.approx(value, rel=0.0061)
    words = figures.words_of_mark(value, "effective_f_number")
    if not words:
        assert any(f"f/{mark.nominal:g}" == figures.f_number(value) for mark in MARKS)
        return
    thirds, mark = words.removeprefix("about ").removesuffix("stop").rpartition("f/")[::2]
    exact = next(each.exact for each in MARKS if f"{each.nominal:g}" == mark)
    meant = exact * 2 ** ({"": 0, "1/3 stop beyond ": 1, "2/3 stop beyond ": 2}[thirds] / 6)
    assert abs(math.log2(meant / value)) <= 1 / 12 + 1e-9


@pytest.mark.parametrize(
    ("value", "name", "words"),
    [
        (10.163, "effective_f_number", "about 2/3 stop beyond f/8"),
        (21.82, "effective_f_number", "about f/22"),
        (16.05, "effective_f_number", ""),
        (6.7, "nominal_f_number", ""),
        (300, "effective_f_number", ""),
        (10.163, "working_distance_mm", ""),
    ],
)
def test_where_an_f_number_lies_on_a_ring_is_said_in_words(value: float, name: str, words: str) -> None:
    assert figures.words_of_mark(value, name) == words


@pytest.mark.parametrize(
    ("value", "name", "unit", "shown"),
    [
        (18.7138, "effective_f_number", "", "f/18.7"),
        (8, "f_number", "", "f/8"),
        (6.3, "f_number", "", "f/6.3"),
        (0.25, "magnification", "", "1:4"),
        (1.5667, "magnification", "", "1.57:1"),
        (2.45, "light_loss_stops", "stops", "2 1/3 stops"),
        (-0.33, "light_loss_stops", "stops", "−1/3 stop"),
        (0.05, "light_loss_stops", "stops", "0.05 stops"),
        (0.0363, "exposure_time_s", "s", "1/25 s"),
        (61.7985, "clearance_mm", "mm", "61.8 mm"),
        (-5.04, "rear_principal_plane_mm", "mm", "−5.04 mm"),
        (27.2708, "subject_resolution_um", "um", "27.3 µm"),
        (0.173165, "nyquist_contrast", "", "17.3 %"),
        (1.25, "other_pupil_magnification", "", "1.25"),
        (0.0494, "flash_power_fraction", "", "1/20"),
        (1, "flash_power_fraction", "", "1"),
    ],
)
def test_numbers_are_written_as_people_say_them(value: float, name: str, unit: str, shown: str) -> None:
    assert figures.figure(value, name, unit) == shown


@pytest.mark.parametrize(
    ("value", "name", "unit", "shown"),
    [
        (2.3, "exposure_time_s", "s", "2.3 s"),
        (0.0072, "exposure_time_s", "s", "0.0072 s"),
        (0.008, "exposure_time_s", "s", "1/125 s"),
        (1.56667, "magnification", "", "1.56667:1"),
        (0.3, "magnification", "", "1:3.33333"),
        (1.3, "pupil_magnification", "", "1.3"),
        (1.25, "other_pupil_magnification", "", "1.25"),
        (5.7, "f_number", "", "f/5.7"),
        (1 / 64, "flash_power", "", "1/64"),
        (30, "flash_power", "", "30"),
        (1, "sideways_speed_mm_s", "mm/s", "1 mm/s"),
    ],
)
def test_what_was_typed_is_repeated_and_not_rounded_to_a_mark(value: float, name: str, unit: str, shown: str) -> None:
    assert figures.format_stated(value, name, unit) == shown


@pytest.mark.parametrize(
    ("value", "name", "unit", "beside"),
    [
        (2.93, "light_loss_stops", "stops", "2.93"),
        (-2.18, "difference_stops", "stops", "−2.18"),
        (1, "light_loss_stops", "stops", ""),
        (0.05, "light_loss_stops", "stops", ""),
        (0.0363, "exposure_time_s", "s", "0.0363 s"),
        (0.5, "exposure_time_s", "s", ""),
        (0.008, "exposure_time_s", "s", ""),
        (0.0494, "flash_power_fraction", "", "0.0494"),
        (18.7138, "effective_f_number", "", ""),
        (8, "f_number", "", ""),
        (0.25, "magnification", "", "0.25×"),
        (61.7985, "clearance_mm", "mm", ""),
    ],
)
def test_what_is_rounded_to_a_mark_has_its_value_beside_it(value: float, name: str, unit: str, beside: str) -> None:
    assert figures.format_exact(value, name, unit) == beside


@pytest.mark.parametrize(
    ("value", "shown"),
    [(-0.5, "−0.5"), (-1000, "−1\u202f000"), (86400, "86\u202f400"), (1234567, "1\u202f234\u202f570")],
)
def test_bounds_have_a_true_minus_sign_and_their_thousands_apart(value: float, shown: str) -> None:
    assert figures.space_thousands(value) == shown


def test_inches_stand_beside() -> None:
    assert figures.inches(38.1) == "1.5 in"
