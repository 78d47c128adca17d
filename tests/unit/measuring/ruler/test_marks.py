"""How far a run of marks goes, and where a stretch of lines ends."""

import numpy as np
import pytest

from closeup_service.measuring.ruler.bands import runs
from closeup_service.measuring.ruler.marks import run_of, stretch


def extended(present: str, first: int, last: int) -> tuple[int, int]:
    """Extend a stretch over marks written as dots (missing) and bars (found)."""
    found = np.array([sign == "|" for sign in present])
    return run_of(np.arange(len(present)), found, first, last)


@pytest.mark.parametrize(
    ("present", "stretch", "expected"),
    [
        ("||||||||||||||||", (6, 9), (0, 15)),
        (".|||||||||||||.", (6, 9), (1, 13)),
        ("||.||.||||||.||.", (6, 9), (0, 14)),  # numerals hide one here and there
        (
            "||||||||||......",
            (2, 6),
            (0, 7),
        ),  # of the next six, half must be there: the last two are left to finer lines
        ("|||||||||||||....|||||", (0, 12), (0, 21)),  # glare
        ("|||||||||||||....||||", (0, 12), (0, 12)),  # four beyond glare are not believed
        ("||||||||||||....|||||", (0, 11), (0, 11)),  # nor a leap of half the stretch that is known
        ("|||||....|||||||||||||", (9, 21), (0, 21)),
        ("||||.", (1, 2), (0, 3)),
    ],
)
def test_a_run_goes_on_over_single_losses_and_short_gaps(
    present: str, stretch: tuple[int, int], expected: tuple[int, int]
) -> None:
    assert extended(present, *stretch) == expected


def test_a_stretch_of_lines_passes_over_one_bad_line_and_no_more() -> None:
    lines = np.linspace(-2, 2, 17)
    good = (lines > -0.9) & (lines < 1.1)
    assert stretch(good, lines) == pytest.approx((-0.875, 1.125))
    holed = good & (lines != 0.5)
    assert stretch(holed, lines) == pytest.approx((-0.875, 1.125))
    assert stretch(holed & (lines != 0.25), lines) == pytest.approx((-0.875, 0.125))
    assert stretch(holed & (lines != -0.25) & (lines != -0.5), lines) == pytest.approx((-0.125, 1.125))


def test_a_stretch_begins_near_the_middle_or_is_none() -> None:
    lines = np.linspace(-2, 2, 17)
    assert stretch(np.abs(lines) > 1, lines) == (0.0, 0.0)
    assert stretch(np.ones(17, bool), lines) == pytest.approx((-2.125, 2.125))
    assert stretch(lines >= 1, lines) == pytest.approx((0.875, 2.125))
    assert stretch(lines > -2, lines) == pytest.approx((-1.875, 2.125))
    assert stretch(lines < 2, lines) == pytest.approx((-2.125, 1.875))


def test_runs_are_the_unbroken_stretches_of_at_least_so_many() -> None:
    good = np.array([1, 1, 0, 1, 0, 0, 1, 1, 1], bool)
    assert runs(good, 1) == [(0, 2), (3, 4), (6, 9)]
    assert runs(good, 2) == [(0, 2), (6, 9)]
    assert runs(~good, 3) == []
