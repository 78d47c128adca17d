"""A scale bar for the finished picture: `/v1/scale-bar`."""

import io
import re
from typing import Any
from xml.etree import ElementTree

import pytest
from flask.testing import FlaskClient
from PIL import Image

from asking import answered, codes, pointers, refused, text_of, without

PATH = "/v1/scale-bar"
MEASURED: dict[str, Any] = {
    "magnification": 2,
    "pixel_pitch_um": 4,
    "image_width_px": 6000,
    "scale_basis": "measured",
}
"""500 pixels to the mm, 12 mm across; a fifth of that is 2.4 mm, so the bar stands for 2 mm and is 1000 pixels long."""
SVG = "{http://www.w3.org/2000/svg}"


def svg_of(text: str) -> ElementTree.Element:
    return ElementTree.fromstring(text)


def bar_in(text: str) -> dict[str, str]:
    (bar,) = [each for each in svg_of(text).iter(f"{SVG}rect") if each.get("class") == "bar"]
    return bar.attrib


def picture(api: FlaskClient, members: dict[str, Any]) -> Image.Image:
    response = api.post(PATH, json=members, headers={"Accept": "image/png"})
    assert response.status_code == 200, response.text
    assert response.content_type == "image/png"
    return Image.open(io.BytesIO(response.data))


def runs(image: Image.Image, colour: tuple[int, int, int, int]) -> list[int]:
    """Number of pixels of the colour in each row."""
    wide = image.width
    data = image.convert("RGBA").tobytes()
    pixels = [tuple(data[i : i + 4]) for i in range(0, len(data), 4)]
    return [pixels[row * wide : (row + 1) * wide].count(colour) for row in range(image.height)]


def test_a_round_bar_by_hand(api: FlaskClient) -> None:
    answer = answered(api, PATH, MEASURED)
    assert answer["bar_length_um"] == 2000
    assert answer["bar_px"] == pytest.approx(1000, rel=1e-12)
    assert answer["scale_px_per_mm"] == pytest.approx(500)
    assert answer["subject_width_mm"] == pytest.approx(12)
    assert answer["label"] == "2 mm"
    assert answer["caption"].startswith("Scale bar: 2 mm; scale measured, 500 pixels per mm")
    assert answer["assumed"]["share"] == 0.2


@pytest.mark.parametrize(
    ("length", "label"),
    [
        *[(0.5, "0.5 µm"), (250, "250 µm"), (999.5, "999.5 µm"), (1000, "1 mm"), (9000, "9 mm"), (9999.5, "9.9995 mm")],
        *[(10000, "1 cm"), (2.5e5, "25 cm"), (999999, "99.9999 cm"), (1e6, "1 m")],
    ],
)
def test_the_label_has_the_unit_that_people_would_choose(api: FlaskClient, length: float, label: str) -> None:
    asked = {"subject_width_mm": 2000, "image_width_px": 100000, "bar_length_um": length, "scale_basis": "measured"}
    assert answered(api, PATH, asked)["label"] == label


def test_a_computed_scale_says_so_in_its_label(api: FlaskClient) -> None:
    answer = answered(api, PATH, without(MEASURED, "scale_basis"))
    assert answer["assumed"]["scale_basis"] == "computed"
    assert answer["label"] == "2 mm (computed)"
    assert ">2 mm (computed)</text>" in answer["svg"]
    assert "scale computed" in answer["caption"]
    assert "scale-computed" in codes(answer["remarks"])
    assert "scale-computed" not in codes(answered(api, PATH, MEASURED)["remarks"])


def test_crop_and_resizing_are_followed_to_the_finished_picture(api: FlaskClient) -> None:
    """Half the width is 6 mm; 750 pixels for it are 125 to the mm; a fifth is 1.2 mm, so 1 mm: by hand."""
    answer = answered(api, PATH, MEASURED | {"cropped_width_px": 3000, "finished_width_px": 750})
    assert (answer["bar_length_um"], answer["scale_px_per_mm"]) == (1000, pytest.approx(125))
    assert answer["bar_px"] == pytest.approx(125)
    assert answer["subject_width_mm"] == pytest.approx(6)
    assert "picture-cut-or-resized" in codes(answer["remarks"])


def test_the_uncertainty_of_the_scale_is_that_of_the_bar(api: FlaskClient) -> None:
    answer = answered(api, PATH, MEASURED | {"relative_uncertainty": 0.01})
    assert answer["bar_uncertainty_um"] == pytest.approx(20)
    assert answer["caption"].endswith("standard uncertainty 1 %.")
    assert answered(api, PATH, MEASURED)["bar_uncertainty_um"] is None


def test_on_a_print_the_bar_grows_with_it(api: FlaskClient) -> None:
    answer = answered(api, PATH, MEASURED | {"print_width_mm": 240})
    assert answer["print_magnification"] == pytest.approx(20)
    assert answer["print_bar_mm"] == pytest.approx(40)


def test_the_scale_over_the_depth_is_told_in_per_cent(api: FlaskClient) -> None:
    """z / (z - x) = 50 / 48 = 1.0417."""
    answer = answered(api, PATH, MEASURED | {"subject_depth_mm": 2, "perspective_distance_mm": 50})
    assert answer["depth_scale_change"] == pytest.approx(2 / 48)
    assert "4.2%" in text_of(answer, "scale-over-depth")
    alone = answered(api, PATH, MEASURED | {"subject_depth_mm": 2})
    assert alone["depth_scale_change"] is None
    assert "perspective_distance_mm" in text_of(alone, "not-determined")


def test_a_subject_that_reaches_the_pupil_is_refused(api: FlaskClient) -> None:
    problem = refused(api, PATH, MEASURED | {"subject_depth_mm": 50, "perspective_distance_mm": 50})
    assert problem["code"] == "beyond-the-pupil"
    assert pointers(problem) == {"/subject_depth_mm", "/perspective_distance_mm"}


def test_the_svg_is_a_titled_picture_without_scripts_and_its_bar_has_exactly_the_length(api: FlaskClient) -> None:
    answer = answered(api, PATH, MEASURED | {"magnification": 1.2345})
    root = svg_of(answer["svg"])
    assert (root.tag, root.get("role")) == (f"{SVG}svg", "img")
    assert root.findtext(f"{SVG}title") == f"Scale bar, {answer['label']}"
    assert root.findtext(f"{SVG}desc") == answer["caption"]
    assert float(bar_in(answer["svg"])["width"]) == answer["bar_px"]
    assert {each.tag.removeprefix(SVG) for each in root.iter()} == {"svg", "title", "desc", "rect", "text"}


def test_everything_drawn_lies_within_the_svg(api: FlaskClient) -> None:
    answer = answered(api, PATH, MEASURED | {"share": 0.02, "scale_basis": "computed"})
    root = svg_of(answer["svg"])
    width, height = float(root.attrib["width"]), float(root.attrib["height"])
    assert root.get("viewBox") == f"0 0 {width!r} {height!r}"
    for each in root.iter(f"{SVG}rect"):
        x, y, w, h = (float(each.attrib[name]) for name in ("x", "y", "width", "height"))
        assert x >= 0
        assert y >= 0
        assert x + w <= width + 1e-9
        assert y + h <= height + 1e-9


def test_the_svg_alone_is_the_member_of_the_answer(api: FlaskClient) -> None:
    alone = api.post(PATH, json=MEASURED, headers={"Accept": "image/svg+xml"})
    assert alone.content_type == "image/svg+xml"
    assert alone.text == answered(api, PATH, MEASURED)["svg"]


@pytest.mark.parametrize("share", [0.02, 0.2, 0.77])
@pytest.mark.parametrize("outline", ["black", "none"])
def test_the_png_has_a_bar_of_that_many_pixels(api: FlaskClient, share: float, outline: str) -> None:
    asked = MEASURED | {"image_width_px": 1733, "share": share, "colour": "#ff0080", "outline_colour": outline}
    asked |= {"bar_height_px": 9, "font_size_px": 30}
    answer, image = answered(api, PATH, asked), picture(api, asked)
    rows = runs(image, (255, 0, 128, 255))
    edge = 0 if outline == "none" else 2
    bar = rows[image.height - edge - 9 : image.height - edge]
    assert bar == [round(answer["bar_px"])] * 9
    assert answer["drawn_px"] == round(answer["bar_px"])


def test_the_ground_of_the_png_is_transparent_and_the_label_is_above_the_bar(api: FlaskClient) -> None:
    asked = MEASURED | {"bar_height_px": 10, "font_size_px": 40, "outline_colour": "none"}
    with_label, without_label = picture(api, asked), picture(api, asked | {"show_label": False})
    assert with_label.mode == "RGBA"
    assert with_label.getpixel((0, 0)) == (0, 0, 0, 0)
    assert without_label.size == (1000, 10)
    assert with_label.height > 10 + 20
    assert max(runs(with_label, (255, 255, 255, 255))[:30]) > 0


def test_the_micro_sign_is_drawn_and_not_the_box_of_a_missing_letter(api: FlaskClient) -> None:
    """The stem reaches below the baseline, where a label of mm has nothing."""
    asked = MEASURED | {"font_size_px": 100, "bar_height_px": 4, "outline_colour": "none", "image_width_px": 60000}
    micro = picture(api, asked | {"bar_length_um": 1000 * 0.2})
    milli = picture(api, asked | {"bar_length_um": 1000 * 2.0})
    assert micro.height - milli.height == pytest.approx(22, abs=3)
    stem = runs(micro, (255, 255, 255, 255))[-4 - 4 - 10]
    assert 3 < stem < 20


def test_without_label_the_svg_has_no_text(api: FlaskClient) -> None:
    answer = answered(api, PATH, MEASURED | {"show_label": False})
    assert "<text" not in answer["svg"]
    assert answer["label"] == "2 mm"


def test_a_bar_of_few_pixels_is_told_to_be_rounded_in_png(api: FlaskClient) -> None:
    short = answered(api, PATH, MEASURED | {"finished_width_px": 99})
    assert "bar-rounded-to-pixels" in codes(short["remarks"])
    assert "bar-rounded-to-pixels" not in codes(answered(api, PATH, MEASURED)["remarks"])


def test_a_png_too_large_is_refused_where_the_svg_is_not(api: FlaskClient) -> None:
    asked = {"scale_px_per_mm": 1000, "image_width_px": 200000, "share": 0.9}
    response = api.post(PATH, json=asked, headers={"Accept": "image/png"})
    assert response.status_code == 422
    assert response.get_json()["code"] == "drawing-too-large"
    assert api.post(PATH, json=asked, headers={"Accept": "image/svg+xml"}).status_code == 200


@pytest.mark.parametrize("member", ["colour", "outline_colour"])
@pytest.mark.parametrize(
    "hostile",
    [
        '"/><script>alert(1)</script>',
        "url(https://example.org/x)",
        "red\n",
        "#ff00",
        "#ff0000ff",
        "javascript:x",
        "rgb(1,2,3)",
        "&lt;",
        "",
        "transparent" * 100,
        7,
        None,
    ],
)
def test_anything_but_a_plain_colour_is_refused(api: FlaskClient, member: str, hostile: Any) -> None:
    problem = refused(api, PATH, MEASURED | {member: hostile})
    assert pointers(problem) == {f"/{member}"}
    assert "#rrggbb" in problem["errors"][0]["detail"]


@pytest.mark.parametrize("stated", [{"sensor": "36x24"}, {"sensor_width_mm": 36.0, "sensor_height_mm": 24.0}])
def test_a_sensor_counts_for_nothing_beside_a_scale_that_was_measured(api: FlaskClient, stated: dict[str, Any]) -> None:
    problem = refused(api, PATH, {"scale_px_per_mm": 200, "image_width_px": 6000, **stated})
    assert pointers(problem) == {f"/{name}" for name in stated}
    assert "counts for nothing" in problem["errors"][0]["detail"]


def test_none_is_no_colour_for_the_bar_itself(api: FlaskClient) -> None:
    assert pointers(refused(api, PATH, MEASURED | {"colour": "none"})) == {"/colour"}


@pytest.mark.parametrize(
    "name", ["black", "white", "grey", "red", "yellow", "lime", "cyan", "blue", "magenta", "#12aBef"]
)
def test_every_colour_that_is_taken_can_be_drawn(api: FlaskClient, name: str) -> None:
    assert picture(api, MEASURED | {"colour": name, "outline_colour": name}).size[0] >= 1000


@pytest.mark.parametrize(
    ("members", "expected"),
    [
        ({}, {"/image_width_px", "/magnification", "/scale_px_per_mm", "/subject_width_mm"}),
        (MEASURED | {"subject_width_mm": 3}, {"/magnification", "/subject_width_mm"}),
        (without(MEASURED, "pixel_pitch_um"), {"/pixel_pitch_um"}),
        (without(MEASURED, "image_width_px"), {"/image_width_px"}),
        ({"subject_width_mm": 3, "image_width_px": 900, "pixel_pitch_um": 4}, {"/pixel_pitch_um"}),
        (MEASURED | {"share": 0.2, "bar_length_um": 100}, {"/share", "/bar_length_um"}),
        (MEASURED | {"bar_length_um": 12001}, {"/bar_length_um"}),
        (MEASURED | {"cropped_width_px": 6001}, {"/cropped_width_px"}),
        (MEASURED | {"perspective_distance_mm": 50}, {"/subject_depth_mm"}),
        (MEASURED | {"scale_basis": "guessed"}, {"/scale_basis"}),
        (MEASURED | {"show_label": "yes"}, {"/show_label"}),
        (MEASURED | {"share": 1}, {"/share"}),
        (MEASURED | {"crop_factor": 2}, {"/sensor"}),
        (MEASURED | {"label": "<b>"}, {"/label"}),
    ],
)
def test_what_cannot_be_is_refused_with_every_member_at_fault(
    api: FlaskClient, members: dict[str, Any], expected: set[str]
) -> None:
    problem = refused(api, PATH, members)
    assert problem["type"] == "/problems/invalid-fields"
    assert pointers(problem) == expected


def test_the_extremes_of_the_bounds_draw_a_picture_in_bounds(api: FlaskClient) -> None:
    for scale in (1e-4, 1e7):
        for width in (16, 200000):
            answer = answered(api, PATH, {"scale_px_per_mm": scale, "image_width_px": width})
            assert re.fullmatch(r"[0-9.]+ (m|cm|mm|µm) \(computed\)", answer["label"])
            assert len(answer["svg"]) < 8000
