"""When no reading is sure: too blurred, too few marks, or no scale; and which of several scales is taken."""

from types import SimpleNamespace
from typing import Any, cast

import pytest
from msgspec.structs import replace

from closeup_service.measuring.ruler.checks import Verdict
from closeup_service.measuring.ruler.choice import rank
from closeup_service.measuring.ruler.proof import Proved
from closeup_service.measuring.ruler.reading import refuse_blurred
from closeup_service.measuring.ruler.records import PitchCheck, ZoneSharpness
from closeup_service.measuring.ruler.refusals import refuse
from closeup_service.optics.errors import NoScaleFound, TooBlurred, TooFewMarks

VERDICT = Verdict("few", 1.0, 0, 4, 0.004, 0.98, 0.5, 5.0, 0.05, 0.08, 1, False, False, True)


def proved(fits: bool | None = None, **verdict: Any) -> Proved:
    """All that a choice asks of a scale."""
    pitch = PitchCheck((5, 10) if fits is not None else (), fits, None)
    return cast(Proved, SimpleNamespace(verdict=replace(VERDICT, **verdict), pitch=pitch))


def zones(*widths: float) -> tuple[ZoneSharpness | None, ...]:
    return (None, *(ZoneSharpness(width, 10 * width, 20) for width in widths))


@pytest.mark.parametrize(
    ("widths", "period", "fits", "refused"),
    [
        ((5.1, 9.0), 20.0, None, True),
        ((5.1, 9.0), 20.0, False, True),
        ((5.1, 9.0), 20.0, True, False),  # longer marks in order tell which they are
        ((4.9, 9.0), 20.0, None, False),  # one zone is sharp enough
        ((4.1,), 10.0, None, True),
        ((3.9,), 10.0, None, False),  # a few pixels are every camera's own
        ((), 20.0, None, False),
    ],
)
def test_blur_of_a_quarter_of_a_period_everywhere_is_refused_where_finer_marks_may_hide(
    widths: tuple[float, ...], period: float, fits: bool | None, refused: bool
) -> None:
    if refused:
        with pytest.raises(TooBlurred, match=f" {min(widths):.0f} pixels .* {period:.0f} pixels"):
            refuse_blurred(zones(*widths), period, fits)
    else:
        refuse_blurred(zones(*widths), period, fits)


@pytest.mark.parametrize("fault", ["few", "short"])
def test_a_good_stretch_that_is_too_small_is_told_by_its_number_of_marks(fault: str) -> None:
    with pytest.raises(TooFewMarks, match="Only 6 marks"):
        refuse([proved(marks=4), proved(fault=fault, marks=6), proved(fault="uneven", marks=30)])


@pytest.mark.parametrize("bad", [{"marks": 2}, {"scatter": 0.03}, {"fault": "uneven", "marks": 30}])
def test_what_was_no_stretch_of_a_scale_is_none(bad: dict[str, Any]) -> None:
    with pytest.raises(NoScaleFound):
        refuse([proved(**bad)])
    with pytest.raises(NoScaleFound):
        refuse([])


def test_what_fits_the_pitch_comes_first_then_what_says_nothing_then_the_most_marks() -> None:
    ranked = [proved(True, marks=9), proved(True, marks=8), proved(None, marks=50), proved(False, marks=90)]
    shuffled = [ranked[place] for place in (2, 0, 3, 1)]
    assert sorted(shuffled, key=rank, reverse=True) == ranked
