"""Focus stacks by the front standard, the lens reversed: rays through what the lens is made of, the lens moved in small steps.

The lens is two thin components with a round iris between them. The service is told its focal length, f-number and pupil
magnification as of the lens mounted normally; the rays know neither these nor a principal plane.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
import pytest
from flask.testing import FlaskClient

from asking import answered

SMALL_STEP_MM = 0.05
BLUR_MM = 0.02


@dataclass(frozen=True)
class MadeLens:
    """Front component, iris and rear component of a lens mounted normally; lengths in mm."""

    front: float
    to_iris: float
    iris: float
    from_iris: float
    rear: float

    def as_stated(self) -> dict[str, float]:
        """What its maker would state."""
        between = self.to_iris + self.from_iris
        focal_length = 1 / (1 / self.front + 1 / self.rear - between / (self.front * self.rear))
        entrance = self.iris / (1 - self.to_iris / self.front)
        exit_ = self.iris / (1 - self.from_iris / self.rear)
        return {
            "focal_length_mm": focal_length,
            "f_number": focal_length / entrance,
            "pupil_magnification": exit_ / entrance,
        }

    def subject_of(self, to_sensor: float) -> tuple[float, float]:
        """Plane of focus before the sensor and magnification, the reversed lens's front component so far from the sensor."""
        height, slope = np.array([0.0, 1.0]), np.array([1.0, 0.0])  # from the sensor's middle, and beside it
        for gap, power in ((to_sensor, 1 / self.front), (self.to_iris + self.from_iris, 1 / self.rear)):
            height = height + gap * slope
            slope = slope - power * height
        to_subject = -height[0] / slope[0]
        size = height[1] + to_subject * slope[1]
        return to_sensor + self.to_iris + self.from_iris + to_subject, abs(1 / size)

    def blur(self, to_sensor: float, plane: Any) -> Any:
        """Diameter on the sensor of the light from a point of the axis `plane` mm before the sensor."""
        height = plane - to_sensor - self.to_iris - self.from_iris
        slope = 1 - height / self.rear
        at_iris = height + self.from_iris * slope
        height = at_iris + self.to_iris * slope
        slope = slope - height / self.front
        return np.abs((height + to_sensor * slope) * self.iris / at_iris)

    def entrance_pupil(self, to_sensor: float) -> float:
        """Where the reversed lens's entrance pupil stands before the sensor."""
        return to_sensor + self.to_iris + self.from_iris - self.from_iris / (1 - self.from_iris / self.rear)


RETROFOCUS = MadeLens(-60.0, 15.0, 4.0, 10.0, 35.0)
TELEPHOTO = MadeLens(40.0, 10.0, 6.0, 8.0, -50.0)


def standing_for(lens: MadeLens, magnification: float) -> float:
    """Find where the lens stands for a magnification, by halving."""
    low, high = 0.0, 1000.0
    for _ in range(200):
        middle = (low + high) / 2
        low, high = (middle, high) if lens.subject_of(middle)[1] < magnification else (low, middle)
    return low


def moved_until(lens: MadeLens, start: float, plane: float) -> float:
    """Move the lens in small steps, the way that brings the focus farther off, until it is on a plane before the sensor."""
    step = SMALL_STEP_MM
    if lens.subject_of(start + step)[0] < lens.subject_of(start)[0]:
        step = -step
    place = start
    while lens.subject_of(place + step)[0] < plane:
        place += step
    for _ in range(50):
        step /= 2
        place += step if lens.subject_of(place + step)[0] < plane else 0.0
    return place


@pytest.mark.parametrize("lens", [RETROFOCUS, TELEPHOTO])
@pytest.mark.parametrize(("magnification", "depth"), [(0.6, 8.0), (0.97, 4.0), (1.6, 5.0), (3.0, 3.0)])
def test_rays_through_the_moved_lens_agree(
    api: FlaskClient, lens: MadeLens, magnification: float, depth: float
) -> None:
    overlap = 0.25
    answer = answered(
        api,
        "/v1/focus-stack",
        {
            **lens.as_stated(),
            **{"mounting": "reversed", "method": "ring", "ring_moves": "lens", "overlap": overlap},
            **{"magnification": magnification, "subject_depth_mm": depth},
            **{"model": "geometric", "circle_of_confusion_mm": BLUR_MM},
        },
    )
    start = standing_for(lens, magnification)
    nearest, _ = lens.subject_of(start)
    end = moved_until(lens, start, nearest + depth)
    assert answer["magnification_farthest"] == pytest.approx(lens.subject_of(end)[1], rel=1e-7)
    assert answer["image_travel_mm"] == pytest.approx(abs(end - start), rel=1e-6)
    to_pupil = nearest + depth - lens.entrance_pupil(end)
    assert answer["perspective_change"] == pytest.approx((end - start) / to_pupil, rel=1e-6)

    first = moved_until(lens, start, nearest + answer["positions_mm"][0])
    places = first + np.sign(end - start) * answer["step_mm"] * np.arange(answer["frames"])
    planes = [lens.subject_of(place)[0] - nearest for place in places]
    assert planes == pytest.approx(answer["positions_mm"], abs=1e-6)

    everywhere = nearest + np.linspace(0, depth, 2001)
    blurs = np.array([lens.blur(place, everywhere) for place in places])
    assert blurs.min(axis=0).max() <= BLUR_MM * (1 + 1e-6)
    assert (np.sort(blurs, axis=0)[1] <= BLUR_MM).mean() > overlap / 2  # neighbours share their depths


def test_rays_find_the_plane_of_focus_sharp() -> None:
    for lens in (RETROFOCUS, TELEPHOTO):
        for place in (150.0, 200.0):
            plane, _ = lens.subject_of(place)
            assert lens.blur(place, plane) < 1e-12
            assert lens.blur(place, plane + 0.1) > 1e-3
