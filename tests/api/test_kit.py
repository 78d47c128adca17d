"""`/v1/kit`, and parts of the kit in a set-up."""

import json
from typing import Any

import pytest
from flask.testing import FlaskClient

from asking import CAMERA, SET_UPS, answered, codes, pointers, refused
from closeup_service.http.app import create_app
from closeup_service.running.settings import Settings
from closeup_service.schemas.kit import demo_kit, read_kit
from kits import Members, changed, sound

DEMO = demo_kit()
PLAIN: dict[str, Members] = {
    "wide-35": {
        "element": "lens",
        "focal_length_mm": 35,
        "pupil_magnification": 1.3,
        "front_principal_plane_mm": 21.0,
        "principal_plane_separation_mm": 9.0,
        "register_mm": 45.46,
        "front_diameter_mm": 51,
        "front_protrusion_mm": 6,
        "image_circle_mm": 44,
    },
    "enlarger-75": {
        "element": "lens",
        "focal_length_mm": 75.8,
        "pupil_magnification": 1.02,
        "front_principal_plane_mm": 14.5,
        "rear_principal_plane_mm": -9.5,
        "principal_plane_separation_mm": 1.5,
        "front_diameter_mm": 44,
        "image_circle_mm": 80,
    },
    "at-60": {
        "element": "lens",
        "focal_length_mm": 59.2,
        "pupil_magnification": 1.2,
        "front_principal_plane_mm": 84,
        "principal_plane_separation_mm": 31,
        "register_mm": 18.0,
        "front_diameter_mm": 72,
        "front_protrusion_mm": 14,
        "image_circle_mm": 44,
    },
    "tube-16": {"element": "spacer", "length_mm": 16, "clear_diameter_mm": 42},
    "table-bellows": {"element": "spacer", "clear_diameter_mm": 40},
    "step-up-49-52": {"element": "spacer", "length_mm": 2.6, "clear_diameter_mm": 46},
    "m42-to-18": {"element": "spacer", "length_mm": 27.46, "clear_diameter_mm": 38},
    "achromat-10": {
        "element": "close-up-lens",
        "power_dpt": 10,
        "length_mm": 12,
        "front_principal_plane_mm": 4,
        "rear_principal_plane_mm": -5,
    },
    "converter-14": {"element": "teleconverter", "factor": 1.4, "added_length_mm": 18, "register_mm": 18.0},
    "finite-4": {
        "element": "objective",
        "magnification": 4,
        "numerical_aperture": 0.1,
        "tube_length_mm": 160,
        "working_distance_mm": 17,
        "parfocal_distance_mm": 45,
        "field_number_mm": 20,
    },
}
"""What the demo kit's parts are, written out again by hand."""

FIELD_CAMERA = {"register_mm": 18.0, "sensor": "23.5x15.6", "pixel_pitch_um": 3.9, "circle_of_confusion_mm": 0.019}


def part(name: str, **used: Any) -> Members:
    return {"element": "kit-part", "use": name, **used}


def plain(name: str, **used: Any) -> Members:
    return {**PLAIN[name], **used}


TRAINS = {
    "reversed-on-bellows": (
        [part("wide-35", reversed=True, f_number=8), part("step-up-49-52"), part("table-bellows", length_mm=65.5)],
        [plain("wide-35", reversed=True, f_number=8), plain("step-up-49-52"), plain("table-bellows", length_mm=65.5)],
    ),
    "focused-near-on-a-tube": (
        [part("wide-35", f_number=4, focusing_extension_mm=5), part("m42-to-18"), part("tube-16")],
        [plain("wide-35", f_number=4, focusing_extension_mm=5), plain("m42-to-18"), plain("tube-16")],
    ),
    "zoom-with-glass": (
        [part("achromat-10"), part("zoom-24-60", setting="at-60", f_number=11), part("converter-14"), part("tube-16")],
        [plain("achromat-10"), plain("at-60", f_number=11), plain("converter-14"), plain("tube-16")],
    ),
    "objective": (
        [part("finite-4"), {"element": "spacer", "length_mm": 132}],
        [plain("finite-4"), {"element": "spacer", "length_mm": 132}],
    ),
    "bare-enlarging-lens": (
        [part("enlarger-75", f_number=8), part("table-bellows", length_mm=120)],
        [plain("enlarger-75", f_number=8), plain("table-bellows", length_mm=120)],
    ),
}


def assert_same(first: Any, second: Any, where: str = "") -> None:
    if isinstance(first, dict):
        assert first.keys() == second.keys(), where
        for name in first:
            assert_same(first[name], second[name], f"{where}/{name}")
    elif isinstance(first, float):
        assert first == pytest.approx(second, rel=1e-12), where
    else:
        assert first == second, where


@pytest.mark.parametrize("name", TRAINS)
def test_parts_of_the_kit_are_what_they_would_be_written_out(api: FlaskClient, name: str) -> None:
    by_id, written_out = TRAINS[name]
    used = answered(api, SET_UPS, {"camera": {"use": "field-camera"}, "train": by_id})
    expected = answered(api, SET_UPS, {"camera": FIELD_CAMERA, "train": written_out})
    assert used.pop("kit_revision") == DEMO.revision
    assert used["remarks"].pop()["code"] == "demo-kit"
    assert_same(used, expected)


def test_bellows_are_solved_within_their_own_range(api: FlaskClient) -> None:
    train = [part("wide-35", reversed=True, f_number=8), part("table-bellows")]
    solve = {"unknown": "/train/1/length_mm", "target": {"magnification": 2}}
    answer = answered(api, SET_UPS, {"camera": {"use": "field-camera"}, "train": train, "solve": solve})
    assert answer["magnification"] == pytest.approx(2)
    # f (1 + m) = register + bellows + plane, the lens reversed: Newton's form of the lens equation
    assert answer["solved"]["value"] == pytest.approx(35 * 3 - 18 - 21)
    for beyond in (0.5, 9):
        solve["target"] = {"magnification": beyond}
        problem = refused(api, SET_UPS, {"camera": {"use": "field-camera"}, "train": train, "solve": solve})
        assert "from 38 to 165 mm" in problem["detail"]


def test_the_focus_ring_of_a_kit_lens_is_solved_within_its_travel(api: FlaskClient) -> None:
    train = [part("normal-50", f_number=8), part("m42-to-18")]
    solve = {"unknown": "/train/0/focusing_extension_mm", "target": {"magnification": 0.1}}
    answer = answered(api, SET_UPS, {"camera": {"use": "field-camera"}, "train": train, "solve": solve})
    assert answer["solved"]["value"] == pytest.approx(5.16)  # extension = f m
    solve["target"] = {"magnification": 0.2}
    problem = refused(api, SET_UPS, {"camera": {"use": "field-camera"}, "train": train, "solve": solve})
    assert "from 0 to 7.5 mm" in problem["detail"]


def test_a_subject_width_can_be_solved_with_the_sensor_of_a_kit_camera(api: FlaskClient) -> None:
    train = [part("wide-35", reversed=True), part("table-bellows")]
    solve = {"unknown": "/train/1/length_mm", "target": {"subject_width_mm": 12}}
    answer = answered(api, SET_UPS, {"camera": {"use": "stand-camera"}, "train": train, "solve": solve})
    assert answer["subject_width_mm"] == pytest.approx(12)
    assert answer["magnification"] == pytest.approx(3)


def test_a_criterion_of_ones_own_may_stand_beside_the_camera(api: FlaskClient) -> None:
    document = {"camera": {"use": "field-camera", "circle_of_confusion_mm": 0.03}, "train": TRAINS["objective"][0]}
    written_out = {"camera": {**FIELD_CAMERA, "circle_of_confusion_mm": 0.03}, "train": TRAINS["objective"][1]}
    ours = answered(api, SET_UPS, document)["depth_of_field"]
    assert_same(ours, answered(api, SET_UPS, written_out)["depth_of_field"])


def test_a_kit_sent_with_the_request_stands_in_for_the_studios(api: FlaskClient) -> None:
    train = [part("fifty", setting="infinity", f_number=4), part("adapter"), part("tube")]
    answer = answered(api, SET_UPS, {"camera": {"use": "body"}, "train": train, "kit": sound()})
    assert answer["kit_revision"] == read_kit(sound(), "request").revision
    assert "demo-kit" not in codes(answer["remarks"])
    refused(api, SET_UPS, {"camera": {"use": "body"}, "train": train})


def test_a_set_up_without_the_kit_says_nothing_of_one(api: FlaskClient) -> None:
    answer = answered(api, SET_UPS, {"camera": CAMERA, "train": TRAINS["reversed-on-bellows"][1]})
    assert "kit_revision" not in answer
    assert "demo-kit" not in codes(answer["remarks"])


def test_parts_that_are_lent_are_told(api: FlaskClient) -> None:
    train = [part("wide-35", reversed=True, f_number=8), part("step-up-52-58")]
    answer = answered(api, SET_UPS, {"camera": {"use": "club-reflex"}, "train": train})
    (note,) = [remark for remark in answer["remarks"] if remark["code"] == "not-at-hand"]
    assert note["text"].endswith("club-reflex, step-up-52-58.")


FAULTY: list[tuple[Members, str, str]] = [
    (part("wide-53"), "/train/0/use", "near to it: wide-35"),
    (part("Wide 35"), "/train/0/use", "small letters"),
    (part("zoom-24-60"), "/train/0/setting", "at-24, at-35, at-60"),
    (part("zoom-24-60", setting="at-70"), "/train/0/setting", "no such setting"),
    (part("wide-35", f_number=22), "/train/0/f_number", "f/2.8 to f/16"),
    (part("wide-35", focusing_extension_mm=9), "/train/0/focusing_extension_mm", "from 0 to 6 mm"),
    (part("wide-35", length_mm=9), "/train/0/length_mm", "no length_mm to choose on a lens"),
    (part("tube-16", f_number=8), "/train/0/f_number", "on a tube"),
    (part("table-bellows"), "/train/0/length_mm", "38 to 165 mm"),
    (part("table-bellows", length_mm=200), "/train/0/length_mm", "38 to 165 mm"),
    (part("wide-35", focal_length_mm=35), "/train/0/focal_length_mm", "Unknown"),
    ({"element": "kit-part"}, "/train/0/use", "required"),
]


@pytest.mark.parametrize(("element", "pointer", "words"), FAULTY)
def test_a_use_that_does_not_fit_the_part_is_refused_where_it_stands(
    api: FlaskClient, element: Members, pointer: str, words: str
) -> None:
    problem = refused(api, SET_UPS, {"camera": {"use": "field-camera"}, "train": [element]})
    assert problem["type"] == "/problems/invalid-fields"
    (fault,) = problem["errors"]
    assert fault["pointer"] == pointer
    assert words in fault["detail"]


def test_all_faults_against_the_kit_are_told_at_once(api: FlaskClient) -> None:
    train = [part("nothing"), part("table-bellows", length_mm=1), part("zoom-24-60")]
    problem = refused(api, SET_UPS, {"camera": {"use": "no-camera"}, "train": train})
    assert pointers(problem) == {"/camera/use", "/train/0/use", "/train/1/length_mm", "/train/2/setting"}


@pytest.mark.parametrize("member", ["register_mm", "sensor", "pixel_pitch_um"])
def test_what_the_kit_states_of_a_camera_is_not_stated_again(api: FlaskClient, member: str) -> None:
    camera = {"use": "field-camera", member: FIELD_CAMERA[member]}
    assert pointers(refused(api, SET_UPS, {"camera": camera, "train": TRAINS["objective"][0]})) == {f"/camera/{member}"}


def test_a_camera_without_use_still_needs_its_register(api: FlaskClient) -> None:
    problem = refused(api, SET_UPS, {"camera": {"sensor": "36x24"}, "train": TRAINS["objective"][1]})
    assert pointers(problem) == {"/camera/register_mm"}


def test_a_part_of_one_length_cannot_be_solved_for(api: FlaskClient) -> None:
    document = {
        "camera": {"use": "field-camera"},
        "train": [part("wide-35", reversed=True), part("tube-16")],
        "solve": {"unknown": "/train/1/length_mm", "target": {"magnification": 2}},
    }
    assert pointers(refused(api, SET_UPS, document)) == {"/solve/unknown"}


def test_a_range_beyond_the_part_is_refused(api: FlaskClient) -> None:
    document = {
        "camera": {"use": "field-camera"},
        "train": [part("wide-35", reversed=True), part("table-bellows")],
        "solve": {"unknown": "/train/1/length_mm", "minimum": 10, "maximum": 500, "target": {"magnification": 2}},
    }
    assert pointers(refused(api, SET_UPS, document)) == {"/solve/minimum", "/solve/maximum"}


def test_what_physics_refuses_of_a_kit_part_is_laid_at_its_id(api: FlaskClient) -> None:
    kit = changed("/lenses/0/settings/0/front_principal_plane_mm", ...)
    del kit["lenses"][0]["settings"][0]["uncertainty"]
    train = [part("fifty", setting="infinity", reversed=True), part("tube")]
    problem = refused(api, SET_UPS, {"camera": {"use": "body"}, "train": train, "kit": kit})
    assert problem["type"] == "/problems/undetermined"
    assert pointers(problem) == {"/train/0/use"}


def test_the_demo_kit_is_listed_and_says_that_it_is_invented(api: FlaskClient) -> None:
    answer = api.get("/v1/kit").get_json()
    assert answer["origin"] == "demo"
    assert answer["revision"] == DEMO.revision
    assert answer["kit"]["name"].endswith("(invented demo kit)")
    assert 12 <= answer["parts"] <= 40
    assert codes(answer["remarks"]) == {"demo-kit"}
    assert api.post("/v1/kit", json={}).get_json() == answer


def test_a_studios_own_kit_is_listed_as_it_was_read() -> None:
    kit = read_kit(sound(), "file")
    asker = create_app(Settings(kit=kit)).test_client()
    answer = asker.get("/v1/kit").get_json()
    assert answer["origin"] == "file"
    assert answer["remarks"] == []
    assert answer["kit"]["cameras"][0]["sensor"] == "23.5x15.6"
    assert answer["kit"]["tubes"][0] == {**sound()["tubes"][0], "length_mm": 12.0, "available": True, "owned": True}
    train = [part("fifty", setting="near", f_number=4), part("adapter"), part("tube")]
    used = answered(asker, SET_UPS, {"camera": {"use": "body"}, "train": train})
    assert used["kit_revision"] == answer["revision"]


def test_a_listing_is_kept_by_its_tag(api: FlaskClient) -> None:
    first = api.get("/v1/kit")
    again = api.get("/v1/kit", headers={"If-None-Match": first.headers["ETag"]})
    assert again.status_code == 304
    other = create_app(Settings(kit=read_kit(sound(), "file"))).test_client().get("/v1/kit")
    assert other.headers["ETag"] != first.headers["ETag"]


def test_a_kit_sent_is_checked_and_listed(api: FlaskClient) -> None:
    answer = answered(api, "/v1/kit", {"kit": sound()})
    assert answer["origin"] == "request"
    assert answer["parts"] == 10
    assert answered(api, "/v1/kit", {"kit": answer["kit"]})["revision"] == answer["revision"]


def test_every_fault_of_a_kit_sent_is_told_by_its_pointer(api: FlaskClient) -> None:
    kit = changed("/lenses/0/mount", "M43x1")
    kit["tubes"][0]["length_mm"] = None
    problem = refused(api, "/v1/kit", {"kit": kit})
    assert pointers(problem) == {"/kit/lenses/0/mount", "/kit/tubes/0/length_mm"}
    problem = refused(api, SET_UPS, {"camera": CAMERA, "train": TRAINS["objective"][1], "kit": kit})
    assert pointers(problem) == {"/kit/lenses/0/mount", "/kit/tubes/0/length_mm"}


@pytest.mark.parametrize("query", ["?kit=mine", "?colour=red"])
def test_a_query_holds_no_kit(api: FlaskClient, query: str) -> None:
    assert api.get(f"/v1/kit{query}").status_code == 422


def test_a_set_up_of_the_kit_travels_in_a_link(api: FlaskClient) -> None:
    document = {"camera": {"use": "field-camera"}, "train": TRAINS["reversed-on-bellows"][0]}
    linked = api.get(SET_UPS, query_string={"document": json.dumps(document)})
    assert linked.get_json() == answered(api, SET_UPS, document)


@pytest.mark.parametrize("path", ["/v1/kit", "/v1/set-ups/search"])
def test_a_lens_with_impossible_planes_is_refused_by_its_id_and_kills_no_search(api: FlaskClient, path: str) -> None:
    kit = changed("/lenses/0/settings/1/front_principal_plane_mm", 20)
    kit["lenses"][0]["settings"][1]["principal_plane_separation_mm"] = -53.44
    asked = {} if path == "/v1/kit" else {"camera": {"use": "body"}, "subject_width_mm": 10}
    problem = refused(api, path, {**asked, "kit": kit})
    assert problem["type"] == "/problems/invalid-fields"
    setting = "/kit/lenses/0/settings/1"
    assert pointers(problem) == {f"{setting}/front_principal_plane_mm", f"{setting}/principal_plane_separation_mm"}
    for fault in problem["errors"]:
        assert "lens fifty, setting near" in fault["detail"]
        assert "-28 mm long" in fault["detail"]
        assert "Check front_principal_plane_mm" in fault["detail"]
