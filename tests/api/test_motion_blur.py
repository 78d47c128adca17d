"""How still, how short a flash: `/v1/motion-blur`."""

import math
import re
from typing import Any

import pytest
from flask.testing import FlaskClient

from asking import answered, codes, pointers, refused, text_of, without
from references import objects_of, written_out

PATH = "/v1/motion-blur"
BREEZE: dict[str, Any] = {"magnification": 2, "sideways_speed_mm_s": 1.5, "exposure_time_s": 0.005}
HAND: dict[str, Any] = {
    "magnification": 1,
    "focal_length_mm": 60,
    "pupil_magnification": 1,
    "rotation_rad_s": 0.02,
    "exposure_time_s": 0.01,
}
TREMOR: dict[str, Any] = {
    "magnification": 3,
    "vibration_amplitude_um": 4,
    "vibration_frequency_hz": 50,
    "exposure_time_s": 0.1,
}
EVERYTHING = BREEZE | HAND | TREMOR | {"axial_speed_mm_s": 3}
FLASH = without(BREEZE, "exposure_time_s")


def test_sideways_movement_blurs_by_m_v_t(api: FlaskClient) -> None:
    answer = answered(api, PATH, BREEZE | {"pixel_pitch_um": 3})
    assert answer["sensor_blur_um"] == answer["sideways_blur_um"] == pytest.approx(15)
    assert answer["subject_blur_um"] == pytest.approx(7.5)
    assert answer["sensor_blur_px"] == answer["sensor_blur_pixels"] == pytest.approx(5)
    assert answer["blur_time_s"] == 0.005


def test_rotation_about_the_entrance_pupil_is_assumed_and_said(api: FlaskClient) -> None:
    answer = answered(api, PATH, without(HAND, "pupil_magnification"))
    assert answer["rotation_blur_um"] == pytest.approx(60 * 2 * 0.02 * 0.01 * 1000)
    assert answer["assumed"] == {"mounting": "normal", "pupil_magnification": 1, "rotation_distance_mm": 0}


def test_rotation_about_another_point_adds_the_pupils_own_path(api: FlaskClient) -> None:
    answer = answered(api, PATH, HAND | {"rotation_distance_mm": 80})
    assert answer["rotation_blur_um"] == pytest.approx((60 * 2 + 80) * 0.02 * 0.01 * 1000)


def test_a_reversed_lens_turns_its_pupils_round(api: FlaskClient) -> None:
    answer = answered(api, PATH, HAND | {"mounting": "reversed", "pupil_magnification": 1.5})
    assert answer["rotation_blur_um"] == pytest.approx(60 * 2.5 * 0.02 * 0.01 * 1000)
    assert "reversed-rear-exposed" in codes(answer["cautions"])


def test_a_long_exposure_draws_the_whole_stroke_and_says_when_shorter_helps(api: FlaskClient) -> None:
    answer = answered(api, PATH, TREMOR)
    assert answer["vibration_blur_um"] == pytest.approx(2 * 3 * 4)
    assert "below 0.01 s" in text_of(answer, "vibration-whole-stroke")


def test_a_short_exposure_draws_a_part_of_the_stroke(api: FlaskClient) -> None:
    answer = answered(api, PATH, TREMOR | {"exposure_time_s": 1e-5})
    assert answer["vibration_blur_um"] == pytest.approx(2 * math.pi * 50 * 4 * 3 * 1e-5, rel=1e-5)
    assert "vibration-whole-stroke" not in codes(answer["remarks"])


def test_motions_combine_by_the_root_of_squares_and_the_worst_is_said(api: FlaskClient) -> None:
    answer = answered(api, PATH, EVERYTHING)
    each = [answer[f"{kind}_blur_um"] for kind in ("sideways", "rotation", "vibration")]
    assert answer["sensor_blur_um"] == pytest.approx(math.hypot(*each))
    assert f"{sum(each):.3g} um" in text_of(answer, "motions-in-quadrature")
    assert "motions-in-quadrature" not in codes(answered(api, PATH, BREEZE)["remarks"])


def test_motions_that_are_not_given_are_null_and_named(api: FlaskClient) -> None:
    answer = answered(api, PATH, BREEZE | {"allowed_blur_um": 10})
    told = text_of(answer, "motions-not-counted")
    assert all(kind in told for kind in ("axial", "rotation", "vibration"))
    for name in ("rotation_blur_um", "vibration_blur_um", "largest_rotation_rad_s", "largest_amplitude_um"):
        assert answer[name] is None
    assert "motions-not-counted" not in codes(answered(api, PATH, EVERYTHING)["remarks"])


def test_without_pixel_pitch_the_pixels_are_null_and_the_pitch_is_named(api: FlaskClient) -> None:
    answer = answered(api, PATH, BREEZE)
    assert answer["sensor_blur_px"] is answer["sensor_blur_pixels"] is None
    assert "pixel_pitch_um" in text_of(answer, "not-determined")


@pytest.mark.parametrize(
    ("depth", "verdict", "off_centre"),
    [(0.1, "within-depth", False), (0.05, "within-depth", True), (0.01, "beyond-depth", False)],
)
def test_axial_movement_is_held_against_the_depth(
    api: FlaskClient, depth: float, verdict: str, off_centre: bool
) -> None:
    asked = {"magnification": 1, "axial_speed_mm_s": 3, "exposure_time_s": 0.01, "depth_mm": depth}
    answer = answered(api, PATH, asked)
    assert answer["axial_movement_um"] == pytest.approx(30)
    assert answer["axial_verdict"] == verdict
    assert answer["longest_axial_time_s"] == pytest.approx(depth / 3)
    assert answer["largest_axial_speed_mm_s"] == pytest.approx(depth / 0.01)
    assert ("axial-movement-off-centre" in codes(answer["remarks"])) is off_centre
    assert answer["sensor_blur_um"] == 0
    assert "axial-movement-not-in-blur" in codes(answer["remarks"])


def test_without_depth_the_axial_verdict_is_open_and_the_depth_named(api: FlaskClient) -> None:
    answer = answered(api, PATH, {"magnification": 1, "axial_speed_mm_s": 3, "exposure_time_s": 0.01})
    assert answer["axial_verdict"] == "undetermined"
    assert "depth_mm" in text_of(answer, "not-determined")


def test_no_axial_time_is_too_long_where_nothing_moves_along_the_axis(api: FlaskClient) -> None:
    asked = {"magnification": 1, "axial_speed_mm_s": 0, "exposure_time_s": 0.01, "depth_mm": 0.1}
    answer = answered(api, PATH, asked)
    assert answer["longest_axial_time_s"] is None
    assert "axial-time-unlimited" in codes(answer["remarks"])


def test_half_peak_time_alone_is_taken_as_exponential_and_said(api: FlaskClient) -> None:
    answer = answered(api, PATH, FLASH | {"flash_t05_s": 0.001})
    assert answer["blur_time_s"] == pytest.approx(0.001 * math.log2(10))
    assert answer["assumed"] == {"flash_shape": "exponential", "ambient_share": 0}
    assert "flash-shape-assumed" in codes(answer["remarks"])
    assert "70% too little" in text_of(answer, "shortcut-half-time")


def test_a_stated_shape_is_not_remarked_on(api: FlaskClient) -> None:
    slow = answered(api, PATH, FLASH | {"flash_t05_s": 0.001, "flash_shape": "exponential"})
    cut = answered(api, PATH, FLASH | {"flash_t05_s": 0.001, "flash_shape": "cut"})
    assert slow["blur_time_s"] == pytest.approx(0.001 * math.log2(10))
    assert cut["blur_time_s"] == 0.001
    assert "flash-shape-assumed" not in codes(slow["remarks"]) | codes(cut["remarks"])
    assert "shortcut-half-time" not in codes(cut["remarks"])


def test_a_half_peak_time_that_draws_the_whole_stroke_as_well_is_no_shortcut(api: FlaskClient) -> None:
    tremor = without(TREMOR, "exposure_time_s")
    assert "shortcut-half-time" not in codes(answered(api, PATH, tremor | {"flash_t05_s": 0.02})["remarks"])


def test_a_flash_alone_has_all_the_light_and_no_ghost(api: FlaskClient) -> None:
    answer = answered(api, PATH, FLASH | {"flash_t01_s": 0.002})
    assert (answer["flash_share"], answer["ambient_share"], answer["ambient_blur_um"]) == (1, 0, None)
    assert answer["blur_time_s"] == 0.002
    assert "flash-alone" in codes(answer["remarks"])


def test_ambient_light_behind_a_flash_draws_its_own_ghost(api: FlaskClient) -> None:
    answer = answered(api, PATH, FLASH | {"flash_t01_s": 0.002, "exposure_time_s": 0.02, "ambient_share": 0.25})
    assert answer["sensor_blur_um"] == pytest.approx(2 * 1.5 * 2)
    assert answer["ambient_blur_um"] == pytest.approx(2 * 1.5 * 20)
    assert (answer["flash_share"], answer["ambient_share"]) == (0.75, 0.25)
    assert "25% of the light" in text_of(answer, "ambient-ghost")


def test_a_flash_whose_ambient_share_is_stated_as_none_draws_no_ghost_remark(api: FlaskClient) -> None:
    answer = answered(api, PATH, FLASH | {"flash_t01_s": 0.002, "exposure_time_s": 0.02, "ambient_share": 0})
    assert "ambient-ghost" not in codes(answer["remarks"])


def test_an_unknown_share_of_ambient_light_is_null_and_said_how_to_find(api: FlaskClient) -> None:
    answer = answered(api, PATH, FLASH | {"flash_t01_s": 0.002, "exposure_time_s": 0.02})
    assert (answer["flash_share"], answer["ambient_share"]) == (None, None)
    assert answer["ambient_blur_um"] == pytest.approx(60)
    assert "expose once without the flash" in text_of(answer, "not-determined")


def test_without_a_flash_all_light_is_ambient(api: FlaskClient) -> None:
    answer = answered(api, PATH, BREEZE)
    assert (answer["flash_share"], answer["ambient_share"]) == (0, 1)
    assert answer["ambient_blur_um"] == answer["sensor_blur_um"]


def test_a_shutter_shorter_than_the_flash_cuts_it(api: FlaskClient) -> None:
    answer = answered(api, PATH, FLASH | {"flash_t05_s": 0.002, "exposure_time_s": 0.001, "ambient_share": 0})
    assert answer["blur_time_s"] == 0.001
    assert "shutter-cuts-flash" in codes(answer["remarks"])


@pytest.mark.parametrize(
    ("member", "found"),
    [
        ("sideways_speed_mm_s", "largest_sideways_speed_mm_s"),
        ("rotation_rad_s", "largest_rotation_rad_s"),
        ("vibration_amplitude_um", "largest_amplitude_um"),
        ("exposure_time_s", "longest_time_s"),
    ],
)
def test_each_largest_beside_the_others_draws_just_the_allowed_blur(api: FlaskClient, member: str, found: str) -> None:
    allowed = 60
    answer = answered(api, PATH, EVERYTHING | {"exposure_time_s": 0.004, "allowed_blur_um": allowed})
    again = answered(api, PATH, EVERYTHING | {"exposure_time_s": 0.004, member: answer[found]})
    assert again["sensor_blur_um"] == pytest.approx(allowed)


def test_the_longest_time_of_a_flash_is_its_tenth_peak_time(api: FlaskClient) -> None:
    answer = answered(api, PATH, FLASH | {"flash_t05_s": 0.001, "allowed_blur_um": 5})
    again = answered(api, PATH, FLASH | {"flash_t01_s": answer["longest_time_s"]})
    assert again["sensor_blur_um"] == pytest.approx(5)


@pytest.mark.parametrize(
    ("allowance", "expected"),
    [
        ({"allowed_blur_um": 7}, 7),
        ({"allowed_blur_px": 2, "pixel_pitch_um": 3.5}, 7),
        ({"allowed_blur_pixels": 2, "pixel_pitch_um": 3.5}, 7),
        ({"circle_of_confusion_mm": 0.007}, 7),
        ({"circle_of_confusion_mm": 0.007, "sensor": "36x24"}, 7),
        ({"sensor": "36x24"}, math.hypot(36, 24) / 1.5),
        ({"sensor_width_mm": 36, "sensor_height_mm": 24}, math.hypot(36, 24) / 1.5),
    ],
)
def test_the_allowed_blur_is_read_from_any_one_statement(
    api: FlaskClient, allowance: dict[str, Any], expected: float
) -> None:
    answer = answered(api, PATH, BREEZE | allowance)
    assert answer["allowed_blur_um"] == pytest.approx(expected)
    assert answer["longest_time_s"] == pytest.approx(expected / (1000 * 2 * 1.5))


def test_the_blur_assumed_from_the_sensor_is_said(api: FlaskClient) -> None:
    answer = answered(api, PATH, BREEZE | {"sensor": "36x24"})
    assert answer["assumed"] == {"circle_of_confusion_mm": pytest.approx(math.hypot(36, 24) / 1500)}


def test_without_an_allowed_blur_the_reverse_is_null_and_says_what_to_give(api: FlaskClient) -> None:
    answer = answered(api, PATH, BREEZE)
    assert answer["allowed_blur_um"] is answer["longest_time_s"] is answer["largest_sideways_speed_mm_s"] is None
    assert "allowed_blur_px" in text_of(answer, "not-determined")


def test_a_vibration_that_stays_within_the_allowed_blur_limits_no_time(api: FlaskClient) -> None:
    answer = answered(api, PATH, TREMOR | {"allowed_blur_um": 25})
    assert answer["longest_time_s"] is None
    assert "stroke" in text_of(answer, "time-unlimited")
    assert answer["largest_amplitude_um"] == pytest.approx(25 / 6)


def test_a_motion_of_zero_asks_how_large_it_may_be(api: FlaskClient) -> None:
    answer = answered(api, PATH, BREEZE | {"sideways_speed_mm_s": 0, "allowed_blur_um": 10})
    assert answer["sensor_blur_um"] == 0
    assert answer["longest_time_s"] is None
    assert "nothing moves" in text_of(answer, "time-unlimited")
    assert answer["largest_sideways_speed_mm_s"] == pytest.approx(10 / (1000 * 2 * 0.005))


def test_where_the_others_alone_exceed_the_allowed_blur_nothing_is_left(api: FlaskClient) -> None:
    answer = answered(api, PATH, BREEZE | TREMOR | {"exposure_time_s": 0.005, "allowed_blur_um": 1})
    assert answer["largest_sideways_speed_mm_s"] is answer["largest_amplitude_um"] is None
    told = text_of(answer, "others-exceed-allowed-blur")
    assert "largest_sideways_speed_mm_s" in told
    assert "largest_amplitude_um" in told
    assert answer["longest_time_s"] > 0


def test_turning_about_the_subject_itself_may_be_as_quick_as_it_likes(api: FlaskClient) -> None:
    answer = answered(api, PATH, HAND | {"rotation_distance_mm": -120, "allowed_blur_um": 5})
    assert answer["rotation_blur_um"] == 0
    assert answer["largest_rotation_rad_s"] is None
    assert "rotation-about-the-subject" in codes(answer["remarks"])
    assert "others-exceed-allowed-blur" not in codes(answer["remarks"])


def test_the_rule_of_one_over_focal_length_is_measured(api: FlaskClient) -> None:
    """At 1:1, pupils alike, the same shake of the hand blurs twice what it does at infinity."""
    assert "1/60 s" in text_of(answered(api, PATH, HAND), "shortcut-one-over-focal-length")
    assert "2 times" in text_of(answered(api, PATH, HAND), "shortcut-one-over-focal-length")
    far = answered(api, PATH, HAND | {"magnification": 0.001})
    assert "shortcut-one-over-focal-length" not in codes(far["remarks"])


@pytest.mark.parametrize(
    ("members", "expected"),
    [
        (BREEZE | {"exposure_time_s": 0}, {"/exposure_time_s"}),
        (FLASH | {"flash_t01_s": 0}, {"/flash_t01_s"}),
        (TREMOR | {"vibration_frequency_hz": 0}, {"/vibration_frequency_hz"}),
        (BREEZE | {"magnification": 0}, {"/magnification"}),
        (BREEZE | {"pixel_pitch_um": 0}, {"/pixel_pitch_um"}),
        (BREEZE | {"allowed_blur_um": 0}, {"/allowed_blur_um"}),
        (BREEZE | {"sideways_speed_mm_s": -1}, {"/sideways_speed_mm_s"}),
        (BREEZE | {"axial_speed_mm_s": 1, "depth_mm": 0}, {"/depth_mm"}),
        (HAND | {"focal_length_mm": 0}, {"/focal_length_mm"}),
        (FLASH | {"flash_t01_s": 0.001, "ambient_share": 1.5, "exposure_time_s": 0.1}, {"/ambient_share"}),
        (FLASH | {"flash_t05_s": 0.001, "flash_shape": "square"}, {"/flash_shape"}),
        (FLASH, {"/exposure_time_s"}),
        (FLASH | {"flash_t01_s": 0.003, "flash_t05_s": 0.001}, {"/flash_t01_s", "/flash_t05_s"}),
        (FLASH | {"flash_t01_s": 0.003, "flash_shape": "cut"}, {"/flash_t05_s"}),
        (FLASH | {"flash_t01_s": 0.003, "ambient_share": 0.2}, {"/exposure_time_s"}),
        (BREEZE | {"ambient_share": 0.2}, {"/ambient_share"}),
        (without(HAND, "focal_length_mm"), {"/focal_length_mm"}),
        (BREEZE | {"rotation_distance_mm": 5}, {"/rotation_rad_s"}),
        (without(TREMOR, "vibration_frequency_hz"), {"/vibration_frequency_hz"}),
        (BREEZE | {"vibration_frequency_hz": 50}, {"/vibration_amplitude_um"}),
        (BREEZE | {"depth_mm": 0.2}, {"/axial_speed_mm_s"}),
        (BREEZE | {"allowed_blur_px": 2}, {"/pixel_pitch_um"}),
        (BREEZE | {"allowed_blur_pixels": 2}, {"/pixel_pitch_um"}),
        (
            BREEZE | {"allowed_blur_px": 2, "allowed_blur_pixels": 2, "pixel_pitch_um": 3.5},
            {"/allowed_blur_px", "/allowed_blur_pixels"},
        ),
        (
            BREEZE | {"allowed_blur_um": 5, "circle_of_confusion_mm": 0.005},
            {"/allowed_blur_um", "/circle_of_confusion_mm"},
        ),
        (
            without(BREEZE, "sideways_speed_mm_s"),
            {"/sideways_speed_mm_s", "/axial_speed_mm_s", "/rotation_rad_s", "/vibration_amplitude_um"},
        ),
    ],
)
def test_what_is_missing_impossible_or_contradictory_is_refused_by_pointer(
    api: FlaskClient, members: dict[str, Any], expected: set[str]
) -> None:
    problem = refused(api, PATH, members)
    assert problem["type"] == "/problems/invalid-fields"
    assert pointers(problem) == expected
    details = [error["detail"] for error in problem["errors"]]
    assert [detail for detail in details if not re.search("Give|Needed|leave", detail)] == []


def test_all_faults_are_told_at_once(api: FlaskClient) -> None:
    problem = refused(api, PATH, {"magnification": 0, "depth_mm": 1, "flash_t01_s": 1, "flash_t05_s": 1})
    assert {"/magnification", "/axial_speed_mm_s", "/flash_t01_s", "/flash_t05_s"} <= pointers(problem)


def test_query_and_body_give_the_same_answer(api: FlaskClient) -> None:
    members = EVERYTHING | {"allowed_blur_um": 10}
    assert api.get(PATH, query_string=members).get_json() == answered(api, PATH, members)


def test_the_extremes_of_every_bound_are_answered_with_finite_numbers(api: FlaskClient) -> None:
    least = {
        "magnification": 1e-4,
        "sideways_speed_mm_s": 1e-300,
        "vibration_amplitude_um": 1e-300,
        "vibration_frequency_hz": 0.001,
        "flash_t01_s": 1e-9,
        "allowed_blur_um": 1e5,
    }
    most = {
        "magnification": 1000,
        "sideways_speed_mm_s": 1e6,
        "vibration_amplitude_um": 1e5,
        "vibration_frequency_hz": 1e6,
        "exposure_time_s": 86400,
        "allowed_blur_um": 0.001,
    }
    assert answered(api, PATH, least)["sensor_blur_um"] >= 0
    assert answered(api, PATH, most)["sensor_blur_um"] == pytest.approx(1000 * 1e6 * 86400 * 1000)


@pytest.mark.parametrize(("schema", "former"), [("Request", "allowed_blur_pixels"), ("Answer", "sensor_blur_pixels")])
def test_the_former_names_are_marked_as_such_in_the_document(api: FlaskClient, schema: str, former: str) -> None:
    document = api.get("/openapi.json").get_json()
    schemas = written_out(document, objects_of(document))["components"]["schemas"]
    members = schemas[f"MotionBlur{schema}"]["properties"]
    assert [name for name, member in members.items() if member.get("deprecated")] == [former]
    assert members[former.replace("pixels", "px")]["x-unit"] == "px"
