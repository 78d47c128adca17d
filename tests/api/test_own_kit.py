"""One's own kit, without JavaScript: opened, changed part by part, downloaded, and what is wrong with it."""

import json
from typing import Any

import pytest
from flask.testing import FlaskClient

from closeup_service.operations.asking.limits import MOST_KIT_BYTES
from closeup_service.pages.own_kit.groups import GROUPS
from closeup_service.schemas.kit import demo_kit
from html_pages import read_page
from kit_pages import Fields, KitPage, kit_file, opened, own_kit, post

NEW_PARTS: dict[str, dict[str, str]] = {
    "lenses": {"name": "28 mm f/2.8", "joint": "mount:M42x1", "focal_length_mm": "28 mm", "front_thread": "M49x0.75"},
    "cameras": {"name": "A body", "mount": "bayonet-18.0", "sensor": "36x24"},
    "reversing_rings": {
        **{"name": "Ring 49", "front_joint": "thread:M49x0.75"},
        **{"rear_joint": "mount:bayonet-18.0", "length_mm": "3"},
    },
    "step_rings": {"name": "Step", "front_joint": "thread:M52x0.75", "rear_joint": "thread:M49x0.75", "length_mm": "3"},
    "mount_adapters": {
        **{"name": "Adapter", "front_joint": "mount:M42x1"},
        **{"rear_joint": "mount:bayonet-18.0", "length_mm": "27,46"},
    },
    "tubes": {"name": "Tube", "front_joint": "mount:M42x1", "rear_joint": "mount:M42x1", "length_mm": "1 in"},
    "bellows": {
        **{"name": "Bellows", "front_joint": "mount:M42x1", "rear_joint": "mount:M42x1"},
        **{"minimum_length_mm": "40", "maximum_length_mm": "15 cm"},
    },
    "close_up_lenses": {"name": "Close-up lens", "thread": "M52x0.75", "power_dpt": "3"},
    "converters": {"name": "Converter", "mount": "bayonet-18.0", "factor": "1.4", "added_length_mm": "18"},
    "objectives": {
        **{"name": "Objective", "thread": "RMS", "magnification": "4", "numerical_aperture": "0.1"},
        **{"tube_length_mm": "160"},
    },
    "mounts": {"name": "House bayonet", "register_mm": "20.5"},
}  # fmt: skip


def accepted(api: FlaskClient, kit: dict[str, Any]) -> bool:
    return api.post("/v1/kit", json={"kit": kit}).status_code == 200


def test_the_page_lists_the_kit_in_use_and_offers_to_begin_one(api: FlaskClient) -> None:
    page = read_page(api.get("/kit").text)
    assert "invented" in page.all("p", class_="lead")[0].words
    assert len(page.all("ul", class_="kit-parts")) == len(GROUPS)
    assert {"start", "copy", "show"} <= {button.attributes.get("value") for button in page.all("button")}


def test_a_kit_file_is_opened_and_downloaded_as_it_is(api: FlaskClient) -> None:
    kit = own_kit()
    page = KitPage(api, post(api, "/kit", kit_file=kit_file(kit), do="show").text)
    assert page.kit == kit
    sent = page.answer("export")
    assert sent.headers["Content-Disposition"].startswith("attachment")
    assert sent.headers["Cache-Control"] == "no-store"
    assert json.loads(sent.data) == kit
    assert accepted(api, json.loads(sent.data))


def test_a_kit_begins_empty_or_as_a_copy(api: FlaskClient) -> None:
    first = KitPage(api, api.get("/kit").text)
    assert first.press("start").kit == {"name": "My kit"}
    assert first.press("copy").kit == demo_kit().listing


@pytest.mark.parametrize("group", GROUPS)
def test_a_part_of_every_kind_is_added_changed_and_removed(api: FlaskClient, group: str) -> None:
    page = opened(api, {"name": "Mine"})
    added = page.press(f"add:{group}").press(f"save:{group}", **NEW_PARTS[group])
    (part,) = added.kit[group]
    assert part["name"] == NEW_PARTS[group]["name"]
    assert accepted(api, added.kit)
    form = added.press(f"change:{part['id']}")
    assert form.press(f"save:{group}").kit == added.kit
    renamed = form.press(f"save:{group}", name="Another name").kit
    assert renamed == {**added.kit, group: [{**part, "name": "Another name"}]}
    assert added.press(f"remove:{part['id']}").kit == {"name": "Mine"}


@pytest.mark.parametrize("kit", [own_kit(), demo_kit().listing], ids=["as written", "as the service lists it"])
def test_every_part_of_a_kit_is_shown_in_its_form_and_saved_as_it_was(api: FlaskClient, kit: dict[str, Any]) -> None:
    page = opened(api, kit)
    for group in GROUPS:
        for part in kit[group]:
            assert page.press(f"change:{part['id']}").press(f"save:{group}").kit == kit, part["id"]


def test_a_zoom_gets_a_setting_for_each_focal_length(api: FlaskClient) -> None:
    form = opened(api, {"name": "Mine"}).press("add:lenses")
    two = form.press(
        "settings:lenses", name="Zoom", joint="mount:M42x1", focal_length_mm="35", pupil_magnification="1.2"
    )
    at_70 = {"settings/0/id": "35 mm", "settings/1/id": "70 mm", "settings/1/focal_length_mm": "70"}
    (zoom,) = two.press("save:lenses", **at_70).kit["lenses"]
    assert zoom["settings"] == [
        {"id": "35-mm", "focal_length_mm": 35, "pupil_magnification": 1.2},
        {"id": "70-mm", "focal_length_mm": 70},
    ]


def test_faults_of_a_part_stand_at_its_fields_all_at_once(api: FlaskClient) -> None:
    page = opened(api, {"name": "Mine"}).press("add:lenses")
    wrong = page.press("save:lenses", focal_length_mm="wide", least_f_number="16", greatest_f_number="2", mass_g="-3")
    shown = read_page(wrong.text)
    faulty = {node.attributes.get("id") for node in shown.all("input", "select") if node.attributes.get("aria-invalid")}
    assert faulty == {"name", "joint", "focal_length_mm", "least_f_number", "mass_g"}
    assert "member" not in wrong.text
    assert wrong.kit == {"name": "Mine"}


def test_a_mount_in_use_is_not_removed(api: FlaskClient) -> None:
    page = opened(api, own_kit()).press("remove:house-bayonet")
    assert "cannot be removed" in page.text
    assert page.kit == own_kit()


def test_a_part_with_the_name_of_another_gets_an_id_of_its_own(api: FlaskClient) -> None:
    page = opened(api, {"name": "Mine"})
    for _ in range(2):
        page = page.press("add:cameras").press("save:cameras", **NEW_PARTS["cameras"])
    assert [part["id"] for part in page.kit["cameras"]] == ["a-body", "a-body-2"]


def test_the_name_of_a_kit_is_changed(api: FlaskClient) -> None:
    page = opened(api, own_kit())
    assert page.press("rename", kit_name="Bertha's kit").kit["name"] == "Bertha's kit"
    refused = page.press("rename", kit_name=" ")
    assert (refused.kit["name"], 'role="alert"' in refused.text) == ("Anna's kit", True)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("no kit", "This is no kit file"),
        ("[1, 2]", "This is no kit file"),
        ('{"name": "x", "lenses": [{"id": "a", "name": "My lens", "mount": "M42x1"}]}', "Lens “My lens”"),
        ('{"name": "x", "tubes": [{"id": "a", "name": "T", "length_mm": "long"}]}', "Extension tube “T”"),
        ('{"name": "x", "lense": []}', "did you mean"),
        ('{"cameras": []}', "name: This is missing."),
        (json.dumps({"name": "x" * MOST_KIT_BYTES}), "too large"),
    ],
)
def test_a_bad_kit_says_what_to_correct(api: FlaskClient, text: str, told: str) -> None:
    for address in ("/kit", "/tasks/set-up"):
        answer = post(api, address, kit=text, do="show")
        alert = answer.text[answer.text.index('role="alert"') :]
        assert told.lower() in alert.lower()
        assert "member" not in alert[: alert.index("</ul>")]


def test_what_a_kit_says_is_shown_as_text(api: FlaskClient) -> None:
    kit = own_kit()
    kit["name"] = '<b onclick="x">\'</b>'
    kit["lenses"][0]["name"] = kit["cameras"][0]["name"] = '"><script>alert(1)</script>'
    for answer in (opened(api, kit).text, post(api, "/tasks/set-up", kit=json.dumps(kit)).text):
        assert "<script>alert" not in answer
        assert "<b onclick" not in answer


def test_a_found_lens_is_named_and_added(api: FlaskClient) -> None:
    uncertainty = {"parameters": ["focal_length_mm"], "covariance": [[0.01]]}
    found = {"focal_length_mm": 51.6, "pupil_magnification": 0.98, "uncertainty": uncertainty}
    form = KitPage(api, post(api, "/kit", part=json.dumps(found), do="keep:lenses").text)
    page = form.press("save:lenses", name="Found", joint="mount:M42x1")
    assert page.kit["lenses"] == [{"id": "found", **found, "name": "Found", "mount": "M42x1"}]
    page = form.press("save:lenses", name="Found", joint="mount:M42x1", kit_file=kit_file(own_kit()))
    assert len(page.kit["lenses"]) == len(own_kit()["lenses"]) + 1


@pytest.mark.parametrize("part", ["", "{", "[]", "x" * 30_000])
def test_a_found_part_that_cannot_be_read_is_told(api: FlaskClient, part: str) -> None:
    page = post(api, "/kit", part=part, do="keep:lenses").text
    assert "cannot be read" in page or "This is missing" not in page


@pytest.mark.parametrize(
    "address",
    [
        "/tasks/set-up?register_mm=44&reversed=yes&focal_length_mm=28&tube_mm=7&barrel_length_mm=40",
        "/tasks/my-lens?focal_length_mm=28&lens_register_mm=45.46&barrel_length_mm=40",
        "/tasks/calibrate-a-lens?mounting=reversed&camera_register_mm=18&extension_1_mm=31&magnification_1=1.001"
        "&extension_2_mm=45&magnification_2=1.4&extension_3_mm=60&magnification_3=1.83",
    ],
)
def test_the_lens_of_a_result_is_kept_in_a_kit(api: FlaskClient, address: str) -> None:
    held = dict(Fields(api.get(address, follow_redirects=True).text, "keep-part").sent)
    form = KitPage(api, post(api, "/kit", part=held["part"], do="keep:lenses").text)
    (lens,) = form.press("save:lenses", name="Found", joint="mount:M42x1").kit["lenses"]
    found = json.loads(held["part"])
    assert {name: lens[name] for name in found} == found


@pytest.mark.parametrize("address", ["/tasks/light", "/tasks/find-set-up?camera=field-camera&subject_width_mm=12"])
def test_a_result_without_a_lens_of_its_own_offers_none_to_keep(api: FlaskClient, address: str) -> None:
    assert "keep-part" not in api.get(address).text
