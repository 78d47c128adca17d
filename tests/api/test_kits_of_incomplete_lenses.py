"""Lenses of a kit that lack data: what `/v1/kit` says of them, and how they are estimated in a set-up."""

from typing import Any

import pytest
from flask.testing import FlaskClient

from asking import SET_UPS, answered, codes, pointers, refused, without
from old_lenses import COMPLETE, RING_MM, kit, lens

KIT = "/v1/kit"
CAMERA = {"register_mm": 18.0, "sensor": "36x24"}
MEASURED = {"mounting": "reversed", "extension_mm": 7, "camera_register_mm": 18.0, "magnification": 1.4}


def only(api: FlaskClient, old: dict[str, Any], **more: Any) -> dict[str, Any]:
    """What is said of the only lens of a kit."""
    [told] = answered(api, KIT, {"kit": kit(old), **more})["incomplete_lenses"]
    return dict(told)


def evaluated(api: FlaskClient, old: dict[str, Any], **use: Any) -> dict[str, Any]:
    """The lens of a kit reversed on the ring of the kit."""
    train = [{"element": "kit-part", "use": old["id"], "reversed": True, **use}, {"element": "kit-part", "use": "ring"}]
    asked = {"camera": {"use": "body"}, "train": train, "kit": kit(old), "estimate_unknown": True}
    return answered(api, SET_UPS, asked)


def width(told: dict[str, Any]) -> float:
    return float(told["high"] - told["low"])


def test_a_kit_whose_lenses_lack_nothing_is_told_as_before(api: FlaskClient) -> None:
    answer = answered(api, KIT, {"kit": kit(lens("known", 28, **COMPLETE))})
    assert "incomplete_lenses" not in answer
    assert "whole_kit" not in answer
    assert answer["assumed"] == {}


def test_the_demo_kit_is_told_by_get_without_any_member_and_with_some(api: FlaskClient) -> None:
    plain = api.get(KIT).get_json()
    assert plain == api.get(f"{KIT}?mounting=reversed&extension_mm=20").get_json()


def test_what_a_lens_lacks_and_costs_is_told_with_what_was_assumed(api: FlaskClient) -> None:
    answer = answered(api, KIT, {"kit": kit(lens("old", 28), lens("known", 28, **COMPLETE))})
    [told] = answer["incomplete_lenses"]
    assert (told["id"], told["setting"], told["lens_class"]) == ("old", "only", "slr-prime")
    assert set(told["missing"]) == set(COMPLETE)
    assert told["low"] < told["magnification"] < told["high"]
    assert answer["assumed"] == {"camera": "body", "mounting": "reversed", "extension_mm": 0.0}


@pytest.mark.parametrize("extension", [RING_MM, 32])
def test_the_cost_is_the_range_that_evaluate_gives(api: FlaskClient, extension: float) -> None:
    old = lens("old", 28)
    told = only(api, old, extension_mm=extension)
    train = [{"element": "kit-part", "use": "old", "reversed": True}, {"element": "spacer", "length_mm": extension}]
    asked = {"camera": {"use": "body"}, "train": train, "kit": kit(old), "estimate_unknown": True}
    answer = answered(api, SET_UPS, asked)
    assert answer["magnification"] == pytest.approx(told["magnification"], rel=1e-9)
    assert answer["ranges"]["magnification"] == pytest.approx({name: told[name] for name in ("low", "high")}, rel=1e-9)


def test_a_lens_that_could_show_almost_anything_is_to_be_measured_first(api: FlaskClient) -> None:
    answer = answered(api, KIT, {"kit": kit(lens("tele", 135)), "mounting": "reversed"})
    [told] = answer["incomplete_lenses"]
    assert (told["magnification"], told["low"], told["high"]) == (None, None, None)
    assert "measure-first" in codes(answer["remarks"])
    assert "ruler" in told["next_measurement"]


def test_a_kit_about_which_nothing_is_asked_has_no_remark_more_than_in_1_0_0(api: FlaskClient) -> None:
    assert answered(api, KIT, {"kit": kit(lens("tele", 135))})["remarks"] == []


def test_of_what_can_be_measured_that_is_named_which_narrows_most(api: FlaskClient) -> None:
    """A ruler in the very set-up leaves little; what was said to be left is left when it was done."""
    told = only(api, lens("old", 28), extension_mm=RING_MM)
    frame = {**MEASURED, "magnification": told["magnification"]}
    after = only(api, lens("old", 28, measured=[frame]), extension_mm=RING_MM)
    iris = {"entrance_pupil_depth_mm": 18, "entrance_pupil_diameter_mm": 10, "exit_pupil_diameter_mm": 16}
    by_rule = only(api, lens("old", 28, **iris), extension_mm=RING_MM)
    assert width(after) < width(by_rule) < width(told)
    assert "give it as measured" in told["next_measurement"]
    assert f"{after['low']:.3g} to {after['high']:.3g}" in told["next_measurement"]


def test_where_the_magnification_hangs_on_nothing_missing_the_pupils_are_next(api: FlaskClient) -> None:
    told = only(api, lens("old", 28, front_principal_plane_mm=38), extension_mm=RING_MM)
    assert told["low"] == told["high"] == pytest.approx((18 + RING_MM + 38) / 28 - 1)
    assert "exit_pupil_diameter_mm" in told["next_measurement"]


def test_lenses_without_statistics_are_told_with_what_to_do(api: FlaskClient) -> None:
    told = only(api, lens("long", 500))
    assert told["magnification"] is None
    assert "calibrated" in told["next_measurement"]


def test_a_kit_without_cameras_tells_what_lacks_and_no_cost(api: FlaskClient) -> None:
    answer = answered(api, KIT, {"kit": kit(lens("old", 28), cameras=[])})
    assert answer["incomplete_lenses"][0]["magnification"] is None
    assert answer["assumed"] == {}


def test_a_camera_that_the_kit_has_not_is_refused_at_its_member(api: FlaskClient) -> None:
    assert pointers(refused(api, KIT, {"kit": kit(lens("old", 28)), "camera": "other"})) == {"/camera"}


def test_readings_that_contradict_each_other_are_told_and_the_kit_is_listed(api: FlaskClient) -> None:
    frames = [MEASURED, {**MEASURED, "extension_mm": 17, "magnification": 1.25}]
    told = only(api, lens("old", 28, measured=frames))
    assert told["magnification"] is None
    assert "measured" in told["next_measurement"]


def test_a_reading_unlike_any_lens_of_the_class_is_to_be_checked_first(api: FlaskClient) -> None:
    told = only(api, lens("old", 28, measured=[{**MEASURED, "magnification": 4}]))
    assert "check the reading" in told["next_measurement"]


def test_what_was_measured_is_listed_in_the_whole_kit_alone(api: FlaskClient) -> None:
    """Clients of 1.0.0 know no such members of a setting."""
    sent = kit(lens("old", 28, measured=[MEASURED], lens_class="slr-prime"))
    answer = answered(api, KIT, {"kit": sent})
    assert set(answer["kit"]["lenses"][0]["settings"][0]) == {"id", "focal_length_mm"}
    whole = answer["whole_kit"]
    assert whole["lenses"][0]["settings"][0]["measured"][0]["magnification"] == MEASURED["magnification"]
    assert answered(api, KIT, {"kit": whole})["revision"] == answer["revision"]


def test_a_lens_of_a_kit_is_estimated_as_the_same_lens_described(api: FlaskClient) -> None:
    """Its register is that of its mount, its widest f-number that of its ring."""
    by_kit = evaluated(api, lens("old", 28, barrel_length_mm=41), f_number=8)
    plain = {
        "element": "lens",
        "focal_length_mm": 28,
        "register_mm": 45.46,
        "widest_f_number": 2.8,
        "barrel_length_mm": 41,
    }
    train = [{**plain, "reversed": True, "f_number": 8}, {"element": "spacer", "length_mm": RING_MM}]
    described = answered(api, SET_UPS, {"camera": CAMERA, "train": train, "estimate_unknown": True})
    alike = without(described, "remarks", "assumed")
    assert {name: by_kit[name] for name in alike} == alike
    assert by_kit["ranges"]["magnification"]["low"] < by_kit["magnification"]


def test_what_was_measured_narrows_the_range(api: FlaskClient) -> None:
    wide, narrow = (
        evaluated(api, lens("old", 28, **more))["ranges"]["magnification"] for more in ({}, {"measured": [MEASURED]})
    )
    assert width(narrow) < 0.3 * width(wide)


def test_settings_far_apart_are_of_a_zoom_and_a_rear_thread_of_a_lens_without_mount(api: FlaskClient) -> None:
    zoom = without(lens("zoom", 28), "focal_length_mm") | {
        "settings": [{"id": "short", "focal_length_mm": 28}, {"id": "long", "focal_length_mm": 70}]
    }
    enlarger = without(lens("enlarger", 75), "mount") | {"rear_thread": "M39x26tpi"}
    told = answered(api, KIT, {"kit": kit(zoom, enlarger)})["incomplete_lenses"]
    assert [each["lens_class"] for each in told] == ["slr-zoom", "slr-zoom", "view-enlarging"]


def test_without_the_flag_a_kit_is_evaluated_as_in_1_0_0(api: FlaskClient) -> None:
    train = [{"element": "kit-part", "use": "old", "reversed": True}, {"element": "kit-part", "use": "ring"}]
    problem = refused(api, SET_UPS, {"camera": {"use": "body"}, "train": train, "kit": kit(lens("old", 28))})
    assert problem["status"] == 422
