"""Solving an open length: what is solved and put back gives the target."""

from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from closeup_service.optics.errors import NoSolution, OpticsError
from closeup_service.set_ups.set_up import evaluate
from closeup_service.set_ups.solve import solve
from set_ups import Document, lengths, lenses, one_lens_set_ups

TARGETS = st.sampled_from(["magnification", "working_distance_mm", "subject_width_mm"])


@given(one_lens_set_ups(), TARGETS)
def test_the_length_that_gave_a_target_is_found_again(drawn: tuple[Document, float], target: str) -> None:
    document, _ = drawn
    length = document["train"][1]["length_mm"]
    assume(0 <= length <= 2000)
    try:
        wanted = getattr(evaluate(document), target)
    except OpticsError:
        assume(False)
        raise
    solved = solve(document, "/train/1/length_mm", target, wanted, 0.0, 2000.0)
    assert getattr(solved.set_up, target) == pytest.approx(wanted, rel=1e-6)
    assert solved.value == pytest.approx(length, rel=1e-5, abs=1e-4)


@given(lenses(reversed_=False), lenses(reversed_=False), lengths(0.05, 3), lengths(0, 60))
def test_what_is_solved_in_a_coupled_train_and_put_back_gives_the_target(
    front: Document, rear: Document, wanted: float, extension: float
) -> None:
    document: Any = {
        "camera": {"register_mm": rear["register_mm"]},
        "train": [
            front,
            {"element": "spacer", "length_mm": 0.0},
            rear,
            {"element": "spacer", "length_mm": extension},
        ],
    }
    try:
        solved = solve(document, "/train/1/length_mm", "magnification", wanted, 0.0, 2000.0)
    except OpticsError:
        assume(False)
        raise
    assert evaluate(solved.document).magnification == pytest.approx(wanted, rel=1e-6)


@given(lenses(reversed_=True), lengths(0.1, 3), lengths(0, 100))
def test_a_tube_between_lenses_focused_at_infinity_does_not_matter(
    front: Document, wanted: float, length: float
) -> None:
    rear = {"element": "lens", "focal_length_mm": 100.0, "f_number": 4.0, "register_mm": 44.0}
    rear["front_principal_plane_mm"] = 30.0
    tube = {"element": "spacer", "length_mm": length}
    document: Any = {"camera": {"register_mm": 44.0}, "train": [front, tube, rear]}
    with pytest.raises(NoSolution, match="does not matter"):
        solve(document, "/train/1/length_mm", "magnification", wanted, 0.0, 150.0)


@given(one_lens_set_ups(reversed_=False), lengths(1.5, 4))
def test_beyond_the_range_the_nearest_attainable_value_is_stated(drawn: tuple[Document, float], over: float) -> None:
    document, _ = drawn
    length = document["train"][1]["length_mm"]
    assume(1 <= length <= 500)
    try:
        reached = evaluate(document).magnification
    except OpticsError:
        assume(False)
    with pytest.raises(NoSolution, match=f"nearest attainable is {reached:.6g}"):
        solve(document, "/train/1/length_mm", "magnification", reached * over, 0.0, length)
