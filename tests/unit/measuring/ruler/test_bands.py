"""Bands of marks beside one another, and a scale beside another."""

import numpy as np
import pytest
from msgspec.structs import replace

from closeup_service.measuring.ruler.bands import count_repeats, find_neighbouring_start, scale_period
from closeup_service.measuring.ruler.marks import begin
from closeup_service.measuring.ruler.picture import pyramid
from drawn_strip import ALONG, LENGTH, MIDDLE, PERIOD, PICTURE, scale, start, strip


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
