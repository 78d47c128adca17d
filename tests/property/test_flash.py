"""Laws of flash by guide number: what is solved for exposes rightly, and light falls and adds as it should."""

import math
from typing import TYPE_CHECKING, Any, cast

import numpy as np
import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from closeup_service.operations.light.flash import operation
from closeup_service.optics import flash
from closeup_service.optics.arithmetic import POINT, Columns
from closeup_service.optics.errors import OpticsError
from closeup_service.optics.flash import Head
from magnitudes import positive

if TYPE_CHECKING:
    from closeup_service.records import requests

CLOSE = 1e-12
ROUNDED = 1e-11
"""What stops are rounded to in answers, and what four roundings of a quotient leave."""


GUIDE_NUMBERS, DISTANCES = positive(1, 200), positive(10, 1e4)
EVERYTHING = st.fixed_dictionaries(
    {
        "guide_number_m": GUIDE_NUMBERS,
        "heads": st.integers(1, 8),
        "iso": positive(25, 6400),
        "flash_distance_mm": DISTANCES,
        "flash_power_fraction": positive(1 / 256, 1),
        "pops": st.integers(1, 60),
        "transmission": positive(0.05, 1),
        "source_diameter_mm": st.just(0.0) | positive(1, 300),
        "magnification": positive(0.05, 10),
        "pupil_magnification": positive(0.3, 3),
        "mounting": st.sampled_from(["normal", "reversed"]),
    }
)
Asked = dict[str, Any]


def answer(asked: Asked) -> Asked:
    try:
        return {**operation.answer(cast("requests.FlashRequest", asked))}
    except OpticsError:
        assume(False)
        raise


def put_back(asked: Asked, **members: float) -> float:
    difference: float = answer(asked | members)["exposure_difference_stops"]
    return difference


@given(EVERYTHING)
def test_the_aperture_solved_for_exposes_rightly_by_either_number(asked: Asked) -> None:
    found = answer(asked)
    assert found["exposure_difference_stops"] == pytest.approx(0, abs=CLOSE)
    assert put_back(asked, f_number=found["f_number"]) == pytest.approx(0, abs=ROUNDED)
    assert put_back(asked, effective_f_number=found["effective_f_number"]) == pytest.approx(0, abs=ROUNDED)


@given(EVERYTHING, positive(2, 64))
def test_the_distance_solved_for_exposes_rightly(asked: Asked, effective: float) -> None:
    known = {name: value for name, value in asked.items() if name != "flash_distance_mm"}
    known["effective_f_number"] = effective
    found = answer(known)["flash_distance_mm"]
    assume(found > asked["source_diameter_mm"] / 100)  # below, D^2 is a small difference of large squares
    assert put_back(known, flash_distance_mm=found) == pytest.approx(0, abs=1e-9)


@given(EVERYTHING, positive(2, 64))
def test_the_power_solved_for_exposes_rightly_or_is_said_to_be_missing(asked: Asked, effective: float) -> None:
    known = {name: value for name, value in asked.items() if name != "flash_power_fraction"}
    known["effective_f_number"] = effective
    found = answer(known)
    fraction = found["flash_power_fraction"]
    assert found["flash_power_stops"] == pytest.approx(-math.log2(fraction), abs=CLOSE)
    if fraction <= 1:
        assert found["exposure_difference_stops"] == pytest.approx(0, abs=CLOSE)
        assert put_back(known, flash_power_fraction=fraction) == pytest.approx(0, abs=ROUNDED)
    else:
        assert found["exposure_difference_stops"] == pytest.approx(-math.log2(fraction), abs=ROUNDED)
        assert put_back(known, flash_power_fraction=1.0) == found["exposure_difference_stops"]


@given(EVERYTHING, positive(2, 64))
def test_the_flashes_solved_for_are_just_enough(asked: Asked, effective: float) -> None:
    known = {name: value for name, value in asked.items() if name != "pops"}
    known["effective_f_number"] = effective
    found = answer(known)
    assert put_back(known, pops=found["pops"]) == pytest.approx(found["exposure_difference_stops"], abs=ROUNDED)
    assert found["exposure_difference_stops"] >= -ROUNDED
    if found["pops"] > 1:
        assert put_back(known, pops=found["pops"] - 1) < 0


@given(GUIDE_NUMBERS, DISTANCES)
def test_twice_the_distance_costs_two_stops_of_a_small_source(guide_number: float, distance: float) -> None:
    near, far = (flash.light_of(Head(guide_number, d), 0.0) for d in (distance, 2 * distance))
    assert math.log2(near / far) == pytest.approx(2, rel=CLOSE)


@given(GUIDE_NUMBERS, DISTANCES, positive(1, 1e3))
def test_twice_the_distance_costs_less_of_a_disc(guide_number: float, distance: float, radius: float) -> None:
    near, far = (flash.light_of(Head(guide_number, d), radius) for d in (distance, 2 * distance))
    assert math.log2(near / far) < 2


@given(st.lists(st.builds(Head, GUIDE_NUMBERS, DISTANCES), min_size=1, max_size=6), positive(1, 300))
@example([Head(20.0, 100.0), Head(20.0, 1000.0)], 60.0)
def test_the_error_of_the_inverse_square_lies_between_those_of_its_heads(heads: list[Head], radius: float) -> None:
    alone = [(radius / head.distance) ** 2 for head in heads]
    together = flash.inverse_square_error(heads, radius)
    assert min(alone) * (1 - CLOSE) <= together <= max(alone) * (1 + CLOSE)
    points, discs = (flash.light_of_all(heads, r) for r in (0.0, radius))
    assert together == pytest.approx(points / discs - 1, rel=1e-9, abs=1e-12)


@given(st.lists(GUIDE_NUMBERS, min_size=2, max_size=6), DISTANCES)
def test_heads_at_one_distance_are_one_head_of_their_combined_guide_number(
    numbers: list[float], distance: float
) -> None:
    together = flash.light_of_all([Head(number, distance) for number in numbers], 10.0)
    one = flash.light_of(Head(flash.guide_number_of_all(numbers, POINT), distance), 10.0)
    assert together == pytest.approx(one, rel=CLOSE)


@given(DISTANCES, st.just(0.0) | positive(1, 300), positive(0.1, 10))
def test_the_nearer_distance_gives_so_many_times_the_light(distance: float, radius: float, ratio: float) -> None:
    found = flash.distance_for_light(distance, radius, ratio, POINT)
    if found == 0:
        assert flash.light_of(Head(10, 0.0), radius) <= ratio * flash.light_of(Head(10, distance), radius) * (1 + CLOSE)
    else:
        light = flash.light_of(Head(10, found), radius)
        assert light == pytest.approx(ratio * flash.light_of(Head(10, distance), radius), rel=1e-9)


def test_columns_agree_with_points_and_note_where_no_distance_is_near_enough() -> None:
    effective, radius = np.array([4.0, 16.0, 4000.0]), np.array([0.0, 40.0, 400.0])
    columns = Columns(3)
    with np.errstate(all="ignore"):
        found = flash.distance(20.0, 0.5, effective, radius, columns)
    assert list(columns.problem) == ["", "", "no-solution"]
    points = [flash.distance(20.0, 0.5, float(n), float(r), POINT) for n, r in zip(effective[:2], radius, strict=False)]
    assert list(np.asarray(found)[:2]) == points
