"""Laws of the clear opening, against every ray of a grid from the subject to the pupil, and its limits."""

import math

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from closeup_service.optics.arithmetic import POINT, Columns
from closeup_service.optics.clear_opening import Opening, axial_loss_stops, clear_opening, lit_field_share
from magnitudes import positive

CLOSE = 1e-12


FIELDS, PUPILS, DISTANCES = positive(0.1, 300), positive(0.1, 100), positive(1, 1000)
SIGNED = st.tuples(positive(5, 5000), st.sampled_from([1.0, -1.0])).map(math.prod)
"""Pupils before the subject, and behind it (hypercentric)."""


def opening(field: float, pupil: float, z: float, x: float) -> Opening:
    return clear_opening(field, pupil / abs(z) / 2, 1 / z, x)


def heights_of_rays(field: float, pupil: float, z: float, x: float) -> npt.NDArray[np.float64]:
    """Where rays cross the plane x: from points of the field (rows, the middle one on the axis) to points of the pupil."""
    from_subject = np.linspace(-field / 2, field / 2, 41)[:, None]
    at_pupil = np.linspace(-pupil / 2, pupil / 2, 41)[None, :]
    slope = (at_pupil - from_subject) / z
    return np.asarray(from_subject + slope * x)


@given(FIELDS, PUPILS, SIGNED, DISTANCES)
@example(20.0, 5.0, 60.0, 60.0)
@example(20.0, 5.0, -60.0, 30.0)
def test_every_ray_passes_the_full_opening_and_the_outermost_just_so(
    field: float, pupil: float, z: float, x: float
) -> None:
    heights = heights_of_rays(field, pupil, z, x)
    needed = opening(field, pupil, z, x)
    scale = field + pupil
    assert 2 * np.max(np.abs(heights)) == pytest.approx(needed.full, rel=1e-9, abs=CLOSE * scale)
    assert 2 * np.max(np.abs(heights[20])) == pytest.approx(needed.axial, rel=1e-9, abs=CLOSE * scale)
    assert 2 * np.max(np.abs(heights[:, 20])) == pytest.approx(needed.chief, rel=1e-9, abs=CLOSE * scale)


@given(FIELDS, PUPILS, SIGNED, DISTANCES, positive(0.01, 10))
def test_the_lit_share_is_that_of_the_points_none_of_whose_rays_is_lost(
    field: float, pupil: float, z: float, x: float, relative: float
) -> None:
    needed = opening(field, pupil, z, x)
    diameter = relative * needed.full
    share = lit_field_share(needed, diameter, POINT)
    assert 0 <= share <= 1
    points = np.linspace(-1, 1, 41)
    reach = np.max(np.abs(heights_of_rays(field, pupil, z, x)), axis=1)
    margin = 1e-9 * needed.full
    inside, outside = np.abs(points) < share - 1e-6, np.abs(points) > share + 1e-6
    assert np.all(reach[inside] <= diameter / 2 + margin)
    assert np.all(reach[outside] >= diameter / 2 - margin)


@given(FIELDS, PUPILS, positive(5, 5000))
def test_it_runs_straight_from_the_field_at_the_subject_to_the_pupil(field: float, pupil: float, z: float) -> None:
    at_subject, half_way, at_pupil = (opening(field, pupil, z, share * z) for share in (0.0, 0.5, 1.0))
    assert at_subject.full == pytest.approx(field, rel=CLOSE)
    assert at_pupil.full == pytest.approx(pupil, rel=1e-9, abs=CLOSE * field)
    assert half_way.full == pytest.approx((field + pupil) / 2, rel=CLOSE)


@given(FIELDS, positive(0.001, 0.5), DISTANCES)
def test_telecentric_the_middle_rays_keep_the_width_of_the_field(field: float, aperture: float, x: float) -> None:
    needed = clear_opening(field, aperture, 0.0, x)
    assert needed.chief == field
    assert needed.full == pytest.approx(field + 2 * aperture * x, rel=CLOSE)


@given(PUPILS, positive(5, 5000), positive(0.05, 0.99))
def test_an_opening_that_stops_the_middle_down_costs_the_light_of_its_area(
    pupil: float, z: float, share: float
) -> None:
    needed = opening(10.0, pupil, z, z / 2)
    lost = axial_loss_stops(needed, share * needed.axial, POINT)
    assert 2**-lost == pytest.approx(share * share, rel=CLOSE)
    assert axial_loss_stops(needed, needed.axial, POINT) == 0
    assert lit_field_share(needed, share * needed.axial, POINT) == 0


def test_at_the_pupil_itself_the_whole_field_is_lit_or_none_of_it() -> None:
    needed = clear_opening(20.0, 0.05, 1 / 64, 64.0)
    assert needed.chief == 0
    assert lit_field_share(needed, needed.axial, POINT) == 1
    assert lit_field_share(needed, 0.9 * needed.axial, POINT) == 0


def test_columns_agree_with_points() -> None:
    fields, inverses, planes = np.array([10.0, 20.0, 30.0]), np.array([1 / 64, 0.0, -0.01]), np.array([64.0, 20.0, 5.0])
    whole = clear_opening(fields, np.full(3, 0.05), inverses, planes)
    columns = Columns(3)
    shares = np.asarray(lit_field_share(whole, 12.0, columns))
    losses = np.asarray(axial_loss_stops(whole, 2.0, columns))
    for row in range(3):
        one = clear_opening(float(fields[row]), 0.05, float(inverses[row]), float(planes[row]))
        assert one == Opening(np.asarray(whole.axial)[row], np.asarray(whole.chief)[row])
        assert shares[row] == lit_field_share(one, 12.0, POINT)
        assert losses[row] == axial_loss_stops(one, 2.0, POINT)
