"""Verdicts by figures: sharpness, depth of field, light, room for light."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from closeup_service.advice.sharpness_remarks import DUST_SHOWS_FROM
from closeup_service.pages.verdicts.case import Case
from closeup_service.pages.verdicts.rules import (
    GRADES,
    Verdict,
    judge,
    judge_depth,
    judge_light,
    judge_movement,
    judge_room,
    judge_sharpness,
)
from closeup_service.pages.verdicts.words import Span, exact_span

WIDTHS = st.floats(0.1, 1000)
LENGTHS = st.floats(0.001, 1000)


def grade(verdict: Verdict | None) -> int:
    assert verdict is not None
    assert verdict.reason
    return GRADES.index(verdict.grade)


@pytest.mark.parametrize(
    ("airy", "expected"),
    [
        (exact_span(10), "fine"),
        (exact_span(15), "limit"),  # one more stop down draws 21 um of 20
        (exact_span(20), "beyond"),
        (exact_span(30), "beyond"),
        (Span(18, 12, 25), "limit"),  # it may be too soft, or not
        (Span(25, 20, 30), "beyond"),
        (Span(10, 8, 14), "fine"),
    ],
)
def test_diffraction_is_judged_against_what_counts_as_sharp(airy: Span, expected: str) -> None:
    verdict = judge_sharpness(Case(airy_um=airy, accepted_um=20))
    assert verdict is not None
    assert verdict.grade == expected
    assert "20 µm" in verdict.reason


@pytest.mark.parametrize(
    ("total", "depth", "expected"),
    [
        (exact_span(2), 1, "fine"),
        (exact_span(1), 0.9, "limit"),  # it fits, and a focus that is off by a tenth does not
        (exact_span(1), 1, "limit"),
        (exact_span(1), 1.1, "beyond"),
        (Span(1, 0.8, 1.3), 1, "limit"),
        (Span(1, 0.8, 1.3), 2, "beyond"),
    ],
)
def test_depth_of_field_is_judged_against_the_depth_of_the_subject(total: Span, depth: float, expected: str) -> None:
    verdict = judge_depth(Case(total_mm=total, subject_depth_mm=depth, reserve=0.2))
    assert verdict is not None
    assert verdict.grade == expected


def test_depth_without_an_end_covers_every_subject() -> None:
    verdict = judge_depth(Case(subject_depth_mm=50, frames=exact_span(1)))
    assert verdict is not None
    assert (verdict.grade, verdict.reason) == ("fine", "The whole depth of 50 mm is sharp.")


@pytest.mark.parametrize(
    ("effective", "missing", "expected"),
    [
        (exact_span(8), None, "fine"),
        (exact_span(DUST_SHOWS_FROM), None, "limit"),
        (Span(20, 18, 24), None, "limit"),
        (exact_span(8), 2.0, "beyond"),
    ],
)
def test_light_is_judged_by_what_is_missing_and_by_dust(effective: Span, missing: float | None, expected: str) -> None:
    verdict = judge_light(Case(effective_f_number=effective, missing_stops=missing))
    assert verdict is not None
    assert verdict.grade == expected


@pytest.mark.parametrize(
    ("room", "depth", "expected"),
    [
        (exact_span(30), None, "fine"),
        (exact_span(9), 2, "limit"),
        (exact_span(2), 2, "beyond"),
        (Span(3, 1, 5), 2, "beyond"),
    ],
)
def test_room_is_judged_against_the_subject_and_the_frame(room: Span, depth: float | None, expected: str) -> None:
    verdict = judge_room(Case(clearance_mm=room, subject_depth_mm=depth, frame_width_mm=exact_span(12)))
    assert verdict is not None
    assert verdict.grade == expected


@pytest.mark.parametrize(("blur", "expected"), [(4, "fine"), (6, "limit"), (10, "beyond")])
def test_movement_is_judged_against_the_blur_that_is_allowed(blur: float, expected: str) -> None:
    verdict = judge_movement(Case(blur_um=exact_span(blur), allowed_blur_um=10))
    assert verdict is not None
    assert verdict.grade == expected


@pytest.mark.parametrize(
    "case", [Case(), Case(airy_um=exact_span(10)), Case(total_mm=exact_span(1)), Case(clearance_mm=exact_span(30))]
)
def test_what_lacks_its_figures_is_not_judged(case: Case) -> None:
    assert judge(case) == ()


@given(WIDTHS, WIDTHS, WIDTHS)
def test_stopping_down_never_makes_diffraction_better(one: float, other: float, accepted: float) -> None:
    wide, narrow = sorted((one, other))
    grades = [grade(judge_sharpness(Case(airy_um=exact_span(airy), accepted_um=accepted))) for airy in (wide, narrow)]
    assert grades == sorted(grades)


@given(LENGTHS, LENGTHS, LENGTHS, st.floats(0, 0.9))
def test_more_depth_of_field_never_covers_less(one: float, other: float, depth: float, reserve: float) -> None:
    deep, shallow = sorted((one, other), reverse=True)
    cases = [Case(total_mm=exact_span(total), subject_depth_mm=depth, reserve=reserve) for total in (deep, shallow)]
    grades = list(map(grade, map(judge_depth, cases)))
    assert grades == sorted(grades)


@given(LENGTHS, LENGTHS, LENGTHS, st.none() | LENGTHS)
def test_more_room_is_never_worse(one: float, other: float, width: float, depth: float | None) -> None:
    far, near = sorted((one, other), reverse=True)
    cases = [
        Case(clearance_mm=exact_span(room), frame_width_mm=exact_span(width), subject_depth_mm=depth)
        for room in (far, near)
    ]
    grades = list(map(grade, map(judge_room, cases)))
    assert grades == sorted(grades)


@given(WIDTHS, st.floats(0.2, 1), st.floats(1, 5), WIDTHS)
def test_a_range_is_judged_no_better_than_its_best_end_and_no_worse_than_its_worst(
    value: float, down: float, up: float, accepted: float
) -> None:
    def graded(airy: Any) -> int:
        return grade(judge_sharpness(Case(airy_um=airy, accepted_um=accepted)))

    low, high = value * down, value * up
    assert graded(exact_span(low)) <= graded(Span(value, low, high)) <= graded(exact_span(high))
