"""What `/v1/scale-reading/photo` and `/comparison` tell of the ruler's tilt: measured, assumed, or limited by who laid it."""

from functools import cache
from math import cos, radians
from typing import Any

import pytest
from flask.testing import FlaskClient

from asking import codes, pointers, text_of
from photograph_files import saved
from ruler_pictures import as_pixels, ruler
from ruler_scenes import Scene, render
from tilted_scenes import tilt_along_deg
from uploads import sent

PHOTO, COMPARISON = "/v1/scale-reading/photo", "/v1/scale-reading/comparison"


@cache
def square() -> bytes:
    return saved(as_pixels(ruler(900, 600, 60.0), colour=False), "PNG")


def read(api: FlaskClient, *photographs: bytes, path: str = PHOTO, **fields: Any) -> dict[str, Any]:
    answer = sent(api, path, list(photographs), **({"tick_pitch_mm": 0.5} | fields))
    assert answer.status_code == 200, answer.text
    found: dict[str, Any] = answer.get_json()
    return found


def test_what_an_assumed_tilt_leaves_uncertain_is_told_apart_and_narrowed_by_what_is_known(api: FlaskClient) -> None:
    unknown = read(api, square(), scale_error=0.0)
    assert unknown["assumed"] == {"largest_tilt_deg": 5.0}
    assert unknown["assumed_tilt_uncertainty"] == pytest.approx((1 / cos(radians(4.75)) - 1) / 1.96, rel=0.01)
    assert part_of(unknown, "tilt") == unknown["assumed_tilt_uncertainty"]
    laid = read(api, square(), scale_error=0.0, largest_tilt_deg=1)
    assert laid["assumed"] == {}
    assert laid["assumed_tilt_uncertainty"] == pytest.approx(unknown["assumed_tilt_uncertainty"] / 25, rel=0.02)
    assert laid["relative_uncertainty"] < 0.1 * unknown["relative_uncertainty"]
    known = read(api, square(), scale_error=0.0, perspective_distance_mm=100)
    assert (known["assumed"], known["assumed_tilt_uncertainty"]) == ({}, 0.0)
    assert "5 degrees" in text_of(unknown, "not-determined")


def part_of(answer: dict[str, Any], source: str) -> Any:
    return next(part["relative_uncertainty"] for part in answer["contributions"] if part["source"] == source)


@pytest.mark.parametrize("largest", ["-1", "61", "five"])
def test_a_largest_tilt_that_cannot_be_is_refused(api: FlaskClient, largest: str) -> None:
    refused = sent(api, PHOTO, [square()], tick_pitch_mm=0.5, largest_tilt_deg=largest)
    assert refused.status_code == 422
    assert pointers(refused.get_json()) == {"/largest_tilt_deg"}


TIPPED = Scene(1152, 800, 30.0, angle_deg=12.0, tilt_deg=34.8, tilt_axis_deg=46.8, distance_mm=150.0, noise=1.0)
"""About 25 degrees about each axis."""


def test_a_ruler_tilted_about_two_axes_is_read_along_itself_and_told(api: FlaskClient) -> None:
    picture = saved(render(TIPPED), "PNG")
    told = [
        read(api, picture, tick_pitch_mm=1),
        read(api, picture, tick_pitch_mm=1, perspective_distance_mm=150),
        read(api, picture, tick_pitch_mm=1, largest_tilt_deg=2),
    ]
    for answer in told:
        assert answer["scale_px_per_mm"] == pytest.approx(30, rel=2e-3)
        assert abs(answer["scale_px_per_mm"] - 30) < 3 * answer["scale_uncertainty_px_per_mm"]
        assert abs(answer["tilt_deg"]) == pytest.approx(tilt_along_deg(TIPPED), abs=0.3)
        assert "freed of the tilt" in text_of(answer, "tilted-about-two-axes")
    assert ["largest-tilt-exceeded" in codes(answer["remarks"]) for answer in told] == [False, False, True]
    assert "tilted-about-two-axes" not in codes(read(api, square())["remarks"])


def test_a_comparison_tells_the_tilt_it_assumed(api: FlaskClient) -> None:
    assert read(api, square(), square(), path=COMPARISON)["assumed"]["largest_tilt_deg"] == 5.0
