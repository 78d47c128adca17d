"""Laws of exposure: there and back is nothing, a solved setting balances, equal N_eff means equal exposure."""

import math
from typing import Any

import pytest
from flask.testing import FlaskClient
from hypothesis import given
from hypothesis import strategies as st

from asking import answered
from closeup_service.optics import exposure
from closeup_service.optics.exposure import CONTINUOUS, FLASH, Frame
from closeup_service.optics.flash_power import Scale
from magnitudes import positive

PATH = "/v1/exposure"
BOUNDS = {
    "exposure_time_s": (1e-7, 86400.0),
    "iso": (1.0, 1e7),
    "flash_power": (1e-6, 1e5),
    "flash_distance_mm": (1.0, 1e5),
    "f_number": (0.5, 256.0),
}
"""Each setting that can be solved, and what the service takes of it."""


FRAMES = st.fixed_dictionaries(
    {
        "f_number": positive(1, 32),
        "magnification": positive(0.1, 10),
        "pupil_magnification": positive(0.3, 3),
        "mounting": st.sampled_from(["normal", "reversed"]),
        "iso": positive(50, 6400),
        "exposure_time_s": positive(1e-3, 10),
        "transmission": positive(0.01, 1),
    }
)
FLASHES = st.fixed_dictionaries(
    {
        "flash_power": positive(1e-5, 1),
        "flash_distance_mm": positive(1000, 10000),
        "source_diameter_mm": st.just(0.0) | positive(1, 300),
        "pops": st.integers(1, 50),
    }
)


def case(reference: dict[str, Any], planned: dict[str, Any], unknown: str) -> dict[str, Any]:
    left = {name: value for name, value in planned.items() if name != unknown}
    scale = {"flash_scale": {"kind": "joules"}} if "flash_power" in reference else {}
    return {"reference": reference, "planned": left, "unknown": unknown, **scale}


@given(
    flash=st.booleans(),
    frames=st.tuples(FRAMES, FRAMES),
    flashes=st.tuples(FLASHES, FLASHES),
    unknown=st.sampled_from(sorted(BOUNDS)),
)
def test_a_solved_setting_put_back_balances(
    api: FlaskClient,
    flash: bool,
    frames: tuple[dict[str, Any], dict[str, Any]],
    flashes: tuple[dict[str, Any], dict[str, Any]],
    unknown: str,
) -> None:
    reference, planned = (frame | (light if flash else {}) for frame, light in zip(frames, flashes, strict=True))
    if unknown not in reference or (flash and unknown == "exposure_time_s"):
        return
    response = api.post(PATH, json=case(reference, planned, unknown))
    if response.status_code == 422:
        # a large source that is too dim even when it touches the subject, or an aperture that air does not admit
        assert response.get_json()["errors"][0]["pointer"] in ("/unknown", "/reference/f_number", "/planned/f_number")
        return
    answer = response.get_json()
    assert sum(answer["stops"].values()) == pytest.approx(0, abs=1e-11)
    low, high = BOUNDS[unknown]
    if low <= answer["value"] <= high:
        other = "iso" if unknown != "iso" else "f_number"
        back = answered(api, PATH, case(reference, planned | {unknown: answer["value"]}, other))
        assert back["value"] == pytest.approx(planned[other], rel=1e-9)


@given(frame=FRAMES, flash=FLASHES, light=st.sampled_from([FLASH, CONTINUOUS]))
def test_going_there_and_back_is_no_stop_at_all(frame: dict[str, Any], flash: dict[str, Any], light: str) -> None:
    first = Frame(frame["f_number"], frame["transmission"], frame["exposure_time_s"], frame["iso"], -3.0)
    second = Frame(frame["f_number"] * 1.7, 1.0, 0.1, 400.0, flash["flash_power"])
    there, back = exposure.difference(second, first, light), exposure.difference(first, second, light)
    for name, gain in there.items():
        returned = back[name]
        assert (gain is None) == (returned is None)
        assert gain is None or returned is None or gain + returned == pytest.approx(0, abs=1e-12)


@given(f_number=positive(2, 22), magnification=positive(0.2, 5), pupils=positive(0.5, 2), turned=st.booleans())
def test_equal_effective_f_numbers_mean_equal_exposure_in_every_arrangement(
    api: FlaskClient, f_number: float, magnification: float, pupils: float, turned: bool
) -> None:
    mounting = "reversed" if turned else "normal"
    lens = {
        "f_number": f_number,
        "magnification": magnification,
        "pupil_magnification": pupils,
        "mounting": mounting,
    }
    effective = f_number * ((magnification + 1 / pupils) if turned else (1 + magnification / pupils))
    one = {"reference": {"effective_f_number": effective, "iso": 100}, "planned": lens, "unknown": "iso"}
    train = [
        {
            "element": "lens",
            "focal_length_mm": 50,
            "f_number": f_number,
            "pupil_magnification": pupils,
            "reversed": turned,
            "front_principal_plane_mm": 20,
            "register_mm": 45,
        },
        {"element": "spacer"},
    ]
    solve = {"unknown": "/train/1/length_mm", "maximum": 2000, "target": {"magnification": magnification}}
    camera = {"register_mm": 0 if turned else 45}
    through = {
        "reference": {"effective_f_number": effective, "iso": 100},
        "planned_set_up": {"camera": camera, "train": train, "solve": solve},
        "unknown": "iso",
    }
    assert answered(api, PATH, one)["value"] == pytest.approx(100, rel=1e-12)
    assert answered(api, PATH, through)["value"] == pytest.approx(100, rel=1e-9)


@given(
    kind=st.sampled_from(["fraction", "joules", "stops-below-full", "dial"]),
    setting=positive(0.001, 1),
    step=positive(0.05, 2),
)
def test_every_scale_gives_its_own_setting_back(kind: str, setting: float, step: float) -> None:
    scale = Scale(kind, unit_stops=-step if setting < 0.1 else step, step_stops=step)
    assert scale.setting(scale.stops(setting)) == pytest.approx(setting, rel=1e-12)


@given(
    least=st.floats(-10, 0),
    width=st.floats(0.5, 10),
    per_unit=positive(0.1, 3),
    rising=st.booleans(),
    stops=st.floats(-40, 40),
    step=positive(0.05, 1),
)
def test_clicks_stay_in_the_range_and_within_half_a_step_of_what_is_wanted(
    least: float, width: float, per_unit: float, rising: bool, stops: float, step: float
) -> None:
    scale = Scale("dial", least, least + width, per_unit if rising else -per_unit, step)
    low, high = scale.range_stops
    assert high - low == pytest.approx(width * per_unit)
    held, clicked = scale.clamp(stops), scale.nearest_click(stops)
    assert clicked is not None
    assert low <= held <= high
    assert low - 1e-6 <= clicked <= high
    assert abs(clicked - held) <= step / 2 * (1 + 1e-9) or clicked - low < step


@given(stops=st.floats(-30, 30))
def test_ambient_and_flash_share_the_light(stops: float) -> None:
    share = exposure.ambient_share(stops)
    assert share + exposure.ambient_share(-stops) == pytest.approx(1, abs=1e-12)
    assert math.log2((1 - share) / share) == pytest.approx(stops, abs=1e-6)
