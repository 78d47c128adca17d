"""What is sharp, by every model; what diffraction costs; which aperture to set."""

import math
import re
from typing import Any

import pytest
from flask.testing import FlaskClient

from asking import CAMERA, LENS, SET_UPS, answered, codes, pointers, refused, set_up, spacer, without

DEPTH, DIFFRACTION, OPTIMUM = "/v1/depth-of-field", "/v1/diffraction", "/v1/optimum-aperture"
EFFECTIVE = "/v1/effective-f-number"
LIFE_SIZE: dict[str, Any] = {"magnification": 1, "f_number": 8, "pupil_magnification": 1}
BLUR = {"circle_of_confusion_mm": 0.02}
DETAIL = {"sensor_detail_lp_per_mm": 30, "contrast": 0.25}
MODELS: dict[str, dict[str, Any]] = {"geometric": BLUR, "wave": {}, "combined": BLUR, "contrast": DETAIL}
DEEP: dict[str, Any] = {"magnification": 1, "pupil_magnification": 1.3, "subject_depth_mm": 2}
TWO_STATEMENTS = {"sensor_detail_lp_per_mm": 20, "subject_detail_lp_per_mm": 20}


def depth_of(lens: dict[str, Any], magnification: float, **more: Any) -> dict[str, Any]:
    """Request of the quantity for the lens of a set-up."""
    names = ("focal_length_mm", "f_number", "pupil_magnification")
    mounting = "reversed" if lens.get("reversed") else "normal"
    return {"mounting": mounting, "magnification": magnification} | {name: lens[name] for name in names} | more


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


# -- diffraction --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("pitch", "verdict"), [(8, "pixels-limit"), (5, "matched"), (3, "diffraction-limits")])
def test_pixels_are_held_against_what_diffraction_leaves(api: FlaskClient, pitch: float, verdict: str) -> None:
    """f/16 effective: Rayleigh 10.73 um takes pixels of 5.37 um, and the cut-off 113.6 lp/mm pixels of 4.4 um; by hand."""
    answer = answered(api, DIFFRACTION, LIFE_SIZE | {"pixel_pitch_um": pitch, "sensor": "36x24"})
    assert answer["sampling"] == verdict
    assert answer["nyquist_lp_per_mm"] == pytest.approx(500 / pitch)
    assert answer["filled_share"] == pytest.approx(min(1, (pitch / 5.367) ** 2), rel=1e-3)
    assert answer["filled_megapixels"] == pytest.approx(answer["filled_share"] * 36 * 24 / pitch**2)
    assert (answer["nyquist_contrast"] == 0) == (verdict == "diffraction-limits")


def test_the_figures_in_the_plane_of_focus_hang_together(api: FlaskClient) -> None:
    answer = answered(api, DIFFRACTION, LIFE_SIZE | {"magnification": 4})
    assert answer["effective_f_number"] == 40
    assert answer["airy_diameter_um"] == pytest.approx(2.43934 * 0.55 * 40, rel=1e-5)
    assert answer["sensor_resolution_um"] == pytest.approx(answer["airy_diameter_um"] / 2)
    assert answer["sensor_cutoff_lp_per_mm"] == pytest.approx(1000 / (0.55 * 40))
    assert answer["subject_cutoff_lp_per_mm"] == pytest.approx(2000 * answer["numerical_aperture"] / 0.55)
    for on_subject, on_sensor in (
        ("subject_airy_diameter_um", "airy_diameter_um"),
        ("subject_resolution_um", "sensor_resolution_um"),
    ):
        assert answer[on_subject] == pytest.approx(answer[on_sensor] / 4)


def test_the_contrast_of_details_is_told_coarsest_first(api: FlaskClient) -> None:
    asked = {"sensor_details_lp_per_mm": [60, 10], "subject_details_lp_per_mm": [80], "pixel_pitch_um": 5}
    rows = answered(api, DIFFRACTION, LIFE_SIZE | {"magnification": 2} | asked)["details"]
    assert [row["sensor_detail_lp_per_mm"] for row in rows] == [10, 40, 60]
    assert [row["subject_detail_lp_per_mm"] for row in rows] == [20, 80, 120]
    for row in rows:
        v = row["sensor_detail_lp_per_mm"] * 0.00055 * 24
        assert row["contrast"] == pytest.approx(2 / math.pi * (math.acos(v) - v * math.sqrt(1 - v * v)))
        sampled = math.pi * row["sensor_detail_lp_per_mm"] * 0.005
        assert row["contrast_with_pixels"] == pytest.approx(row["contrast"] * math.sin(sampled) / sampled)


def test_details_are_asked_for_in_a_query_by_commas(api: FlaskClient) -> None:
    query = "?f_number=8&magnification=1&pupil_magnification=1&sensor_details_lp_per_mm=10,20"
    response = api.get(DIFFRACTION + query)
    assert response.status_code == 200
    by_body = answered(api, DIFFRACTION, LIFE_SIZE | {"sensor_details_lp_per_mm": [10, 20]})
    assert response.get_json() == by_body
    assert len(by_body["details"]) == 2


@pytest.mark.parametrize("value", ["10,", "10,twenty", "10;20", ",", "10,1e9"])
def test_a_list_in_a_query_that_is_not_of_numbers_is_refused(api: FlaskClient, value: str) -> None:
    response = api.get(DIFFRACTION, query_string=LIFE_SIZE | {"sensor_details_lp_per_mm": value})
    assert response.status_code == 422
    assert {error.get("pointer", error.get("parameter")) for error in response.get_json()["errors"]}


@pytest.mark.parametrize(
    ("mounting", "more"),
    [
        ("normal", BLUR),
        ("reversed", BLUR),
        ("reversed", {"sensor": "36x24"}),
        ("normal", {"sensor": "36x24", "print_width_mm": 400, "viewing_distance_mm": 300}),
    ],
)
def test_at_the_largest_useful_f_number_the_airy_disk_is_as_wide_as_the_blur(
    api: FlaskClient, mounting: str, more: dict[str, Any]
) -> None:
    lens = {"mounting": mounting, "magnification": 2.5, "pupil_magnification": 1.6, "f_number": 4}
    largest = answered(api, DIFFRACTION, lens | more)["largest_useful_f_number"]
    there = answered(api, DIFFRACTION, lens | more | {"f_number": largest})
    blur = answered(api, DEPTH, lens | more | {"model": "geometric"})["circle_of_confusion_mm"]
    assert there["airy_diameter_um"] == pytest.approx(1000 * blur, rel=1e-12)
    assert there["largest_useful_f_number"] == pytest.approx(largest, rel=1e-12)


def test_what_needs_pixels_blur_or_sensor_is_null_without_and_names_them(api: FlaskClient) -> None:
    answer = answered(api, DIFFRACTION, LIFE_SIZE)
    nulls = {name for name, value in answer.items() if value is None}
    assert nulls == {
        "nyquist_lp_per_mm",
        "nyquist_contrast",
        "filled_share",
        "sampling",
        "filled_megapixels",
        "largest_useful_f_number",
    }
    told = " ".join(note["text"] for note in answer["remarks"] if note["code"] == "not-determined")
    assert all(name in told for name in (*nulls, "pixel_pitch_um", "circle_of_confusion_mm", "sensor"))
    assert answer["details"] == []


def test_contrasts_with_pixels_are_null_without_a_pixel_pitch(api: FlaskClient) -> None:
    (row,) = answered(api, DIFFRACTION, LIFE_SIZE | {"sensor_details_lp_per_mm": [30]})["details"]
    assert row["contrast"] > 0
    assert row["contrast_with_pixels"] is None


def test_a_set_up_tells_of_diffraction_as_the_quantity_does(api: FlaskClient) -> None:
    whole = answered(api, SET_UPS, set_up(LENS, spacer(31), camera=CAMERA | {"pixel_pitch_um": 4}))
    lens = without(depth_of(LENS, whole["magnification"], pixel_pitch_um=4), "focal_length_mm")
    part = answered(api, DIFFRACTION, lens)
    for name, value in whole["diffraction"].items():
        assert part[name] == (pytest.approx(value, rel=1e-9) if isinstance(value, float) else value), name
    assert whole["diffraction"]["sampling"] == "diffraction-limits" or whole["diffraction"]["filled_share"] <= 1


# -- the best aperture --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("mounting", ["normal", "reversed"])
@pytest.mark.parametrize("magnification", [0.5, 1, 6])
def test_the_closed_form_put_back_gives_an_airy_disk_as_wide_as_the_blur_at_both_ends(
    api: FlaskClient, mounting: str, magnification: float
) -> None:
    lens = {"mounting": mounting, "magnification": magnification, "pupil_magnification": 1.3}
    answer = answered(api, OPTIMUM, lens | {"subject_depth_mm": 3})
    assert answer["effective_f_number"] == pytest.approx(magnification * math.sqrt(3 / (4.87868 * 0.00055)), rel=1e-6)
    put_back = lens | {"f_number": answer["f_number"]}
    assert answered(api, EFFECTIVE, put_back)["effective_f_number"] == pytest.approx(answer["effective_f_number"])
    airy = answered(api, DIFFRACTION, put_back)["airy_diameter_um"]
    same_blur = put_back | {"model": "geometric", "circle_of_confusion_mm": airy / 1000}
    assert answered(api, DEPTH, same_blur)["total_mm"] == pytest.approx(3, rel=1e-9)


def test_a_set_up_finds_the_same_best_aperture(api: FlaskClient) -> None:
    whole = answered(api, SET_UPS, set_up(LENS, spacer(31), subject_depth_mm=1.5))
    lens = without(depth_of(LENS, whole["magnification"]), "focal_length_mm", "f_number")
    part = answered(api, OPTIMUM, lens | {"subject_depth_mm": 1.5})
    assert whole["optimum_effective_f_number"] == pytest.approx(part["effective_f_number"], rel=1e-12)
    assert whole["optimum_f_number"] == pytest.approx(part["f_number"], rel=1e-12)
    set_there = answered(api, SET_UPS, set_up(LENS | {"f_number": whole["optimum_f_number"]}, spacer(31)))
    assert set_there["effective_f_number"] == pytest.approx(whole["optimum_effective_f_number"], rel=1e-12)


def test_the_best_of_a_list_is_the_one_with_the_most_contrast_at_the_ends(api: FlaskClient) -> None:
    answer = answered(
        api, OPTIMUM, DEEP | {"subject_depth_mm": 0.6, "sensor_detail_lp_per_mm": 30, "f_numbers": [16, 4, 8, 8, 5.6]}
    )
    assert [row["nominal_f_number"] for row in answer["curve"]] == [4, 5.6, 8, 16]
    assert [row["f_number"] for row in answer["curve"]] == [4, 5.6, 8, 16]  # a list is taken as exact
    assert answer["best"] == max(answer["curve"], key=lambda row: float(row["end_contrast"]))
    assert answer["best"]["nominal_f_number"] == 8
    assert not {"aperture_series", "least_f_number", "greatest_f_number"} & set(answer["assumed"])


def test_a_row_of_the_curve_is_what_the_other_quantities_say(api: FlaskClient) -> None:
    asked = {"mounting": "reversed", "magnification": 2, "pupil_magnification": 1.3, "pixel_pitch_um": 4}
    answer = answered(api, OPTIMUM, asked | {"subject_depth_mm": 0.8, "sensor_detail_lp_per_mm": 25})
    for row in answer["curve"]:
        lens = asked | {"f_number": row["f_number"]}
        at_focus = answered(api, DIFFRACTION, lens | {"sensor_details_lp_per_mm": [25]})
        assert row["effective_f_number"] == pytest.approx(at_focus["effective_f_number"], rel=1e-12)
        assert row["middle_contrast"] == pytest.approx(at_focus["details"][0]["contrast_with_pixels"], abs=1e-12)
    best = answer["best"]
    kept = {"model": "contrast", "sensor_detail_lp_per_mm": 25, "contrast": best["end_contrast"]}
    assert answered(api, DEPTH, asked | kept | {"f_number": best["f_number"]})["total_mm"] == pytest.approx(
        0.8, rel=1e-6
    )


def test_with_a_focal_length_the_ends_are_equally_blurred_from_a_middle_off_centre(api: FlaskClient) -> None:
    """The whole depth by the contrast model, with the pupil's position, is the subject's depth again."""
    lens = {"magnification": 0.2, "focal_length_mm": 20, "pupil_magnification": 1}
    answer = answered(api, OPTIMUM, lens | {"subject_depth_mm": 100, "sensor_detail_lp_per_mm": 5})
    best = answer["best"]
    kept = {"model": "contrast", "sensor_detail_lp_per_mm": 5, "contrast": best["end_contrast"]}
    depth = answered(api, DEPTH, lens | kept | {"f_number": best["f_number"]})
    assert depth["total_mm"] == pytest.approx(100, rel=1e-6)
    assert depth["rear_depth_mm"] > 1.5 * depth["front_depth_mm"]


def test_one_frame_is_advised_exactly_where_the_best_mark_reaches_the_contrast(api: FlaskClient) -> None:
    asked = DEEP | {"sensor_detail_lp_per_mm": 20}
    reached = answered(api, OPTIMUM, asked)["best"]["end_contrast"]
    one = answered(api, OPTIMUM, asked | {"contrast": reached - 1e-9})
    assert one["advice"] == "one-frame"
    assert "stack-instead" not in codes(one["remarks"])
    stack = answered(api, OPTIMUM, asked | {"contrast": reached + 1e-9})
    assert stack["advice"] == "stack"
    (told,) = (note["text"] for note in stack["remarks"] if note["code"] == "stack-instead")
    assert f"{reached:.2g}" in told


@pytest.mark.parametrize(("depth", "end"), [(0.001, 2.8), (500, 22)])
def test_a_best_aperture_that_is_not_on_the_ring_is_told_and_the_nearest_end_given(
    api: FlaskClient, depth: float, end: float
) -> None:
    answer = answered(api, OPTIMUM, DEEP | {"subject_depth_mm": depth})
    assert answer["nominal_f_number"] == end
    assert "beyond-the-ring" in codes(answer["remarks"])
    assert "beyond-the-ring" not in codes(answered(api, OPTIMUM, DEEP)["remarks"])


@pytest.mark.parametrize(
    ("series", "marks"),
    [("full", [2.8, 4, 5.6, 8]), ("half", [2.8, 3.3, 4, 4.8, 5.6, 6.7, 8])],
)
def test_the_ring_has_the_marks_of_its_series_between_its_ends(
    api: FlaskClient, series: str, marks: list[float]
) -> None:
    ring = {"aperture_series": series, "least_f_number": 2.8, "greatest_f_number": 8}
    answer = answered(api, OPTIMUM, DEEP | ring | {"sensor_detail_lp_per_mm": 20})
    assert [row["nominal_f_number"] for row in answer["curve"]] == marks
    assert not set(ring) & set(answer["assumed"])


def test_a_ring_without_a_mark_between_its_ends_has_its_ends(api: FlaskClient) -> None:
    ring = {"aperture_series": "full", "least_f_number": 8.5, "greatest_f_number": 9.5}
    answer = answered(api, OPTIMUM, DEEP | ring | {"sensor_detail_lp_per_mm": 20})
    assert [row["f_number"] for row in answer["curve"]] == [8.5, 9.5]


def test_without_a_detail_there_is_no_curve_and_the_detail_is_named(api: FlaskClient) -> None:
    answer = answered(api, OPTIMUM, DEEP)
    assert (answer.get("best"), answer["curve"], answer["advice"]) == (None, [], None)
    assert answer["sensor_detail_lp_per_mm"] is None
    (told,) = (note["text"] for note in answer["remarks"] if note["code"] == "not-determined")
    assert "sensor_detail_lp_per_mm" in told
    assert "best" in told
    assert "advice" in told


def test_a_detail_on_the_subject_is_told_as_it_falls_on_the_sensor(api: FlaskClient) -> None:
    answer = answered(api, OPTIMUM, DEEP | {"magnification": 2, "subject_detail_lp_per_mm": 30})
    assert answer["sensor_detail_lp_per_mm"] == 15
    assert answer["best"]["end_contrast"] > 0
