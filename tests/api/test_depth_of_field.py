"""What is sharp, by every model; and what contradicts itself in what is asked about sharpness."""

import math
import re
from typing import Any

import pytest
from flask.testing import FlaskClient

from asking import CAMERA, LENS, SET_UPS, answered, codes, pointers, refused, set_up, spacer
from sharpness_requests import BLUR, DEEP, DEPTH, DIFFRACTION, LIFE_SIZE, OPTIMUM, depth_of

DETAIL = {"sensor_detail_lp_per_mm": 30, "contrast": 0.25}
MODELS: dict[str, dict[str, Any]] = {"geometric": BLUR, "wave": {}, "combined": BLUR, "contrast": DETAIL}
TWO_STATEMENTS = {"sensor_detail_lp_per_mm": 20, "subject_detail_lp_per_mm": 20}


def on_camera(measure: dict[str, Any]) -> dict[str, Any]:
    """Members of a set-up for a model's measure; the blur criterion belongs to the camera."""
    return {"camera": CAMERA | measure} if "circle_of_confusion_mm" in measure else measure


# -- the models ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("model", MODELS)
@pytest.mark.parametrize(("reversed_", "length"), [(True, 31), (True, 70), (False, 40), (False, 80)])
def test_every_model_agrees_between_the_quantity_and_the_set_up(
    api: FlaskClient, model: str, reversed_: bool, length: float
) -> None:
    lens = LENS | {"reversed": reversed_}
    whole = answered(api, SET_UPS, set_up(lens, spacer(length), depth_of_field_model=model, **on_camera(MODELS[model])))
    part = answered(api, DEPTH, depth_of(lens, whole["magnification"], model=model, **MODELS[model]))
    assert whole["depth_of_field"]["total_mm"] > 0
    for name, value in whole["depth_of_field"].items():
        assert part[name] == (pytest.approx(value, rel=1e-12) if isinstance(value, float) else value), name


def test_the_pixels_and_white_light_count_alike_in_the_quantity_and_the_set_up(api: FlaskClient) -> None:
    known = DETAIL | {"light": "white", "pixel_fill": 0.9}
    document = set_up(LENS, spacer(31), camera=CAMERA | {"pixel_pitch_um": 5}, depth_of_field_model="contrast", **known)
    whole = answered(api, SET_UPS, document)
    part = answered(api, DEPTH, depth_of(LENS, whole["magnification"], model="contrast", pixel_pitch_um=5, **known))
    assert part["total_mm"] == pytest.approx(whole["depth_of_field"]["total_mm"], rel=1e-12)
    finer = answered(api, DEPTH, depth_of(LENS, whole["magnification"], model="contrast", pixel_pitch_um=2, **known))
    assert finer["total_mm"] > part["total_mm"]
    one_wavelength = depth_of(LENS, whole["magnification"], model="contrast", pixel_pitch_um=5, **DETAIL)
    assert answered(api, DEPTH, one_wavelength)["total_mm"] != pytest.approx(part["total_mm"], rel=1e-4)


def test_each_model_gives_its_own_half_depth(api: FlaskClient) -> None:
    """At 1:1, f/16 effective: c N_eff, 2 lambda N_eff^2 and their sum either way, by hand."""
    wave = 2 * 0.00055 * 16**2
    for model, half in (("geometric", 0.02 * 16), ("wave", wave), ("combined", 0.02 * 16 + wave)):
        answer = answered(api, DEPTH, LIFE_SIZE | {"model": model} | MODELS[model])
        assert answer["model"] == model
        assert answer["front_depth_mm"] == answer["rear_depth_mm"] == pytest.approx(half)
        assert answer["depth_of_focus_mm"] == answer["total_mm"] == pytest.approx(2 * half)


def test_the_combined_model_is_assumed_and_named(api: FlaskClient) -> None:
    answer = answered(api, DEPTH, LIFE_SIZE | BLUR)
    assert answer["model"] == answer["assumed"]["model"] == "combined"
    assert answer["assumed"] == {"mounting": "normal", "model": "combined", "wavelength_nm": 550}
    assert "model" not in answered(api, DEPTH, LIFE_SIZE | BLUR | {"model": "combined"})["assumed"]


def test_the_contrast_model_assumes_a_contrast_and_names_it(api: FlaskClient) -> None:
    answer = answered(api, DEPTH, LIFE_SIZE | {"model": "contrast", "sensor_detail_lp_per_mm": 30})
    assert answer["assumed"]["contrast"] == 0.3
    stated = answered(api, DEPTH, LIFE_SIZE | {"model": "contrast", "sensor_detail_lp_per_mm": 30, "contrast": 0.3})
    assert stated["total_mm"] == answer["total_mm"]
    assert "contrast" not in stated["assumed"]


def test_a_detail_on_the_subject_is_that_detail_over_the_magnification_on_the_sensor(api: FlaskClient) -> None:
    lens = LIFE_SIZE | {"magnification": 4, "model": "contrast"}
    on_subject = answered(api, DEPTH, lens | {"subject_detail_lp_per_mm": 80})
    on_sensor = answered(api, DEPTH, lens | {"sensor_detail_lp_per_mm": 20})
    assert on_subject["total_mm"] == pytest.approx(on_sensor["total_mm"], rel=1e-12)


def test_models_without_blur_leave_the_circle_of_confusion_open(api: FlaskClient) -> None:
    assert answered(api, DEPTH, LIFE_SIZE | {"model": "wave"})["circle_of_confusion_mm"] is None


def test_the_geometric_model_says_what_it_leaves_out(api: FlaskClient) -> None:
    assert "diffraction-ignored" in codes(answered(api, DEPTH, LIFE_SIZE | BLUR | {"model": "geometric"})["remarks"])
    assert "diffraction-ignored" not in codes(answered(api, DEPTH, LIFE_SIZE | BLUR)["remarks"])


@pytest.mark.parametrize(("f_number", "told"), [(5, False), (5.9, True), (50, True)])
def test_an_airy_disk_that_fills_the_blur_is_told(api: FlaskClient, f_number: float, told: bool) -> None:
    """2.43934 x 0.55 um x 2 N at 1:1 against 15 um: f/5.6 divides them."""
    answer = answered(api, DEPTH, LIFE_SIZE | {"f_number": f_number, "circle_of_confusion_mm": 0.015})
    assert ("airy-disk-fills-blur" in codes(answer["remarks"])) == told


@pytest.mark.parametrize(("f_number", "told"), [(10.9, False), (11, True)])
def test_dust_is_told_of_from_22_effective(api: FlaskClient, f_number: float, told: bool) -> None:
    answer = answered(api, DEPTH, LIFE_SIZE | BLUR | {"f_number": f_number})
    assert ("dust-shows" in codes(answer["remarks"])) == told


# -- unlimited, and hypercentric ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("model", MODELS)
def test_a_far_limit_beyond_all_distance_is_null_and_said_to_be_unlimited(api: FlaskClient, model: str) -> None:
    """Small magnification, small aperture: the rear depth has no end."""
    measure = MODELS[model] | ({"sensor_detail_lp_per_mm": 2} if model == "contrast" else {})
    lens = {"magnification": 0.001, "f_number": 64, "pupil_magnification": 1, "focal_length_mm": 5}
    answer = answered(api, DEPTH, lens | measure | {"model": model})
    assert (answer["rear_extent"], answer["rear_depth_mm"], answer["total_mm"]) == ("unlimited", None, None)
    assert answer["front_extent"] == "finite"
    assert 0 < answer["front_depth_mm"] < 5 * (1000 + 1)  # before the entrance pupil
    assert answer["depth_of_focus_mm"] > 0


@pytest.mark.parametrize("model", MODELS)
def test_a_hypercentric_train_is_deeper_in_front_than_behind(api: FlaskClient, model: str) -> None:
    """A field lens that images the stop behind it to a place before the subject."""
    field = {"element": "close-up-lens", "power_dpt": 20}
    rear = {"element": "lens", "focal_length_mm": 50, "f_number": 16, "pupil_magnification": 1, "register_mm": 44}
    rear |= {"front_principal_plane_mm": 0, "principal_plane_separation_mm": 0}
    train = [field, spacer(120), rear, spacer(60)]
    more = on_camera(MODELS[model] | ({"sensor_detail_lp_per_mm": 15} if model == "contrast" else {}))
    answer = answered(api, SET_UPS, set_up(*train, depth_of_field_model=model, **more))
    depth = answer["depth_of_field"]
    assert depth["front_extent"] == depth["rear_extent"] == "finite"
    assert depth["front_depth_mm"] > depth["rear_depth_mm"] > 0


# -- contrast that cannot be had ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "more", [{}, {"pixel_pitch_um": 8}, {"light": "white"}, {"pixel_pitch_um": 6, "pixel_fill": 0.7}]
)
def test_a_contrast_that_focus_itself_does_not_leave_is_refused_with_the_best_there_is(
    api: FlaskClient, more: dict[str, Any]
) -> None:
    asked = LIFE_SIZE | {"model": "contrast", "sensor_detail_lp_per_mm": 60, "contrast": 0.9} | more
    problem = refused(api, DEPTH, asked)
    assert (problem["type"], problem["code"]) == ("/problems/impossible", "contrast-unattainable")
    assert pointers(problem) == {"/contrast"}
    best = float(re.findall(r"contrast of ([0-9.]+) at best", problem["detail"])[0])
    assert 0.1 < best < 0.9
    answer = answered(api, DEPTH, asked | {"contrast": best * 0.99})
    assert answer["total_mm"] > 0
    assert answered(api, DEPTH, asked | {"contrast": best * 0.5})["total_mm"] > answer["total_mm"]
    refused(api, DEPTH, asked | {"contrast": best * 1.01})


def test_a_detail_beyond_the_cut_off_has_no_contrast_at_all(api: FlaskClient) -> None:
    asked = LIFE_SIZE | {"model": "contrast", "sensor_detail_lp_per_mm": 120}  # 1/(0.55 um x 16) is 113.6
    assert "a contrast of 0.000 at best" in refused(api, DEPTH, asked)["detail"]


def test_a_set_up_refuses_a_contrast_that_cannot_be_had(api: FlaskClient) -> None:
    document = set_up(LENS, spacer(31), depth_of_field_model="contrast", sensor_detail_lp_per_mm=60, contrast=0.9)
    problem = refused(api, SET_UPS, document)
    assert (problem["type"], problem["code"]) == ("/problems/impossible", "contrast-unattainable")
    assert pointers(problem) == {"/contrast"}


# -- contradictions -----------------------------------------------------------------------------------------------------

PRINT = {"print_width_mm": 300}
RING_TWICE = {"f_numbers": [8, 11], "aperture_series": "half", "least_f_number": 4, "greatest_f_number": 16}


@pytest.mark.parametrize(
    ("path", "asked", "at_fault"),
    [
        (DEPTH, LIFE_SIZE | TWO_STATEMENTS | {"model": "contrast"}, set(TWO_STATEMENTS)),
        (OPTIMUM, DEEP | TWO_STATEMENTS, set(TWO_STATEMENTS)),
        (SET_UPS, set_up(LENS, spacer(31), **TWO_STATEMENTS), set(TWO_STATEMENTS)),
        (DEPTH, LIFE_SIZE | BLUR | PRINT | {"sensor": "36x24"}, {"circle_of_confusion_mm", "print_width_mm"}),
        (DEPTH, LIFE_SIZE | PRINT, {"sensor", "circle_of_confusion_mm"}),
        (DEPTH, LIFE_SIZE, {"circle_of_confusion_mm"}),
        (DEPTH, LIFE_SIZE | {"model": "geometric"}, {"circle_of_confusion_mm"}),
        (DEPTH, LIFE_SIZE | BLUR | {"model": "contrast"}, {"sensor_detail_lp_per_mm"}),
        (SET_UPS, set_up(LENS, spacer(31), depth_of_field_model="contrast"), {"sensor_detail_lp_per_mm"}),
        (DEPTH, LIFE_SIZE | BLUR | {"viewing_distance_mm": 400}, {"print_width_mm"}),
        (DEPTH, LIFE_SIZE | BLUR | {"acuity_arcmin": 1}, {"print_width_mm"}),
        (DIFFRACTION, LIFE_SIZE | {"viewing_distance_mm": 400}, {"print_width_mm"}),
        (SET_UPS, set_up(LENS, spacer(31), viewing_distance_mm=400), {"print_width_mm"}),
        (OPTIMUM, DEEP | {"least_f_number": 16, "greatest_f_number": 4}, {"least_f_number"}),
        (OPTIMUM, DEEP | {"least_f_number": 32}, {"least_f_number"}),
        (OPTIMUM, DEEP | {"greatest_f_number": 2}, {"greatest_f_number"}),
        (OPTIMUM, DEEP | RING_TWICE, set(RING_TWICE)),
        (OPTIMUM, DEEP | {"f_numbers": [8], "greatest_f_number": 16}, {"f_numbers", "greatest_f_number"}),
        (OPTIMUM, DEEP | {"subject_depth_mm": 0}, {"subject_depth_mm"}),
    ],
)
def test_members_that_contradict_or_miss_each_other_are_named(
    api: FlaskClient, path: str, asked: dict[str, Any], at_fault: set[str]
) -> None:
    problem = refused(api, path, asked)
    assert problem["type"] == "/problems/invalid-fields"
    assert {pointer.lstrip("/") for pointer in pointers(problem)} <= at_fault
    assert pointers(problem)


@pytest.mark.parametrize("model", ["wave", "contrast"])
def test_a_model_that_needs_no_blur_asks_for_none(api: FlaskClient, model: str) -> None:
    assert answered(api, DEPTH, LIFE_SIZE | MODELS[model] | {"model": model})["total_mm"] > 0


# -- the print ----------------------------------------------------------------------------------------------------------


def test_the_print_sets_the_blur_accepted_on_the_sensor(api: FlaskClient) -> None:
    """2' at 400 mm is 0.2327 mm on a print 12 times the sensor's width, by hand."""
    seen = PRINT | {"viewing_distance_mm": 400, "acuity_arcmin": 2, "sensor_width_mm": 25, "sensor_height_mm": 20}
    answer = answered(api, DEPTH, LIFE_SIZE | seen)
    assert answer["circle_of_confusion_mm"] == pytest.approx(400 * math.tan(math.radians(2 / 60)) / 12, rel=1e-6)
    assert "circle_of_confusion_mm" not in answer["assumed"]
    direct = answered(api, DEPTH, LIFE_SIZE | {"circle_of_confusion_mm": answer["circle_of_confusion_mm"]})
    assert direct["total_mm"] == pytest.approx(answer["total_mm"], rel=1e-12)


def test_the_viewers_distance_and_acuity_are_assumed_and_named(api: FlaskClient) -> None:
    small = answered(api, DEPTH, LIFE_SIZE | PRINT | {"sensor": "36x24"})
    large = answered(api, DEPTH, LIFE_SIZE | {"print_width_mm": 2000, "sensor": "36x24"})
    assert small["assumed"]["viewing_distance_mm"] == 300
    assert large["assumed"]["viewing_distance_mm"] == 2000
    assert small["assumed"]["acuity_arcmin"] == 2
    assert small["circle_of_confusion_mm"] == pytest.approx(large["circle_of_confusion_mm"], rel=1e-12)


def test_the_print_sets_the_blur_of_a_set_up_too(api: FlaskClient) -> None:
    whole = answered(api, SET_UPS, set_up(LENS, spacer(31), **PRINT))
    assert whole["assumed"]["/viewing_distance_mm"] == 300
    assert whole["assumed"]["/acuity_arcmin"] == 2
    part = answered(api, DEPTH, depth_of(LENS, whole["magnification"], sensor="23.5x15.6", **PRINT))
    assert part["total_mm"] == pytest.approx(whole["depth_of_field"]["total_mm"], rel=1e-12)
