"""Every fault of a kit has its own clear line, with the pointer to it."""

import json
from collections.abc import Iterator
from typing import Any

import pytest

from closeup_service.schemas.kit import read_kit
from kits import Members, changed, sound
from kits import faults_of_kit as faults_of

LENS, SETTING = "/lenses/0", "/lenses/0/settings/0"
APART = f"{SETTING}/principal_plane_separation_mm"
TWO_METRES = {"thread": "M49x0.75", "gender": "external"}

BAD: list[tuple[str, Any, str, str]] = [
    ("/name", ..., "/name", "required"),
    ("/name", "", "/name", "1 to 200 characters"),
    ("/name", "two\nlines", "/name", "one line"),
    ("/name", "a last break\n", "/name", "one line"),
    ("/owner", "me", "/owner", "Unknown"),
    ("/currency", "pounds", "/currency", "three capital letters"),
    ("/tubes", {}, "/tubes", "Give a list of parts"),
    ("/tubes/0", 7, "/tubes/0", "Give an object"),
    ("/tubes/0/id", "Tube 1", "/tubes/0/id", "small letters, digits and hyphens"),
    ("/tubes/0/id", "tube\n", "/tubes/0/id", "small letters, digits and hyphens"),
    (
        "/tubes/0/id",
        "tube-12.5",
        "/tubes/0/id",
        "a dot leads to a member within another, as in depth_of_field.total_mm",
    ),
    ("/tubes/0/id", "tube-12.5", "/tubes/0/id", "write tube-12-5."),
    ("/tubes/0/id", "12.5 mm", "/tubes/0/id", "write a hyphen."),
    (f"{SETTING}/id", "at.24", f"{SETTING}/id", "write at-24."),
    ("/mounts/0/id", "bayonet-20.1", "/mounts/0/id", "write bayonet-20-1."),
    ("/tubes/0/id", "body", "/tubes/0/id", "taken by /cameras/0"),
    ("/tubes/0/owned", "yes", "/tubes/0/owned", "true or false"),
    ("/tubes/0/price", -3, "/tubes/0/price", "from 0"),
    ("/tubes/0/calibrated_on", "2026-02-30", "/tubes/0/calibrated_on", "a date that exists"),
    ("/tubes/0/calibrated_on", "14 March", "/tubes/0/calibrated_on", "a date that exists"),
    ("/tubes/0/length_mm", "12", "/tubes/0/length_mm", "Give a number"),
    ("/tubes/0/length_mm", -1, "/tubes/0/length_mm", "from 0"),
    ("/tubes/0/lenght_mm", 12, "/tubes/0/lenght_mm", "did you mean length_mm"),
    ("/tubes/0/front", {"thread": "M49x0.75"}, "/tubes/0/front", "a thread with its gender"),
    ("/tubes/0/front", {**TWO_METRES, "mount": "M42x1"}, "/tubes/0/front", "or a mount with its side"),
    ("/tubes/0/front/mount", "bayonet-18,0", "/tubes/0/front/mount", "This is no id"),
    ("/tubes/0/front/mount", "bayonet-18", "/tubes/0/front/mount", "near to it: bayonet-18.0"),
    ("/tubes/0/front/mount", "RMS", "/tubes/0/front/mount", "RMS is a thread and no mount by itself"),
    (f"{LENS}/mount", "M65x1", f"{LENS}/mount", "M65x1 is a thread and no mount by itself"),
    ("/objectives/0/thread", "C", "/objectives/0/thread", "C is a mount: give it as one, or its thread 1in-32UN"),
    ("/objectives/0/thread", "bayonet-18.0", "/objectives/0/thread", "bayonet-18.0 is a mount: give it as one."),
    ("/tubes/0/front/mount", "M42\nx1", "/tubes/0/front/mount", "This is no id"),
    ("/tubes/0/front/side", "camera", "/tubes/0/front/side", "lens, body"),
    ("/mounts/0/id", "house-bayonet-2", "/bellows/0/front/mount", "near to it: house-bayonet-2"),
    ("/mounts/0/id", "bayonet-mine", "/bellows/0/front/mount", "There is no mount house-bayonet"),
    ("/mounts/0/register_mm", ..., "/mounts/0/register_mm", "required"),
    ("/mounts/0/thread", "M42x2", "/mounts/0/thread", "near to it: M42x1"),
    ("/cameras/0/mount", "house", "/cameras/0/mount", "There is no mount house"),
    ("/cameras/0/sensor", ..., "/cameras/0/sensor", "width and height"),
    ("/cameras/0/sensor", "23x15", "/cameras/0/sensor", "one of"),
    ("/cameras/0/sensor", "24x36", "/cameras/0/sensor", "named width x height: 36x24 is one"),
    ("/cameras/0/sensor_width_mm", 23.5, "/cameras/0/sensor", "not both"),
    (f"{LENS}/mount", ..., f"{LENS}/mount", "or the rear_thread"),
    (f"{LENS}/rear_thread", "M39x26tpi", f"{LENS}/mount", "or the rear_thread"),
    (f"{LENS}/front_thread", "M49", f"{LENS}/front_thread", "near to it: M49x0.75"),
    (f"{LENS}/front_diameter_mm", 48, f"{LENS}/front_diameter_mm", "Narrower than its own filter thread"),
    (f"{LENS}/least_f_number", 22, f"{LENS}/least_f_number", "these ends are swapped"),
    (f"{LENS}/greatest_f_number", ..., f"{LENS}/least_f_number", "both ends"),
    (f"{LENS}/f_numbers", [2, 4], f"{LENS}/f_numbers", "not both"),
    (f"{LENS}/sharp_from_f_number", 1.4, f"{LENS}/sharp_from_f_number", "f/2 to f/16"),
    (f"{LENS}/measured_edge_width/f_number", 22, f"{LENS}/measured_edge_width/f_number", "f/2 to f/16"),
    (f"{LENS}/measured_edge_width/mounting", ..., f"{LENS}/measured_edge_width/mounting", "required"),
    (f"{LENS}/settings", [], f"{LENS}/settings", "1 to 100 settings"),
    (f"{LENS}/settings/1/id", "infinity", f"{LENS}/settings/1/id", "taken by /settings/0"),
    (f"{SETTING}/focal_length_mm", ..., f"{SETTING}/focal_length_mm", "required"),
    (f"{SETTING}/f_number", 8, f"{SETTING}/f_number", "Unknown"),
    (f"{SETTING}/register_mm", 44, f"{SETTING}/register_mm", "has a register of 45.46 mm"),
    (f"{SETTING}/rear_principal_plane_mm", 6, f"{SETTING}/rear_principal_plane_mm", "-6.14 mm, not 6 mm"),
    (APART, -61, f"{SETTING}/front_principal_plane_mm", "-27.86 mm long"),
    (
        f"{SETTING}/principal_plane_separation_mm",
        -61,
        f"{SETTING}/principal_plane_separation_mm",
        "lens fifty, setting infinity",
    ),
    (
        f"{SETTING}/principal_plane_separation_mm",
        -61,
        f"{SETTING}/principal_plane_separation_mm",
        "-6.14 mm behind the flange",
    ),
    (f"{SETTING}/uncertainty/covariance", [[1]], f"{SETTING}/uncertainty/covariance", "2 rows of 2 numbers"),
    (f"{SETTING}/uncertainty/covariance", [[1, 0], [1, 1]], f"{SETTING}/uncertainty/covariance", "symmetric"),
    (
        f"{SETTING}/uncertainty/covariance",
        [[1, 2], [2, 1]],
        f"{SETTING}/uncertainty/covariance",
        "a variance below zero",
    ),
    (f"{SETTING}/uncertainty/covariance", [[-1, 0], [0, 1]], f"{SETTING}/uncertainty/covariance", "none is negative"),
    (f"{SETTING}/uncertainty/parameters", ["colour", "f"], f"{SETTING}/uncertainty/parameters/0", "one of"),
    ("/bellows/0/minimum_length_mm", 200, "/bellows/0/minimum_length_mm", "above the greatest"),
    ("/reversing_rings/0/front/gender", "internal", "/reversing_rings/0", "an external thread on one face"),
    ("/reversing_rings/0/clear_diameter_mm", 50, "/reversing_rings/0/clear_diameter_mm", "Wider than the thread"),
    ("/step_rings/0/front", {"mount": "M42x1", "side": "body"}, "/step_rings/0", "a thread on both faces"),
    ("/mount_adapters/0/front", TWO_METRES, "/mount_adapters/0", "a mount on both faces"),
    ("/close_up_lenses/0/focal_length_mm", 500, "/close_up_lenses/0/power_dpt", "exactly one of"),
    ("/converters/0/added_length_mm", ..., "/converters/0/added_length_mm", "length it adds"),
    ("/converters/0/register_mm", 18, "/converters/0/register_mm", "Unknown"),
    ("/objectives/0/tube_length_mm", 160, "/objectives/0/tube_length_mm", "exactly one of"),
    ("/objectives/0/parfocal_distance_mm", 30, "/objectives/0/working_distance_mm", "sharp 30 mm before its shoulder"),
    (
        "/objectives/0/parfocal_distance_mm",
        34,
        "/objectives/0/parfocal_distance_mm",
        "The objective objective: An objective",
    ),
    ("/objectives/0/thread", "RMS2", "/objectives/0/thread", "near to it: RMS"),
]


def test_the_kit_that_is_spoilt_below_is_sound() -> None:
    kit = read_kit(sound(), "file")
    assert len(kit.by_id) == 9
    assert kit.lenses[0].settings[1].marks[-1].nominal == 8
    assert kit.lenses[0].settings[0].marks[-1].nominal == 16


@pytest.mark.parametrize(("at", "value", "pointer", "words"), BAD)
def test_a_fault_is_named_where_it_is(at: str, value: Any, pointer: str, words: str) -> None:
    found = faults_of(changed(at, value))
    assert any(fault["pointer"] == pointer and words in fault["detail"] for fault in found), found
    assert all("\n" not in fault["detail"] for fault in found)


def test_there_are_more_than_thirty_faults_and_their_lines_differ() -> None:
    lines = {(fault["pointer"], fault["detail"]) for at, value, *_ in BAD for fault in faults_of(changed(at, value))}
    assert len(lines) >= 50


def test_a_mount_of_the_catalogue_cannot_be_described_again() -> None:
    kit = changed("/bellows", [])
    kit["mounts"][0]["id"] = "bayonet-18.0"
    assert faults_of(kit)[0]["pointer"] == "/mounts/0/id"


def test_two_faults_of_one_kit_are_both_told() -> None:
    kit = changed("/tubes/0/length_mm", "long")
    kit["lenses"][0]["mount"] = "M43x1"
    kit["bellows"][0]["minimum_length_mm"] = 500
    assert {fault["pointer"] for fault in faults_of(kit)} == {
        "/tubes/0/length_mm",
        "/lenses/0/mount",
        "/bellows/0/minimum_length_mm",
    }


def test_a_kit_of_too_many_parts_is_refused_without_looking_at_each() -> None:
    tube = sound()["tubes"][0]
    kit: Members = {"name": "Many", "tubes": [{**tube, "id": f"tube-{number}"} for number in range(2501)]}
    kit["bellows"] = [{**sound()["bellows"][0], "id": f"bellows-{number}"} for number in range(2500)]
    assert [fault["detail"] for fault in faults_of(kit)] == ["A kit of 5001 parts: at most 5000 are allowed."]


@pytest.mark.parametrize("junk", [None, 0, "kit", [], {"lenses": [None, {"settings": [3]}]}, {"mounts": {"id": 1}}])
def test_what_is_no_kit_at_all_is_refused_and_not_stumbled_over(junk: Any) -> None:
    assert faults_of(junk)


JUNK: tuple[Any, ...] = ({}, [], None, "x", "", 7, -1.5, 1e308, True, {"a": []}, [[]], [{}])


def pointers_into(value: Any, at: str = "") -> Iterator[str]:
    """Every place of a kit, from the top down."""
    inside = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for step, inner in inside:
        yield f"{at}/{step}"
        yield from pointers_into(inner, f"{at}/{step}")


@pytest.mark.parametrize("pointer", list(pointers_into(sound())))
def test_whatever_stands_in_a_place_is_taken_or_refused_in_words_and_never_stumbled_over(pointer: str) -> None:
    assert all(fault["detail"] for junk in JUNK for fault in faults_of(changed(pointer, junk)))


def test_the_revision_follows_what_the_kit_says_and_not_how_it_is_laid_out() -> None:
    kit = sound()
    turned = json.loads(json.dumps(dict(reversed(kit.items()))).replace("18.0", "18.0"))
    revision = read_kit(kit, "file").revision
    assert read_kit(turned, "request").revision == revision
    assert read_kit(changed("/tubes/0/owned", True), "file").revision == revision
    assert read_kit(changed("/tubes/0/length_mm", 12.0), "file").revision == revision
    assert read_kit(changed("/tubes/0/length_mm", 12.5), "file").revision != revision
    assert read_kit(changed("/tubes/0/owned", False), "file").revision != revision


def test_a_listing_is_a_kit_again() -> None:
    kit = read_kit(sound(), "file")
    assert read_kit(kit.listing, "request").revision == kit.revision


def test_a_rear_plane_that_follows_from_the_mount_may_be_uncertain() -> None:
    stated = {"parameters": ["rear_principal_plane_mm"], "covariance": [[0.01]]}
    assert faults_of(changed(f"{SETTING}/uncertainty", stated)) == []
    stated["parameters"] = ["principal_plane_separation_mm"]
    assert any(
        "gives no principal_plane" in fault["detail"] for fault in faults_of(changed(f"{SETTING}/uncertainty", stated))
    )


def enlarging_lens(**more: Any) -> Members:
    kit = changed("/lenses/0/mount", ...)
    lens = kit["lenses"][0]
    lens["rear_thread"] = "M39x26tpi"
    uncertain = {"parameters": ["rear_principal_plane_mm"], "covariance": [[0.01]]}
    lens["settings"] = [{"id": "measured", "focal_length_mm": 50, "uncertainty": uncertain, **more}]
    return kit


def test_a_rear_plane_that_nothing_places_cannot_be_uncertain() -> None:
    (fault,) = faults_of(enlarging_lens())
    assert fault["pointer"] == f"{SETTING}/uncertainty/parameters/0"
    assert "give one of them" in fault["detail"]
    assert faults_of(enlarging_lens(rear_principal_plane_mm=-9.5)) == []
    assert faults_of(enlarging_lens(register_mm=40)) == []
