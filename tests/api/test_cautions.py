"""Which cautions an answer carries: each rule attaches its own, and does not attach where it does not apply."""

from typing import Any

import pytest
from flask.testing import FlaskClient

from asking import CAMERA, LENS, SET_UPS, answered, codes, pointers, refused, set_up, spacer, without
from closeup_service.advice import cautions

MOTION = "/v1/motion-blur"
STACK = "/v1/focus-stack"
SHUTTER: dict[str, Any] = {"magnification": 2, "sideways_speed_mm_s": 1, "exposure_time_s": 0.01}
FLASH: dict[str, Any] = {"magnification": 2, "sideways_speed_mm_s": 1, "flash_t01_s": 0.001}
RAIL: dict[str, Any] = {
    "magnification": 2,
    "f_number": 4,
    "pupil_magnification": 1,
    "model": "geometric",
    "circle_of_confusion_mm": 0.02,
    "subject_depth_mm": 1,
    "overlap": 0.25,
}
"""11 frames: N_eff 12, depth 0.12 mm, step 0.09 mm, ceil(0.88 / 0.09) + 1, by hand."""
NORMAL = without(LENS, "reversed", "front_principal_plane_mm")
OWN = NORMAL | {"register_mm": 18.0}
SHORT = NORMAL | {"register_mm": 16.0, "focusing_extension_mm": 10}
CONVERTER = {"element": "teleconverter", "factor": 1.4, "added_length_mm": 20}
OBJECTIVE = {
    "element": "objective",
    "magnification": 5,
    "numerical_aperture": 0.14,
    "tube_lens_focal_length_mm": 200,
}
TUBE_LENS = {"element": "lens", "focal_length_mm": 200, "register_mm": 18.0, "front_principal_plane_mm": 60}

RULES: list[tuple[str, str, dict[str, Any], dict[str, Any]]] = [
    ("flash-near-eyes", MOTION, FLASH, SHUTTER),
    ("flash-near-eyes", MOTION, SHUTTER | {"duty_limit_pops": 20}, SHUTTER),
    ("flash-near-eyes", MOTION, SHUTTER | {"old_flash": True}, SHUTTER | {"old_flash": False}),
    ("flash-near-eyes", STACK, RAIL | {"flash_recycle_s": 3}, RAIL),
    ("flash-near-animals", MOTION, FLASH | {"subject_kind": "living"}, FLASH | {"subject_kind": "still"}),
    ("flash-near-animals", MOTION, FLASH, FLASH | {"subject_kind": "person"}),
    ("live-subject", MOTION, SHUTTER | {"subject_kind": "living"}, SHUTTER | {"subject_kind": "person"}),
    ("live-subject", STACK, RAIL | {"subject_kind": "living"}, RAIL),
    ("repeated-flashes", STACK, RAIL | {"flash_recycle_s": 3}, RAIL | {"settle_s": 3}),
    ("repeated-flashes", STACK, RAIL | {"flash_recycle_s": 3}, RAIL | {"flash_recycle_s": 3, "subject_depth_mm": 0.1}),
    ("flash-near-duty", STACK, RAIL | {"duty_limit_pops": 13}, RAIL | {"duty_limit_pops": 14}),
    ("flash-near-duty", STACK, RAIL | {"duty_limit_pops": 11}, RAIL | {"duty_limit_pops": 10}),
    ("flash-over-duty", STACK, RAIL | {"duty_limit_pops": 10}, RAIL | {"duty_limit_pops": 11}),
    ("flash-never-opened", MOTION, FLASH | {"mains_powered": True}, FLASH),
    ("flash-never-opened", MOTION, FLASH | {"old_flash": True}, SHUTTER | {"mains_powered": True}),
    ("old-flash-unit", MOTION, FLASH | {"old_flash": True}, FLASH),
    (
        "old-flash-unit",
        MOTION,
        FLASH | {"trigger_voltage_v": 200},
        FLASH | {"trigger_voltage_v": 5, "trigger_limit_v": 6},
    ),
    (
        "trigger-voltage-over-limit",
        MOTION,
        FLASH | {"trigger_voltage_v": 200, "trigger_limit_v": 6},
        FLASH | {"trigger_voltage_v": 6, "trigger_limit_v": 6},
    ),
    ("mains-near-water", MOTION, SHUTTER | {"mains_powered": True}, SHUTTER | {"mains_powered": False}),
    ("stands-and-cables", MOTION, SHUTTER | {"mains_powered": True}, SHUTTER),
    ("stands-and-cables", MOTION, SHUTTER | {"light_source": "lamp"}, SHUTTER | {"light_source": "sun"}),
    ("strong-lamp", MOTION, SHUTTER | {"light_source": "lamp"}, SHUTTER | {"light_source": "laser"}),
    ("hot-lamp", MOTION, SHUTTER | {"light_source": "lamp"}, SHUTTER | {"light_source": "sun"}),
    ("hot-lamp", MOTION, SHUTTER | {"modelling_lamp_distance_mm": 300}, SHUTTER),
    (
        "hot-lamp-too-near",
        MOTION,
        SHUTTER | {"modelling_lamp_distance_mm": 299, "least_lamp_distance_mm": 300},
        SHUTTER | {"modelling_lamp_distance_mm": 300, "least_lamp_distance_mm": 300},
    ),
    ("ultraviolet-light", MOTION, SHUTTER | {"light_source": "ultraviolet-lamp"}, SHUTTER | {"light_source": "lamp"}),
    ("ultraviolet-light", STACK, RAIL | {"wavelength_nm": 365}, RAIL | {"wavelength_nm": 400}),
    (
        "ultraviolet-light",
        "/v1/diffraction",
        {"magnification": 2, "f_number": 8, "wavelength_nm": 365},
        {"magnification": 2, "f_number": 8},
    ),
    ("strong-lamp", STACK, RAIL | {"wavelength_nm": 850}, RAIL | {"wavelength_nm": 780}),
    ("sun-through-lens", MOTION, SHUTTER | {"light_source": "sun"}, SHUTTER | {"light_source": "lamp"}),
    ("glass-in-the-sun", MOTION, SHUTTER | {"light_source": "sun"}, SHUTTER),
    ("laser", MOTION, SHUTTER | {"light_source": "laser"}, SHUTTER | {"light_source": "lamp"}),
    (
        "preserving-fluid",
        MOTION,
        SHUTTER | {"subject_kind": "fluid-specimen"},
        SHUTTER | {"subject_kind": "wet-specimen"},
    ),
    ("sharp-things", MOTION, SHUTTER | {"subject_kind": "wet-specimen"}, SHUTTER | {"subject_kind": "still"}),
    ("sharp-things", STACK, RAIL | {"clearance_mm": 0.5}, RAIL | {"clearance_mm": 5}),
    ("moving-rail", STACK, RAIL, RAIL | {"subject_depth_mm": 0.1}),
    ("stack-collision", STACK, RAIL | {"clearance_mm": 0.5}, RAIL | {"clearance_mm": 5}),
    ("reversed-rear-exposed", STACK, RAIL | {"mounting": "reversed"}, RAIL),
    ("lens-change-dust", STACK, RAIL | {"mounting": "reversed"}, RAIL),
    ("lens-off-live-camera", STACK, RAIL | {"mounting": "reversed"}, RAIL),
]

TRAINS: list[tuple[str, dict[str, Any], dict[str, Any]]] = [
    ("lens-off-live-camera", set_up(LENS, spacer(31)), set_up(without(LENS, "f_number"), spacer(31))),
    ("lens-off-live-camera", set_up(OWN, spacer(31)), set_up(OWN | {"focusing_extension_mm": 10})),
    ("lens-change-dust", set_up(OWN, spacer(31)), set_up(OWN | {"focusing_extension_mm": 10})),
    ("heavy-rig", set_up(LENS, spacer(36)), set_up(LENS, spacer(35))),
    ("heavy-rig", set_up(LENS, spacer(16), spacer(15)), set_up(LENS, spacer(31))),
    ("heavy-rig", set_up(OBJECTIVE, TUBE_LENS, spacer(1)), set_up(OBJECTIVE, TUBE_LENS)),
    ("reaches-mirror-or-shutter", set_up(SHORT), set_up(OWN | {"focusing_extension_mm": 10})),
    ("reaches-mirror-or-shutter", set_up(NORMAL, spacer(45)), set_up(NORMAL, spacer(46))),
    ("reaches-mirror-or-shutter", set_up(NORMAL, spacer(45)), set_up(LENS, spacer(45))),
    (
        "reaches-mirror-or-shutter",
        set_up(OWN, spacer(31), CONVERTER | {"register_mm": 16}),
        set_up(OWN, spacer(31), CONVERTER),
    ),
    ("ultraviolet-light", set_up(LENS, spacer(31), wavelength_nm=365), set_up(LENS, spacer(31))),
]


@pytest.mark.parametrize(("code", "path", "applies", "does_not"), RULES)
def test_a_rule_attaches_its_caution_and_only_where_it_applies(
    api: FlaskClient, code: str, path: str, applies: dict[str, Any], does_not: dict[str, Any]
) -> None:
    assert code in codes(answered(api, path, applies)["cautions"])
    assert code not in codes(answered(api, path, does_not)["cautions"])


@pytest.mark.parametrize(("code", "applies", "does_not"), TRAINS)
def test_the_parts_of_a_train_attach_theirs(
    api: FlaskClient, code: str, applies: dict[str, Any], does_not: dict[str, Any]
) -> None:
    assert code in codes(answered(api, SET_UPS, applies)["cautions"])
    assert code not in codes(answered(api, SET_UPS, does_not)["cautions"])


def test_nothing_is_attached_always(api: FlaskClient) -> None:
    assert answered(api, MOTION, SHUTTER)["cautions"] == []
    assert answered(api, SET_UPS, set_up(OWN | {"focusing_extension_mm": 10}, camera=CAMERA))["cautions"] == []


@pytest.mark.parametrize("code", ["thoriated-glass", "batteries", "old-specimens"])
def test_what_no_request_tells_of_is_listed_on_demand_alone(api: FlaskClient, code: str) -> None:
    everything = FLASH | {"subject_kind": "living", "light_source": "lamp", "old_flash": True, "mains_powered": True}
    assert code not in codes(answered(api, MOTION, everything)["cautions"])
    assert code in codes(api.get("/v1/cautions").get_json()["records"])


def test_people_come_first_then_animals_then_gear_and_no_caution_twice(api: FlaskClient) -> None:
    asked = RAIL | {
        "mounting": "reversed",
        "clearance_mm": 0.5,
        "flash_recycle_s": 3,
        "duty_limit_pops": 5,
        "subject_kind": "living",
        "light_source": "lamp",
        "mains_powered": True,
        "modelling_lamp_distance_mm": 200,
        "least_lamp_distance_mm": 300,
        "trigger_voltage_v": 250,
        "trigger_limit_v": 12,
    }
    found = answered(api, STACK, asked)["cautions"]
    whom = [caution["concerns"] for caution in found]
    assert whom == sorted(whom, key=("people", "animals", "gear").index)
    assert set(whom) == {"people", "animals", "gear"}
    assert len(codes(found)) == len(found) <= 50


def test_a_text_quotes_the_values_of_the_request_alone(api: FlaskClient) -> None:
    def text(code: str, path: str, asked: dict[str, Any]) -> str:
        found: list[dict[str, str]] = answered(api, path, asked)["cautions"]
        return next(each["text"] for each in found if each["code"] == code)

    lamp = SHUTTER | {"modelling_lamp_distance_mm": 120, "least_lamp_distance_mm": 300}
    assert "120 mm" in text("hot-lamp-too-near", MOTION, lamp)
    assert "300 mm" in text("hot-lamp-too-near", MOTION, lamp)
    volts = FLASH | {"trigger_voltage_v": 220, "trigger_limit_v": 6}
    assert "220 V is above the 6 V" in text("trigger-voltage-over-limit", MOTION, volts)
    assert text("flash-over-duty", STACK, RAIL | {"duty_limit_pops": 10}).startswith(
        "The flashes one after the other, 11, are more than the 10 that"
    )


@pytest.mark.parametrize(
    ("name", "needed"),
    [("least_lamp_distance_mm", "modelling_lamp_distance_mm"), ("trigger_limit_v", "trigger_voltage_v")],
)
def test_a_limit_without_what_is_held_against_it_is_refused(api: FlaskClient, name: str, needed: str) -> None:
    assert pointers(refused(api, MOTION, SHUTTER | {name: 50})) == {f"/{needed}"}


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("subject_kind", "ghost"),
        ("light_source", "candle"),
        ("mains_powered", "yes"),
        ("old_flash", 1),
        ("duty_limit_pops", 2.5),
        ("duty_limit_pops", 0),
        ("trigger_voltage_v", -1),
    ],
)
def test_what_surrounds_the_picture_is_checked_as_strictly_as_any_number(
    api: FlaskClient, name: str, value: Any
) -> None:
    assert pointers(refused(api, MOTION, SHUTTER | {name: value})) == {f"/{name}"}


def test_what_surrounds_the_picture_changes_no_number(api: FlaskClient) -> None:
    plain = answered(api, MOTION, FLASH)
    told = answered(api, MOTION, FLASH | {"subject_kind": "living", "mains_powered": True, "light_source": "sun"})
    assert without(told, "cautions") == without(plain, "cautions")


def test_a_query_takes_the_same_members(api: FlaskClient) -> None:
    asked = FLASH | {"subject_kind": "living", "mains_powered": "true", "duty_limit_pops": "1"}
    told = api.get(MOTION, query_string=asked)
    assert told.status_code == 200, told.text
    posted = answered(api, MOTION, asked | {"mains_powered": True, "duty_limit_pops": 1})
    assert told.get_json() == posted


def test_the_whole_list_is_there_on_demand(api: FlaskClient) -> None:
    records = api.get("/v1/cautions").get_json()["records"]
    assert records == cautions.all_cautions()
    assert {record.keys() == {"code", "concerns", "applies_to", "text"} for record in records} == {True}
    assert api.post("/v1/cautions", json={}).status_code == 405


def test_answers_say_what_the_list_says(api: FlaskClient) -> None:
    listed = {record["code"]: record["text"] for record in api.get("/v1/cautions").get_json()["records"]}
    asked = FLASH | {"subject_kind": "fluid-specimen", "light_source": "lamp", "mains_powered": True}
    found = answered(api, MOTION, asked)["cautions"]
    assert len(found) > 5
    assert {caution["code"]: caution["text"] for caution in found}.items() <= listed.items()


def test_a_flash_in_joules_or_with_many_heads_brings_more() -> None:
    assert "flash-never-opened" in codes(cautions.flash_cautions({}, in_joules=True))
    assert "flash-never-opened" not in codes(cautions.flash_cautions({}))
    assert "stands-and-cables" in codes(cautions.flash_cautions({}, heads=2))
    assert "stands-and-cables" not in codes(cautions.flash_cautions({}, heads=1))
    assert "repeated-flashes" in codes(cautions.flash_cautions({}, 2))
