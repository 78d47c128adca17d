"""An exposure whose frames state no aperture: both are taken at the same mark, which cancels."""

from typing import Any

import pytest
from flask.testing import FlaskClient
from hypothesis import HealthCheck, given, settings, strategies

from asking import answered, codes, pointers, refused
from exposures import PATH

FLASH: dict[str, Any] = {
    "reference": {"magnification": 1, "flash_power": 1 / 32},
    "planned": {"magnification": 2.5},
    "unknown": "flash_power",
}


def at_mark(mark: float) -> dict[str, Any]:
    return {**FLASH, "reference": {**FLASH["reference"], "f_number": mark}}


def test_the_power_at_a_greater_magnification_follows_without_an_f_number(api: FlaskClient) -> None:
    answer = answered(api, PATH, FLASH)
    assert answer["value"] == pytest.approx(((1 + 2.5) / (1 + 1)) ** 2 / 32)
    assert "same-mark" in codes(answer["remarks"])
    assert answer["assumed"]["/reference/f_number"] == 8
    assert "f_number" not in answer["planned"]


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None, max_examples=25)
@given(mark=strategies.floats(1.4, 64), magnification=strategies.floats(0.1, 10), pupils=strategies.floats(0.5, 2))
def test_every_mark_gives_the_same(api: FlaskClient, mark: float, magnification: float, pupils: float) -> None:
    more = {"planned": {"magnification": magnification, "pupil_magnification": pupils, "mounting": "reversed"}}
    without = answered(api, PATH, {**FLASH, **more})
    assert answered(api, PATH, {**at_mark(mark), **more})["value"] == pytest.approx(without["value"], rel=1e-12)


def test_no_other_mark_is_advised_where_none_is_known(api: FlaskClient) -> None:
    scale = {"flash_scale": {"kind": "fraction", "least": 1 / 128, "greatest": 1 / 32}}
    ways = [{way["setting"] for way in answered(api, PATH, {**asked, **scale})["flash_power"]["ways"]} for asked in
            (FLASH, at_mark(8))]  # fmt: skip
    assert ways[1] - ways[0] == {"f_number"}


@pytest.mark.parametrize(
    ("more", "faulty"),
    [
        ({"unknown": "f_number"}, "/reference/f_number"),
        ({"planned": {"magnification": 2.5, "f_number": 8}}, "/reference/f_number"),
        ({"finder": {"least_f_number": 4}}, "/reference/f_number"),
        ({"ambient": {"exposure_value": 9}}, "/reference/f_number"),
    ],
)
def test_where_the_aperture_counts_it_is_asked_for(api: FlaskClient, more: dict[str, Any], faulty: str) -> None:
    assert faulty in pointers(refused(api, PATH, {**FLASH, **more}))
