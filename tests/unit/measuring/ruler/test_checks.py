"""The verdict on a scale: each fault alone, and how much more is asked of few marks."""

from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace

from closeup_service.measuring.ruler.checks import (
    LONG_ONLY,
    Verdict,
    fault_of,
    has_ends,
    has_finer_neighbour,
    has_finer_period,
    is_decimal_order,
    secondary_peak,
    verdict,
)
from closeup_service.measuring.ruler.marks import begin
from closeup_service.measuring.ruler.picture import pyramid
from closeup_service.measuring.ruler.records import PitchCheck
from drawn_strip import (
    ALONG,
    FIRST,
    LAST,
    LENGTH,
    LINES,
    MIDDLE,
    PERIOD,
    PICTURE,
    WIDTH,
    fitted_to,
    scale,
    seen,
    start,
    strip,
)

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


def test_a_verdict_rests_on_the_marks_well_within_the_strip() -> None:
    marks = seen(PICTURE, LINES)
    beyond = ~marks.inner_lines[:, None]
    spoilt = replace(marks, seen=marks.seen | beyond, fit=np.where(beyond, 0.1, marks.fit))
    fit = fitted_to(marks)
    found = verdict(PICTURE, replace(scale(), model=fit.model, fit=fit), spoilt, PitchCheck((), None, None))
    assert (found.marks, found.share, found.gaps) == (LAST - FIRST + 1, 1.0, 0)
    assert found.fit > 0.98
    assert found.width == pytest.approx(LENGTH / PERIOD, rel=1e-3)
    assert found.span == pytest.approx((LAST - FIRST) * PERIOD / WIDTH, rel=1e-3)
    assert found.steadiness < 0.05


@pytest.mark.parametrize(
    ("ends", "expected"), [((30.0, 30.0), True), ((30.0, 500.0), True), ((500.0, 30.0), True), ((500.0, 500.0), False)]
)
def test_marks_that_end_on_one_side_are_told_from_lines_that_go_on(ends: tuple[float, float], expected: bool) -> None:
    assert has_ends(scale(), seen(pyramid(strip(ends=ends)), np.linspace(-3.2, 3.2, 33))) is expected


def test_long_marks_with_finer_ones_beside_them_are_seen_to_be_long_only() -> None:
    """Every fifth mark is followed where only those are long enough to be seen."""
    longer = pyramid(strip(longer=50.0))
    fifth = replace(start(5 * PERIOD), x=MIDDLE[0] - 52 * ALONG[1], y=MIDDLE[1] + 52 * ALONG[0], half_width=22.0)
    one = replace(begin(longer, fifth), first=-2, last=3, contrast=150.0)
    lines = np.linspace(-3.2, 3.2, 33)
    assert has_finer_neighbour(one, seen(longer, lines, one))
    assert not has_finer_neighbour(scale(), seen(PICTURE, lines))


@pytest.mark.parametrize(("marks", "expected"), [(1, False), (2, True), (5, True), (3, False), (10, True)])
def test_what_repeats_twice_or_five_times_within_a_period_is_finer(marks: int, expected: bool) -> None:
    phase = np.linspace(0, marks, 97)
    values = np.tile(200 - 100 * np.exp(-0.5 * ((phase - np.rint(phase)) / 0.12) ** 2), (4, 1)).astype(np.float32)
    one = replace(scale(), contrast=100.0)
    assert has_finer_period(values, one) is expected
    assert not has_finer_period(values[:2], one)
    assert not has_finer_period(200 - (200 - values) * np.float32(0.15), one)
