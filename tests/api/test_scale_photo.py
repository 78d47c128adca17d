"""`/v1/scale-reading/photo` and `/comparison`: what photographs of rulers tell, and what is refused."""

import threading
from base64 import b64decode
from io import BytesIO
from math import atan, degrees, sqrt
from typing import Any

import numpy as np
import pytest
from flask.testing import FlaskClient
from PIL import Image

from asking import codes, pointers, text_of
from busy import every_place_taken
from closeup_service.http.app import create_app
from closeup_service.operations.asking.turns import TURN, Busy, one_at_a_time
from closeup_service.operations.measure.scale_comparison import operation as scale_comparison
from closeup_service.operations.measure.scale_photo import operation as scale_photo
from closeup_service.operations.operation import Operation
from closeup_service.running.settings import Settings
from even_patterns import even_pattern
from example_answers import asked
from other_scales import blocks, l_shaped
from photograph_asking import COMPARISON, PHOTO, RULER, answered, read, refusal, small, zone_named
from photograph_files import png_of_16_bits, saved
from ruler_pictures import PIXELS_PER_MM, as_pixels, jpeg, pictures, ruler
from running_service import until
from uploads import form, sent


@pytest.mark.parametrize("operation", [scale_photo.OPERATION, scale_comparison.OPERATION], ids=["photo", "comparison"])
def test_the_kept_answer_of_an_example_is_the_answer(api: FlaskClient, operation: Operation) -> None:
    for example in operation.examples:
        assert_alike(asked(api, operation, example), example.answer)


def assert_alike(found: Any, kept: Any) -> None:
    """The same but for the last digits, and for figures that are noise about zero."""
    if isinstance(kept, dict):
        assert found.keys() == kept.keys()
        for name, value in kept.items():
            assert_alike(found[name], value)
    elif isinstance(kept, list):
        assert len(found) == len(kept)
        for one, other in zip(found, kept, strict=True):
            assert_alike(one, other)
    elif isinstance(kept, float):
        assert found == pytest.approx(kept, rel=0.02, abs=0.01)
    else:
        assert found == kept


def test_the_scale_is_that_of_the_drawing(api: FlaskClient) -> None:
    answer = read(api, pictures()["ruler.jpg"], sensor="23.5x15.6")
    assert answer["scale_px_per_mm"] == pytest.approx(PIXELS_PER_MM, rel=0.002)
    assert answer["scale_low_px_per_mm"] < PIXELS_PER_MM < answer["scale_high_px_per_mm"]
    assert answer["magnification"] == pytest.approx(PIXELS_PER_MM * 23.5 / 1500, rel=0.002)  # 1500 pixels on 23.5 mm
    assert answer["subject_width_mm"] == pytest.approx(15.0, rel=0.002)
    assert answer["direction_deg"] == pytest.approx(8.0, abs=0.2)
    assert answer["suggested_tick_pitch_mm"] == 0.5
    assert answer["dark_marks"] is True
    assert answer["overlay"] is None
    left, right = (zone_named(answer, name)["edge_width_um"] for name in ("middle-left", "middle-right"))
    assert right > 1.3 * left  # the drawing grows soft towards the right


def test_a_pixel_pitch_and_a_sensor_give_the_same_magnification(api: FlaskClient) -> None:
    by_pitch = read(api, small(), pixel_pitch_um=20, pitch_error=0.01)
    by_width = read(api, small(), used_width_mm=18)
    assert by_pitch["magnification"] == pytest.approx(by_width["magnification"], rel=1e-12)
    assert by_pitch["magnification"] == pytest.approx(60 * 0.020, rel=0.002)  # pixels per mm times pitch
    assert by_pitch["magnification_uncertainty"] > 0.01 * by_pitch["magnification"]
    assert by_pitch["relative_uncertainty"] == by_width["relative_uncertainty"] < 0.01
    assert "full-resolution-taken" in codes(by_pitch["remarks"])


def test_without_pitch_or_sensor_the_magnification_is_open(api: FlaskClient) -> None:
    answer = read(api, small())
    assert {answer[name] for name in ("magnification", "ratio", "magnification_uncertainty", "magnification_low")} == {
        None
    }
    assert "magnification" in text_of(answer, "not-determined")
    assert "pixel_pitch_um" in text_of(answer, "not-determined")


def test_an_upright_photograph_has_the_sensors_width_along_its_longer_side(api: FlaskClient) -> None:
    lying = read(api, small(), sensor="36x24")
    exif = Image.Exif()
    exif[0x0112] = 6
    standing = read(api, saved(Image.open(BytesIO(small())), "PNG", exif=exif), sensor="36x24")
    assert (standing["image_width_px"], standing["image_height_px"]) == (600.0, 900.0)
    assert standing["magnification"] == pytest.approx(lying["magnification"], rel=1e-4)
    assert abs(standing["direction_deg"]) == pytest.approx(90 - 8, abs=0.2)
    assert "frame-turned" in codes(standing["remarks"])
    assert "frame-turned" not in codes(lying["remarks"])


def test_what_is_not_known_of_the_tilt_is_in_the_uncertainty(api: FlaskClient) -> None:
    unknown, known = read(api, small()), read(api, small(), perspective_distance_mm=100)
    assert unknown["tilt_deg"] is None
    assert "cosine error" in text_of(unknown, "not-determined")
    assert known["tilt_deg"] == pytest.approx(0, abs=1)
    assert known["relative_uncertainty"] < unknown["relative_uncertainty"]


def test_the_error_of_the_ruler_is_counted(api: FlaskClient) -> None:
    plain, with_error = read(api, small()), read(api, small(), scale_error=0.01)
    parts = {part["source"]: part["relative_uncertainty"] for part in with_error["contributions"]}
    assert with_error["relative_uncertainty"] == pytest.approx(sqrt(plain["relative_uncertainty"] ** 2 + 0.01**2))
    assert parts["ruler"] == 0.01
    assert plain["assumed"] == {"scale_error": 0.0, "largest_tilt_deg": 5.0}
    assert "errors-not-counted" in codes(plain["remarks"])
    assert "errors-not-counted" not in codes(with_error["remarks"])


def test_a_tilted_ruler_shows_its_tilt(api: FlaskClient) -> None:
    """Perspective by pinhole: a point at x on a plane tilted by t, seen from z, stands at x cos t / (1 - x sin t / z)."""
    tilt, distance = 8.0, 60.0
    source = as_pixels(ruler(1800, 600, 60.0, 0.0), colour=False)
    x = (np.arange(900) - 449.5) / 60.0
    from_mm = x / (np.cos(np.radians(tilt)) + x * np.sin(np.radians(tilt)) / distance)
    column = np.clip(from_mm * 60.0 + 899.5, 0, 1798)
    left = column.astype(int)
    share = column - left
    picture = (source[:, left] * (1 - share) + source[:, left + 1] * share).astype(np.uint8)
    answer = read(api, saved(picture, "PNG"), perspective_distance_mm=distance)
    assert abs(answer["tilt_deg"]) == pytest.approx(tilt, abs=3 * answer["tilt_uncertainty_deg"] + 0.3)
    assert answer["scale_px_per_mm"] == pytest.approx(60.0, rel=0.003)
    assert degrees(atan(abs(answer["keystone"]))) > 1


@pytest.mark.parametrize(
    ("picture", "in_file", "used"),
    [
        (saved(as_pixels(ruler(900, 600, 60.0), 16, colour=False), "PNG"), 16, 16),
        (png_of_16_bits(as_pixels(ruler(900, 600, 60.0), 16)), 16, 8),
    ],
    ids=["grey", "colour"],
)
def test_depth_that_is_not_used_is_told(api: FlaskClient, picture: bytes, in_file: int, used: int) -> None:
    answer = read(api, picture)
    assert (answer["bits_in_file"], answer["bits_used"]) == (in_file, used)
    assert ("depth-reduced" in codes(answer["remarks"])) == (used < in_file)


def test_lateral_colour_is_found_and_grey_has_none(api: FlaskClient) -> None:
    plain = as_pixels(ruler(900, 600, 60.0)).astype(float)
    x = (np.arange(900) - 449.5) / 1.002 + 449.5
    left = np.clip(x.astype(int), 0, 898)
    plain[..., 0] = plain[:, left, 0] * (1 - (x - left)) + plain[:, left + 1, 0] * (x - left)
    coloured = read(api, saved(np.clip(plain, 0, 255).astype(np.uint8), "PNG"))
    assert coloured["red_scale_difference"] == pytest.approx(0.002, abs=0.0004)
    assert coloured["blue_scale_difference"] == pytest.approx(0, abs=0.0004)
    assert len(coloured["colour_shifts"]) == 2
    assert coloured["lateral_colour_um"] > 5
    grey = read(api, small())
    assert (grey["lateral_colour_um"], grey["red_scale_difference"], grey["colour_shifts"]) == (None, None, [])


def test_the_overlay_is_a_small_picture_of_the_whole_frame(api: FlaskClient) -> None:
    answer = read(api, jpeg(as_pixels(ruler(1700, 1130, 110.0), colour=False)), overlay="true")
    drawn = Image.open(BytesIO(b64decode(answer["overlay"], validate=True)))
    assert drawn.format == "PNG"
    assert max(drawn.size) <= 1600
    assert drawn.size == (850, 565)


def test_the_overlay_comes_alone_where_png_is_accepted(api: FlaskClient) -> None:
    in_json = b64decode(read(api, small(), overlay="true")["overlay"])
    alone = sent(api, PHOTO, [small()], accept="image/png", **RULER)
    assert alone.content_type == "image/png"
    assert alone.data == in_json
    assert sent(api, COMPARISON, [small()] * 2, accept="image/png", **RULER).status_code == 406


def test_nothing_of_the_file_but_its_picture_comes_back(api: FlaskClient) -> None:
    exif = Image.Exif()
    exif[0x010F], exif[0x013B], exif[0x9286] = "Quillmark", "Tussockfield", b"ASCII\x00\x00\x00Wrackline"
    exif.get_ifd(0x8825).update({1: "N", 2: (52.0, 57.0, 33.25), 3: "E", 4: (0.0, 55.0, 41.5)})
    for form_ in ("JPEG", "PNG", "TIFF"):
        file = saved(as_pixels(ruler(900, 600, 60.0)), form_, exif=exif)
        assert b"Tussockfield" in file
        answer = read(api, file, overlay="true")
        overlay = b64decode(answer.pop("overlay"))
        drawn = Image.open(BytesIO(overlay))
        assert not drawn.getexif()
        assert drawn.info == {}
        for word in ("Quillmark", "Tussockfield", "Wrackline", "33.25", "41.5", "GPS"):
            assert word not in str(answer)
            assert word.encode() not in overlay or word == "GPS"
        assert "Tussockfield" not in sent(api, PHOTO, [file[:-2000]], **RULER).text


def test_all_faults_of_the_fields_are_told_at_once_and_by_name(api: FlaskClient) -> None:
    problem = refusal(api, PHOTO, [], tick_pitch_mm="0,5", pixel_pitch_um=" 4", overlay="yes", tick_pich_mm=1)
    assert pointers(problem) == {"/photo", "/tick_pitch_mm", "/pixel_pitch_um", "/overlay", "/tick_pich_mm"}
    assert "did you mean tick_pitch_mm?" in str(problem)


@pytest.mark.parametrize("number", ["", " 1", "+1", "01", "1e400", "0x1", "NaN", "Infinity", "1_0", "١", "1.", ".5"])
def test_numbers_are_those_of_a_query(api: FlaskClient, number: str) -> None:
    assert pointers(refusal(api, PHOTO, [small()], tick_pitch_mm=number)) == {"/tick_pitch_mm"}


@pytest.mark.parametrize(
    ("fields", "faulty"),
    [
        ({"sensor": "36x24", "sensor_width_mm": 36}, {"/sensor"}),
        ({"crop_factor": 1.5}, {"/sensor"}),
        ({"pitch_error": 0.01}, {"/pitch_error"}),
        ({"image_width_px": 900}, {"/image_width_px"}),
        ({"tick_pitch_mm": 0}, {"/tick_pitch_mm"}),
    ],
)
def test_fields_that_do_not_go_together_are_refused(api: FlaskClient, fields: dict[str, Any], faulty: set[str]) -> None:
    assert pointers(refusal(api, PHOTO, [small()], **(RULER | fields))) >= faulty


def test_a_part_given_twice_is_refused(api: FlaskClient) -> None:
    body, media_type = form({"tick_pitch_mm": ["1", "2"]}, [small(), small()])
    answer = api.post(PHOTO, data=body, content_type=media_type)
    assert answer.status_code == 422
    assert pointers(answer.get_json()) == {"/photo", "/tick_pitch_mm"}


def test_a_photograph_without_a_ruler_is_refused(api: FlaskClient) -> None:
    grain = np.random.default_rng(3).normal(120, 20, (500, 700)).clip(0, 255).astype(np.uint8)
    problem = refusal(api, PHOTO, [saved(grain, "PNG")], **RULER)
    assert problem["type"] == "/problems/no-sure-reading"
    assert problem["code"] == "no-scale-found"
    assert pointers(problem) == {"/photo"}


def test_a_photograph_is_asked_to_come_again_where_every_place_in_the_line_is_taken(api: FlaskClient) -> None:
    with every_place_taken():
        answer = sent(api, PHOTO, [small()], **RULER)
        assert answer.status_code == 503
        assert answer.content_type == "application/problem+json"
        assert answer.get_json()["type"] == "/problems/busy"
        assert int(answer.headers["Retry-After"]) > 0
        assert api.get("/v1/effective-f-number?f_number=8&magnification=1").status_code == 200
        assert sent(api, PHOTO, [small()]).status_code == 422  # its fields are at fault: no use in coming again
    assert sent(api, PHOTO, [small()], **RULER).status_code == 200


def test_a_second_photograph_at_the_same_time_waits_for_its_turn(api: FlaskClient) -> None:
    answers: list[int] = []
    with one_at_a_time():
        second = threading.Thread(target=lambda: answers.append(sent(api, PHOTO, [small()], **RULER).status_code))
        second.start()
        assert until(lambda: TURN.waiting == 1)
    second.join()
    assert answers == [200]


@pytest.mark.parametrize("path", [PHOTO, COMPARISON])
def test_a_photograph_that_waited_in_vain_says_how_long(path: str) -> None:
    impatient = create_app(Settings(photograph_wait_s=1)).test_client()
    with one_at_a_time():
        answer = sent(impatient, path, [small()] * (2 if path == COMPARISON else 1), **RULER)
    assert answer.status_code == 503
    assert "for 1 s" in answer.get_json()["detail"]


@pytest.mark.parametrize("content", [b"nothing", small()[:500]], ids=["no photograph", "cut short"])
def test_the_turn_is_given_back_after_a_refusal(api: FlaskClient, content: bytes) -> None:
    assert sent(api, PHOTO, [content], **RULER).status_code == 422
    with one_at_a_time():
        pass


def test_the_turn_is_one_for_all_threads() -> None:
    refused: list[bool] = []

    def attempt() -> None:
        try:
            with one_at_a_time():
                refused.append(False)
        except Busy:
            refused.append(True)

    with one_at_a_time():
        other = threading.Thread(target=attempt)
        other.start()
        other.join()
    assert refused == [True]


def test_plain_marks_are_refused_until_they_are_accepted(api: FlaskClient) -> None:
    comb = saved(even_pattern(np.random.default_rng([11, 0]), "comb"), "PNG")
    problem = refusal(api, PHOTO, [comb], tick_pitch_mm=1)
    assert (problem["type"], problem["code"]) == ("/problems/no-sure-reading", "plain-marks")
    assert [fault["pointer"] for fault in problem["errors"]] == ["/accept_plain_marks"]
    assert "send accept_plain_marks: true" in problem["detail"]
    assert answered(api, PHOTO, [comb], tick_pitch_mm=1, accept_plain_marks="true")["marks_used"] > 8
    of_two = refusal(api, COMPARISON, [comb, comb], tick_pitch_mm=1)
    assert of_two["code"] == "plain-marks"
    answered(api, COMPARISON, [comb, comb], tick_pitch_mm=1, accept_plain_marks="true")


def test_a_contradicted_pitch_is_refused_until_it_is_accepted(api: FlaskClient) -> None:
    problem = refusal(api, PHOTO, [small()], tick_pitch_mm=1)
    assert problem["code"] == "pitch-contradicted"
    assert [fault["pointer"] for fault in problem["errors"]] == ["/tick_pitch_mm"]
    taken = answered(api, PHOTO, [small()], tick_pitch_mm=1, accept_pitch="true")
    assert taken["scale_px_per_mm"] == pytest.approx(30, rel=0.002)
    assert taken["suggested_tick_pitch_mm"] == 0.5
    assert "pitch-doubtful" in codes(taken["remarks"])


def test_blocks_and_legs_are_read_as_asked(api: FlaskClient) -> None:
    scale = saved(blocks(), "PNG")
    assert refusal(api, PHOTO, [scale], tick_pitch_mm=1)["code"] == "blocks-or-lines"
    assert answered(api, PHOTO, [scale], tick_pitch_mm=1, marks_are="blocks")["scale_px_per_mm"] == pytest.approx(
        24, rel=0.002
    )
    legs = saved(l_shaped(upright_px_per_mm=26.0), "PNG")
    told = answered(api, PHOTO, [legs], tick_pitch_mm=1, leg="upright")
    assert told["scale_px_per_mm"] == pytest.approx(26, rel=0.002)
    assert told["other_leg"]["scale_px_per_mm"] == pytest.approx(24, rel=0.002)
    assert told["other_leg"]["marks_used"] > 20
    assert "other_leg" not in answered(api, PHOTO, [small()], **RULER)
