"""Stacks on a rail and by the ring, case by case."""

import math

import numpy as np
import pytest

from closeup_service.optics.depth import Depth
from closeup_service.optics.errors import StepTooLong, TooManyFrames
from closeup_service.optics.focus_ring import Focusing, Lens, Ring, find_last, half_depth_along
from closeup_service.optics.sharpness import Criterion
from closeup_service.optics.stack import Stack, rail_stack
from closeup_service.optics.wave import Light


def test_one_frame_that_is_deep_enough_moves_nothing() -> None:
    stack = rail_stack(Depth(0.3, 0.9, 1.0), 0.8, 0.2, None)
    assert (stack.frames, stack.step, stack.travel, stack.overlap) == (1, None, 0.0, None)
    assert (stack.image_travel, stack.varying_step, len(stack.overlaps)) == (0.0, 1, 0)
    assert stack.positions[0] == stack.advance == pytest.approx(0.8 / 4)
    assert stack.end_to_end == 2  # 0.8 mm are less than a step of 0.96 mm


def test_an_unlimited_depth_takes_two_frames_from_end_to_end() -> None:
    stack = rail_stack(Depth(0.3, math.inf, 1.0), 5.0, 0.2, None)
    assert (stack.frames, stack.end_to_end) == (1, 2)
    assert stack.positions[0] == 0.0


def test_the_last_value_is_found_up_to_which_a_condition_holds() -> None:
    assert find_last(lambda values: values <= 1.75, 1.0, 2.0) == pytest.approx(1.75, abs=1e-5)
    assert find_last(lambda values: values >= 1.25, 2.0, 1.0) == pytest.approx(1.25, abs=1e-5)
    assert find_last(lambda values: values > 0, 1.0, 2.0) == 2.0


def test_a_condition_that_by_rounding_fails_at_the_start_ends_there() -> None:
    assert find_last(lambda values: np.zeros(len(values), bool), 1.0, 2.0) == pytest.approx(1.0, abs=1e-5)


def test_a_condition_that_comes_back_does_not_count_again() -> None:
    assert find_last(lambda values: (values < 1.3) | (values > 1.7), 1.0, 2.0) == pytest.approx(1.3, abs=1e-5)


def rear_standard(depth: float, blur: float, focal_length: float = 100.0) -> Stack:
    """Stack by the rear standard from 1:1 on, at f/8 with equal pupils, without overlap."""
    criterion = Criterion("geometric", blur, 550.0, Light.of((550.0,)))
    focusing = Focusing(focal_length, 1.0, lens_moves=False)
    ends = (1.0, float(focusing.magnification(depth)))
    lens = Lens(focal_length, 1.0, half_depth_along(criterion, 8.0, 1.0, ends))
    return Ring(lens, focusing, depth, 0.0).stack()


def test_a_short_stack_by_the_rear_standard_counts_its_frames_as_a_rail_does() -> None:
    """At 1:1 and f/16 effective a frame is 2 c N_eff = 0.64 mm deep, at the far end of 3 mm 0.67 mm."""
    stack = rear_standard(3.0, 0.02)
    assert (stack.frames, stack.end_to_end, stack.varying_step) == (5, 6, 5)
    assert stack.overlap == pytest.approx(0.1, abs=0.01)


def test_a_long_stack_over_little_change_of_magnification_is_not_too_long() -> None:
    """20 mm at 1:1 in depths of 32 um and, at m = 1/1.2, 42 um: between 477 and 625 frames and far from 10 000."""
    stack = rear_standard(20.0, 0.001)
    assert 20 / 0.0423 < stack.varying_step < stack.frames <= 20 / 0.032 + 1
    with pytest.raises(TooManyFrames):
        rear_standard(20.0, 0.00005)


def test_a_rail_step_as_long_as_the_depth_just_leaves_no_gap() -> None:
    depth = Depth(0.4, 0.6, 1.0)
    assert rail_stack(depth, 5.0, 0.2, 1.0).overlap == pytest.approx(0.0, abs=1e-12)
    with pytest.raises(StepTooLong, match=r"1001 um .* 1000 um"):
        rail_stack(depth, 5.0, 0.2, 1.001)


def test_ten_thousand_frames_are_listed_and_no_more() -> None:
    depth = Depth(0.0625, 0.0625, 1.0)
    assert rail_stack(depth, 10_000 * 0.125, 0.0, None).frames == 10_000
    with pytest.raises(TooManyFrames, match="takes 10001 frames, and at most 10000"):
        rail_stack(depth, 10_001 * 0.125, 0.0, None)


def test_ten_thousand_frames_by_the_rear_standard_are_listed_and_no_more() -> None:
    """A lens of 10 km changes its magnification by next to nothing, so that all frames are 3.2 um deep."""
    listed, refused = 1.0, 100.0
    for _ in range(30):
        middle = (listed + refused) / 2
        try:
            stack = rear_standard(middle, 0.0001, focal_length=1e7)
        except TooManyFrames:
            refused = middle
        else:
            listed = middle
            frames = stack.frames
    assert frames == 10_000
