"""Rulers tilted about one axis or two, drawn through a pinhole: read along themselves, with intervals that hold what was drawn.

`python tests/support/tilt_coverage.py 300` does the same over many more.
"""

from dataclasses import replace

import pytest

from closeup_service.measuring.ruler.choice import choose_scale, refine_candidates
from closeup_service.measuring.ruler.picture import pyramid
from closeup_service.measuring.ruler.reading import read_ruler
from closeup_service.measuring.ruler.records import Wanted
from closeup_service.measuring.ruler.settling import settle_scale
from ruler_scenes import HALF, Scene, plane, render, true_pixels_per_mm
from thoroughness import FULL
from tilt_coverage import as_assumed, covered, with_distance
from tilted_scenes import tilt_along_deg

PLAIN = Scene(1152, 800, 30.0, angle_deg=12.0, distance_mm=150.0)
BOTH_25 = replace(PLAIN, tilt_deg=34.8, tilt_axis_deg=46.8)
"""Near 25 degrees about each axis: sin 34.8 sin 46.8 is sin 24.6."""
ABOUT_40_AND_30 = replace(PLAIN, tilt_deg=48.4, tilt_axis_deg=59.2)
"""sin 48.4 sin 59.2 is sin 40, sin 48.4 cos 59.2 near sin 22.5."""


@pytest.mark.parametrize("scene", [BOTH_25, replace(BOTH_25, tilt_axis_deg=133.2), ABOUT_40_AND_30])
def test_a_ruler_tilted_about_two_axes_is_read_along_itself(scene: Scene) -> None:
    reading = read_ruler(render(scene), 1.0, perspective_distance_mm=150.0)
    error = reading.pixels_per_mm.value / true_pixels_per_mm(scene) - 1
    assert abs(error) < 3 * reading.reading_uncertainty < 2e-3
    assert reading.tilt_deg is not None
    assert reading.square_on_pixels_per_mm is not None
    assert abs(reading.tilt_deg.value) == pytest.approx(tilt_along_deg(scene), abs=0.1)
    assert reading.square_on_pixels_per_mm.value == pytest.approx(30, rel=1e-3)


def test_the_intervals_of_tilted_rulers_hold_the_tilt_and_the_scale_freed_of_it_as_stated() -> None:
    """Of 16 intervals of 95 % one fails; that fewer than 13 hold, or than 3 of 5, has a chance below 1 % (binomial)."""
    rulers, least = (16, 13) if FULL else (5, 3)
    outcomes = [one for one in with_distance(rulers, 2) if one is not None]
    assert len(outcomes) == rulers
    assert covered([one.tilt for one in outcomes if one.tilt is not None]) >= least / rulers
    assert covered([one.freed for one in outcomes]) >= least / rulers
    assert max(abs(one.error) for one in outcomes) < 2e-3


def test_rulers_tilted_as_assumed_are_held_by_the_whole_interval_but_not_by_far() -> None:
    outcomes = [one for one in as_assumed(8, 3) if one is not None]
    assert covered([one.freed for one in outcomes]) >= 6 / 8
    assert max(abs(one.freed) for one in outcomes) > 0.8


def test_a_strongly_tilted_scale_is_measured_until_its_marks_stay() -> None:
    scene = replace(BOTH_25, scale=replace(HALF, width_mm=0.19), pixels_per_mm=90.0, noise=0.5)
    picture = pyramid(render(scene))
    found = choose_scale(picture, refine_candidates(picture, 256.0), Wanted(0.5))
    scale, marks, _ = settle_scale(picture, found.scale, found.marks, found.fit)
    use = marks.points_on(scale)
    along, _ = plane(scene, marks.x[use] - 575.5, marks.y[use] - 399.5)
    off = along / 0.5 - (along / 0.5).round()
    assert abs(off - off.mean()).max() < 4e-3
