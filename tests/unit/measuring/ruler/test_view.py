"""What is seen of a ruler's plane in the middle of the picture, against a pinhole worked out by hand."""

from math import atan2, cos, degrees, radians, sin, sqrt, tan

import numpy as np
import pytest
from numpy.typing import NDArray

from closeup_service.measuring.ruler.baseline import Row
from closeup_service.measuring.ruler.fit import Fit, ScaleModel
from closeup_service.measuring.ruler.view import ACROSS, ALONG, SKEW, SLOPE, view

Vector = NDArray[np.float64]
FOCAL = 6.0
"""Of the pinhole, in half-diagonals."""
AWAY = 240.0
"""Along the axis to the ruler's plane [mm]."""


def pinhole(along_deg: float, across_deg: float, turn_deg: float = 17.0) -> tuple[Vector, Vector]:
    """Unit vectors of the ruler and of its marks, tilted by these angles to the picture, square to each other."""
    a, b = radians(along_deg), radians(across_deg)
    between = atan2(sqrt(1 - (tan(a) * tan(b)) ** 2), -tan(a) * tan(b))
    turn = radians(turn_deg)
    ruler = np.array([cos(a) * cos(turn), cos(a) * sin(turn), sin(a)])
    marks = np.array([cos(b) * cos(turn + between), cos(b) * sin(turn + between), sin(b)])
    assert ruler @ marks == pytest.approx(0, abs=1e-12)
    return ruler, marks


def law(ruler: Vector, marks: Vector, offset: float = 3.0) -> Vector:
    """The number of the mark (one each mm) as one row of the homography that takes the picture to the plane."""
    plane = np.stack([FOCAL * ruler, FOCAL * marks, np.array([0, 0, FOCAL * AWAY])], 1)
    plane[2] /= -FOCAL  # towards the camera is nearer
    plane[2, 2] = AWAY
    back = np.linalg.inv(plane)
    number, below = back[0], back[2]
    scaled = np.array([number[2], number[0], number[1]]) / below[2] + offset * np.array([1, *(below[:2] / below[2])])
    return np.array([*scaled, *(below[:2] / below[2]), 0.0])


def row(ruler: Vector, marks: Vector, across_mm: float) -> Row:
    """The line along the ruler at a distance across, as the picture has it."""
    places = [ruler * along + marks * across_mm for along in (-20.0, 20.0)]
    begin, end = (FOCAL * place[:2] / (AWAY - place[2]) for place in places)
    middle, run = (begin + end) / 2, end - begin
    return Row(float(middle[0]), float(middle[1]), atan2(run[1], run[0]), 1e-4, 1e-4, 30)


def fit_of(parameters: Vector, spread: float = 0.0) -> Fit:
    return Fit(ScaleModel(parameters, (599.5, 399.5), 721.0), np.eye(6) * spread**2, 1e-3, np.ones(3, bool))


@pytest.mark.parametrize(("along", "across"), [(0.0, 0.0), (25.0, 25.0), (40.0, 30.0), (-20.0, 35.0), (30.0, 0.0)])
@pytest.mark.parametrize("far", [-8.0, 30.0])
def test_the_spacing_is_taken_along_the_ruler_and_skew_and_perspective_are_those_of_the_tilts(
    along: float, across: float, far: float
) -> None:
    ruler, marks = pinhole(along, across)
    seen = view(fit_of(law(ruler, marks)), [row(ruler, marks, far), row(ruler, marks, far + 3)])
    assert degrees(seen.direction) == pytest.approx(17)
    assert 1 / seen.slope == pytest.approx(
        FOCAL / AWAY * cos(radians(along)), rel=1e-9
    )  # a mm, as the cosine shortens it
    assert seen.along == pytest.approx(tan(radians(along)) / FOCAL, abs=1e-12)
    assert seen.across == pytest.approx(tan(radians(across)) / FOCAL, abs=1e-12)
    assert seen.skew == pytest.approx(tan(radians(along)) * tan(radians(across)), abs=1e-9)


def test_its_uncertainty_is_that_of_views_drawn_at_random() -> None:
    ruler, marks = pinhole(25.0, 25.0)
    parameters, rows = law(ruler, marks), [row(ruler, marks, -8.0)]
    told = np.sqrt(np.diag(view(fit_of(parameters, 2e-4), rows).covariance))
    rng = np.random.default_rng(8)
    drawn = []
    for _ in range(400):
        moved = rows[0].shift(*rng.normal(0, 1e-4, 2).tolist())
        one = view(fit_of(parameters + rng.normal(0, 2e-4, 6)), [moved])
        drawn.append([np.log(one.slope), one.along, one.across, one.skew])
    assert told[[SLOPE, ALONG, ACROSS, SKEW]] == pytest.approx(np.std(drawn, axis=0), rel=0.12)


def test_of_two_rows_the_surer_counts_more() -> None:
    ruler, marks = pinhole(0.0, 0.0)
    sure, rough = row(ruler, marks, -8.0), row(ruler, marks, 8.0).shift(0.01, 0.0)
    rough = Row(rough.x, rough.y, rough.angle, 0.01, 0.01, 5)
    assert view(fit_of(law(ruler, marks)), [sure, rough]).direction == pytest.approx(radians(17), abs=1e-5)
