"""Movement blur against sources outside the formulas: pages on flash duration, a decay summed up, and traced rays."""

import math

import pytest
from scipy.integrate import quad
from scipy.optimize import brentq

from closeup_service.optics import motion
from closeup_service.optics.arithmetic import POINT
from prescriptions import DOUBLE_GAUSS, RETROFOCUS, Prescription
from real_rays import Ray, System, system_of

TURNED_BY = 1e-6
"""Rotation [rad] so small that neither aberration nor the sine shows."""


def tenth_of(half_time: float) -> float:
    tenth: float = motion.flash_tenth_time(half_time, True, POINT)
    return tenth


def decay(time: float) -> float:
    """Light of a flash that dies away exponentially, from its peak on, one time constant per second."""
    return math.exp(-time)


def time_above(share: float) -> float:
    """How long the light is above a share of its peak, by search."""
    return float(brentq(lambda time: decay(time) - share, 0, 100, xtol=1e-14))


def test_the_ratio_of_flash_times_is_about_three_as_printed() -> None:
    """Two pages on flash duration, "about three times" (seen; a rule of thumb, hence 12 %)."""
    assert tenth_of(1.0) == pytest.approx(3, rel=0.12)


def test_the_ratio_of_flash_times_is_that_of_an_exponential_decay() -> None:
    assert tenth_of(time_above(0.5)) == pytest.approx(time_above(0.1), rel=1e-12)
    assert tenth_of(1.0) == pytest.approx(3.321928094887362, rel=1e-15)  # log2(10), tables of logarithms, from memory


@pytest.mark.parametrize(("time", "share"), [(time_above(0.5), 0.5), (tenth_of(time_above(0.5)), 0.9)])
def test_half_and_nine_tenths_of_the_light_fall_in_the_two_times(time: float, share: float) -> None:
    """Shares as the same two pages print them (seen), here by summing up the light."""
    fallen, _ = quad(decay, 0, time)
    whole, _ = quad(decay, 0, math.inf)
    assert fallen / whole == pytest.approx(share, rel=1e-9)


def test_a_flash_cut_short_has_one_time() -> None:
    """IGBT-cut flashes fall so steeply that both times are nearly one (common practice, no source)."""
    assert motion.flash_tenth_time(1e-4, False, POINT) == 1e-4


def traced_blur(lens: System, focal_length: float, m: float, distance: float) -> float:
    """Path on the sensor [mm] of the ray through the middle of the iris, when the camera turns about a point.

    Seen from the camera the subject goes round that point, which lies a distance behind the entrance pupil.
    """
    sensor = lens.rear_focus() + m * focal_length
    pupil = lens.entrance_pupil(lens.irises[0])
    turned_about = pupil + distance
    arm = turned_about - lens.subject_of(sensor)
    z, y = turned_about - arm * math.cos(TURNED_BY), arm * math.sin(TURNED_BY)
    towards_the_pupil = Ray.from_point(z, y, -math.sin(math.atan2(y, pupil - z)))
    return abs(lens.through(towards_the_pupil).height_at(sensor))


@pytest.mark.parametrize("prescription", [RETROFOCUS, DOUBLE_GAUSS], ids=lambda lens: lens.name)
@pytest.mark.parametrize("reversed_", [False, True], ids=["normal", "reversed"])
@pytest.mark.parametrize("m", [0.2, 1.0, 3.0])
@pytest.mark.parametrize("distance", [0.0, 120.0, -15.0])
def test_rays_through_a_turning_camera_draw_the_blur(
    prescription: Prescription, reversed_: bool, m: float, distance: float
) -> None:
    normal = system_of(prescription)
    lens = normal.turned() if reversed_ else normal
    f, p = normal.focal_length(), normal.pupil_magnification()
    lever = motion.turning_lever(f, m, 1 / p if reversed_ else p, distance)
    foretold = motion.image_speed(m, lever * TURNED_BY)
    assert foretold == pytest.approx(1000 * traced_blur(lens, f, m, distance), rel=1e-6)
