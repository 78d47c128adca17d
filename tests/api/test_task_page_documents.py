"""A set-up that came as a document: its parts stand on the bench as parts, and what has no field is kept and said."""

import json
import re
from html import unescape
from importlib.resources import files
from typing import Any
from urllib.parse import parse_qs, urlencode, urlsplit

import pytest
from flask.testing import FlaskClient

from page_reading import Reading, read, result_of

SET_UP = "/tasks/set-up"
DEMO_KIT: Any = json.loads(files("closeup_service.gear").joinpath("data", "demo_kit.json").read_text(encoding="utf-8"))
TUBED: dict[str, Any] = {
    "camera": {"register_mm": 18, "sensor": "23.5x15.6"},
    "train": [
        {"element": "close-up-lens", "power_dpt": 2},
        {"element": "spacer", "length_mm": 3.5},
        {
            "element": "lens",
            "focal_length_mm": 50,
            "f_number": 8,
            "register_mm": 18,
            "front_principal_plane_mm": 27,
            "reversed": False,
        },
        {"element": "spacer", "length_mm": 20},
    ],
}
"""A ring stands before the lens."""


def opened(document: Any, **more: str) -> str:
    return f"{SET_UP}?{urlencode({'document': json.dumps(document), **more})}"


def typed_at(api: FlaskClient, address: str) -> dict[str, list[str]]:
    """What the address holds to which an address leads."""
    answer = api.get(address)
    assert answer.status_code == 303, answer.text
    return parse_qs(urlsplit(answer.headers["Location"]).query)


def asked_of(page: Reading) -> Any:
    """Document that the page asks the service for."""
    link = next(link for link in page.links if link.startswith("/v1/set-ups/evaluate?"))
    document = json.loads(parse_qs(urlsplit(link).query)["document"][0])
    return {name: value for name, value in document.items() if name != "estimate_unknown"}


def figure(page: Reading, label: str) -> str:
    found = re.search(rf'<dt>{label}</dt><dd><span class="figure">([^<]*)', page.text)
    assert found
    return found[1]


def hit_of(api: FlaskClient) -> str:
    found = read(api, "/tasks/find-set-up?subject_width_mm=12&camera=field-camera&best=1")
    return next(link for link in found.links if link.startswith(f"{SET_UP}?document="))


def test_a_document_opens_with_its_parts_as_fields(api: FlaskClient) -> None:
    assert typed_at(api, opened(TUBED)) == {
        "part1": ["typed_close-up-lens"],
        "part1_power_dpt": ["2"],
        "part2": ["typed_spacer"],
        "part2_length_mm": ["3.5"],
        "part3": ["typed_lens"],
        "part3_focal_length_mm": ["50"],
        "part3_f_number": ["8"],
        "part3_register_mm": ["18"],
        "part3_front_principal_plane_mm": ["27"],
        "part3_reversed": ["no"],
        "part4": ["typed_spacer"],
        "part4_length_mm": ["20"],
        "register_mm": ["18"],
        "sensor": ["23.5x15.6"],
    }
    assert asked_of(read(api, opened(TUBED))) == TUBED


def test_a_hit_of_a_search_opens_with_parts_of_the_kit(api: FlaskClient) -> None:
    page = read(api, hit_of(api))
    assert "1.96:1" in result_of(page)
    assert "{" not in next(link for link in page.links if link.startswith(f"{SET_UP}?part1="))
    asked = asked_of(page)
    assert {each["element"] for each in asked["train"]} == {"kit-part"}
    assert asked["camera"] == {"use": "field-camera"}


def test_what_is_changed_in_a_hit_is_used_and_the_document_is_gone(api: FlaskClient) -> None:
    page = read(api, hit_of(api))
    typed = typed_at(api, hit_of(api))
    place = next(name for name in typed if name.endswith("f_number"))
    changed = read(api, f"{SET_UP}?{urlencode({**typed, place: ['f/4']}, doseq=True)}")
    assert figure(changed, "Effective f-number") != figure(page, "Effective f-number")
    lens = next(each for each in asked_of(changed)["train"] if "f_number" in each)
    assert lens["f_number"] == 4
    assert "document" not in typed


@pytest.mark.parametrize(
    ("more", "field"),
    [
        ({"part3_f_number": "4"}, "part3_f_number"),
        ({"sensor": "36x24"}, "sensor"),
        ({"f_number": "4"}, "f_number"),
        ({"focal_length_mm": "90"}, "focal_length_mm"),
    ],
)
def test_two_sources_of_one_datum_are_a_fault_at_the_field(api: FlaskClient, more: dict[str, str], field: str) -> None:
    page = read(api, opened(TUBED, **more))
    assert f'id="{field}-fault"' in page.text
    assert 'id="result"' not in page.text


def test_what_the_document_leaves_out_can_be_given_beside_it(api: FlaskClient) -> None:
    typed = typed_at(api, opened(TUBED, subject_depth_mm="1,5 mm", units="in"))
    assert typed["subject_depth_mm"] == ["1,5 mm"]
    assert typed["units"] == ["in"]


def test_fields_of_former_forms_for_documents_still_change_it(api: FlaskClient) -> None:
    typed = typed_at(api, opened(TUBED, **{"/train/2/f_number": "f/4", "/camera/sensor": "36x24"}))
    assert typed["part3_f_number"] == ["f/4"]
    assert typed["sensor"] == ["36x24"]


def test_what_has_no_field_is_kept_and_said_and_can_be_left_out(api: FlaskClient) -> None:
    lens = {
        **TUBED["train"][2],
        "image_circle_mm": 44,
        "uncertainty": {"parameters": ["focal_length_mm"], "covariance": [[1]]},
    }
    document = {**TUBED, "train": [lens, TUBED["train"][3]], "clear_opening": {"distance_mm": 5}}
    page = read(api, opened(document))
    assert asked_of(page) == document
    assert "Kept from the document: uncertainty" in page.shown
    assert "Kept from the document: clear opening" in page.shown
    typed = typed_at(api, opened(document))
    del typed["part1_more"]
    left = asked_of(read(api, f"{SET_UP}?{urlencode(typed, doseq=True)}"))
    assert left["train"][0] == {name: value for name, value in lens.items() if name != "uncertainty"}


def test_what_was_kept_and_is_given_as_well_is_a_fault(api: FlaskClient) -> None:
    typed = typed_at(api, opened(TUBED)) | {"part3_more": ['{"f_number":4}']}
    page = read(api, f"{SET_UP}?{urlencode(typed, doseq=True)}")
    assert 'id="part3_f_number-fault"' in page.text


def test_an_open_length_is_blank_and_its_target_stands_in_its_field(api: FlaskClient) -> None:
    train = [*TUBED["train"][:3], {"element": "spacer"}]
    asked = {**TUBED, "train": train, "solve": {"unknown": "/train/3/length_mm", "target": {"magnification": 1}}}
    typed = typed_at(api, opened(asked))
    assert typed["target_magnification"] == ["1"]
    assert "part4_length_mm" not in typed
    assert "find" not in typed
    changed = read(api, f"{SET_UP}?{urlencode({**typed, 'target_magnification': ['1:2']}, doseq=True)}")
    assert "1:2" in result_of(changed)


def test_another_length_to_find_is_named(api: FlaskClient) -> None:
    solve = {"unknown": "/train/2/focusing_extension_mm", "target": {"magnification": 0.6}}
    typed = typed_at(api, opened({**TUBED, "solve": solve}))
    assert typed["find"] == ["part3_focusing_extension_mm"]
    assert asked_of(read(api, opened({**TUBED, "solve": solve})))["solve"] == solve


def test_what_is_refused_stands_at_its_field(api: FlaskClient) -> None:
    lens = {"element": "lens", "focal_length_mm": 0, "register_mm": 18}
    page = read(api, opened({**TUBED, "train": [lens]}))
    assert 'id="part1_focal_length_mm-fault"' in page.text


def test_what_is_refused_of_no_field_stands_where_it_is_kept(api: FlaskClient) -> None:
    page = read(api, opened({**TUBED, "colour": 1}))
    assert 'href="#more"' in page.text


@pytest.mark.parametrize("document", [{}, {"camera": 5, "train": 5}, {"camera": {}, "train": [5, {}, {"element": 1}]}])
def test_documents_of_any_shape_are_answered(api: FlaskClient, document: Any) -> None:
    page = read(api, opened(document))
    assert 'class="faults"' in page.text


def test_a_document_too_long_for_fields_says_so_and_is_used(api: FlaskClient) -> None:
    page = read(api, opened({**TUBED, "kit": DEMO_KIT}))
    assert 'id="result"' in page.text
    assert "too long to be changed part by part" in unescape(page.text)
    assert not any(each["name"].startswith("part1") for each in page.controls)


def test_the_subject_is_drawn_into_the_frame_of_a_document(api: FlaskClient) -> None:
    page = read(api, opened(TUBED, drawn_width_mm="10"))
    assert any(picture.startswith("/v1/set-ups/frame-drawing") for picture in page.pictures)


def test_a_kit_that_a_document_brings_along_names_its_parts(api: FlaskClient) -> None:
    kit = {name: DEMO_KIT[name] for name in ("name", "mounts")} | {
        "cameras": DEMO_KIT["cameras"][:1],
        "tubes": [{**DEMO_KIT["tubes"][0], "id": "brass", "name": "Brass tube"}],
    }
    train = [TUBED["train"][2], {"element": "kit-part", "use": "brass"}]
    page = read(api, opened({"camera": TUBED["camera"], "train": train, "kit": kit}))
    assert "2. Brass tube" in page.shown
    assert "Kept from the document: kit" in page.shown
