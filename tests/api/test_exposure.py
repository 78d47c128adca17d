"""The next exposure from a frame that was right: `/v1/exposure`, and the exposure of a set-up."""

import json
import math
from typing import Any
from urllib.parse import quote

import pytest
from flask.testing import FlaskClient

from asking import LENS, SET_UPS, answered, codes, pointers, refused, set_up, spacer, text_of, without
from exposures import DIAL, LIFE_SIZE, PATH, by_flash, daylight


def test_each_cause_is_told_in_stops_and_the_sum_is_solved(api: FlaskClient) -> None:
    planned = {"magnification": 3, "iso": 200, "transmission": 0.5}
    answer = answered(api, PATH, daylight(planned=planned))
    assert answer["stops"]["aperture_stops"] == pytest.approx(-2)
    assert answer["stops"]["iso_stops"] == pytest.approx(1)
    assert answer["stops"]["transmission_stops"] == pytest.approx(-1)
    assert answer["difference_stops"] == pytest.approx(-2)
    assert answer["value"] == pytest.approx(2)
    assert (answer["nominal_value"], answer["marked_as"]) == (2, "2")
    assert answer["light"] == "continuous"


def test_nominal_values_stand_beside_exact_ones_with_what_they_are_off(api: FlaskClient) -> None:
    answer = answered(api, PATH, daylight(planned={"magnification": 1.2}))
    assert answer["value"] == pytest.approx(0.5 * 1.21)
    assert answer["marked_as"] == "0.6"
    off = math.log2(2 ** (-2 / 3) / answer["value"])
    assert answer["nominal_difference_stops"] == pytest.approx(off)


def test_a_marked_f_number_is_solved_through_the_pupils(api: FlaskClient) -> None:
    reference = {"effective_f_number": 16, "iso": 100}
    planned = {"magnification": 2, "pupil_magnification": 1.5, "mounting": "reversed"}
    answer = answered(api, PATH, {"reference": reference, "planned": planned, "unknown": "f_number"})
    assert answer["value"] * (2 + 1 / 1.5) == pytest.approx(16)
    assert answer["marked_as"] == "f/6.3"
    assert answer["planned"]["effective_f_number"] == pytest.approx(16)
    assert answer["difference_stops"] is None  # no mark is known before


def test_metering_through_the_lens_is_said_to_count_it_already(api: FlaskClient) -> None:
    assert "do not correct it again" in text_of(answered(api, PATH, daylight()), "metering-through-lens")


def test_filters_in_stops_and_by_transmission_are_one(api: FlaskClient) -> None:
    by_stops, by_share = (
        answered(api, PATH, daylight(planned=filters)) for filters in ({"filter_stops": 3}, {"transmission": 0.125})
    )
    assert by_stops["value"] == by_share["value"] == pytest.approx(4)


def test_a_planned_filter_takes_the_place_of_the_references(api: FlaskClient) -> None:
    reference = LIFE_SIZE | {"iso": 100, "filter_stops": 2}
    answer = answered(api, PATH, {"reference": reference, "planned": {"transmission": 1}, "unknown": "iso"})
    assert answer["value"] == pytest.approx(25)


def test_the_finder_is_dimmer_by_the_lens_open_at_infinity(api: FlaskClient) -> None:
    finder = {"least_f_number": 2.8, "focusing_f_number": 4}
    answer = answered(api, PATH, daylight(finder=finder))["finder"]
    assert answer["focusing_loss_stops"] == pytest.approx(2 * math.log2(8 / 2.8))
    assert answer["taking_loss_stops"] == pytest.approx(2 * math.log2(16 / 2.8))
    assert answer["modelling_light_factor"] == pytest.approx((8 / 2.8) ** 2)


def test_the_finder_stays_open_where_the_lens_is_not_known(api: FlaskClient) -> None:
    asked = {
        "reference": {"effective_f_number": 16, "iso": 100},
        "unknown": "iso",
        "finder": {"least_f_number": 2.8},
    }
    answer = answered(api, PATH, asked)
    assert answer["finder"]["focusing_loss_stops"] is None
    assert "no-marked-aperture" in codes(answer["remarks"])


def test_a_table_across_magnifications_says_the_setting_at_each(api: FlaskClient) -> None:
    rows = answered(api, PATH, daylight(magnifications=[1, 3, 7]))["rows"]
    assert [row["value"] for row in rows] == pytest.approx([0.5, 2, 8])
    assert [row["difference_stops"] for row in rows] == pytest.approx([0, -2, -4])
    assert [row["effective_f_number"] for row in rows] == pytest.approx([16, 32, 64])
    assert all(row["problem"] is None and row["length_mm"] is None for row in rows)


def open_bellows(**more: Any) -> dict[str, Any]:
    train = [LENS, {"element": "spacer"}]
    solve = {"unknown": "/train/1/length_mm", "maximum": 150, "target": {"magnification": 2}}
    return set_up(*train, solve=solve, **more)


def test_a_table_through_a_whole_set_up_solves_the_length_for_each_row(api: FlaskClient) -> None:
    asked = daylight(planned_set_up=open_bellows(), magnifications=[1, 2, 40])
    rows = answered(api, PATH, asked)["rows"]
    assert [row["length_mm"] for row in rows[:2]] == pytest.approx([31, 66])
    assert rows[1]["effective_f_number"] == pytest.approx(8 * (2 + 1 / 1.3))
    assert rows[2]["problem"] == "no-solution"
    assert rows[2]["value"] is None


def test_a_set_up_answers_the_exposure_beside_everything_else(api: FlaskClient) -> None:
    exposure = {
        "reference": {"effective_f_number": 8, "iso": 100, "flash_power": 0.01},
        "unknown": "flash_power",
        "finder": {"least_f_number": 2.8},
        "magnifications": [1, 2],
    }
    answer = answered(api, SET_UPS, open_bellows(exposure=exposure))
    assert answer["exposure"]["planned"]["effective_f_number"] == answer["effective_f_number"]
    assert answer["exposure"]["value"] == pytest.approx(0.01 * (answer["effective_f_number"] / 8) ** 2)
    assert len(answer["exposure"]["rows"]) == 2
    assert answer["assumed"]["/exposure/finder/focusing_f_number"] == 2.8
    assert "metering-through-lens" in codes(answer["remarks"])


def test_a_mark_is_solved_through_a_whole_set_up(api: FlaskClient) -> None:
    asked = {
        "reference": {"effective_f_number": 20, "iso": 100},
        "planned_set_up": set_up(LENS, spacer(31)),
        "unknown": "f_number",
    }
    answer = answered(api, PATH, asked)
    assert answer["value"] * (1 + 1 / 1.3) == pytest.approx(20)


def test_a_mark_that_another_stop_would_overrule_is_refused(api: FlaskClient) -> None:
    narrow = {"element": "spacer", "length_mm": 31, "clear_diameter_mm": 2}
    asked = {
        "reference": {"effective_f_number": 4, "iso": 100},
        "planned_set_up": set_up(LENS, narrow),
        "unknown": "f_number",
    }
    assert pointers(refused(api, PATH, asked)) == {"/unknown"}


def test_refusals_of_a_set_up_point_into_it(api: FlaskClient) -> None:
    no_subject = set_up(without(LENS, "reversed") | {"reversed": False})
    asked = {"reference": {"iso": 100}, "reference_set_up": no_subject, "unknown": "iso"}
    assert all(pointer.startswith("/reference_set_up/") for pointer in pointers(refused(api, PATH, asked)))


def test_a_get_with_the_document_answers_the_same(api: FlaskClient) -> None:
    asked = by_flash(planned={"magnification": 2})
    got = api.get(f"{PATH}?document={quote(json.dumps(asked))}")
    assert got.get_json() == answered(api, PATH, asked)


def test_long_exposures_on_film_and_marks_beyond_the_series_are_remarked_on(api: FlaskClient) -> None:
    answer = answered(api, PATH, daylight(planned={"magnification": 60, "iso": 10}))
    assert {"long-exposure", "beyond-marked-values"} <= codes(answer["remarks"])
    assert answer["nominal_value"] is None


@pytest.mark.parametrize(
    ("asked", "faulty"),
    [
        ({"reference": LIFE_SIZE | {"iso": 100}}, {"/unknown"}),
        ({"unknown": "iso"}, {"/reference", "/reference/iso"}),
        (daylight(planned={"exposure_time_s": 1}), {"/planned/exposure_time_s"}),
        (daylight(unknown="flash_power"), {"/reference/flash_power"}),
        (daylight(unknown=["iso", "f_number"]), {"/unknown"}),
        (daylight(unknown="aperture"), {"/unknown"}),
        ({"reference": LIFE_SIZE, "planned": {"iso": 100}, "unknown": "f_number"}, {"/reference/iso"}),
        ({"reference": {"iso": 100}, "unknown": "iso"}, {"/reference/f_number", "/reference/magnification"}),
        (
            daylight(planned={"effective_f_number": 8, "magnification": 2}),
            {"/planned/effective_f_number", "/planned/magnification"},
        ),
        (by_flash(unknown="exposure_time_s"), {"/unknown", "/reference/exposure_time_s"}),
        (daylight(light="continuous", sync_time_s=0.01), {"/sync_time_s"}),
        (daylight(light="continuous", planned={"pops": 2}), {"/planned/pops"}),
        (by_flash(2.0), {"/reference/flash_power"}),
        (by_flash(9, flash_scale=DIAL), {"/reference/flash_power"}),
        (
            by_flash(9, flash_scale={"kind": "dial"}),
            {"/flash_scale/least", "/flash_scale/greatest", "/flash_scale/unit_stops"},
        ),
        (by_flash(3, flash_scale=DIAL | {"unit_stops": 0}), {"/flash_scale/unit_stops"}),
        (by_flash(3, flash_scale=DIAL | {"least": 8, "greatest": 2}), {"/flash_scale/least"}),
        (by_flash(flash_scale={"unit_stops": 1}), {"/flash_scale/unit_stops"}),
        (by_flash(flash_scale={"least": 0}), {"/flash_scale/least"}),
        (by_flash(flash_scale={"greatest": 2}), {"/flash_scale/greatest"}),
        (by_flash(flash_scale={"kind": "joules", "least": -1}), {"/flash_scale/least"}),
        (by_flash(planned={"pops": 1.5}), {"/planned/pops"}),
        (by_flash(planned={"source_diameter_mm": 50}), {"/reference/flash_distance_mm"}),
        (by_flash(finder={"least_f_number": 11}), {"/finder/least_f_number"}),
        ({"reference": {"f_number": 0.5, "magnification": 0.1, "pupil_magnification": 2, "mounting": "reversed", "iso": 100},
          "unknown": "iso"}, {"/reference/f_number"}),
        (daylight(unknown="f_number", planned={"filter_stops": 12}), {"/unknown"}),
        (daylight(unknown="iso", planned={"f_number": 2.8, "magnification": 20, "pupil_magnification": 10}),
         {"/planned/f_number"}),
        (by_flash(planned={"transmission": 0.5, "filter_stops": 1}), {"/planned/transmission", "/planned/filter_stops"}),
        (by_flash(ambient={}), {"/ambient/exposure_value", "/ambient/below_mid_grey_stops"}),
        (by_flash(ambient={"exposure_value": 8, "iso": 100}), {"/ambient/iso"}),
        (daylight(finder={"least_f_number": 4, "focusing_f_number": 2.8}), {"/finder/focusing_f_number"}),
        (daylight(magnifications=[]), {"/magnifications"}),
        (daylight(planned={"effective_f_number": 8}, magnifications=[1]), {"/magnifications"}),
        (daylight(planned_set_up=set_up(LENS, spacer(31)), magnifications=[1]), {"/planned_set_up/solve"}),
        (daylight(planned={"magnification": 2}, planned_set_up=set_up(LENS, spacer(31))), {"/planned/magnification"}),
        ({"reference": {"effective_f_number": 8, "iso": 100}, "unknown": "f_number"}, {"/unknown"}),
        (daylight(reference=3), {"/reference"}),
        (daylight(planed={}), {"/planed"}),
    ],
)  # fmt: skip
def test_bad_input_is_named_with_what_would_be_right(api: FlaskClient, asked: dict[str, Any], faulty: set[str]) -> None:
    problem = refused(api, PATH, asked)
    assert pointers(problem) == faulty
    assert all(len(error["detail"]) > 10 for error in problem["errors"])


def test_an_exposure_table_of_a_set_up_needs_an_open_length(api: FlaskClient) -> None:
    exposure = {"reference": {"effective_f_number": 8, "iso": 100}, "unknown": "iso", "magnifications": [1]}
    assert pointers(refused(api, SET_UPS, set_up(LENS, spacer(31), exposure=exposure))) == {"/solve"}


def test_refusals_of_the_aperture_point_to_where_it_is_stated(api: FlaskClient) -> None:
    exposure = {"reference": {"effective_f_number": 8, "iso": 100}, "unknown": "iso"}
    assert pointers(refused(api, SET_UPS, set_up(without(LENS, "f_number"), spacer(31), exposure=exposure))) == {
        "/train/0/f_number"
    }


def test_a_mark_of_a_lens_that_another_marked_stop_would_overrule_is_refused(api: FlaskClient) -> None:
    front = {"element": "lens", "reversed": True, "focal_length_mm": 50, "f_number": 4, "register_mm": 45}
    rear = {"element": "lens", "focal_length_mm": 100, "f_number": 8, "register_mm": 18}
    coupled = set_up(front, rear)
    coupled["camera"] = {"register_mm": 18}
    wide_open = {"reference": {"effective_f_number": 1, "iso": 100}, "planned_set_up": coupled, "unknown": "f_number"}
    assert pointers(refused(api, PATH, wide_open)) == {"/unknown"}
    stopped_down = {**wide_open, "reference": {"effective_f_number": 16, "iso": 100}}
    assert answered(api, PATH, stopped_down)["value"] > 4


OF_THE_KIT: dict[str, Any] = {
    "camera": {"use": "field-camera"},
    "train": [
        {"element": "kit-part", "use": "wide-35", "reversed": True, "f_number": 8},
        {"element": "kit-part", "use": "table-bellows", "length_mm": 60},
    ],
}


def test_a_frame_may_be_taken_with_parts_of_the_kit(api: FlaskClient) -> None:
    asked = {"reference": {"effective_f_number": 8, "iso": 100}, "planned_set_up": OF_THE_KIT, "unknown": "iso"}
    answer = answered(api, PATH, asked)
    whole = answered(api, SET_UPS, OF_THE_KIT)
    assert answer["planned"]["effective_f_number"] == pytest.approx(whole["effective_f_number"])
    assert answer["kit_revision"] == whole["kit_revision"]
    unknown = {**OF_THE_KIT, "camera": {"use": "no-such-camera"}}
    assert pointers(refused(api, PATH, asked | {"planned_set_up": unknown})) == {"/planned_set_up/camera/use"}


def test_a_set_up_of_the_kit_answers_its_exposure_too(api: FlaskClient) -> None:
    exposure = {"reference": {"effective_f_number": 8, "iso": 100}, "unknown": "iso"}
    answer = answered(api, SET_UPS, {**OF_THE_KIT, "exposure": exposure})
    assert answer["exposure"]["planned"]["effective_f_number"] == answer["effective_f_number"]
