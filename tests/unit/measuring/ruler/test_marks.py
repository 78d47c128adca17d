"""How far a run of marks goes, and where a stretch of lines ends."""

import numpy as np
import pytest
from msgspec.structs import replace

from closeup_service.measuring.ruler.bands import runs
from closeup_service.measuring.ruler.checks import final_marks
from closeup_service.measuring.ruler.marks import (
    begin,
    drop_unlikely,
    follow_scale,
    measure_marks,
    run_of,
    stretch,
    update_scale,
    visible_numbers,
)
from closeup_service.measuring.ruler.picture import pyramid
from closeup_service.measuring.ruler.result import mean_scale, middles, ruler_line
from drawn_strip import (
    ALONG,
    FIRST,
    HEIGHT,
    LAST,
    LENGTH,
    LINES,
    MIDDLE,
    PERIOD,
    PICTURE,
    WIDTH,
    scale,
    seen,
    start,
    strip,
)


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


def test_a_scale_begins_as_even_marks_about_its_start() -> None:
    one = begin(PICTURE, start())
    assert one.period == pytest.approx(PERIOD)
    assert (one.first, one.last) == (-3, 3)
    assert one.model.numbers(MIDDLE[0] + 36 * ALONG[0], MIDDLE[1] + 36 * ALONG[1]) == pytest.approx(2)
    aside = replace(start(), x=MIDDLE[0] + 50, y=MIDDLE[1] - 20)
    assert begin(PICTURE, aside).model.numbers(MIDDLE[0] + 50, MIDDLE[1] - 20) == pytest.approx(0, abs=1e-12)


def test_marks_are_seen_where_they_were_drawn_and_nowhere_else() -> None:
    marks = seen(PICTURE, LINES)
    drawn = (marks.numbers >= FIRST) & (marks.numbers <= LAST)
    on = np.abs(LINES) < 0.9
    assert (marks.seen == np.outer(on, drawn))[np.abs(np.abs(LINES) - 1) > 0.1].all()
    assert marks.is_found.tolist() == drawn.tolist()
    on_marks = np.ix_(np.abs(LINES) < 0.9, drawn)
    assert marks.height[on_marks] == pytest.approx(np.full(marks.height[on_marks].shape, 150), rel=0.06)
    assert marks.fit[on_marks].min() > 0.98
    assert marks.period == pytest.approx(np.full(marks.period.shape, PERIOD))
    expected = np.broadcast_to(marks.numbers * PERIOD, marks.along.shape)[on_marks]
    assert marks.along[on_marks] == pytest.approx(expected, abs=0.05)
    x = MIDDLE[0] + marks.along * ALONG[0] - LENGTH / 2 * LINES[:, None] * ALONG[1]
    y = MIDDLE[1] + marks.along * ALONG[1] + LENGTH / 2 * LINES[:, None] * ALONG[0]
    assert marks.x == pytest.approx(x, abs=0.01)
    assert marks.y == pytest.approx(y, abs=0.01)


@pytest.mark.parametrize("off", [-1.0, -0.5, 0.5, 1.0])
def test_a_mark_is_found_beside_where_it_is_looked_for(off: float) -> None:
    moved = replace(start(), x=MIDDLE[0] + off * ALONG[0], y=MIDDLE[1] + off * ALONG[1])
    marks = seen(PICTURE, np.array([0.0]), replace(begin(PICTURE, moved), first=-8, last=8))
    assert marks.along[0] == pytest.approx(marks.numbers * PERIOD - off, abs=0.2)


def test_bundled_lines_are_the_mean_of_their_neighbours() -> None:
    numbers = np.arange(-5, 6)
    fine = measure_marks(PICTURE, scale(), numbers, np.linspace(-1.5, 1.5, 8), 25)
    bundled = measure_marks(PICTURE, scale(), numbers, np.linspace(-1.5, 1.5, 8), 25, bundle=2)
    assert bundled.lines == pytest.approx(fine.lines.reshape(4, 2).mean(axis=1))
    assert bundled.values == pytest.approx(fine.values.reshape(4, 2, 11, 25).mean(axis=1), abs=1e-3)
    assert bundled.inside.all()


def test_marks_at_the_border_lie_in_the_picture_with_their_surroundings_only() -> None:
    marks = seen(PICTURE, np.array([0.0]), scale(-22, 22))
    reach = (WIDTH - 1) / 2 / ALONG[0] - 0.45 * PERIOD
    assert marks.inside[0].tolist() == (np.abs(marks.numbers * PERIOD) < reach).tolist()
    numbers = np.arange(-40, 41)
    middle_in = np.abs(numbers * PERIOD * ALONG[0]) < (WIDTH - 1) / 2
    assert visible_numbers(PICTURE, scale(), numbers).tolist() == numbers[middle_in].tolist()
    assert len(visible_numbers(PICTURE, scale(60, 70), np.arange(55, 75))) == 0


@pytest.mark.parametrize(
    ("along", "first", "last"), [((1.0, 0.0), -20, 19), ((0.0, 1.0), -10, 9), ((-1.0, 0.0), -19, 20)]
)
def test_a_mark_half_a_pixel_within_the_border_lies_in_the_picture_and_half_a_pixel_beyond_does_not(
    along: tuple[float, float], first: int, last: int
) -> None:
    """Marks at 0.5 and 720.5 of 720 pixels across, or at 0.5 and 360.5 of 360 down."""
    at = replace(start(), x=360.5, y=180.5, along=along)
    found = visible_numbers(PICTURE, begin(PICTURE, at), np.arange(-40, 41))
    assert (found[0], found[-1]) == (first, last)


@pytest.mark.parametrize(("across", "size"), [(True, WIDTH), (False, HEIGHT)])
@pytest.mark.parametrize(("off", "inside"), [(-0.5, True), (0.5, False)])
def test_the_surroundings_of_a_mark_reach_nine_tenths_of_half_a_period(
    across: bool, size: int, off: float, inside: bool
) -> None:
    reach = 0.45 * PERIOD - off
    for place, number in ((size - 1 - reach, 5), (reach, -5)):
        at = place - number * PERIOD
        along, x, y = ((1.0, 0.0), at, 180.0) if across else ((0.0, 1.0), 360.0, at)
        one = begin(PICTURE, replace(start(), x=x, y=y, along=along))
        assert measure_marks(PICTURE, one, np.array([number]), np.array([0.0]), 25).inside.item() is inside


def test_marks_far_fainter_or_far_less_alike_than_usual_are_not_believed() -> None:
    marks = seen(PICTURE, np.array([0.0, 0.1]))
    drawn = np.nonzero(marks.is_found)[0]
    height, fit = marks.height.copy(), marks.fit.copy()
    height[0, drawn[0]] *= 0.2
    height[0, drawn[1]] *= 0.3
    height[0, drawn[2]] *= 4.5
    height[0, drawn[3]] *= 3.5
    fit[0, drawn[4]] *= 0.65
    fit[0, drawn[5]] *= 0.75
    kept = drop_unlikely(replace(marks, height=height, fit=fit)).seen[0, drawn[:6]]
    assert kept.tolist() == [False, True, False, True, False, True]
    assert drop_unlikely(marks).seen.tolist() == marks.seen.tolist()


def test_a_scale_is_followed_to_its_ends_and_laid_on_its_strip() -> None:
    picture = pyramid(strip(across=12.0))
    one = follow_scale(picture, start())
    assert one is not None
    for _ in range(2):
        marks = final_marks(picture, one)
        assert marks is not None
        grown = update_scale(one, marks)
        assert grown is not None
        one = grown
    assert (one.first, one.last) == (FIRST, LAST)
    assert one.offset + one.slope * 18 == pytest.approx(12, abs=1.5)
    assert one.half_width == pytest.approx(LENGTH / 2, rel=0.15)
    assert one.contrast == pytest.approx(150, rel=0.05)
    assert one.period == pytest.approx(PERIOD, rel=1e-3)
    line = ruler_line(one)
    ends = [
        (MIDDLE[0] + n * PERIOD * ALONG[0] - 12 * ALONG[1], MIDDLE[1] + n * PERIOD * ALONG[1] + 12 * ALONG[0])
        for n in (FIRST, LAST)
    ]
    assert np.array(line) == pytest.approx(np.array(ends), abs=1.5)
    assert mean_scale(one, line, 0.5).value == pytest.approx(2 * PERIOD, rel=1e-3)
    assert marks is not None
    found = middles(one, marks)
    assert len(found) == LAST - FIRST + 1
    assert np.hypot(*np.diff(found, axis=0).T) == pytest.approx(np.full(LAST - FIRST, PERIOD), abs=0.1)


def test_only_marks_of_the_scale_itself_are_used() -> None:
    marks = seen(PICTURE, LINES)
    used = marks.points_on(scale(-5, 4))
    assert marks.numbers[used.any(axis=0)].tolist() == list(range(-5, 5))
    assert LINES[used.any(axis=1)] == pytest.approx([-0.75, -0.5, -0.25, 0, 0.25, 0.5, 0.75])
