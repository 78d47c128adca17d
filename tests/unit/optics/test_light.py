"""Light of frames and flashes, case by case."""

import math

import pytest

from closeup_service.optics import flash
from closeup_service.optics.arithmetic import POINT
from closeup_service.optics.errors import NoSolution
from closeup_service.optics.exposure import CONTINUOUS, FLASH, Frame, difference
from closeup_service.optics.flash import Head, Setting


@pytest.mark.parametrize("light", [CONTINUOUS, FLASH])
def test_what_a_frame_does_not_state_takes_no_light(light: str) -> None:
    stops = difference(Frame(8.0, flash_distance_mm=256.0), Frame(1.0, flash_distance_mm=1.0), light)
    known = {name: value for name, value in stops.items() if value is not None}
    assert known.pop("aperture_stops") == -6.0
    assert known.pop("flash_distance_stops", -16.0) == -16.0
    assert set(known.values()) == {0.0}
    assert stops["iso_stops"] is None


def test_a_setting_that_only_one_of_two_frames_states_has_no_difference() -> None:
    bare, known = Frame(8.0), Frame(4.0, exposure_time_s=0.5, iso=400.0)
    for planned, reference in ((bare, known), (known, bare)):
        found = difference(planned, reference, CONTINUOUS)
        assert (found["exposure_time_stops"], found["iso_stops"]) == (None, None)
    assert difference(known, bare, CONTINUOUS)["aperture_stops"] == 2.0
    assert difference(known, Frame(4.0, exposure_time_s=2.0, iso=100.0), CONTINUOUS)["iso_stops"] == pytest.approx(2.0)
    assert difference(known, Frame(4.0, exposure_time_s=2.0, iso=100.0), CONTINUOUS)["exposure_time_stops"] == -2.0


def test_a_flash_may_stand_as_near_as_its_guide_number_says() -> None:
    """Guide number 8 m at f/8 effective is 1 m; 1/4 000 000 of the light is half a millimetre."""
    assert flash.distance(8.0, 1.0, 8.0, 0.0, POINT) == pytest.approx(1000.0)
    assert flash.distance(8.0, 1 / 4e6, 8.0, 0.0, POINT) == pytest.approx(0.5)
    with pytest.raises(NoSolution, match=r"2 mm .* f/8"):
        flash.distance(8.0, 1 / 4e6, 8.0, 1.0, POINT)


def test_a_disc_falls_off_more_slowly_than_the_inverse_square() -> None:
    """(r/D)^2 is 4 % at D = 5 r; of two heads the brighter counts for more."""
    near, far = Head(10.0, 100.0), Head(10.0, 200.0)
    assert flash.inverse_square_error([near], 20.0) == pytest.approx(0.04)
    light = [1 / (100.0**2 + 400.0), 1 / (200.0**2 + 400.0)]
    expected = (light[0] * 0.04 + light[1] * 0.01) / sum(light)
    assert flash.inverse_square_error([near, far], 20.0) == pytest.approx(expected)
    assert Setting(8.0, (far, near), 20.0, 1.0, 1.0, 1.0).nearest == 100.0


@pytest.mark.parametrize(
    ("power", "pops", "whole", "stops_over"),
    [
        (1.0, 1.0, 1, 0.0),
        (0.5, 1.0, 1, -1.0),  # half the power that would be right with the gain at hand
        (2.0, 1.0, 1, 0.0),  # no more than full power
        (1.0, 2.5, 3, math.log2(3)),
        (1.0, 3.0, 3, math.log2(3)),
        (1.0, 3.0 + 1e-13, 3, math.log2(3)),
        (1.0, 0.2, 1, 0.0),
    ],
)
def test_a_setting_is_what_can_really_be_fired(power: float, pops: float, whole: int, stops_over: float) -> None:
    """One head of guide number 8 m at 1 m and f/8: just right at full power with one flash and a gain of 1."""
    setting = Setting(8.0, (Head(8.0, 1000.0),), 0.0, power, pops, 1.0)
    assert setting.whole_pops == whole
    assert setting.difference_stops == pytest.approx(stops_over)
