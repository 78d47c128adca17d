"""`/v1/format-equivalence`: the same picture on a sensor of another size."""

from typing import Any

import pytest
from flask.testing import FlaskClient

from asking import answered, codes, pointers, refused, text_of, without

PATH = "/v1/format-equivalence"
HALF: dict[str, Any] = {"sensor_width_mm": 24, "sensor_height_mm": 16}
WHOLE: dict[str, Any] = {"other_sensor_width_mm": 48, "other_sensor_height_mm": 32}
LICHEN: dict[str, Any] = {
    **{"magnification": 1, "f_number": 8, "pupil_magnification": 1, "focal_length_mm": 60},
    **HALF,
    **WHOLE,
}
REVERSED: dict[str, Any] = {"mounting": "reversed", "pupil_magnification": 1.25, "front_principal_plane_mm": 20}


def equivalent(api: FlaskClient, **members: Any) -> dict[str, Any]:
    return answered(api, PATH, LICHEN | members)


def test_twice_the_sensor_by_hand(api: FlaskClient) -> None:
    answer = equivalent(api, circle_of_confusion_mm=0.02)
    by_hand = {
        "format_ratio": 2,
        "other_magnification": 2,
        "effective_f_number": 8 * (1 + 1),
        "other_effective_f_number": 32,
        "other_f_number": 32 / (1 + 2),
        "other_nominal_f_number": 10,
        "other_extension_mm": 60 * 2,
        "numerical_aperture": 1 / 32,
        "circle_of_confusion_mm": 0.02,
        "other_circle_of_confusion_mm": 0.04,
        "other_exposure_factor": 4,
        "other_exposure_stops": 2,
        "same_perspective_focal_length_mm": 60 * (1 + 1) / (1 / 2 + 1),
    }
    assert {name: answer[name] for name in by_hand} == pytest.approx(by_hand)


def test_reversed_twice_the_sensor_by_hand(api: FlaskClient) -> None:
    answer = equivalent(api, **REVERSED, other_camera_register_mm=18)
    assert answer["other_f_number"] == pytest.approx(2 * 8 * (1 + 0.8) / (2 + 0.8))
    assert answer["other_extension_mm"] == pytest.approx(60 * (1 + 2) - 18 - 20)
    assert answer["same_perspective_focal_length_mm"] == pytest.approx(60 * (1 + 1.25) / (1 / 2 + 1.25))


def test_what_is_assumed_of_the_other_lens_is_listed(api: FlaskClient) -> None:
    assert answered(api, PATH, without(LICHEN, "pupil_magnification"))["assumed"] == {
        **{"mounting": "normal", "pupil_magnification": 1, "framing_by": "width"},
        "circle_of_confusion_mm": pytest.approx((24**2 + 16**2) ** 0.5 / 1500),
        **{"other_mounting": "normal", "other_pupil_magnification": 1, "other_focal_length_mm": 60},
    }


def test_planes_and_register_of_one_lens_are_not_those_of_another(api: FlaskClient) -> None:
    same = equivalent(api, **REVERSED, other_camera_register_mm=18)
    another = equivalent(api, **REVERSED, other_camera_register_mm=18, other_focal_length_mm=80)
    assert same["assumed"]["other_front_principal_plane_mm"] == 20
    assert "other_front_principal_plane_mm" not in another["assumed"]
    assert another["other_extension_mm"] is None
    text = text_of(another, "not-determined")
    assert "without other_front_principal_plane_mm." in text
    assert "Mount the lens reversed on a known extension" in text


@pytest.mark.parametrize(("framing_by", "k"), [("width", 36 / 24), ("height", 10 / 18), ("diagonal", 37.3631 / 30)])
def test_the_measure_that_the_framing_keeps(api: FlaskClient, framing_by: str, k: float) -> None:
    sensors = {"sensor_width_mm": 24, "sensor_height_mm": 18, "other_sensor_width_mm": 36, "other_sensor_height_mm": 10}
    assert equivalent(api, **sensors, framing_by=framing_by)["format_ratio"] == pytest.approx(k, rel=1e-6)


def test_frames_of_another_shape_say_what_is_added_or_cut_off(api: FlaskClient) -> None:
    square = {"other_sensor_width_mm": 48, "other_sensor_height_mm": 48}
    by_width, by_height = (
        text_of(equivalent(api, **square, framing_by=framing_by), "aspect-differs")
        for framing_by in ("width", "height")
    )
    assert "24 mm of the subject's height instead of 16 mm (50% added)" in by_width
    assert "16 mm of the subject's width instead of 24 mm (33% cut off)" in by_height


def test_the_crop_factor_holds_for_distant_subjects_only(api: FlaskClient) -> None:
    near, far = equivalent(api), equivalent(api, magnification=0.001)
    shortcuts = {"shortcut-crop-factor", "shortcut-equivalent-focal-length"}
    assert shortcuts <= codes(near["remarks"])
    assert "f/16 instead of f/10.7: 50% too much" in text_of(near, "shortcut-crop-factor")
    assert shortcuts.isdisjoint(codes(far["remarks"]))
    assert far["other_f_number"] == pytest.approx(16, rel=2e-3)
    assert far["same_perspective_focal_length_mm"] == pytest.approx(120, rel=2e-3)


def test_another_perspective_says_how_the_depth_divides(api: FlaskClient) -> None:
    distant = {"magnification": 0.02, "circle_of_confusion_mm": 0.015}
    equivalence = equivalent(api, **distant)
    there = {
        **{name: equivalence["other_" + name] for name in ("magnification", "f_number", "circle_of_confusion_mm")},
        **{"focal_length_mm": 60, "pupil_magnification": 1},
    }
    depth, other = (
        answered(api, "/v1/depth-of-field", members | {"model": "geometric"})
        for members in (without(LICHEN, *WHOLE) | distant, there)
    )
    text = text_of(equivalence, "total-depth-alone")
    assert f"{other['front_depth_mm']:.3g} mm before instead of {depth['front_depth_mm']:.3g} mm" in text
    assert f"{other['rear_depth_mm']:.3g} mm behind instead of {depth['rear_depth_mm']:.3g} mm" in text
    assert f"in all it differs by {other['total_mm'] / depth['total_mm'] - 1:.2%}" in text


def test_a_depth_that_becomes_unlimited_there_is_said_to_be(api: FlaskClient) -> None:
    answer = equivalent(api, magnification=0.02, f_number=22, circle_of_confusion_mm=0.05)
    assert "unlimited behind instead of" in text_of(answer, "total-depth-alone")


def test_a_subject_near_the_camera_hardly_divides_it_otherwise(api: FlaskClient) -> None:
    assert "change by less than 1% here" in text_of(equivalent(api), "total-depth-alone")


def test_without_focal_lengths_the_whole_depth_alone_is_known(api: FlaskClient) -> None:
    answer = answered(api, PATH, without(LICHEN, "focal_length_mm"))
    assert answer["other_extension_mm"] is None
    assert answer["same_perspective_focal_length_mm"] is None
    assert "Give focal_length_mm" in text_of(answer, "total-depth-alone")
    waiting = text_of(answer, "not-determined")
    assert "other_extension_mm, same_perspective_focal_length_mm " in waiting


def test_the_other_register_counts_as_extension(api: FlaskClient) -> None:
    answer = equivalent(api, lens_register_mm=45, other_camera_register_mm=18, other_focusing_extension_mm=5)
    assert answer["other_extension_mm"] == pytest.approx(120 - 5 + 27)
    assert "registers-assumed-equal" not in codes(answer["remarks"])
    assert "other_camera_register_mm where" in text_of(equivalent(api), "registers-assumed-equal")


def test_less_than_no_extension_says_so(api: FlaskClient) -> None:
    answer = equivalent(api, magnification=0.1, lens_register_mm=20, other_camera_register_mm=60)
    assert answer["other_extension_mm"] is None
    assert "extension-negative" in codes(answer["remarks"])


def test_an_aperture_beyond_every_ring_has_no_mark(api: FlaskClient) -> None:
    answer = equivalent(api, magnification=0.01, f_number=256)
    assert answer["other_nominal_f_number"] is None
    assert "smaller aperture than any ring" in text_of(answer, "beyond-every-ring")


@pytest.mark.parametrize(
    "members",
    [
        {"magnification": 10, "f_number": 0.5, "pupil_magnification": 5},
        {"f_number": 0.5, "magnification": 0.1, "other_sensor_width_mm": 8, "other_sensor_height_mm": 6},
    ],
    ids=["here", "on the smaller sensor"],
)
def test_an_aperture_that_air_does_not_admit_is_refused(api: FlaskClient, members: dict[str, Any]) -> None:
    problem = refused(api, PATH, LICHEN | members)
    assert problem["code"] == "aperture-impossible"
    assert "/f_number" in pointers(problem)


@pytest.mark.parametrize(
    ("members", "at_fault"),
    [
        (without(LICHEN, *HALF), "/sensor"),
        (without(LICHEN, *WHOLE), "/other_sensor"),
        (LICHEN | {"other_sensor": "36x24"}, "/other_sensor"),
        (without(LICHEN, "other_sensor_height_mm"), "/other_sensor_height_mm"),
        (LICHEN | {"framing_by": "area"}, "/framing_by"),
        (LICHEN | {"lens_register_mm": 45}, "/other_camera_register_mm"),
        (LICHEN | {"other_camera_register_mm": 18}, "/lens_register_mm"),
        (
            LICHEN | {"lens_register_mm": 45, "other_camera_register_mm": 18, "other_focal_length_mm": 80},
            "/other_lens_register_mm",
        ),
    ],
)
def test_what_is_missing_or_stated_twice_is_refused(api: FlaskClient, members: dict[str, Any], at_fault: str) -> None:
    assert at_fault in pointers(refused(api, PATH, members))


def test_both_sensors_missing_are_named_at_once(api: FlaskClient) -> None:
    assert {"/sensor", "/other_sensor"} <= pointers(refused(api, PATH, without(LICHEN, *HALF, *WHOLE)))


@pytest.mark.parametrize("members", [{"mounting": "reversed"}, {"other_mounting": "reversed"}])
def test_a_lens_reversed_on_either_camera_brings_its_cautions(api: FlaskClient, members: dict[str, Any]) -> None:
    assert "reversed-rear-exposed" in codes(equivalent(api, **members)["cautions"])
    assert equivalent(api)["cautions"] == []
