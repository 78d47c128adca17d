"""Focus stacks leave no gap, cover both ends, and take no more frames than they need."""

import itertools
import math
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from closeup_service.optics import formulas
from closeup_service.optics.arithmetic import POINT
from closeup_service.optics.depth import Depth, depth_limits
from closeup_service.optics.errors import NoRealSubject, OpticsError, StepTooLong, TooManyFrames
from closeup_service.optics.focus_ring import Focusing, Lens, Ring, half_depth_along
from closeup_service.optics.sharpness import MODELS, Criterion
from closeup_service.optics.stack import Stack, rail_stack
from closeup_service.optics.wave import Light, white_light
from set_ups import lengths
from thoroughness import up_to

OVERLAPS = st.just(0.0) | lengths(0, 0.9)
ROUNDING = 1e-8
TABULATED = 2e-4
"""What a table of the contrast model may be off."""


@st.composite
def criteria(draw: st.DrawFn, model: str) -> Criterion:
    light = white_light() if draw(st.booleans()) else Light.of((550.0,))
    detail = draw(lengths(1, 12))
    by_subject = draw(st.booleans())
    return Criterion(
        model,
        draw(lengths(0.003, 0.05)),
        draw(lengths(400, 700)),
        light,
        sensor_detail=None if by_subject else detail,
        subject_detail=detail if by_subject else None,
        contrast=draw(lengths(0.05, 0.6)),
    )


def depth_at(criterion: Criterion, lens: tuple[float, float, float], m: float) -> Depth:
    """Depth of one frame by the sums for one point, apart from what the stacks use."""
    focal_length, f_number, pupils = lens
    effective = formulas.effective_f_number(f_number, m, pupils)
    inverse = formulas.inverse_entrance_pupil_distance(focal_length, m, pupils)
    half_depth = criterion.half_depth(effective, m, POINT)
    assert half_depth is not None
    return depth_limits(half_depth, m, inverse, POINT)


LENSES = st.tuples(lengths(10, 200), lengths(1.4, 22), lengths(0.3, 4))
DEPTHS = st.builds(Depth, lengths(1e-3, 5), lengths(1e-3, 5) | st.just(math.inf), st.just(1.0))


def rail(depth: Depth, whole: float, overlap: float, rail_step: float | None) -> Stack:
    try:
        return rail_stack(depth, whole, overlap, rail_step)
    except (StepTooLong, TooManyFrames):
        assume(False)
        raise


def assert_covered(positions: Any, depths: list[Depth], whole: float, overlap: float, tolerance: float) -> None:
    assert np.all(np.diff(positions) > 0)
    assert positions[0] >= 0
    assert positions[-1] <= whole * (1 + ROUNDING)
    assert positions[0] - depths[0].front <= tolerance * depths[0].front
    assert positions[-1] + depths[-1].rear >= whole - tolerance * depths[-1].rear
    for index, step in enumerate(np.diff(positions)):
        between = depths[index].rear + depths[index + 1].front
        assert step <= (1 - overlap) * between + tolerance * between


@given(DEPTHS, lengths(1e-3, 100), OVERLAPS)
def test_a_rail_leaves_no_gap_and_covers_both_ends(depth: Depth, whole: float, overlap: float) -> None:
    stack = rail(depth, whole, overlap, None)
    assert_covered(stack.positions, [depth] * stack.frames, whole, overlap, ROUNDING)


@given(DEPTHS, lengths(1e-3, 100), OVERLAPS, lengths(1e-3, 3))
def test_a_rail_moves_by_whole_steps_and_leaves_no_gap(
    depth: Depth, whole: float, overlap: float, rail_step: float
) -> None:
    stack = rail(depth, whole, overlap, rail_step)
    assume(stack.step is not None)
    assert stack.step is not None
    steps = round(stack.step / rail_step)
    assert stack.step == pytest.approx(steps * rail_step)
    total = depth.front + depth.rear
    kept = overlap if steps > 1 else min(overlap, 1 - rail_step / total)
    assert_covered(stack.positions, [depth] * stack.frames, whole, kept, ROUNDING)
    assert (steps + 1) * rail_step > (1 - overlap) * total  # rounded down by less than one step


@given(DEPTHS, lengths(1e-3, 100), OVERLAPS, st.none() | lengths(1e-3, 3))
def test_one_frame_fewer_on_a_rail_would_not_reach(
    depth: Depth, whole: float, overlap: float, rail_step: float | None
) -> None:
    stack = rail(depth, whole, overlap, rail_step)
    if stack.step is None:
        assert stack.frames == 1
        assert depth.front + depth.rear >= whole * (1 - ROUNDING)
        return
    reach = (stack.frames - 2) * stack.step + depth.front + depth.rear
    assert reach < whole * (1 + ROUNDING)
    assert (stack.end_to_end - 1) * stack.step >= whole * (1 - ROUNDING)
    assert (stack.end_to_end - 2) * stack.step < whole * (1 + ROUNDING)
    assert stack.end_to_end >= stack.frames


def test_a_subject_of_exactly_nine_steps_takes_ten_frames_despite_rounding() -> None:
    """(1.0 - 0.1) / 0.1 is a little above 9 in floating point."""
    assert rail_stack(Depth(0.05, 0.05, 1.0), 1.0, 0.0, None).frames == 10


def ring_of(
    lens: tuple[float, float, float], criterion: Criterion, focusing: Focusing, whole: float, overlap: float
) -> tuple[Stack, float]:
    focal_length, f_number, pupils = lens
    farthest = float(focusing.magnification(whole))
    half_depth = half_depth_along(criterion, f_number, pupils, (focusing.nearest, farthest))
    return Ring(Lens(focal_length, pupils, half_depth), focusing, whole, overlap).stack(), farthest


of_a_ring = given(data=st.data(), lens=LENSES, m=lengths(0.02, 5), lens_moves=st.booleans(), overlap=OVERLAPS)


@pytest.mark.parametrize("model", [model for model in MODELS if model != "contrast"])
@settings(max_examples=up_to(20))
@of_a_ring
def test_a_ring_leaves_no_gap_covers_both_ends_and_takes_no_frame_too_many(
    model: str, data: st.DataObject, lens: tuple[float, float, float], m: float, lens_moves: bool, overlap: float
) -> None:
    check_ring(data, data.draw(criteria(model)), lens, Focusing(lens[0], m, lens_moves), overlap, ROUNDING)


@settings(max_examples=up_to(6))
@of_a_ring
def test_a_ring_by_contrast_leaves_no_gap_covers_both_ends_and_takes_no_frame_too_many(
    data: st.DataObject, lens: tuple[float, float, float], m: float, lens_moves: bool, overlap: float
) -> None:
    check_ring(data, data.draw(criteria("contrast")), lens, Focusing(lens[0], m, lens_moves), overlap, TABULATED)


def check_ring(
    data: st.DataObject,
    criterion: Criterion,
    lens: tuple[float, float, float],
    focusing: Focusing,
    overlap: float,
    tolerance: float,
) -> None:
    m = focusing.nearest
    try:
        one = depth_at(criterion, lens, m)
        assume(math.isfinite(one.rear))
        whole = (one.front + one.rear) * data.draw(lengths(0.1, 30))
        stack, _ = ring_of(lens, criterion, focusing, whole, overlap)
    except OpticsError:
        assume(False)
        raise
    depths = [depth_at(criterion, lens, float(each)) for each in focusing.magnification(stack.positions)]
    assert_covered(stack.positions, depths, whole, overlap, tolerance)
    assert stack.varying_step <= stack.frames
    assert stack.travel == pytest.approx(stack.step * (stack.frames - 1) if stack.step else 0.0)
    if stack.frames > 1:  # the end frames stand as far inside the subject as their depth allows
        assert stack.positions[0] >= 0.99 * depths[0].front
        assert whole - stack.positions[-1] >= 0.99 * depths[-1].rear
    if stack.frames >= 3:
        assert_one_frame_fewer_leaves_a_gap(stack, focusing, lens, criterion, overlap, tolerance)


def assert_one_frame_fewer_leaves_a_gap(
    stack: Stack,
    focusing: Focusing,
    lens: tuple[float, float, float],
    criterion: Criterion,
    overlap: float,
    tolerance: float,
) -> None:
    first, last = map(float, focusing.magnification(stack.positions[[0, -1]]))
    fewer = focusing.position(np.linspace(first, last, stack.frames - 1))
    depths = [depth_at(criterion, lens, float(each)) for each in focusing.magnification(fewer)]
    steps = np.diff(fewer)
    allowed = [(1 - overlap) * (a.rear + b.front) for a, b in itertools.pairwise(depths)]
    assert any(step > limit * (1 - tolerance) for step, limit in zip(steps, allowed, strict=True))


@pytest.mark.parametrize(
    ("model", "lens", "whole"),
    [("wave", (50.0, 16.0, 0.5), 67.54), ("geometric", (50.0, 16.0, 0.5), 142.27), ("wave", (50.0, 16.0, 1.0), 71.31)],
)
def test_where_the_tightest_place_would_ask_for_more_frames_than_its_neighbours_need_no_frame_is_too_many(
    model: str, lens: tuple[float, float, float], whole: float
) -> None:
    criterion = Criterion(model, 0.03, 550.0, Light.of((550.0,)))
    focusing = Focusing(lens[0], 5.0, lens_moves=False)
    stack, _ = ring_of(lens, criterion, focusing, whole, 0.0)
    depths = [depth_at(criterion, lens, float(each)) for each in focusing.magnification(stack.positions)]
    assert_covered(stack.positions, depths, whole, 0.0, ROUNDING)
    assert_one_frame_fewer_leaves_a_gap(stack, focusing, lens, criterion, 0.0, ROUNDING)


@given(lengths(10, 200), lengths(0.02, 10), lengths(0.001, 50), st.booleans())
def test_the_image_travels_by_the_product_of_the_magnifications_exactly(
    focal_length: float, m: float, whole: float, lens_moves: bool
) -> None:
    """Longitudinal magnification between conjugates m1 and m2, in steps that telescope, the subject counted from the lens."""
    focusing = Focusing(focal_length, m, lens_moves)
    magnifications = focusing.magnification(np.linspace(0, whole, 5))
    image = focal_length * np.abs(np.diff(magnifications))
    from_the_lens = np.abs(np.diff(focal_length * (1 + 1 / magnifications)))
    assert image == pytest.approx(magnifications[:-1] * magnifications[1:] * from_the_lens, rel=1e-6, abs=1e-9)
    assert np.sum(image) == pytest.approx(
        magnifications[0] * magnifications[-1] * np.sum(from_the_lens), rel=1e-6, abs=1e-9
    )


@given(lengths(10, 200), lengths(0.02, 10), lengths(0.001, 50), st.booleans())
def test_the_plane_of_focus_is_where_the_distances_say(
    focal_length: float, m: float, whole: float, lens_moves: bool
) -> None:
    """Subject to sensor grows by the subject's depth when the camera stands still, subject to lens when the lens does."""
    focusing = Focusing(focal_length, m, lens_moves)
    farthest = float(focusing.magnification(whole))

    def distance(magnification: float) -> Any:
        if lens_moves:
            return formulas.subject_to_sensor(focal_length, magnification, 7.0)
        return formulas.subject_distance(focal_length, magnification)

    assert distance(farthest) - distance(m) == pytest.approx(whole, rel=1e-6, abs=1e-6)
    assert float(focusing.position(farthest)) == pytest.approx(whole, rel=1e-6, abs=1e-9)


@given(lengths(10, 200), lengths(0.05, 10))
def test_a_ring_with_the_camera_fixed_never_focuses_nearer_than_at_life_size(focal_length: float, m: float) -> None:
    focusing = Focusing(focal_length, m, lens_moves=True)
    spare = focal_length * (m + 1 / m - 2)
    assert float(focusing.magnification(-spare * (1 - 1e-9))) == pytest.approx(1, abs=1e-3)
    with pytest.raises(NoRealSubject):
        focusing.magnification(-spare - 0.001 * focal_length)


@given(LENSES, lengths(0.05, 5), lengths(2, 60), OVERLAPS)
def test_steps_that_follow_the_aperture_are_as_many_as_the_closed_form_says(
    lens: tuple[float, float, float], m: float, depths: float, overlap: float
) -> None:
    """p f ln((p + m1) / (p + m2)) / (2 c N (1 - o)), m1 and m2 at the first and the last plane of focus; by algebra."""
    focal_length, f_number, pupils = lens
    criterion = Criterion("geometric", 0.01, 550.0, Light.of((550.0,)))
    focusing = Focusing(focal_length, m, lens_moves=False)
    one = depth_at(criterion, lens, m)
    assume(math.isfinite(one.rear))
    try:
        stack, farthest = ring_of(lens, criterion, focusing, depths * (one.front + one.rear), overlap)
    except OpticsError:
        assume(False)
        raise
    assume(math.isfinite(depth_at(criterion, lens, farthest).rear) and stack.frames > 1)
    first, last = focusing.magnification(stack.positions[[0, -1]])
    closed = pupils * focal_length * math.log((pupils + first) / (pupils + last)) / (0.02 * f_number * (1 - overlap))
    # depth before and behind differ from c N_eff / m^2 by the square of x0 / z
    off = (0.01 * f_number / (focal_length * last)) ** 2
    assert closed * (1 - off) - 1e-6 <= stack.varying_step - 1 <= closed * (1 + off) + 1 + 1e-6
