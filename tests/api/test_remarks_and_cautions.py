"""What travels with the numbers."""

import pytest
from flask.testing import FlaskClient

from asking import CAMERA, LENS, SET_UPS, answered, codes, set_up, spacer, text_of, without


def test_the_shortcut_that_ignores_pupils_is_measured(api: FlaskClient) -> None:
    members = {"f_number": 8, "magnification": 2, "pupil_magnification": 2, "mounting": "reversed"}
    answer = answered(api, "/v1/effective-f-number", members)
    assert answer["effective_f_number"] == pytest.approx(20)
    assert "f/24: 20% too much" in text_of(answer, "shortcut-pupils-ignored")


def test_a_shortcut_that_is_right_is_not_mentioned(api: FlaskClient) -> None:
    members = {"f_number": 8, "magnification": 2, "pupil_magnification": 1}
    assert answered(api, "/v1/effective-f-number", members)["remarks"] == []


def test_the_shortcut_that_ignores_the_depth_of_the_plane_is_measured(api: FlaskClient) -> None:
    answer = answered(api, SET_UPS, set_up(LENS, spacer(31)))
    assert "0.4 instead of 1" in text_of(answer, "shortcut-plane-ignored")


def test_an_airy_disk_wider_than_the_blur_is_remarked_on(api: FlaskClient) -> None:
    wide = answered(api, SET_UPS, set_up(LENS | {"f_number": 2.8}, spacer(31)))
    narrow = answered(api, SET_UPS, set_up(LENS | {"f_number": 22}, spacer(31)))
    assert "airy-disk-fills-blur" not in codes(wide["remarks"])
    assert "airy-disk-fills-blur" in codes(narrow["remarks"])


def test_without_focal_length_the_depth_is_symmetric_and_says_so(api: FlaskClient) -> None:
    members = {"f_number": 8, "magnification": 1, "circle_of_confusion_mm": 0.03}
    answer = answered(api, "/v1/depth-of-field", members)
    assert answer["front_depth_mm"] == answer["rear_depth_mm"]
    assert "symmetric-depth" in codes(answer["remarks"])


def test_beyond_the_hyperfocal_distance_the_rear_depth_is_unlimited(api: FlaskClient) -> None:
    members = {"f_number": 16, "magnification": 0.001, "circle_of_confusion_mm": 0.03, "focal_length_mm": 28}
    answer = answered(api, "/v1/depth-of-field", members)
    assert answer["rear_extent"] == "unlimited"
    assert answer["rear_depth_mm"] is None
    assert answer["total_mm"] is None
    assert answer["front_extent"] == "finite"


def test_a_hypercentric_pair_is_remarked_on_and_deeper_in_front(api: FlaskClient) -> None:
    front = LENS | {"f_number": 1.4}
    rear = {
        "element": "lens",
        "focal_length_mm": 100,
        "f_number": 16,
        "register_mm": 18,
        "front_principal_plane_mm": 60,
    }
    answer = answered(api, SET_UPS, set_up(front, rear))
    assert "hypercentric" in codes(answer["remarks"])
    assert answer["depth_of_field"]["front_depth_mm"] > answer["depth_of_field"]["rear_depth_mm"]


def test_an_objective_before_a_lens_off_infinity_is_remarked_on_and_cautioned(api: FlaskClient) -> None:
    objective = {
        "element": "objective",
        "magnification": 5,
        "numerical_aperture": 0.14,
        "tube_lens_focal_length_mm": 200,
        "working_distance_mm": 34,
        "field_number_mm": 10,
    }
    lens = {"element": "lens", "focal_length_mm": 200, "f_number": 4, "register_mm": 18, "front_principal_plane_mm": 60}
    sharp = answered(api, SET_UPS, set_up(objective, lens))
    assert "objective-focus-error" not in codes(sharp["remarks"])
    assert "objective-field-exceeded" in codes(sharp["remarks"])
    assert "no-marked-f-number" in codes(sharp["remarks"])
    off = answered(api, SET_UPS, set_up(objective, lens, spacer(0.2)))
    assert "0.2 mm behind" in text_of(off, "objective-focus-error")
    assert "objective-off-infinity" not in codes(off["cautions"])
    assert "objective-off-infinity" in codes(answered(api, SET_UPS, set_up(objective, lens, spacer(1)))["cautions"])


def test_an_image_circle_too_small_for_the_sensor_is_remarked_on(api: FlaskClient) -> None:
    lens = without(LENS, "reversed") | {"register_mm": 18, "image_circle_mm": 14}
    low = answered(api, SET_UPS, set_up(lens, spacer(3.5)))
    high = answered(api, SET_UPS, set_up(lens, spacer(60)))
    assert "image-circle-short" in codes(low["remarks"])
    assert "image-circle-short" not in codes(high["remarks"])


def test_a_front_narrower_than_its_pupil_is_remarked_on(api: FlaskClient) -> None:
    answer = answered(api, SET_UPS, set_up(LENS | {"f_number": 1.4, "front_diameter_mm": 20}, spacer(31)))
    assert "front-narrower-than-pupil" in codes(answer["remarks"])


def test_a_relayed_image_is_upright_and_says_so(api: FlaskClient) -> None:
    lens = {"element": "lens", "focal_length_mm": 50, "f_number": 8, "register_mm": 44, "front_principal_plane_mm": 20}
    answer = answered(api, SET_UPS, set_up(lens, spacer(300), lens, spacer(60), camera=CAMERA | {"register_mm": 44}))
    assert "image-erect" in codes(answer["remarks"])


def test_a_reversed_lens_brings_its_cautions(api: FlaskClient) -> None:
    assert {"reversed-rear-exposed", "lens-change-dust"} <= codes(
        answered(api, SET_UPS, set_up(LENS, spacer(31)))["cautions"]
    )
    normal = without(LENS, "reversed")
    alone = answered(api, SET_UPS, set_up(normal | {"focusing_extension_mm": 10, "register_mm": 18}))
    assert codes(alone["cautions"]) == set()


@pytest.mark.parametrize(
    ("protrusion", "depth", "expected"),
    [(0, 5, set()), (78, 5, {"subject-near-glass", "sharp-things"}), (90, 0, {"front-beyond-subject"})],
)
def test_a_subject_nearer_the_glass_than_its_depth_or_the_protrusion_is_cautioned(
    api: FlaskClient, protrusion: float, depth: float, expected: set[str]
) -> None:
    lens = LENS | {"front_protrusion_mm": protrusion}
    answer = answered(api, SET_UPS, set_up(lens, spacer(31), subject_depth_mm=depth))
    assert answer["clearance_mm"] == pytest.approx(80.46 - protrusion)
    assert codes(answer["cautions"]) - {"reversed-rear-exposed", "lens-change-dust", "lens-off-live-camera"} == expected


def test_cautions_never_promise_and_name_whom_they_concern(api: FlaskClient) -> None:
    answer = answered(api, SET_UPS, set_up(LENS | {"front_protrusion_mm": 90}, spacer(31)))
    for caution in answer["cautions"]:
        assert caution["concerns"] in ("people", "animals", "gear")
        assert "safe" not in caution["text"].lower()
