"""Laws of movement blur: forward and reverse agree, scaling, and the worst phase of a vibration."""

import math

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from msgspec.structs import replace

from closeup_service.optics import motion
from closeup_service.optics.arithmetic import POINT, Columns
from closeup_service.optics.motion import Motions
from magnitudes import positive

Column = npt.NDArray[np.float64]


def or_none(strategy: st.SearchStrategy[float]) -> st.SearchStrategy[float]:
    return st.just(0.0) | strategy


MOTIONS = st.builds(
    Motions,
    sideways=or_none(positive(1e-3, 1e6)),
    rotation=or_none(positive(1e-3, 1e6)),
    stroke=or_none(positive(1e-3, 1e4)),
    frequency=positive(0.1, 1e4),
)
TIMES = positive(1e-7, 100)
ALLOWED = positive(0.01, 1e3)


def blur(motions: Motions, time: float) -> float:
    drawn: float = motion.total_blur(motion.blurs(motions, time, POINT), POINT)
    return drawn


def most_over_all_phases(stroke: float, frequency: float, time: float) -> float:
    """Greatest distance between two places that a sine reaches in a window, by trying windows and moments."""
    starts = np.linspace(0, 1, 401)[:, None]
    moments = np.linspace(0, time * frequency, 401)[None, :]
    places = stroke / 2 * np.sin(2 * np.pi * (starts + moments))
    return float(np.max(places.max(axis=1) - places.min(axis=1)))


@given(positive(0.1, 1e3), positive(0.1, 1e3), positive(1e-3, 3))
@example(10.0, 50.0, 0.5)
@example(10.0, 50.0, 0.4999)
def test_a_vibration_draws_as_much_as_the_worst_of_all_phases(stroke: float, frequency: float, cycles: float) -> None:
    time = cycles / frequency
    drawn = stroke * motion.stroke_share(frequency, time, POINT)
    tried = most_over_all_phases(stroke, frequency, time)
    assert tried <= drawn * (1 + 1e-12)
    assert drawn == pytest.approx(tried, rel=1e-3)


@given(positive(1e-3, 10), positive(0.1, 100), positive(0.1, 1e4), positive(1e-6, 1e-3))
def test_a_short_time_draws_two_pi_f_a_m_t(m: float, amplitude: float, frequency: float, cycles: float) -> None:
    time = cycles / frequency
    drawn = motion.image_stroke(m, amplitude) * motion.stroke_share(frequency, time, POINT)
    assert drawn == pytest.approx(2 * math.pi * frequency * amplitude * m * time, rel=1e-5)


@given(positive(1e-3, 10), positive(0.1, 100), positive(0.1, 1e4), positive(0.5000001, 1e6))
def test_a_long_time_draws_the_whole_stroke_and_no_more(
    m: float, amplitude: float, frequency: float, cycles: float
) -> None:
    drawn = motion.image_stroke(m, amplitude) * motion.stroke_share(frequency, cycles / frequency, POINT)
    assert drawn == pytest.approx(2 * m * amplitude, rel=1e-15)


@given(ALLOWED, MOTIONS)
@example(10.0, Motions(0.0, 0.0, 10.0, 50.0))
@example(10.0, Motions(0.0, 0.0, 10.000001, 50.0))
@example(10.0, Motions(1.0, 0.0, 10.0, 50.0))
@example(10.0, Motions(0.0, 0.0, 0.0, 1.0))
@example(56**0.5, Motions(100.0, 0.0, 4.0, 10.0))  # little more than half a period, in which the path is 5 um of 6.3
def test_the_longest_time_draws_just_the_allowed_blur(allowed: float, motions: Motions) -> None:
    longest = motion.longest_time(allowed, motions, POINT)
    if math.isinf(longest):
        assert motions.sideways == motions.rotation == 0
        assert motions.stroke <= allowed
        assert blur(motions, 1e6) <= allowed
    else:
        assert blur(motions, longest) == pytest.approx(allowed, rel=1e-9)
        assert blur(motions, longest * 0.99) <= allowed
        assert blur(motions, longest * 1.01) >= allowed * (1 - 1e-9)


@given(ALLOWED, MOTIONS, TIMES, st.sampled_from(["sideways", "rotation", "stroke"]))
def test_the_largest_of_one_motion_draws_with_the_others_just_the_allowed_blur(
    allowed: float, motions: Motions, time: float, kind: str
) -> None:
    others = blur(replace(motions, **{kind: 0.0}), time)
    left = motion.remaining_blur(allowed, others, POINT)
    if math.isnan(left):
        assert others > allowed
        return
    share = motion.stroke_share(motions.frequency, time, POINT) if kind == "stroke" else time
    assert blur(replace(motions, **{kind: left / share}), time) == pytest.approx(allowed, rel=1e-9)


@given(MOTIONS, TIMES, positive(0.01, 100))
def test_blur_grows_in_proportion_to_all_motions(motions: Motions, time: float, factor: float) -> None:
    faster = Motions(motions.sideways * factor, motions.rotation * factor, motions.stroke * factor, motions.frequency)
    assert blur(faster, time) == pytest.approx(blur(motions, time) * factor)


@given(MOTIONS, TIMES, positive(0.01, 100))
def test_motions_quicker_by_a_factor_need_a_time_shorter_by_it(motions: Motions, time: float, factor: float) -> None:
    quicker = replace(
        motions,
        sideways=motions.sideways * factor,
        rotation=motions.rotation * factor,
        frequency=motions.frequency * factor,
    )
    assert blur(quicker, time / factor) == pytest.approx(blur(motions, time))


@given(MOTIONS, TIMES)
def test_together_is_no_less_than_the_largest_and_no_more_than_the_sum(motions: Motions, time: float) -> None:
    by_kind = motion.blurs(motions, time, POINT)
    each = (by_kind.sideways, by_kind.rotation, by_kind.vibration)
    assert max(each) * (1 - 1e-12) <= blur(motions, time) <= sum(each) * (1 + 1e-12)


@given(st.floats(0, 2 * math.pi), positive(0.1, 100), positive(0.1, 100))
def test_the_root_of_squares_is_the_root_mean_square_over_all_directions(
    start: float, first: float, second: float
) -> None:
    angles = start + np.linspace(0, 2 * np.pi, 360, endpoint=False)
    squares = (first + second * np.cos(angles)) ** 2 + (second * np.sin(angles)) ** 2
    assert motion.add_in_quadrature(first, second, POINT) == pytest.approx(math.sqrt(np.mean(squares)))


@given(positive(5, 300), positive(0.01, 10), positive(0.2, 5))
def test_about_the_entrance_pupil_the_blur_is_f_times_one_plus_m_over_p(f: float, m: float, p: float) -> None:
    assert m * motion.turning_lever(f, m, p, 0.0) == pytest.approx(f * (1 + m / p))


@given(positive(5, 300), positive(0.01, 10), positive(0.2, 5), positive(1, 1e3))
def test_about_a_point_behind_the_pupil_the_pupils_own_path_is_added(
    f: float, m: float, p: float, distance: float
) -> None:
    assert m * motion.turning_lever(f, m, p, distance) == pytest.approx(f * (1 + m / p) + m * distance)


@given(positive(5, 300), positive(0.01, 10), positive(0.2, 5))
def test_about_the_subject_itself_nothing_is_blurred(f: float, m: float, p: float) -> None:
    distance = motion.turning_lever(f, m, p, 0.0)
    assert motion.turning_lever(f, m, p, -distance) == pytest.approx(0, abs=1e-12 * distance)


@given(st.lists(st.tuples(ALLOWED, MOTIONS, TIMES, st.booleans()), min_size=1, max_size=8))
def test_columns_agree_with_points(rows: list[tuple[float, Motions, float, bool]]) -> None:
    def column(name: str) -> Column:
        return np.array([getattr(motions, name) for _, motions, _, _ in rows])

    motions = Motions(*map(column, ("sideways", "rotation", "stroke", "frequency")))
    allowed, times = np.array([row[0] for row in rows]), np.array([row[2] for row in rows])
    columns = Columns(len(rows))
    with np.errstate(all="ignore"):
        drawn = np.asarray(motion.total_blur(motion.blurs(motions, times, columns), columns))
        longest = np.asarray(motion.longest_time(allowed, motions, columns))
        left = np.asarray(motion.remaining_blur(allowed, drawn, columns))
        tenth = np.asarray(motion.flash_tenth_time(times, np.array([row[3] for row in rows]), columns))
    for index, (blur_allowed, of_row, time, exponential) in enumerate(rows):
        by_point = blur(of_row, time)
        assert drawn[index] == pytest.approx(by_point, rel=1e-12)
        assert longest[index] == pytest.approx(motion.longest_time(blur_allowed, of_row, POINT), rel=1e-9)
        of_point = motion.remaining_blur(blur_allowed, by_point, POINT)
        assert left[index] == pytest.approx(of_point, rel=1e-6, abs=1e-6 * blur_allowed, nan_ok=True)
        assert tenth[index] == motion.flash_tenth_time(time, exponential, POINT)


@given(ALLOWED, positive(0.1, 1e4), positive(1.001, 1e3))
def test_against_vibration_alone_the_longest_time_is_an_arc_sine(
    allowed: float, frequency: float, times_over: float
) -> None:
    longest = motion.longest_time(allowed, Motions(0.0, 0.0, allowed * times_over, frequency), POINT)
    assert longest == pytest.approx(math.asin(1 / times_over) / (math.pi * frequency), rel=1e-9)
