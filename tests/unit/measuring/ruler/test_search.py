"""Where a scale may lie: tiles with a pattern, which of them belong together, and the start that follows."""

import numpy as np
import pytest
from msgspec.structs import replace
from numpy.typing import NDArray

from closeup_service.measuring.ruler import choice
from closeup_service.measuring.ruler.picture import Level, pyramid
from closeup_service.measuring.ruler.search import (
    MOST_IN_CELL,
    MOST_SEEDS,
    Candidate,
    agreement,
    candidates,
    gather_candidates,
    is_same_pattern,
    seeds,
    thin_seeds,
)
from closeup_service.measuring.ruler.start import (
    PERIODS,
    SAMPLES,
    correct_frequency,
    likeness,
    make_symmetric,
    patch,
    period_factor,
    profile,
    refine_candidate,
    waves,
)

PERIOD, ANGLE = 14.0, np.radians(20)
ALONG = np.array([np.cos(ANGLE), np.sin(ANGLE)])


def lines(period: float = PERIOD, width: int = 640, height: int = 480) -> NDArray[np.float32]:
    """Even lines across a direction of 20 degrees, one through the middle of the picture, dark on light."""
    y, x = np.mgrid[0:height, 0:width]
    away = ((x - (width - 1) / 2) * ALONG[0] + (y - (height - 1) / 2) * ALONG[1]) / period
    away = np.abs(away - np.rint(away)) * period
    return np.asarray(200 - 150 * np.clip(period / 5.6 - away, 0, 1), np.float32)


def candidate(**changes: float) -> Candidate:
    return replace(Candidate(319.5, 239.5, ALONG[0] / PERIOD, ALONG[1] / PERIOD, 32.0, 1.0), **changes)


def test_every_tile_of_even_lines_tells_their_period_and_direction() -> None:
    found = seeds(Level(1, lines()), 0.35, 64)
    assert len(found) == 11 * 15
    assert np.abs(found[:, 2:4] @ ALONG) == pytest.approx(np.full(len(found), 1 / PERIOD), rel=0.03)
    across = np.array([-ALONG[1], ALONG[0]])
    assert found[:, 2:4] @ across == pytest.approx(np.zeros(len(found)), abs=0.02 / PERIOD)


def test_places_and_frequencies_of_a_smaller_size_are_those_of_the_picture() -> None:
    small = Level(3, pyramid(lines(42.0, 1920, 1440)).levels[1].plane)
    found = seeds(small, 0.35, 64)
    assert np.hypot(found[:, 2], found[:, 3]) == pytest.approx(np.full(len(found), 1 / 42), rel=0.03)
    assert (found[:, :2].min(axis=0) == 0.5 * 64 * 3 - 0.5).all()
    assert found[:, :2].max(axis=0) == pytest.approx([95.5 + 14 * 120, 95.5 + 10 * 120])


def test_flat_tiles_tell_nothing() -> None:
    picture = lines()
    picture[:, 320:] = 128
    assert seeds(Level(1, picture), 0.35, 64)[:, 0].max() < 380
    assert (
        len(gather_candidates(seeds(Level(1, np.full((480, 640), 9.0, np.float32)), 0.35, 64), Level(1, picture), 64))
        == 0
    )


def test_seeds_agree_that_lie_along_a_ruler_and_not_beside_it() -> None:
    f = 1 / PERIOD
    found = np.array(
        [
            [0, 0, f, 0, 1],
            [300, 20, f, 0, 1],
            [300, 90, f, 0, 1],
            [200, 0, -f, 0, 1],
            [200, 0, 1.2 * f, 0, 1],
            [9, 9, 0, f, 1],
        ]
    )
    like, agree = agreement(found, 64.0)
    assert like[0].tolist() == [True, True, True, True, False, False]
    assert agree[0].tolist() == [True, True, False, True, False, False]
    assert (agree == agree.T).all()


def test_of_nearly_one_frequency_only_so_many_seeds_are_kept_and_the_strongest_first() -> None:
    rng = np.random.default_rng(2)
    nearly = rng.uniform(5.4, 6.6, 400) / 64
    cloth = np.column_stack([rng.uniform(0, 900, (400, 2)), nearly, np.full(400, 0.05), rng.uniform(0.5, 1, 400)])
    ruler = np.column_stack([rng.uniform(0, 900, (9, 2)), np.full(9, 0.02), np.full(9, -0.07), np.full(9, 0.3)])
    kept = thin_seeds(np.concatenate([cloth, ruler]), 64)
    assert len(kept) == MOST_IN_CELL + 9
    assert (np.diff(kept[:, 4]) <= 0).all()
    assert kept[:, 4][:MOST_IN_CELL].min() == np.sort(cloth[:, 4])[-MOST_IN_CELL]
    many = np.column_stack([np.zeros((900, 2)), rng.uniform(0.05, 0.4, (900, 2)), np.ones(900)])
    assert len(thin_seeds(many, 64)) == MOST_SEEDS


@pytest.mark.parametrize(
    ("other", "expected"),
    [
        (candidate(), True),
        (candidate(frequency_x=-ALONG[0] / PERIOD, frequency_y=-ALONG[1] / PERIOD), True),
        (candidate(frequency_x=1.12 * ALONG[0] / PERIOD, frequency_y=1.12 * ALONG[1] / PERIOD), False),
        (candidate(frequency_x=ALONG[1] / PERIOD, frequency_y=-ALONG[0] / PERIOD), False),
        (candidate(x=319.5 + 200 * ALONG[0], y=239.5 + 200 * ALONG[1]), True),
        (candidate(x=319.5 + 20 * ALONG[1], y=239.5 - 20 * ALONG[0]), True),
        (candidate(x=319.5 + 25 * ALONG[1], y=239.5 - 25 * ALONG[0]), False),
        (candidate(x=319.5 + 20 * ALONG[1], y=239.5 - 20 * ALONG[0], reach=16.0), False),
    ],
)
def test_candidates_of_one_pattern_at_one_place_are_one(other: Candidate, expected: bool) -> None:
    assert is_same_pattern(candidate(), other) is expected
    assert candidate().period == pytest.approx(PERIOD)


@pytest.mark.parametrize(("off", "turn"), [(0.0, 0.0), (0.04, 0.0), (-0.04, 0.0), (0.0, 0.05), (0.02, -0.04)])
def test_a_candidate_that_is_a_little_off_is_set_right(off: float, turn: float) -> None:
    wrong = (1 + off) / PERIOD * np.array([np.cos(ANGLE + turn), np.sin(ANGLE + turn)])
    start = refine_candidate(pyramid(lines()), candidate(x=322.0, frequency_x=wrong[0], frequency_y=wrong[1]))
    assert start is not None
    assert start.period == pytest.approx(PERIOD, rel=5e-3)
    assert start.along == pytest.approx(tuple(ALONG), abs=2e-3)
    assert start.dark
    away = ((start.x - 319.5) * ALONG[0] + (start.y - 239.5) * ALONG[1]) / PERIOD
    assert away == pytest.approx(round(away), abs=0.03)
    assert start.likeness > 0.95


@pytest.mark.parametrize("overtone", [2, 3, 4])
def test_an_overtone_is_led_back_to_the_true_period(overtone: int) -> None:
    wrong = overtone * ALONG / 42
    start = refine_candidate(pyramid(lines(42.0)), candidate(frequency_x=wrong[0], frequency_y=wrong[1]))
    assert start is not None
    assert start.period == pytest.approx(42, rel=5e-3)


def test_light_marks_start_as_dark_ones_do() -> None:
    dark, light = (refine_candidate(pyramid(picture), candidate()) for picture in (lines(), 255 - lines()))
    assert dark is not None
    assert light is not None
    assert (dark.dark, light.dark) == (True, False)
    assert (light.x, light.y, light.period) == pytest.approx((dark.x, dark.y, dark.period), abs=0.02)
    assert light.shape == pytest.approx(dark.shape, abs=0.02)


def test_no_start_is_made_of_noise() -> None:
    noise = np.random.default_rng(4).normal(128, 30, (480, 640)).astype(np.float32)
    assert refine_candidate(pyramid(noise), candidate()) is None


def test_a_patch_lies_along_the_ruler_over_six_periods_to_each_side_and_fades_out() -> None:
    seen = patch(pyramid(lines()), 319.5, 239.5, ALONG / PERIOD, 20.0)
    assert seen.along[[0, -1]] == pytest.approx([-PERIODS * PERIOD, PERIODS * PERIOD])
    assert len(seen.along) == 2 * PERIODS * SAMPLES + 1
    assert seen.across[[0, -1]] == pytest.approx([-20, 20])
    assert np.ptp(seen.values, axis=0).max() < 25  # lines across the ruler are alike
    assert seen.weight.max() == pytest.approx(1)
    assert seen.weight[0, 0] < 0.01
    for x, y in ((5.0, 8.0), (630.0, 470.0)):
        corner = patch(pyramid(lines()), x, y, ALONG / PERIOD, 20.0)
        at_x = x + corner.along * ALONG[0] - corner.across[:, None] * ALONG[1]
        at_y = y + corner.along * ALONG[1] + corner.across[:, None] * ALONG[0]
        inside = (at_x >= 0) & (at_x <= 639) & (at_y >= 0) & (at_y <= 479)
        assert ((corner.weight > 0) == inside).all()
    assert correct_frequency(seen, ALONG / PERIOD) == pytest.approx(ALONG / PERIOD, rel=1e-3)


def test_the_wave_of_a_cosine_is_half_of_it() -> None:
    seen = patch(pyramid(lines()), 319.5, 239.5, ALONG / PERIOD, 20.0)
    cosine = replace(seen, values=np.tile(7 + 3 * np.cos(2 * np.pi * seen.along / PERIOD - 0.4), (25, 1)))
    found = waves(cosine, PERIOD, cosine.weight)
    assert np.abs(found) == pytest.approx(np.full(25, 1.5), rel=2e-3)
    assert np.angle(found) == pytest.approx(np.full(25, -0.4), abs=2e-3)
    line, together = profile(cosine, PERIOD)
    assert together == pytest.approx(1)
    assert line[30:-30] == pytest.approx(3 * np.cos(2 * np.pi * seen.along / PERIOD - 0.4)[30:-30], abs=0.25)


def combed(every: int) -> NDArray[np.float64]:
    """One mark in so many samples, seen over twelve periods of twelve samples."""
    place = np.arange(145)
    away = np.abs((place + every // 2) % every - every // 2)
    comb: NDArray[np.float64] = np.clip(2.0 - away, 0, 1)
    return np.asarray(comb - comb.mean())


@pytest.mark.parametrize(("every", "factor"), [(12, 1), (24, 2), (36, 3), (48, 4), (6, 1 / 2), (4, 1 / 3)])
def test_a_line_that_repeats_at_another_period_tells_by_what_to_multiply(every: int, factor: float) -> None:
    assert period_factor(combed(every)) == pytest.approx(factor)


def test_a_line_that_never_repeats_has_no_period() -> None:
    noise = np.random.default_rng(1).normal(size=145)
    assert period_factor(noise) == 0.0
    assert likeness(noise, 12) < 0.25
    assert likeness(combed(12), 12) == pytest.approx(1, abs=0.02)
    assert likeness(combed(12), 11) == likeness(combed(12), 12) == likeness(combed(12), 13)


def test_a_mark_made_even_is_one_in_its_middle_and_nought_at_its_lowest() -> None:
    shape = make_symmetric(np.array([3.0, 4.0, 9.0, 12.0, 5.0, 4.0, 1.0]))
    assert shape == pytest.approx([0, 0.2, 0.5, 1, 0.5, 0.2, 0])


def test_candidates_of_a_picture_of_lines_are_few_and_their_starts_alike() -> None:
    picture = pyramid(lines())
    found = candidates(picture, 256.0)
    assert 1 <= len(found) <= 12
    assert found[0].votes == max(each.votes for each in found)
    first = choice.refine_candidates(picture, 256.0)[0]
    assert first.period == pytest.approx(PERIOD, rel=5e-3)
    assert choice.is_parallel(first, replace(first, along=(-first.along[0], -first.along[1])))
    assert choice.is_repetition(first, replace(first, period=1.07 * first.period))
    assert not choice.is_repetition(first, replace(first, period=1.09 * first.period))
    turned = np.radians(20 + 6)
    assert not choice.is_parallel(first, replace(first, along=(float(np.cos(turned)), float(np.sin(turned)))))
