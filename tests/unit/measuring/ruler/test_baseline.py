"""The rows in which marks end, on a drawn strip."""

from dataclasses import replace
from math import cos, pi, radians, sin

import numpy as np
import pytest
from msgspec import structs

from closeup_service.measuring.ruler.baseline import (
    Row,
    align_strip,
    are_parallel,
    fall_places,
    fit_row,
    mark_ends,
    middle_of_strip,
    rows_of_ends,
)
from closeup_service.measuring.ruler.checks import final_marks
from closeup_service.measuring.ruler.choice import choose_scale, refine_candidates
from closeup_service.measuring.ruler.picture import Floats, Pyramid, pyramid
from closeup_service.measuring.ruler.records import Wanted
from ruler_scenes import HALF, Scene, plane, render

FLAT = Scene(960, 640, 24.0, angle_deg=12.0, across_mm=2.0, noise=1.0)
TIPPED = replace(FLAT, tilt_deg=35.0, tilt_axis_deg=45.0, distance_mm=120.0)


def along_the_ruler(scene: Scene) -> float:
    """Angle of the ruler in the middle of the picture [rad], by differences of the drawing's own mapping."""
    step = 0.5
    along, across = plane(scene, np.array([step, -step, 0, 0]), np.array([0, 0, step, -step]))
    by_place = np.array([[along[0] - along[1], along[2] - along[3]], [across[0] - across[1], across[2] - across[3]]])
    direction = np.linalg.inv(by_place)[:, 0]
    return float(np.arctan2(direction[1], direction[0]))


def apart(one: float, other: float) -> float:
    return abs((one - other + pi / 2) % pi - pi / 2)


@pytest.mark.parametrize("scene", [FLAT, TIPPED, replace(FLAT, scale=HALF, pixels_per_mm=40.0)])
def test_both_rows_point_along_the_ruler_in_the_middle_of_the_picture(scene: Scene) -> None:
    picture = pyramid(render(scene))
    found = choose_scale(picture, refine_candidates(picture, 256.0), Wanted(scene.scale.pitch_mm))
    rows = rows_of_ends(picture, found.scale, found.marks)
    assert len(rows) == 2
    for row in rows:
        assert apart(row.centre_angle(*found.fit.model.parameters[3:5]), along_the_ruler(scene)) < 2e-3
        assert row.angle_spread < 1e-3
    assert abs(found.scale.start.along[0] * sin(rows[0].angle) - found.scale.start.along[1] * cos(rows[0].angle)) < 0.3


def test_marks_end_where_they_were_drawn() -> None:
    picture = pyramid(render(FLAT))
    found = choose_scale(picture, refine_candidates(picture, 256.0), Wanted(1.0))
    scale = found.scale
    marks = final_marks(picture, scale)
    assert marks is not None
    places = [plane(FLAT, x - 479.5, y - 319.5)[1] for x, y in mark_ends(picture, scale, marks)]
    base, far = sorted(places, key=lambda side: abs(float(np.median(side))))
    assert base == pytest.approx(0, abs=0.03)  # mm
    assert np.median(far) == pytest.approx(3.0, abs=0.01)
    short = far[far < 3.5]
    assert short == pytest.approx(3.0, abs=0.03)


def test_a_fall_is_placed_between_samples_whatever_the_noise_and_unclear_ones_are_left_out() -> None:
    steps = np.arange(400.0)
    noise = np.random.default_rng(3).normal(0, 0.05, (4, 400))
    share = np.clip(0.5 - (steps - np.array([150.3, 200.0, 251.8, 180.0])[:, None]) / 5, 0, 1) + noise
    share[3, 260:] = np.nan  # beyond the picture, but well after the fall
    share[1, 205:] = 0.6  # does not fall to the ground
    x, y = fall_places(share, np.tile(steps, (4, 1)), np.tile(2 * steps, (4, 1)), 5)
    assert x == pytest.approx([150.3, 251.8, 180.0], abs=0.3)
    assert y == pytest.approx(2 * x)


def test_the_row_is_that_of_the_shortest_marks() -> None:
    scale = choose_scale(PICTURE, refine_candidates(PICTURE, 256.0), Wanted(1.0)).scale
    along = np.arange(40.0) * 20
    across = np.where(np.arange(40) % 5 == 0, 90.0, 60.0) + np.random.default_rng(4).normal(0, 0.1, 40)
    u_x, u_y = cos(radians(12)), sin(radians(12))
    found = fit_row(along * u_x - across * u_y, along * u_y + across * u_x, scale)
    assert found is not None
    assert apart(found.angle, radians(12)) < 3e-4
    assert found.ends == 32
    assert fit_row(along[:4], across[:4], scale) is None


def test_rows_that_disagree_do_not_count_together() -> None:
    model = choose_scale(PICTURE, refine_candidates(PICTURE, 256.0), Wanted(1.0)).scale.model
    one = Row(0.0, 0.1, 0.2, 1e-4, 1e-4, 30)
    assert are_parallel(one, one.shift(3e-4, 0.0), model)
    assert not are_parallel(one, one.shift(0.05, 0.0), model)


def test_without_ends_the_strip_tells_the_line_roughly() -> None:
    scale = choose_scale(PICTURE, refine_candidates(PICTURE, 256.0), Wanted(1.0)).scale
    rough = middle_of_strip(scale)
    assert apart(rough.angle, along_the_ruler(FLAT)) < rough.angle_spread
    assert rough.angle_spread > 0.005


def test_the_strip_is_laid_parallel_to_the_rows() -> None:
    found = choose_scale(PICTURE, refine_candidates(PICTURE, 256.0), Wanted(1.0))
    rows = rows_of_ends(PICTURE, found.scale, found.marks)
    laid = align_strip(structs.replace(found.scale, slope=0.1), rows)
    ends_of = laid.distances_of(np.array([laid.first, laid.last]))
    x, y = places(laid.places_abreast(ends_of), ends_of, laid.start.along)
    assert apart(float(np.arctan2(np.diff(y)[0], np.diff(x)[0])), rows[0].angle) < 1e-3


def places(base: tuple[Floats, Floats], along: Floats, toward: tuple[float, float]) -> tuple[Floats, Floats]:
    return base[0] + along * toward[0], base[1] + along * toward[1]


PICTURE: Pyramid = pyramid(render(FLAT))
