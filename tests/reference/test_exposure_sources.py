"""Exposure against sources outside the formulas: printed bellows factors, APEX, energies, facts of the trade.

`seen` means that the passage was read, mostly in an excerpt of the page.
"""

import math
from itertools import pairwise
from typing import Any

import pytest
from flask.testing import FlaskClient

from asking import answered
from closeup_service.optics import exposure
from closeup_service.optics.nominal_series import MARKS

PATH = "/v1/exposure"


def new_setting(api: FlaskClient, **asked: Any) -> dict[str, Any]:
    return answered(api, PATH, asked)


def by_extension(image_distance: float, focal_length: float) -> dict[str, float]:
    """Lens at this distance from the film, as the printed examples give it; its mark cancels out."""
    return {"f_number": 8, "magnification": image_distance / focal_length - 1}


def test_eighteen_inches_of_bellows_on_a_twelve_inch_lens_turn_8_s_into_18_s(api: FlaskClient) -> None:
    """US Army correspondence subcourse SS0512, Still Photography, page on bellows extension (seen): factor 2.25, 8 to 18 s."""
    answer = new_setting(
        api,
        reference={"effective_f_number": 8, "exposure_time_s": 8},
        planned=by_extension(18, 12),
        unknown="exposure_time_s",
    )
    assert answer["value"] == pytest.approx(18, rel=1e-9)
    assert 2 ** -answer["difference_stops"] == pytest.approx(2.25, rel=1e-9)


def test_450_mm_of_bellows_on_300_mm_ask_for_the_factor_2_25(api: FlaskClient) -> None:
    """The same subcourse, the metric example (seen)."""
    answer = new_setting(
        api,
        reference={"effective_f_number": 8, "exposure_time_s": 1},
        planned=by_extension(450, 300),
        unknown="exposure_time_s",
    )
    assert answer["value"] == pytest.approx(2.25, rel=1e-9)


def test_an_object_of_10_cm_imaged_5_cm_long_asks_for_the_factor_2_25(api: FlaskClient) -> None:
    """Langford's Basic Photography, appendix on close-up exposure (publisher's chapter abstract seen)."""
    answer = new_setting(
        api,
        reference={"effective_f_number": 8, "exposure_time_s": 1},
        planned={"f_number": 8, "magnification": 5 / 10},
        unknown="exposure_time_s",
    )
    assert answer["value"] == pytest.approx(2.25, rel=1e-9)


def test_life_size_costs_two_stops(api: FlaskClient) -> None:
    """Photography question-and-answer archive, bellows factor with a magnifier lens (seen): factor 4, two stops."""
    answer = new_setting(
        api,
        reference={"effective_f_number": 8, "iso": 100},
        planned={"f_number": 8, "magnification": 1},
        unknown="iso",
    )
    assert answer["value"] == pytest.approx(400, rel=1e-9)
    assert answer["difference_stops"] == pytest.approx(-2, abs=1e-12)


@pytest.mark.parametrize(
    ("f_number", "time_s", "exposure_value"),
    [(1, 1, 0), (1.4142135623730951, 1, 1), (16, 1 / 128, 15), (8, 1 / 64, 12), (2, 4, 0)],
)
def test_settings_have_the_exposure_value_of_the_additive_system(
    f_number: float, time_s: float, exposure_value: float
) -> None:
    """APEX, Ev = Av + Tv, as in ISO 2720 (from memory): EV 0 is f/1 at 1 s, EV 15 is f/16 at 1/125 s (exactly 1/128)."""
    found = exposure.setting_exposure_value(f_number, 1.0, time_s, 100)
    assert found == pytest.approx(exposure_value, abs=1e-12)


def test_bright_sun_is_f_16_at_the_reciprocal_of_the_film_speed() -> None:
    """Common practice, no source: f/16 at 1/ISO s in bright sun, which meters read as EV 15 at ISO 100."""
    assert exposure.setting_exposure_value(16, 1.0, 1 / 100, 100) == pytest.approx(15, abs=0.4)


def test_twice_the_energy_is_one_stop(api: FlaskClient) -> None:
    """By algebra, and common practice of every studio: 400 J is a stop more than 200 J."""
    answer = new_setting(
        api,
        reference={"effective_f_number": 8, "iso": 200, "flash_power": 200},
        planned={"iso": 100},
        unknown="flash_power",
        flash_scale={"kind": "joules"},
    )
    assert answer["value"] == pytest.approx(400, rel=1e-12)


def test_a_reversed_zoom_asks_for_two_thirds_of_a_stop_then_one_and_a_half(api: FlaskClient) -> None:
    """Common practice, no source: one marked aperture, from 1:1 to 1.5:1 about 2/3 stop, on to about 3:1 about 1.5 more."""
    answer = new_setting(
        api,
        reference={"mounting": "reversed", "f_number": 8, "magnification": 1, "flash_power": 0.01},
        unknown="flash_power",
        magnifications=[1, 1.5, 3],
    )
    at_one, at_one_and_a_half, at_three = (row["light_loss_stops"] for row in answer["rows"])
    assert at_one_and_a_half - at_one == pytest.approx(2 / 3, abs=0.15)
    assert at_three - at_one_and_a_half == pytest.approx(1.5, abs=0.2)


def test_a_250th_at_base_iso_and_f_8_hides_a_bright_studio(api: FlaskClient) -> None:
    """Common practice, no source. A bright studio, 500 lx, is EV 7.6 by E = 2.5 lx x 2^EV (ISO 2720, C = 250, from memory)."""
    answer = new_setting(
        api,
        reference={"effective_f_number": 8, "iso": 100, "exposure_time_s": 1 / 250, "flash_power": 0.1},
        unknown="flash_power",
        ambient={"exposure_value": math.log2(500 / 2.5)},
    )
    assert answer["ambient"]["black_without_flash"] is True
    assert answer["ambient"]["ambient_share"] < 0.02


def test_marked_times_and_speeds_stand_for_thirds_of_a_stop() -> None:
    """ISO 2720 and 2721 (from memory): engraved numbers lie within the rounding of thirds of a stop, a tenth of a stop."""
    for setting in ("exposure_time_s", "iso"):
        marks = list(MARKS[setting])
        assert all(abs(math.log2(mark.nominal / mark.exact)) < 0.11 for mark in marks)
        steps = [math.log2(after.exact / before.exact) for before, after in pairwise(marks)]
        assert steps == pytest.approx([1 / 3] * len(steps), abs=1e-12)
    written = {text: mark.exact for mark, text in MARKS["exposure_time_s"].items()}
    assert written["1/125"] == 2**-7
    assert written["1/1000"] == 2**-10
    assert written["30"] == 2**5
    assert {text: mark.exact for mark, text in MARKS["iso"].items()}["3200"] == 3200
