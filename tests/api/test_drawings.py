"""Drawings and the sheet of a set-up: `/v1/set-ups/drawing`, `/v1/set-ups/frame-drawing`, `/v1/set-ups/sheet`."""

import json
from typing import Any
from urllib.parse import parse_qs, urlsplit
from xml.etree import ElementTree

import pytest
from flask.testing import FlaskClient

from asking import answered, codes, pointers, refused

DRAWING, FRAME, SHEET, EVALUATE = (f"/v1/set-ups/{name}" for name in ("drawing", "frame-drawing", "sheet", "evaluate"))
SVG = "{http://www.w3.org/2000/svg}"
CAMERA = {"register_mm": 18.0, "sensor": "23.5x15.6", "circle_of_confusion_mm": 0.019}
REVERSED: dict[str, Any] = {
    "element": "lens",
    "reversed": True,
    "focal_length_mm": 35,
    "f_number": 8,
    "pupil_magnification": 1.3,
    "front_principal_plane_mm": 21.0,
    "principal_plane_separation_mm": 9.0,
    "register_mm": 45.46,
}
ON_RINGS: dict[str, Any] = {"camera": CAMERA, "train": [REVERSED, {"element": "spacer", "length_mm": 31.0}]}
OUT_OF_THE_KIT: dict[str, Any] = {
    "camera": {"use": "field-camera"},
    "train": [
        {"element": "kit-part", "use": "wide-35", "reversed": True, "f_number": 8},
        {"element": "kit-part", "use": "step-up-49-52"},
        {"element": "kit-part", "use": "reversing-52-house"},
        {"element": "kit-part", "use": "table-bellows"},
    ],
    "solve": {"unknown": "/train/3/length_mm", "target": {"subject_width_mm": 12}},
}
FAR: dict[str, Any] = {
    "camera": CAMERA,
    "train": [
        {**REVERSED, "reversed": False, "focal_length_mm": 50},
        {"element": "spacer", "length_mm": 27.46 + 0.2},
    ],
}
BARE: dict[str, Any] = {
    "camera": {"register_mm": 18},
    "train": [
        {"element": "lens", "focal_length_mm": 50, "register_mm": 45.46},
        {"element": "spacer", "length_mm": 57.46},
    ],
}
HOSTILE: list[dict[str, Any]] = [
    {},
    {"camera": CAMERA, "train": []},
    {"camera": CAMERA, "train": [{"element": "spacer", "length_mm": 10}]},
    {"camera": CAMERA, "train": [{"element": "lens", "focal_length_mm": -5}]},
    {**ON_RINGS, "unheard": 1},
    {**ON_RINGS, "train": [{**REVERSED, "principal_plane_separation_mm": -2000.0}]},
    {**ON_RINGS, "camera": {"use": "no-such-camera"}},
    {**ON_RINGS, "solve": {"unknown": "/train/1/length_mm", "target": {"magnification": 2}}},
    {**OUT_OF_THE_KIT, "solve": {"unknown": "/train/3/length_mm", "target": {"magnification": 900}}},
]


def drawn(api: FlaskClient, path: str, document: dict[str, Any]) -> ElementTree.Element:
    response = api.post(path, json=document, headers={"Accept": "image/svg+xml"})
    assert response.status_code == 200, response.text
    return ElementTree.fromstring(response.text)


def texts(root: ElementTree.Element) -> list[str]:
    return [each.text or "" for each in root.iter(f"{SVG}text")]


@pytest.mark.parametrize("document", HOSTILE)
@pytest.mark.parametrize("path", [DRAWING, SHEET])
@pytest.mark.parametrize("accepted", ["application/json", "image/svg+xml, text/html"])
def test_what_evaluate_refuses_is_refused_alike(
    api: FlaskClient, path: str, document: dict[str, Any], accepted: str
) -> None:
    ours = api.post(path, json=document, headers={"Accept": accepted})
    theirs = api.post(EVALUATE, json=document)
    known = ours.get_json()
    assert (ours.status_code, known["type"], pointers(known)) == (
        theirs.status_code,
        theirs.get_json()["type"],
        pointers(theirs.get_json()),
    )


def test_parts_of_the_kit_have_their_names_and_the_solved_length(api: FlaskClient) -> None:
    found = answered(api, DRAWING, OUT_OF_THE_KIT)
    assert [part["kind"] for part in found["parts"]] == ["lens", "ring", "ring", "bellows"]
    assert found["parts"][0]["name"] == "35 mm f/2.8 of the old screw mount"
    assert found["parts"][0]["settings"] == "reversed, f/8"
    bellows = found["parts"][3]
    assert bellows["end_mm"] - bellows["start_mm"] == pytest.approx(found["solved"]["value"])
    assert found["parts"][0]["diameter_known"] is True
    assert found["subject_width_mm"] == pytest.approx(12)
    assert {"drawn-to-no-measure", "demo-kit"} <= codes(found["remarks"])
    assert len(found["kit_revision"]) == 32


PLAIN: list[dict[str, Any]] = [{**REVERSED, "reversed": False}, {"element": "spacer", "length_mm": 40}]


@pytest.mark.parametrize(
    "train",
    [
        [{"element": "close-up-lens", "power_dpt": 4}, *PLAIN],
        [*PLAIN, {"element": "teleconverter", "factor": 1.4, "added_length_mm": 18}],
    ],
)
def test_glass_before_and_behind_the_lens_is_drawn(api: FlaskClient, train: list[dict[str, Any]]) -> None:
    """Its surface, and its ring or tube on both sides of the axis."""
    shapes = [
        sum(each.tag in (f"{SVG}path", f"{SVG}polygon") for each in drawn(api, DRAWING, of_train).iter())
        for of_train in ({"camera": CAMERA, "train": PLAIN}, {"camera": CAMERA, "train": train})
    ]
    assert shapes[1] >= shapes[0] + 3


def test_the_drawing_says_in_words_what_it_shows(api: FlaskClient) -> None:
    root = drawn(api, DRAWING, ON_RINGS)
    assert root.findtext(f"{SVG}title") == "Set-up in side view, 1:1"
    description = root.findtext(f"{SVG}desc") or ""
    assert "Lens, 35 mm, reversed, f/8; Tube or ring, 31 mm" in description
    found = answered(api, DRAWING, ON_RINGS)
    assert f"working distance {found['working_distance_mm']:.3g} mm" in texts(root)
    assert f"rig {found['rig_length_mm']:.3g} mm" in texts(root)


def test_only_a_reversed_lens_has_the_turned_arrow(api: FlaskClient) -> None:
    def arcs(document: dict[str, Any]) -> int:
        return sum(" a" in each.attrib.get("d", "") for each in drawn(api, DRAWING, document).iter(f"{SVG}path"))

    assert arcs(ON_RINGS) == 2
    assert arcs(FAR) == 0


def test_a_far_subject_breaks_the_scale_and_says_so(api: FlaskClient) -> None:
    assert answered(api, DRAWING, ON_RINGS)["scale_broken"] is False
    found = answered(api, DRAWING, FAR)
    assert found["scale_broken"] is True
    assert {"scale-broken", "subject-drawn-cut"} <= set(codes(found["remarks"]))
    assert "way cut short at the wavy lines" in texts(drawn(api, DRAWING, FAR))
    assert "way cut short at the wavy lines" not in texts(drawn(api, DRAWING, ON_RINGS))


def test_what_is_not_known_is_drawn_by_an_assumption_that_is_named(api: FlaskClient) -> None:
    found = answered(api, DRAWING, BARE)
    assert found["working_distance_mm"] is None
    assert found["parts"][0]["length_known"] is False
    assert found["assumed"]["/drawn_working_distance_mm"] == pytest.approx(found["parts"][0]["start_mm"])
    assert "/train/0/drawn_length_mm" in found["assumed"]
    assert "/train/1/drawn_diameter_mm" in found["assumed"]
    assert found["assumed"]["/camera/drawn_sensor_height_mm"] == 24
    assert {"not-determined", "length-drawn-by-assumption"} <= set(codes(found["remarks"]))
    assert "working distance not known" in texts(drawn(api, DRAWING, BARE))


def test_names_of_a_kit_are_escaped(api: FlaskClient) -> None:
    hostile = '<script>alert(1)</script>&"'
    kit = {
        "name": "Invented",
        "tubes": [
            {
                "id": "tube",
                "name": hostile,
                "length_mm": 20,
                "front": {"mount": "M42x1", "side": "body"},
                "rear": {"mount": "M42x1", "side": "lens"},
            }
        ],
    }
    document = {**ON_RINGS, "train": [REVERSED, {"element": "kit-part", "use": "tube"}], "kit": kit}
    root = drawn(api, DRAWING, document)
    assert hostile in (root.findtext(f"{SVG}desc") or "")
    assert not list(root.iter(f"{SVG}script"))
    page = api.post(SHEET, json={**document, "heading": hostile}, headers={"Accept": "text/html"}).text
    assert "<script>" not in page
    assert "&lt;script&gt;" in page


@pytest.mark.parametrize(("width", "taken"), [(319, False), (320, True), (1600, True), (1601, False), (400.5, False)])
def test_the_width_has_bounds(api: FlaskClient, width: float, taken: bool) -> None:
    response = api.post(DRAWING, json={**ON_RINGS, "width_px": width})
    assert response.status_code == (200 if taken else 422)


def test_the_frame_by_hand(api: FlaskClient) -> None:
    """At 1:1 the frame is as large as the sensor, 23.5 x 15.6 mm."""
    found = answered(
        api, FRAME, {**ON_RINGS, "subject_width_mm": 11.75, "subject_height_mm": 31.2, "subject_depth_mm": 2}
    )
    m = found["magnification"]
    assert found["frame_width_mm"] == pytest.approx(23.5 / m)
    assert found["filled_width_share"] == pytest.approx(0.5 * m)
    assert found["filled_height_share"] == pytest.approx(2 * m)
    assert found["filled_area_share"] == pytest.approx(0.5 * m * 1)
    assert found["overflows"] is True
    assert found["sharp_depth_share"] == pytest.approx(found["depth_of_field"]["total_mm"] / 2)


def test_a_subject_that_the_set_up_was_solved_for_fills_the_frame_without_overflow(api: FlaskClient) -> None:
    found = answered(api, FRAME, {**OUT_OF_THE_KIT, "subject_width_mm": 12, "subject_height_mm": 5})
    assert found["filled_width_share"] == pytest.approx(1)
    assert found["overflows"] is False


def test_frame_and_subject_are_drawn_to_one_scale(api: FlaskClient) -> None:
    asked = {**ON_RINGS, "subject_width_mm": 8, "subject_height_mm": 5}
    found = answered(api, FRAME, asked)
    root = drawn(api, FRAME, asked)
    frame = next(each for each in root.iter(f"{SVG}rect") if each.get("class") == "ink").attrib
    subject = next(root.iter(f"{SVG}ellipse")).attrib
    for side, radius in (("width", "rx"), ("height", "ry")):
        share = 2 * float(subject[radius]) / float(frame[side])
        assert share == pytest.approx(found[f"filled_{side}_share"], rel=1e-3)


def test_a_frame_needs_a_sensor(api: FlaskClient) -> None:
    assert pointers(refused(api, FRAME, {**BARE, "subject_width_mm": 8})) == {"/camera/sensor"}


def test_the_link_of_a_sheet_asks_for_the_same_again(api: FlaskClient) -> None:
    found = answered(api, SHEET, {**OUT_OF_THE_KIT, "heading": "Lichen & slate", "subject_depth_mm": 1})
    again = api.get(found["link"])
    assert again.get_json() == found
    assert json.loads(parse_qs(urlsplit(found["link"]).query)["document"][0])["heading"] == "Lichen & slate"


def test_a_sheet_with_a_kit_of_its_own_has_no_link_and_says_why(api: FlaskClient) -> None:
    asked = {**ON_RINGS, "kit": {"name": "Invented"}}
    assert answered(api, SHEET, asked)["link"] is None
    assert "This sheet has no link" in api.post(SHEET, json=asked, headers={"Accept": "text/html"}).text


def test_the_sheet_tells_what_evaluate_does(api: FlaskClient) -> None:
    asked = {**ON_RINGS, "subject_depth_mm": 2}
    sheet, plain = answered(api, SHEET, asked), answered(api, EVALUATE, asked)
    for name in (
        "cautions",
        "stack_frames",
        "stack_step_mm",
        "depth_of_field",
        "effective_f_number",
        "optimum_f_number",
    ):
        assert sheet[name] == plain[name]


def test_the_sheet_says_in_words_what_was_assumed(api: FlaskClient) -> None:
    page = api.post(SHEET, json=ON_RINGS, headers={"Accept": "text/html"}).text
    assert "part 1 focusing extension 0 mm" in page
    assert "wavelength 550 nm" in page
    assert "part 2 drawn diameter 54 mm" in page
    assert "/train/" not in page
