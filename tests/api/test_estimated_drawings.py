"""Drawings and the sheet of lenses that are known only in part: a lens in the middle, and ranges as bands and in words."""

import re
from math import isclose
from typing import Any
from xml.etree import ElementTree

import pytest
from flask.testing import FlaskClient

from asking import answered, codes, text_of, without
from kits import SOUND
from unknown_lenses import KNOWN, TELE, WIDE, unknown_set_up

DRAWING, FRAME, SHEET, EVALUATE = (f"/v1/set-ups/{name}" for name in ("drawing", "frame-drawing", "sheet", "evaluate"))
SVG = "{http://www.w3.org/2000/svg}"
SUBJECT: dict[str, Any] = {"subject_width_mm": 12.0, "subject_height_mm": 8.0, "subject_depth_mm": 2.0}
RATIO = re.compile(r"\d:\d")
SIZES = (
    "magnification",
    "subject_width_mm",
    "subject_height_mm",
    "working_distance_mm",
    "clearance_mm",
    "rig_length_mm",
    "subject_to_sensor_mm",
)


def drawn(api: FlaskClient, path: str, asked: dict[str, Any]) -> ElementTree.Element:
    response = api.post(path, json=asked, headers={"Accept": "image/svg+xml"})
    assert response.status_code == 200, response.text
    return ElementTree.fromstring(response.data)


def texts(picture: ElementTree.Element) -> str:
    return " ".join("".join(each.itertext()) for each in picture.iter(f"{SVG}text"))


def of_class(picture: ElementTree.Element, name: str) -> list[ElementTree.Element]:
    return [each for each in picture.iter() if name in each.get("class", "").split()]


def page(api: FlaskClient, asked: dict[str, Any]) -> str:
    response = api.post(SHEET, json=asked, headers={"Accept": "text/html"})
    assert response.status_code == 200, response.text
    return response.text


@pytest.mark.parametrize("path", [DRAWING, SHEET])
def test_figures_are_those_of_the_evaluated_set_up(api: FlaskClient, path: str) -> None:
    told, evaluated = answered(api, path, unknown_set_up()), answered(api, EVALUATE, unknown_set_up())
    assert {name: told[name] for name in SIZES} == {name: evaluated[name] for name in SIZES}
    assert {name: told["ranges"][name] for name in SIZES} == {name: evaluated["ranges"][name] for name in SIZES}
    assert told["estimated"] == evaluated["estimated"]
    assert told["coverage"] == evaluated["coverage"]
    assert {"lens-estimated", "drawn-for-middle-lens"} <= codes(told["remarks"])


@pytest.mark.parametrize("path", [DRAWING, FRAME, SHEET])
def test_a_range_belongs_to_a_figure_of_the_answer(api: FlaskClient, path: str) -> None:
    more: dict[str, Any] = SUBJECT if path == FRAME else {"subject_depth_mm": 2.0}
    told = answered(api, path, unknown_set_up(**more))
    for name, ends in told["ranges"].items():
        figure: Any = told
        for step in name.split("."):
            figure = figure[step]
        assert ends["low"] <= figure <= ends["high"], name


def test_the_side_view_draws_the_range_of_the_subject_plane_to_scale(api: FlaskClient) -> None:
    asked = unknown_set_up(width_px=900)
    picture, ends = drawn(api, DRAWING, asked), answered(api, DRAWING, asked)["ranges"]["working_distance_mm"]
    [band] = of_class(picture, "range")
    heavy = [each for each in picture.iter(f"{SVG}line") if each.get("stroke-width") == "2.4"]
    bar = next(each for each in heavy if each.get("y1") == each.get("y2"))
    [label] = re.findall(r"(\d+) mm$", next(t for t in map(str, picture.itertext()) if re.fullmatch(r"\d+ mm", t)))
    scale = (float(bar.get("x2", 0)) - float(bar.get("x1", 0))) / float(label)
    assert isclose(float(band.get("width", 0)), scale * (ends["high"] - ends["low"]), rel_tol=0.01)
    assert of_class(picture, "hatched")


def test_the_side_view_says_the_ranges(api: FlaskClient) -> None:
    picture = drawn(api, DRAWING, unknown_set_up(width_px=900))
    said = texts(picture)
    assert "working distance 57 mm (55 to 60)" in said
    assert "95 of 100 such lenses" in said
    assert "28 mm" in said
    title = picture.find(f"{SVG}title")
    assert title is not None
    assert title.text == "Set-up in side view, about 2.1:1, between 1.7:1 and 2.5:1"


def test_what_is_measured_first_is_drawn_without_a_figure(api: FlaskClient) -> None:
    told, picture = answered(api, DRAWING, unknown_set_up(TELE)), drawn(api, DRAWING, unknown_set_up(TELE))
    assert told["magnification"] is None
    assert "magnification" not in told["ranges"]
    assert told["parts"]
    assert told["sensor_mm"] > 0
    assert "magnification" in text_of(told, "measure-first")
    assert "Measure first" in texts(picture)
    assert not RATIO.search("".join(picture.itertext()))
    assert not of_class(picture, "range")


@pytest.mark.parametrize("path", [DRAWING, SHEET])
def test_a_lens_that_is_known_is_drawn_as_without_estimates(api: FlaskClient, path: str) -> None:
    asked = unknown_set_up(KNOWN)
    told, plain = answered(api, path, asked), answered(api, path, without(asked, "estimate_unknown"))
    assert without(told, "link") == without(plain, "link")
    assert not {"ranges", "estimated", "coverage"} & set(plain)


def test_a_plain_drawing_has_no_band(api: FlaskClient) -> None:
    picture = drawn(api, DRAWING, without(unknown_set_up(KNOWN), "estimate_unknown"))
    assert not of_class(picture, "range")


def test_a_solved_length_has_a_range_and_is_drawn(api: FlaskClient) -> None:
    asked = unknown_set_up(solve={"unknown": "/train/1/length_mm", "target": {"magnification": 3}})
    asked["train"] = [WIDE, {"element": "spacer"}]
    told, evaluated = answered(api, DRAWING, asked), answered(api, EVALUATE, asked)
    assert told["magnification"] == pytest.approx(3)
    assert told["solved"] == evaluated["solved"]
    assert told["ranges"]["solved.value"] == evaluated["ranges"]["solved.value"]
    picture = drawn(api, DRAWING, asked)
    assert of_class(picture, "range")
    low, high = (round(told["ranges"]["solved.value"][end]) for end in ("low", "high"))
    assert f"drawn out to {round(told['solved']['value'])} mm ({low} to {high})" in texts(picture)


def test_far_subjects_keep_the_band_within_the_drawing(api: FlaskClient) -> None:
    far = {**WIDE, "reversed": False, "focal_length_mm": 50}
    picture = drawn(api, DRAWING, unknown_set_up(far, 2.0))
    for band in of_class(picture, "range"):
        left, width = float(band.get("x", 0)), float(band.get("width", 0))
        assert left >= 0
        assert left + width <= float(picture.get("width", 0))


def test_parts_of_a_kit_may_lack_data(api: FlaskClient) -> None:
    asked: dict[str, Any] = {
        "camera": {"use": "body"},
        "kit": SOUND,
        "train": [
            {"element": "kit-part", "use": "fifty", "reversed": True, "f_number": 8, "setting": "near"},
            {"element": "spacer", "length_mm": 80.0},
        ],
        "estimate_unknown": True,
    }
    told, evaluated = answered(api, DRAWING, asked), answered(api, EVALUATE, asked)
    assert told["magnification"] == evaluated["magnification"]
    assert told["kit_revision"] == evaluated["kit_revision"]
    assert told["ranges"]


def test_shares_of_the_frame_have_ranges(api: FlaskClient) -> None:
    told = answered(api, FRAME, unknown_set_up(**SUBJECT))
    frame, share = told["ranges"]["frame_width_mm"], told["ranges"]["filled_width_share"]
    assert share["low"] == pytest.approx(SUBJECT["subject_width_mm"] / frame["high"])
    assert share["high"] == pytest.approx(SUBJECT["subject_width_mm"] / frame["low"])
    assert told["filled_width_share"] == pytest.approx(SUBJECT["subject_width_mm"] / told["frame_width_mm"])
    depth = told["ranges"]["depth_of_field.total_mm"]
    assert told["ranges"]["sharp_depth_share"]["high"] == pytest.approx(depth["high"] / SUBJECT["subject_depth_mm"])


def test_the_frame_is_drawn_with_its_least_and_greatest(api: FlaskClient) -> None:
    picture = drawn(api, FRAME, unknown_set_up(width_px=700, **SUBJECT))
    assert of_class(picture, "range")
    assert "least and the greatest of 95 of 100 such lenses" in texts(picture)
    assert not of_class(drawn(api, FRAME, {**without(unknown_set_up(KNOWN), "estimate_unknown"), **SUBJECT}), "range")


def test_a_subject_that_overflows_some_frames_is_said_to(api: FlaskClient) -> None:
    picture = drawn(api, FRAME, unknown_set_up(subject_width_mm=15.5, subject_height_mm=8))
    assert "It overflows the frame with some such lenses." in texts(picture)


def test_a_frame_that_is_measured_first_is_null_and_says_so(api: FlaskClient) -> None:
    told, picture = (
        answered(api, FRAME, unknown_set_up(TELE, **SUBJECT)),
        drawn(api, FRAME, unknown_set_up(TELE, **SUBJECT)),
    )
    names = (
        "magnification",
        "frame_width_mm",
        "frame_height_mm",
        "filled_width_share",
        "filled_area_share",
        "overflows",
    )
    assert [told[name] for name in names] == [None] * len(names)
    assert "measure-first" in codes(told["remarks"])
    assert "Measure first" in texts(picture)
    assert not RATIO.search("".join(picture.itertext()))


def test_the_sheet_prints_figures_with_their_ranges(api: FlaskClient) -> None:
    sheet = page(api, unknown_set_up(subject_depth_mm=2.0))
    assert "<dd>about 2.1:1, between 1.7:1 and 2.5:1</dd>" in sheet
    assert "about 57, between 55 and 60 mm" in sheet
    assert "published designs" in sheet
    assert "Photograph a ruler" in sheet


def test_the_sheet_says_what_to_measure_first(api: FlaskClient) -> None:
    told, sheet = answered(api, SHEET, unknown_set_up(TELE)), page(api, unknown_set_up(TELE))
    assert told["heading"] == "Set-up at a magnification to be measured first, 2 parts before the camera"
    assert "<dd>measure first</dd>" in sheet
    assert "subject_width_mm" not in sheet.split('<p class="link">')[0]
    assert not RATIO.search(re.sub(r"<[^>]*>", " ", sheet))


def test_the_link_asks_for_the_same_estimates(api: FlaskClient) -> None:
    told = answered(api, SHEET, unknown_set_up())
    again = api.get(told["link"], headers={"Accept": "application/json"})
    assert again.get_json()["ranges"] == told["ranges"]
