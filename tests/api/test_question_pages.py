"""The figures of the pages for single questions: those of the operations, and of sums by hand or published ones."""

import json
import re
from html import unescape
from typing import Any
from urllib.parse import parse_qs, urlsplit

import pytest
from flask.testing import FlaskClient

from asking import answered
from closeup_service.advice import figures
from kit_pages import KitPage, post
from page_reading import Reading, read, result_of


def told(page: Reading) -> list[str]:
    """Figures of a result, as they are shown."""
    return [unescape(each) for each in re.findall(r'class="figure">([^<]+)<', result_of(page))]


def cells(page: Reading) -> str:
    """Text of a result."""
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", result_of(page))))


def fault_at(page: Reading, field: str) -> str:
    found = re.search(rf'id="{field}-fault">(.*?)</p>', page.text)
    assert found, page.text
    return found[1]


def test_frames_and_step_of_a_stack_by_hand(api: FlaskClient) -> None:
    """N_eff 12, depth 2 x 0.02 x 12 / 4 = 0.12 mm, step 0.75 of it, ceil((1 - 0.12) / 0.09) + 1 = 11 frames."""
    query = (
        "magnification=2&f_number=4&pupil_magnification=1&model=geometric&circle_of_confusion_mm=0.02&overlap=25+%25"
    )
    page = read(api, f"/tasks/focus-stack?{query}&subject_depth_mm=1")
    assert told(page)[:3] == ["11", "0.09 mm", "0.12 mm"]


def test_frames_and_step_for_four_millimetres(api: FlaskClient) -> None:
    page = read(api, "/tasks/focus-stack?subject_depth_mm=4+mm&magnification=2:1&f_number=f/5.6&sensor=23.5x15.6")
    asked = {"subject_depth_mm": 4, "magnification": 2, "f_number": 5.6, "sensor": "23.5x15.6"}
    answer = answered(api, "/v1/focus-stack", asked)
    assert told(page)[:2] == [str(answer["frames"]), figures.figure(answer["step_mm"], "step_mm", "mm")]
    assert [urlsplit(each).path for each in page.pictures] == ["/v1/charts/stack"]


def test_a_stack_without_a_sensor_asks_for_the_sensor(api: FlaskClient) -> None:
    page = read(api, "/tasks/focus-stack?subject_depth_mm=4&magnification=2&f_number=5.6")
    assert "sensor" in fault_at(page, "sensor")


def test_a_movement_smears_by_its_way_times_the_magnification(api: FlaskClient) -> None:
    """2 x 1.5 mm/s x 1/200 s = 15 um, five pixels of 3 um."""
    query = "magnification=2&sideways_speed_mm_s=1.5+mm/s&exposure_time_s=1/200&pixel_pitch_um=3"
    assert {"5 px", "15 µm", "7.5 µm"} <= set(told(read(api, f"/tasks/movement?{query}")))


def test_a_flash_that_fades_out_burns_longer_than_its_maker_states(api: FlaskClient) -> None:
    """t0.1 = ln 10 / ln 2 x t0.5 = 3.32 t0.5, exponential: 2 x 10 mm/s x 3.32 / 1000 s = 66.4 um."""
    query = "magnification=2&sideways_speed_mm_s=10&flash_t05_s=1/1000"
    assert "66.4 µm" in told(read(api, f"/tasks/movement?{query}"))
    assert "20 µm" in told(read(api, f"/tasks/movement?{query}&flash_shape=cut"))


def test_movement_along_the_axis_says_whether_the_subject_stays_sharp(api: FlaskClient) -> None:
    query = "magnification=2&axial_speed_mm_s=4&exposure_time_s=1/200"
    assert "yes, its way is no longer" in cells(read(api, f"/tasks/movement?{query}&depth_mm=0.3"))
    assert "no, its way is longer" in cells(read(api, f"/tasks/movement?{query}&depth_mm=0.01"))
    assert "Towards the lens Question" not in cells(read(api, f"/tasks/movement?{query}"))


def test_what_does_not_move_asks_what_moves(api: FlaskClient) -> None:
    page = read(api, "/tasks/movement?magnification=2&ambient_share=7")
    assert "Say what moves" in fault_at(page, "sideways_speed_mm_s")
    assert 'id="ambient_share-fault"' in page.text


NORMAL_OPENING = (
    "/tasks/clear-opening?focal_length_mm=50&magnification=1&pupil_magnification=1&f_number=5&front_principal_plane_mm=20"
    "&subject_diagonal_mm=40&estimate=no"
)


@pytest.mark.parametrize("place", ["distance_mm=30", "distance_from_subject_mm=50"])
def test_a_hole_half_way_to_the_pupil_is_half_the_subject_and_half_the_pupil_wide(api: FlaskClient, place: str) -> None:
    """Entrance pupil 100 mm from the subject and 10 mm wide; 50 mm from it 20 mm + 5 mm, on the axis 5 mm."""
    page = read(api, f"{NORMAL_OPENING}&{place}&opening_diameter_mm=10")
    assert {"25 mm", "5 mm"} <= set(told(page))
    assert "corners" in told(page)


@pytest.mark.parametrize("places", ["", "&distance_mm=30&distance_from_subject_mm=50"])
def test_a_hole_stands_in_one_place(api: FlaskClient, places: str) -> None:
    page = read(api, f"{NORMAL_OPENING}{places}")
    assert "Say once where the hole stands" in fault_at(page, "distance_from_subject_mm")


def test_twice_the_sensor_by_hand(api: FlaskClient) -> None:
    """m' = 2, N_eff' = 32, N' = 32 / 3, two stops; with the mark left at f/8 N_eff there is 8 (1 + 2) = 24.

    Geometric depths: 2 x 0.02 x 16 / 1 = 0.64 mm; left as it is 2 x 0.04 x 24 / 4 = 0.48 mm; the combined model adds
    lambda / NA^2, 4 N_eff^2 lambda / m^2: 0.5632 mm and 0.3168 mm for 550 nm.
    """
    page = read(
        api,
        "/tasks/another-sensor?magnification=1&f_number=8&pupil_magnification=1&sensor_width_mm=24&sensor_height_mm=16"
        "&other_sensor_width_mm=48&other_sensor_height_mm=32&circle_of_confusion_mm=0.02",
    )
    assert "2:1" in told(page)
    assert "2 stops" in told(page)
    assert "10.7" in cells(page)
    answer = answered(
        api,
        "/v1/depth-of-field",
        {"magnification": 2, "f_number": 8, "pupil_magnification": 1, "circle_of_confusion_mm": 0.04},
    )
    assert answer["total_mm"] == pytest.approx(0.48 + 0.3168, rel=0.01)
    assert {"1.2 mm", figures.figure(answer["total_mm"], "total_mm", "mm")} <= set(told(page))


def test_another_lens_there_leaves_the_lens_here_out_of_account(api: FlaskClient) -> None:
    query = "magnification=1&f_number=8&sensor=23.5x15.6&other_sensor=36x24&focal_length_mm=60&pupil_magnification=0.8"
    page = read(api, f"/tasks/another-sensor?{query}&other_focal_length_mm=100&other_pupil_magnification=1")
    asked = [parse_qs(urlsplit(each).query) for each in page.links if each.startswith("/v1/depth-of-field")]
    assert ["focal_length_mm" in each for each in asked] == [True, False]
    assert asked[1]["pupil_magnification"] == ["1"]


def test_a_scale_bar_by_hand(api: FlaskClient) -> None:
    """2 / 0.004 mm = 500 pixels to the mm; a fifth of 6000 pixels is 2.4 mm, so 2 mm and 1000 pixels."""
    page = read(api, "/tasks/scale-bar?magnification=2&pixel_pitch_um=4&image_width_px=6000&scale_basis=measured")
    assert {"1000 px", "500 px/mm"} <= set(told(page))
    assert "Scale bar: 2 mm" in cells(page)
    (picture,) = page.pictures
    assert api.get(picture, headers={"Accept": "image/svg+xml"}).mimetype == "image/svg+xml"


def next_words(page: Reading) -> str:
    return cells(page).partition("Measure next: ")[2][:60]


def width_of_range(page: Reading) -> float:
    low, high = re.findall(r"between ([\d.]+):1 and ([\d.]+):1", cells(page))[0]
    return float(high) - float(low)


def test_a_lens_known_by_its_engravings_has_the_published_range(api: FlaskClient) -> None:
    """Documentation of the statistics: 28 mm f/2.8, reversed on 44 mm without rings, 1.48 to 2.23."""
    page = read(api, "/tasks/my-lens?focal_length_mm=28&widest_f_number=2.8")
    low, high = re.findall(r"between ([\d.]+):1 and ([\d.]+):1", cells(page))[0]
    assert [float(low), float(high)] == pytest.approx([1.48, 2.23], abs=0.06)


def test_a_lens_says_what_to_measure_next_and_gets_better_known(api: FlaskClient) -> None:
    address = "/tasks/my-lens?focal_length_mm=28&widest_f_number=2.8&mount=M42x1&camera_register_mm=44"
    page = read(api, address)
    answer = answered(
        api,
        "/v1/lens-estimate",
        {"focal_length_mm": 28, "widest_f_number": 2.8, "lens_register_mm": 45.46, "camera_register_mm": 44},
    )
    assert next_words(page) == answer["next_measurements"][0]["how"][:60]
    shares = [f"{figures.percent(each['remaining_share'], 2)} %" for each in answer["next_measurements"]]
    assert re.findall(r"Leaves of the range: (\S+ %)", cells(page)) == shares[: shares.index("100 %")]
    measured = read(api, f"{address}&measured_extension_mm=0&measured_magnification=1.87")
    assert width_of_range(measured) < width_of_range(page) / 2


def test_the_mount_and_the_register_of_a_lens_are_one_datum(api: FlaskClient) -> None:
    page = read(api, "/tasks/my-lens?focal_length_mm=28&mount=M42x1&lens_register_mm=45.46")
    assert "one is enough" in fault_at(page, "lens_register_mm")


def test_the_distance_that_matters_is_told_as_a_range(api: FlaskClient) -> None:
    page = read(api, "/tasks/my-lens?focal_length_mm=28&figure=working_distance_mm&extension_mm=7")
    asked = {"focal_length_mm": 28, "figure": "working_distance_mm", "extension_mm": 7}
    figure = answered(api, "/v1/lens-estimate", asked)["figure"]
    expected = figures.figure_in_range(figure["value"], figure["low"], figure["high"], "working_distance_mm", "mm")
    assert f"Working distance Figure: {expected.about} Range: {expected.between}" in cells(page)


def set_up_link(page: Reading) -> str:
    (link,) = (each for each in page.links if each.startswith("/tasks/set-up?"))
    return unescape(link)


def test_a_lens_leads_on_to_a_set_up_that_gives_the_same(api: FlaskClient) -> None:
    page = read(
        api, "/tasks/my-lens?focal_length_mm=28&mount=M42x1&widest_f_number=2.8&extension_mm=7&camera_register_mm=44"
    )
    set_up = read(api, set_up_link(page))
    assert 'class="faults"' not in set_up.text
    assert next(each for each in told(set_up) if ":1" in each) == next(each for each in told(page) if ":1" in each)


FRAMES = "&".join(
    f"extension_{at}_mm={e}&magnification_{at}={(e + 0.4) / 60:.6f}" for at, e in enumerate((20, 40, 60), 1)
)
"""Frames of a lens of 60 mm whose rear plane lies 0.4 mm from where infinity focus puts it."""


def test_frames_tell_the_focal_length(api: FlaskClient) -> None:
    page = read(api, f"/tasks/calibrate-a-lens?camera_register_mm=18&{FRAMES}&relative_uncertainty=0.5+%25")
    assert told(page)[0] == "60 mm"
    assert "±" in cells(page)
    assert [urlsplit(each).path for each in page.pictures] == ["/v1/charts/calibration"]
    assert cells(page).count("Outlier: no") == 3


def test_a_reversed_lens_is_calibrated_as_by_the_operation(api: FlaskClient) -> None:
    asked: dict[str, Any] = {
        "mounting": "reversed",
        "camera_register_mm": 18,
        "frames": [{"extension_mm": e, "magnification": (18 + e + 21) / 35 - 1} for e in (30, 45, 60)],
    }
    frames = "&".join(
        f"extension_{at}_mm={each['extension_mm']}&magnification_{at}={each['magnification']!r}"
        for at, each in zip((2, 4, 7), asked["frames"], strict=True)
    )
    page = read(api, f"/tasks/calibrate-a-lens?mounting=reversed&camera_register_mm=18&{frames}")
    assert told(page)[:2] == ["35 mm", "21 mm"]
    sent = re.search(r'class="address" href="([^"]+)"', page.text)
    assert sent
    document = json.loads(parse_qs(urlsplit(unescape(sent[1])).query)["document"][0])
    assert document == asked
    set_up = read(api, set_up_link(page))
    assert told(set_up)[0] == figures.figure((18 + 30 + 21) / 35 - 1, "magnification", "")


def test_one_frame_wants_the_engraved_focal_length_and_is_then_estimated(api: FlaskClient) -> None:
    one = "/tasks/calibrate-a-lens?mounting=reversed&camera_register_mm=44&extension_1_mm=7&magnification_1=2.15"
    assert "engraved focal length" in fault_at(read(api, one), "focal_length_mm")
    page = read(api, f"{one}&focal_length_mm=28&widest_f_number=2.8")
    assert "about" in told(page)[0]
    assert page.pictures == []
    assert "2.15" in told(read(api, set_up_link(page)))[0]


def test_every_fault_of_a_frame_stands_at_that_frame(api: FlaskClient) -> None:
    page = read(api, "/tasks/calibrate-a-lens?extension_3_mm=20&magnification_3=1&extension_5_mm=-1&magnification_5=2")
    assert fault_at(page, "extension_5_mm")
    assert 'id="extension_3_mm-fault"' not in page.text
    page = read(api, "/tasks/calibrate-a-lens?extension_1_mm=20&focal_length_mm=50")
    assert "magnification of frame 1" in fault_at(page, "magnification_1")


def test_rings_of_the_kit_lead_from_a_reversed_lens_to_the_camera(api: FlaskClient) -> None:
    """The demo kit: a step-up ring of 2.6 mm and a reversing ring of 4 mm, 6.6 mm."""
    page = read(api, "/tasks/rings?lens=wide-35&onto=table-bellows")
    assert told(page)[0] == "6.6 mm"
    assert "Step-up ring 49 to 52 mm, then Reversing ring 52 mm for the bellows" in cells(page)
    assert "To buy: nothing" in cells(page)


def test_the_rings_lead_on_to_the_set_up_with_all_of_them(api: FlaskClient) -> None:
    link = set_up_link(read(api, "/tasks/rings?lens=wide-35&onto=field-camera"))
    assert parse_qs(urlsplit(link).query) == {
        "camera": ["field-camera"],
        "lens": ["wide-35"],
        "reversed": ["yes"],
        "part": ["reversing-49"],
    }
    assert 'class="faults"' not in read(api, link).text


def test_a_lens_on_its_mount_is_told_whether_infinity_focus_stays(api: FlaskClient) -> None:
    """45.46 mm less 18 mm."""
    page = read(api, "/tasks/rings?from_mount=M42x1&to_mount=bayonet-18.0")
    assert "27.5 mm" in told(page)
    assert "Infinity focus: kept" in cells(page)


def test_what_the_kit_lacks_is_to_be_bought(api: FlaskClient) -> None:
    page = read(api, "/tasks/rings?from_thread=M58x0.75&to_mount=bayonet-18.0")
    assert "To buy: reversing ring M58x0.75" in cells(page)
    assert "measure it" in cells(page)
    assert "null" not in cells(page)


@pytest.mark.parametrize(
    ("query", "field"),
    [
        ("onto=field-camera", "lens"),
        ("lens=wide-35", "onto"),
        ("lens=wide-35&from_thread=M49x0.75&onto=field-camera", "from_thread"),
        ("lens=wide-35&onto=field-camera&to_mount=C", "to_mount"),
        ("lens=nothing&onto=field-camera", "lens"),
        ("lens=wide-35&onto=nothing", "onto"),
        ("from_thread=M1x1&onto=field-camera", "from_thread"),
        ("lens=enlarger-75&onto=field-camera", ""),
    ],
)
def test_each_end_of_the_rings_is_given_once(api: FlaskClient, query: str, field: str) -> None:
    page = read(api, f"/tasks/rings?{query}")
    assert (f'id="{field}-fault"' in page.text) == bool(field)


@pytest.mark.parametrize(
    ("address", "words"),
    [
        ("/tasks/rings?lens=wide-35&onto=field-camera", "One ring joins the two, 3.5 mm thick."),
        ("/tasks/rings?from_thread=M58x0.75&to_mount=bayonet-18.0", "You have to buy “reversing ring M58x0.75"),
        ("/tasks/rings?from_mount=bayonet-18.0&to_mount=bayonet-18.0", "no ring is needed"),
        ("/tasks/rings?from_mount=bayonet-9.2&to_mount=bayonet-102.8", "No rings that are known join the two."),
        (
            "/tasks/my-lens?focal_length_mm=28&widest_f_number=2.8",
            "measure next: a photograph of a ruler, the lens reversed.",
        ),
    ],
)
def test_what_is_said_first_names_what_to_do(api: FlaskClient, address: str, words: str) -> None:
    found = re.search(r'<p class="headline">(.*?)</p>', read(api, address).text)
    assert found
    assert words in unescape(found[1]).replace("\u00a0", " ")


def kept(api: FlaskClient, address: str) -> dict[str, Any]:
    """The lens that a page offers to keep, once it was named and added to a kit."""
    found = re.search(r'name="part" value="([^"]*)"', read(api, address).text)
    assert found
    form = KitPage(api, post(api, "/kit", part=unescape(found[1]), do="keep:lenses").text)
    (lens,) = form.press("save:lenses", name="Found", joint="mount:M42x1").kit["lenses"]
    return dict(lens)


def test_a_calibrated_lens_can_be_kept_with_its_uncertainty(api: FlaskClient) -> None:
    frames = "&".join(
        f"extension_{at}_mm={e}&magnification_{at}={(18 + e + 21) / 35 - 1!r}" for at, e in ((1, 30), (2, 60))
    )
    lens = kept(
        api, f"/tasks/calibrate-a-lens?mounting=reversed&camera_register_mm=18&{frames}&relative_uncertainty=0.5+%25"
    )
    assert lens["focal_length_mm"] == pytest.approx(35)
    assert lens["front_principal_plane_mm"] == pytest.approx(21)
    assert lens["uncertainty"]["parameters"] == ["focal_length_mm", "front_principal_plane_mm"]


def test_a_lens_that_is_known_in_part_is_kept_with_what_is_known(api: FlaskClient) -> None:
    known = "focal_length_mm=28&mount=M42x1&widest_f_number=2.8&camera_register_mm=44&measured_extension_mm=7"
    lens = kept(api, f"/tasks/my-lens?{known}&measured_magnification=2.1")
    assert (lens["focal_length_mm"], lens["widest_f_number"], lens["mount"]) == (28, 2.8, "M42x1")
    assert lens["measured"][0]["magnification"] == 2.1
