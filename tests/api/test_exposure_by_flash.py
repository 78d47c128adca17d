"""The next exposure by flash: the head's power and range, its distance, and the ambient light beside it."""

import math
from typing import Any

import pytest
from flask.testing import FlaskClient

from asking import LENS, SET_UPS, answered, codes, refused, set_up, spacer, text_of, without
from exposures import DIAL, PATH, by_flash, daylight


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
