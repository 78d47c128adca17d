"""What `/v1/optimum-aperture` advises: one frame, a stack, or coarser detail."""

from typing import Any

import pytest
from flask.testing import FlaskClient

from asking import LENS as REVERSED
from asking import SET_UPS, answered, codes, pointers, refused, set_up, spacer

PATH = "/v1/optimum-aperture"
SUBJECT: dict[str, Any] = {"magnification": 1, "pupil_magnification": 1, "subject_depth_mm": 2, "contrast": 0.2}


def advised(api: FlaskClient, **members: Any) -> dict[str, Any]:
    return answered(api, PATH, SUBJECT | members)


def test_contrast_that_comes_back_after_a_reversal_is_no_detail(api: FlaskClient) -> None:
    answer = advised(
        api,
        magnification=2.36,
        subject_depth_mm=8.76,
        aperture_series="full",
        greatest_f_number=16,
        sensor_detail_lp_per_mm=3.175,
        contrast=0.05,
    )
    false_detail = next(row for row in answer["curve"] if row["nominal_f_number"] == 8)
    assert false_detail["end_contrast"] > 0.05
    assert not false_detail["ends_resolved"]
    assert "best" not in answer
    assert answer["advice"] == "stack"


def test_a_shallow_subject_takes_one_frame(api: FlaskClient) -> None:
    assert advised(api, subject_depth_mm=0.1, sensor_detail_lp_per_mm=20)["advice"] == "one-frame"


def test_a_deep_subject_takes_a_stack(api: FlaskClient) -> None:
    answer = advised(api, subject_depth_mm=20, sensor_detail_lp_per_mm=40)
    assert answer["advice"] == "stack"
    assert "stack-instead" in codes(answer["remarks"])


def test_detail_that_no_aperture_shows_is_not_mended_by_a_stack(api: FlaskClient) -> None:
    answer = advised(api, sensor_detail_lp_per_mm=2000)
    assert answer["advice"] == "coarser-detail"
    assert "detail-too-fine" in codes(answer["remarks"])


@pytest.mark.parametrize(
    "members",
    [
        {"mounting": "reversed", "pupil_magnification": 50, "magnification": 0.01},
        {"pupil_magnification": 50, "magnification": 50},
    ],
)
def test_a_ring_that_air_does_not_admit_is_refused(api: FlaskClient, members: dict[str, Any]) -> None:
    problem = refused(api, PATH, SUBJECT | members | {"f_numbers": [0.5]})
    assert problem["code"] == "aperture-impossible"


def test_a_set_up_with_a_deep_subject_tells_its_optimum_and_its_stack(api: FlaskClient) -> None:
    answer = answered(api, SET_UPS, set_up(REVERSED, spacer(31), subject_depth_mm=3, depth_of_field_model="geometric"))
    alone = answered(
        api,
        "/v1/focus-stack",
        {
            "mounting": "reversed",
            "f_number": 8,
            "pupil_magnification": 1.3,
            "focal_length_mm": 35,
            "magnification": answer["magnification"],
            "sensor": "23.5x15.6",
            "model": "geometric",
            "subject_depth_mm": 3,
        },
    )
    assert answer["stack_frames"] == alone["frames"]
    assert answer["stack_step_mm"] == pytest.approx(alone["step_mm"])
    optimum = advised(api, mounting="reversed", pupil_magnification=1.3, subject_depth_mm=3)
    assert answer["optimum_f_number"] == pytest.approx(optimum["f_number"])
    assert answer["allowed_movement_um"] == pytest.approx(1000 * alone["circle_of_confusion_mm"])


@pytest.mark.parametrize(
    ("members", "at_fault"),
    [
        ({"print_width_mm": 300}, "/camera/sensor"),
        (
            {"print_width_mm": 300, "camera": {"register_mm": 18, "sensor": "36x24", "circle_of_confusion_mm": 0.03}},
            "/camera/circle_of_confusion_mm",
        ),
        ({"viewing_distance_mm": 300}, "/print_width_mm"),
    ],
)
def test_a_print_goes_with_the_sensor_and_without_another_blur(
    api: FlaskClient, members: dict[str, Any], at_fault: str
) -> None:
    document = set_up(REVERSED, spacer(31)) | {"camera": {"register_mm": 18}} | members
    assert at_fault in pointers(refused(api, SET_UPS, document))


def test_a_print_is_refused_beside_a_blur_in_the_flat_resources_too(api: FlaskClient) -> None:
    members = {
        "f_number": 8,
        "magnification": 1,
        "print_width_mm": 300,
        "circle_of_confusion_mm": 0.03,
        "sensor": "36x24",
    }
    for path in ("/v1/diffraction", "/v1/depth-of-field"):
        assert "/circle_of_confusion_mm" in pointers(refused(api, path, members))
