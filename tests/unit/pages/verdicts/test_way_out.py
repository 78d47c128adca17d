"""What to do where sharpness or depth is beyond its limit: one sentence with an aperture or a stack."""

import re

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from closeup_service.pages.verdicts.case import Case
from closeup_service.pages.verdicts.way_out import USUAL_MARKS, Ring, Stack, usable_marks, way_out
from closeup_service.pages.verdicts.words import exact_span

SOFT = Case(f_number=16, magnification=exact_span(3), airy_um=exact_span(60), accepted_um=20, total_mm=exact_span(1.3))
"""Diffraction fills what counts as sharp at f/5.3."""
SHARP = Case(f_number=4, magnification=exact_span(3), airy_um=exact_span(15), accepted_um=20, total_mm=exact_span(0.3))


def with_depth(case: Case, depth: float, best: float | None = None) -> Case:
    return Case(
        **{name: getattr(case, name) for name in case.__struct_fields__}
        | {
            "subject_depth_mm": depth,
            "optimum_f_number": None if best is None else exact_span(best),
            "frames": exact_span(9),
            "step_mm": exact_span(0.24),
        }
    )


def ring_with(frames: float, step: float | None) -> Ring:
    return Ring(stack_at=lambda f_number: Stack(exact_span(frames), None if step is None else exact_span(step)))


def test_without_a_depth_the_range_to_use_ends_where_diffraction_allows_it() -> None:
    said = way_out(SOFT, Ring())
    assert said == ("At f/16 and 3:1 diffraction alone is softer than you accept; f/3.5 to f/5 is the range to use.")


def test_a_stop_for_the_depth_and_one_for_diffraction_become_a_stack() -> None:
    said = way_out(with_depth(SOFT, 2, best=14), ring_with(7, 0.31))
    assert said == (
        "A depth of 2 mm asks for f/14, and diffraction allows f/5 at most: stack 7 frames at f/5, 0.31 mm apart."
    )


def test_one_frame_at_another_mark_is_better_than_a_stack() -> None:
    opened = way_out(with_depth(SOFT, 0.5), ring_with(1, None))
    assert "f/5 is sharp enough and covers 0.5 mm in one frame" in opened
    stopped = way_out(with_depth(SHARP, 0.4), ring_with(1, None))
    assert "stop down to f/5, which does" in stopped


def test_a_depth_that_no_criterion_limits_is_stacked_as_it_is_set() -> None:
    case = Case(
        f_number=8, total_mm=exact_span(0.3), subject_depth_mm=2, frames=exact_span(9), step_mm=exact_span(0.24)
    )
    assert way_out(case, Ring()) == "One frame does not cover 2 mm: stack 9 frames, 0.24 mm apart."


def test_where_every_mark_is_too_soft_that_is_said() -> None:
    ring = Ring(marks=[mark for mark in USUAL_MARKS if mark.nominal >= 8])
    assert "softer than you accept at every mark of the ring" in way_out(SOFT, ring)


@pytest.mark.parametrize("case", [SHARP, with_depth(SHARP, 0.2), Case(), Case(f_number=8, magnification=exact_span(1))])
def test_nothing_is_to_be_done_where_nothing_is_beyond_its_limit(case: Case) -> None:
    assert way_out(case, Ring()) == ""


@given(st.floats(1, 64), st.floats(0.1, 200), st.floats(1, 100))
def test_no_mark_to_use_is_softer_than_is_accepted_and_the_next_one_would_be(
    f_number: float, airy: float, accepted: float
) -> None:
    case = Case(f_number=f_number, airy_um=exact_span(airy), accepted_um=accepted)
    usable = usable_marks(case, USUAL_MARKS)
    assume(0 < len(usable) < len(USUAL_MARKS))
    assert airy * usable[-1].exact / f_number <= accepted * 1.00001
    assert airy * USUAL_MARKS[len(usable)].exact / f_number > accepted


@given(st.floats(1, 64), st.floats(1, 200), st.floats(1, 100), st.floats(0.01, 50), st.floats(0.01, 50))
def test_a_sentence_never_has_an_empty_place(
    f_number: float, airy: float, accepted: float, total: float, depth: float
) -> None:
    case = Case(
        f_number=f_number,
        airy_um=exact_span(airy),
        accepted_um=accepted,
        total_mm=exact_span(total),
        subject_depth_mm=depth,
    )
    said = way_out(case, ring_with(5, 0.2))
    assert "None" not in said
    assert not re.search(r"[{}]|  ", said)
