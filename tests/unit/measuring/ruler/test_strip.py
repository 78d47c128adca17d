"""A scale on a drawn strip: measured mark by mark, laid on its strip, seen to end, and told from its neighbours."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from closeup_service.measuring.ruler import proof
from closeup_service.measuring.ruler.bands import count_repeats, find_neighbouring_start, scale_period
from closeup_service.measuring.ruler.checks import final_marks, has_ends, has_finer_neighbour, has_finer_period, verdict
from closeup_service.measuring.ruler.fit import Fit, fit_scale
from closeup_service.measuring.ruler.marks import (
    Marks,
    Scale,
    begin,
    drop_unlikely,
    follow_scale,
    measure_marks,
    update_scale,
    visible_numbers,
)
from closeup_service.measuring.ruler.picture import Pyramid, pyramid
from closeup_service.measuring.ruler.records import PitchCheck
from closeup_service.measuring.ruler.result import mean_scale, middles, ruler_line
from closeup_service.measuring.ruler.start import SHAPE, Start

PERIOD, LENGTH, WIDTH, HEIGHT = 18.0, 60.0, 720, 360
TURN = np.radians(20)
ALONG = (float(np.cos(TURN)), float(np.sin(TURN)))
MIDDLE = ((WIDTH - 1) / 2, (HEIGHT - 1) / 2)
WINDOW = np.linspace(-0.5, 0.5, SHAPE)
FIRST, LAST = -12, 15


def strip(
    longer: float = 0.0, across: float = 0.0, ends: tuple[float, float] = (LENGTH / 2, LENGTH / 2)
) -> NDArray[np.float32]:
    """Dark marks 18 pixels apart and 60 long; `longer` pixels are added to every fifth at one end."""
    y, x = np.mgrid[0:HEIGHT, 0:WIDTH]
    x, y = x - MIDDLE[0], y - MIDDLE[1]
    along, beside = x * ALONG[0] + y * ALONG[1], y * ALONG[0] - x * ALONG[1] - across
    number = np.rint(along / PERIOD)
    away = np.abs(along - number * PERIOD)
    there = (number >= FIRST) & (number <= LAST)
    end = np.where(beside > 0, ends[1] + longer * (number % 5 == 0), ends[0])
    ink = np.clip(3.5 - away, 0, 1) * np.clip(end + 0.5 - np.abs(beside), 0, 1) * there
    return np.asarray(200 - 150 * ink, np.float32)


def start(period: float = PERIOD) -> Start:
    shape = np.clip(3.5 - np.abs(WINDOW) * period, 0, 1)
    return Start(MIDDLE[0], MIDDLE[1], ALONG, period, LENGTH / 2, shape, True, 1.0)


def scale(first: int = FIRST, last: int = LAST) -> Scale:
    return replace(begin(PICTURE, start()), first=first, last=last, contrast=150.0)


def seen(picture: Pyramid, lines: NDArray[np.float64], one: Scale | None = None) -> Marks:
    one = one or scale()
    return measure_marks(picture, one, np.arange(one.first - 3, one.last + 4), lines, 25)


PICTURE = pyramid(strip())
LINES = np.linspace(-2, 2, 17)


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


def test_one_band_of_marks_is_one_and_rows_are_many() -> None:
    assert count_repeats(PICTURE, scale()) == (1, False)
    rows = strip()
    for across in (-150.0, -75.0, 75.0, 150.0):
        rows = np.minimum(rows, strip(across=across))
    count, _ = count_repeats(pyramid(rows), scale())
    assert count >= 4
    assert count_repeats(pyramid(strip(ends=(500.0, 500.0))), scale()) == (1, True)


def test_a_band_in_opposite_phase_that_adjoins_is_a_chequer() -> None:
    short = strip(across=52.0, ends=(20.0, 20.0))
    opposite = np.roll(short, round(PERIOD / 2), axis=1)
    assert count_repeats(pyramid(np.minimum(strip(), opposite)), scale())[1]
    assert not count_repeats(pyramid(np.minimum(strip(), short)), scale())[1]


def test_a_scale_at_another_period_has_its_marks_at_the_same_places() -> None:
    finer_one = scale_period(scale(-5, 6), 0.5)
    assert finer_one.period == pytest.approx(PERIOD / 2)
    assert (finer_one.first, finer_one.last) == (-10, 12)
    place = MIDDLE[0] + 100.0, MIDDLE[1] + 9.0
    assert finer_one.model.numbers(*place) == pytest.approx(2 * scale().model.numbers(*place))
    assert scale_period(scale(-5, 6), 2.0).period == pytest.approx(2 * PERIOD)
    assert (scale_period(scale(-5, 6), 2.0).first, scale_period(scale(-5, 6), 2.0).last) == (-2, 3)


@pytest.mark.parametrize(("offset", "slope"), [(0.0, 0.0), (12.0, 0.0), (10.0, 0.05)])
def test_the_short_marks_are_started_from_the_long_ones(offset: float, slope: float) -> None:
    longer = pyramid(strip(longer=50.0))
    aside = 52.0 - offset
    fifth = replace(start(5 * PERIOD), x=MIDDLE[0] - aside * ALONG[1], y=MIDDLE[1] + aside * ALONG[0], half_width=22.0)
    one = replace(begin(longer, fifth), first=-2, last=3, offset=offset, slope=slope)
    found = find_neighbouring_start(longer, one, 0.2)
    assert found is not None
    assert found.period == pytest.approx(PERIOD)
    along = ((found.x - MIDDLE[0]) * ALONG[0] + (found.y - MIDDLE[1]) * ALONG[1]) / PERIOD
    beside = (found.y - MIDDLE[1]) * ALONG[0] - (found.x - MIDDLE[0]) * ALONG[1]
    assert along == pytest.approx(round(along), abs=0.06)
    assert beside == pytest.approx(0, abs=5)
    assert found.half_width == pytest.approx(LENGTH / 2, rel=0.2)
    assert found.dark
    assert find_neighbouring_start(longer, replace(one, last=one.first + 1), 0.5) is None


def test_only_marks_of_the_scale_itself_are_used() -> None:
    marks = seen(PICTURE, LINES)
    used = marks.points_on(scale(-5, 4))
    assert marks.numbers[used.any(axis=0)].tolist() == list(range(-5, 5))
    assert LINES[used.any(axis=1)] == pytest.approx([-0.75, -0.5, -0.25, 0, 0.25, 0.5, 0.75])


def test_an_end_of_the_ruler_that_passes_for_a_mark_is_left_off() -> None:
    marks = seen(PICTURE, np.linspace(-0.7, 0.7, 7))
    fit = fitted_to(marks)
    one = replace(scale(), model=fit.model, fit=fit)
    assert proof.trim_ends(one, marks) is one
    off = np.where(marks.numbers == LAST, 3.0, 0.0)
    trimmed = proof.trim_ends(one, replace(marks, x=marks.x + off * ALONG[0], y=marks.y + off * ALONG[1]))
    assert (trimmed.first, trimmed.last) == (FIRST, LAST - 1)
    begin_off = np.where(marks.numbers == FIRST, -3.0, 0.0)
    trimmed = proof.trim_ends(one, replace(marks, x=marks.x + begin_off * ALONG[0], y=marks.y + begin_off * ALONG[1]))
    assert (trimmed.first, trimmed.last) == (FIRST + 1, LAST)


def fitted_to(marks: Marks) -> Fit:
    use = marks.points_on(scale())
    return fit_scale(scale().model, marks.x[use], marks.y[use], np.broadcast_to(marks.numbers, use.shape)[use])
