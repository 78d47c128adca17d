"""The verdict on a scale: each fault alone, and how much more is asked of few marks."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from closeup_service.measuring.ruler.checks import LONG_ONLY, Verdict, fault_of, is_decimal_order, secondary_peak
from closeup_service.measuring.ruler.records import PitchCheck

GOOD = Verdict("", 0.98, 1, 40, 0.004, 0.97, 0.5, 5.0, 0.05, 0.08, 1, False, False, True)
FEW = replace(GOOD, marks=8, fit=0.99, scatter=0.002)
ORDERED, ALIKE = PitchCheck((5, 10), True, None), PitchCheck((), None, None)


@pytest.mark.parametrize("one", [GOOD, FEW])
@pytest.mark.parametrize("pitch", [ORDERED, ALIKE])
def test_a_good_scale_has_no_fault(one: Verdict, pitch: PitchCheck) -> None:
    assert fault_of(one, pitch) == ""


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        ({"marks": 4, "fit": 0.99, "scatter": 0.002}, "few"),
        *[({"share": 0.5}, "gaps"), ({"gaps": 4}, "gaps"), ({"scatter": 0.04}, "uneven"), ({"fit": 0.6}, "unlike")],
        *[({"span": 0.1}, "short"), ({"width": 0.4}, "wide"), ({"width": 17.0}, "wide"), ({"bump": 0.5}, "between")],
        *[({"steadiness": 0.4}, "unsteady"), ({"bands": 5}, "repeated"), ({"opposed": True}, "repeated")],
        *[({"coarse": True}, LONG_ONLY), ({"ended": False}, "endless")],
    ],
)
def test_each_fault_is_named(change: dict[str, Any], fault: str) -> None:
    assert fault_of(replace(GOOD, **change), ORDERED) == fault


@pytest.mark.parametrize(
    "change", [{"share": 0.7}, {"scatter": 0.02}, {"fit": 0.8}, {"width": 12.0}, {"bands": 4}, {"gaps": 3}]
)
def test_more_is_forgiven_of_many_marks_in_order_than_of_few(change: dict[str, Any]) -> None:
    assert fault_of(replace(GOOD, **change), ORDERED) == ""
    assert fault_of(replace(FEW, **change), ORDERED) in {"gaps", "uneven", "unlike", "wide", "repeated"}


@pytest.mark.parametrize("change", [{"fit": 0.85}, {"scatter": 0.01}, {"steadiness": 0.2}, {"width": 12.0}])
def test_marks_all_alike_must_be_the_more_even(change: dict[str, Any]) -> None:
    assert fault_of(replace(GOOD, **change), ORDERED) == ""
    assert fault_of(replace(GOOD, **change), ALIKE) == "without order"


@pytest.mark.parametrize("change", [{"fit": 0.97}, {"scatter": 0.004}])
def test_few_marks_all_alike_must_be_more_even_still(change: dict[str, Any]) -> None:
    assert fault_of(replace(FEW, **change), ORDERED) == ""
    assert fault_of(replace(FEW, **change), ALIKE) == "without order"


def test_longer_marks_of_another_pitch_are_no_fault_of_many_marks() -> None:
    other = PitchCheck((2, 10), False, 0.5)
    uneven = replace(GOOD, scatter=0.01)
    assert fault_of(uneven, other) == ""
    assert fault_of(replace(FEW, scatter=0.004), other) == "without order"


def test_marks_in_no_order_of_a_scale_are_none() -> None:
    assert fault_of(GOOD, PitchCheck((8,), None, None)) == "without order"
    assert fault_of(GOOD, PitchCheck((10,), None, None)) == "without order"
    assert fault_of(FEW, PitchCheck((10,), True, None)) == ""
    assert [is_decimal_order(every) for every in ((), (2, 10), (4, 8, 16), (5, 10), (5, 8), (10, 20), (4, 10))] == [
        *[True] * 4,
        *[False] * 3,
    ]


def test_what_stands_between_two_marks_is_measured_from_the_ground() -> None:
    window = np.linspace(-0.5, 0.5, 33)
    mark = np.exp(-0.5 * (window / 0.1) ** 2)
    assert secondary_peak(mark) == pytest.approx(0, abs=1e-9)
    between = 0.3 * np.exp(-0.5 * ((np.abs(window) - 0.5) / 0.1) ** 2)
    assert secondary_peak(mark + between) == pytest.approx(0.25, abs=0.05)
