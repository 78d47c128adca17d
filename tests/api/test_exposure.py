"""The next exposure from a frame that was right: `/v1/exposure`, and the exposure of a set-up."""

import json
import math
from typing import Any
from urllib.parse import quote

import pytest
from flask.testing import FlaskClient

from asking import LENS, SET_UPS, answered, codes, pointers, refused, set_up, spacer, without

PATH = "/v1/exposure"
LIFE_SIZE: dict[str, Any] = {"f_number": 8, "magnification": 1, "pupil_magnification": 1, "mounting": "normal"}
DIAL: dict[str, Any] = {"kind": "dial", "least": 2, "greatest": 8, "unit_stops": 1, "step_stops": 0.1}


def daylight(**more: Any) -> dict[str, Any]:
    return {"reference": LIFE_SIZE | {"iso": 100, "exposure_time_s": 0.5}, "unknown": "exposure_time_s"} | more


def by_flash(power: float = 0.25, **more: Any) -> dict[str, Any]:
    return {"reference": LIFE_SIZE | {"iso": 100, "flash_power": power}, "unknown": "flash_power"} | more


def text_of(answer: dict[str, Any], code: str) -> str:
    return " ".join(note["text"] for note in answer["remarks"] if note["code"] == code)


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


@pytest.mark.parametrize(
    ("scale", "before", "after"),
    [
        ({"kind": "fraction"}, 1 / 64, 1 / 16),
        ({"kind": "joules", "greatest": 500}, 20, 80),
        ({"kind": "stops-below-full"}, 5, 3),
        (DIAL, 4.5, 6.5),
        (DIAL | {"unit_stops": -0.5}, 7, 3),
    ],
)
def test_two_stops_more_in_every_scale_of_a_head(
    api: FlaskClient, scale: dict[str, Any], before: float, after: float
) -> None:
    answer = answered(api, PATH, by_flash(before, flash_scale=scale, planned={"magnification": 3}))
    assert answer["value"] == pytest.approx(after)
    assert answer["flash_power"]["missing_stops"] == 0
    assert answer["flash_power"]["nearest_power"] == pytest.approx(after)


def test_fractions_are_told_as_heads_show_them(api: FlaskClient) -> None:
    answer = answered(api, PATH, by_flash(1 / 64, planned={"iso": 40}))
    assert answer["marked_as"] == "1/32+0.3"
    assert answer["assumed"]["/flash_scale/kind"] == "fraction"


def test_a_head_that_is_too_weak_says_by_how_much_and_every_way_out_closes_the_gap(api: FlaskClient) -> None:
    asked = by_flash(
        7, flash_scale=DIAL, planned={"magnification": 7, "flash_distance_mm": 400, "source_diameter_mm": 100}
    )
    asked["reference"] |= {"flash_distance_mm": 400, "source_diameter_mm": 100}
    answer = answered(api, PATH, asked)
    power = answer["flash_power"]
    assert answer["value"] == pytest.approx(11)
    assert power["nearest_power"] == 8
    assert power["missing_stops"] == pytest.approx(3)
    assert "3 stops too weak" in text_of(answer, "power-out-of-range")
    ways = {way["setting"]: way["value"] for way in power["ways"]}
    assert set(ways) == {"iso", "f_number", "flash_distance_mm", "pops"}
    marked = {way["setting"]: way["nominal_value"] for way in power["ways"]}
    assert (marked["iso"], marked["f_number"]) == (800, 2.8)
    for setting, value in ways.items():
        planned = asked["planned"] | {setting: value}
        mended = answered(api, PATH, asked | {"planned": planned})
        assert mended["value"] == pytest.approx(8), setting
        assert mended["flash_power"]["ways"] == []


def test_a_head_that_is_too_strong_is_told_so_too(api: FlaskClient) -> None:
    answer = answered(api, PATH, by_flash(3, flash_scale=DIAL, planned={"iso": 800}))
    assert answer["flash_power"]["missing_stops"] == pytest.approx(-2)
    assert "too strong" in text_of(answer, "power-out-of-range")
    assert {way["setting"]: way["value"] for way in answer["flash_power"]["ways"]} == pytest.approx(
        {"iso": 200, "f_number": 16, "transmission": 0.25}
    )


def test_a_head_whose_range_is_not_given_is_not_judged(api: FlaskClient) -> None:
    answer = answered(api, PATH, by_flash(1 / 512, planned={"iso": 200}))
    assert "power-range-not-known" in codes(answer["remarks"])


def test_a_flash_moved_twice_as_far_needs_two_stops_unless_it_is_large(api: FlaskClient) -> None:
    asked = by_flash(0.1, planned={"flash_distance_mm": 600})
    asked["reference"] |= {"flash_distance_mm": 300}
    small = answered(api, PATH, asked)
    assert small["value"] == pytest.approx(0.4)
    assert "inverse-square-assumed" in codes(small["remarks"])
    asked["reference"] |= {"source_diameter_mm": 300}
    large = answered(api, PATH, asked)
    assert large["value"] == pytest.approx(0.1 * (600**2 + 150**2) / (300**2 + 150**2))
    assert "inverse-square-off" in codes(large["remarks"])


def test_a_shutter_shorter_than_the_sync_time_is_flagged(api: FlaskClient) -> None:
    asked = by_flash(planned={"exposure_time_s": 1 / 500}, sync_time_s=1 / 200)
    answer = answered(api, PATH, asked)
    assert answer["within_sync_time"] is False
    assert "1/500 s is shorter than the sync time of 1/200 s" in text_of(answer, "shutter-shorter-than-sync")
    assert answered(api, PATH, asked | {"planned": {"exposure_time_s": 1 / 100}})["within_sync_time"] is True
    assert answered(api, PATH, asked | {"planned": {"exposure_time_s": 1 / 200}})["within_sync_time"] is True
    assert "within_sync_time" not in answered(api, PATH, without(asked, "sync_time_s"))


def test_ambient_light_by_a_meter_and_by_a_test_frame_agree(api: FlaskClient) -> None:
    asked = by_flash(planned={"exposure_time_s": 1 / 128})
    value = math.log2(16**2 * 128) - 4  # four stops under the settings
    metered = answered(api, PATH, asked | {"ambient": {"exposure_value": value}})["ambient"]
    tested = answered(api, PATH, asked | {"ambient": {"below_mid_grey_stops": 4}})["ambient"]
    elsewhere = {"below_mid_grey_stops": 1, "iso": 800}
    other = answered(api, PATH, asked | {"ambient": elsewhere})["ambient"]
    assert metered["under_flash_stops"] == pytest.approx(4)
    assert tested["under_flash_stops"] == other["under_flash_stops"] == 4
    assert tested["ambient_share"] == pytest.approx(1 / 17)
    assert tested["flash_share"] == pytest.approx(16 / 17)
    assert tested["black_without_flash"] is False


def test_ambient_light_draws_movement_for_the_whole_exposure(api: FlaskClient) -> None:
    ambient = {"below_mid_grey_stops": 7, "sideways_speed_mm_s": 2}
    answer = answered(api, PATH, by_flash(planned={"exposure_time_s": 0.01}, ambient=ambient))
    assert answer["ambient"]["black_without_flash"] is True
    assert answer["ambient"]["ambient_blur_um"] == pytest.approx(1000 * 1 * 2 * 0.01)


def test_a_reading_without_the_settings_leaves_the_ambient_open_and_names_them(api: FlaskClient) -> None:
    answer = answered(api, PATH, by_flash(ambient={"exposure_value": 8}))
    assert answer["ambient"]["under_flash_stops"] is None
    assert "/reference/exposure_time_s" in text_of(answer, "not-determined")


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


def test_a_source_too_large_to_be_bright_enough_is_refused_with_the_way_out(api: FlaskClient) -> None:
    asked = by_flash(0.5, unknown="flash_distance_mm", planned={"iso": 1, "source_diameter_mm": 400})
    asked["reference"] |= {"flash_distance_mm": 300}
    problem = refused(api, PATH, asked)
    assert problem["code"] == "no-solution"
    assert "Use more power" in problem["detail"]


def test_cautions_of_the_flash_and_of_what_surrounds_it_travel_with_the_exposure(api: FlaskClient) -> None:
    asked = by_flash(20, flash_scale={"kind": "joules"}, planned={"pops": 9}, subject_kind="wet-specimen")
    found = codes(answered(api, PATH, asked | {"mains_powered": True, "duty_limit_pops": 10})["cautions"])
    assert {"flash-near-eyes", "repeated-flashes", "flash-never-opened", "mains-near-water", "flash-near-duty"} <= found
    assert "flash-near-eyes" not in codes(answered(api, PATH, daylight())["cautions"])


def test_cautions_of_the_flash_travel_with_a_set_ups_exposure(api: FlaskClient) -> None:
    exposure = {"reference": {"effective_f_number": 8, "flash_power": 0.1}, "unknown": "flash_power"}
    answer = answered(api, SET_UPS, set_up(LENS, spacer(31), exposure=exposure, subject_kind="living"))
    assert {"flash-near-eyes", "flash-near-animals", "live-subject"} <= codes(answer["cautions"])


def test_ways_are_marked_on_the_side_that_closes_the_gap(api: FlaskClient) -> None:
    weak = answered(api, PATH, by_flash(7.9, flash_scale=DIAL, planned={"iso": 80}))
    assert weak["flash_power"]["missing_stops"] == pytest.approx(math.log2(1.25) - 0.1)
    marked = {way["setting"]: way["nominal_value"] for way in weak["flash_power"]["ways"]}
    assert (marked["iso"], marked["f_number"]) == (100, 7.1)
    strong = answered(api, PATH, by_flash(2.1, flash_scale=DIAL, planned={"iso": 125}))
    marked = {way["setting"]: way["nominal_value"] for way in strong["flash_power"]["ways"]}
    assert (marked["iso"], marked["f_number"]) == (100, 9)


def test_no_way_breaks_the_heads_duty_limit_or_asks_for_a_lens_that_nobody_has(api: FlaskClient) -> None:
    asked = by_flash(8, flash_scale=DIAL, planned={"magnification": 40}, duty_limit_pops=100)
    assert {way["setting"] for way in answered(api, PATH, asked)["flash_power"]["ways"]} == {"iso"}


def test_rows_say_what_the_heads_range_misses(api: FlaskClient) -> None:
    rows = answered(api, PATH, by_flash(7, flash_scale=DIAL, magnifications=[1, 3]))["rows"]
    assert [row["missing_stops"] for row in rows] == pytest.approx([0, 1])
    assert answered(api, PATH, daylight(magnifications=[1]))["rows"][0]["missing_stops"] is None


def test_the_planned_frame_is_told_with_the_setting_that_was_solved(api: FlaskClient) -> None:
    planned = answered(api, PATH, by_flash(0.25, planned={"magnification": 3}))["planned"]
    assert planned == pytest.approx(
        {"effective_f_number": 32, "light_loss_stops": 4, "f_number": 8, "iso": 100, "flash_power": 1}
    )


def test_a_diffuser_before_the_flash_takes_nothing_from_the_ambient_light(api: FlaskClient) -> None:
    lit = by_flash(0.25, planned={"exposure_time_s": 0.01}, ambient={"exposure_value": 8})
    plain = answered(api, PATH, lit)
    diffused = answered(api, PATH, lit | {"planned": {"exposure_time_s": 0.01, "flash_transmission": 0.5}})
    filtered = answered(api, PATH, lit | {"planned": {"exposure_time_s": 0.01, "transmission": 0.5}})
    assert diffused["value"] == filtered["value"] == pytest.approx(2 * plain["value"])
    assert diffused["ambient"] == plain["ambient"]
    assert filtered["ambient"]["under_flash_stops"] == pytest.approx(plain["ambient"]["under_flash_stops"] + 1)


def test_ambient_light_counts_against_the_flash_as_it_can_really_be_set(api: FlaskClient) -> None:
    asked = by_flash(8, flash_scale=DIAL, planned={"magnification": 3, "exposure_time_s": 0.01})
    asked["ambient"] = {"below_mid_grey_stops": 9}
    answer = answered(api, PATH, asked)
    assert answer["flash_power"]["missing_stops"] == pytest.approx(2)
    assert answer["ambient"]["under_flash_stops"] == pytest.approx(7)


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


def test_a_solved_distance_nobody_can_set_is_remarked_on(api: FlaskClient) -> None:
    asked = by_flash(0.5, unknown="flash_distance_mm", planned={"flash_power": 1e-6, "iso": 1, "filter_stops": 9})
    asked["reference"] |= {"flash_distance_mm": 300}
    answer = answered(api, PATH, asked)
    assert answer["value"] < 1
    assert "beyond-marked-values" in codes(answer["remarks"])


def test_texts_write_numbers_without_powers_of_ten(api: FlaskClient) -> None:
    asked = by_flash(8, flash_scale=DIAL, planned={"magnification": 300, "iso": 6400}, finder={"least_f_number": 1.4})
    texts = [note["text"] for note in answered(api, PATH, asked)["remarks"]]
    assert not any("e+" in text for text in texts)


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
