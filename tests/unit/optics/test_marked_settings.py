"""Marks of settings and clicks of heads, case by case."""

import pytest

from closeup_service.optics.aperture_series import Mark, list_marks, nearest_mark
from closeup_service.optics.flash_power import Scale
from closeup_service.optics.nominal_series import MARKS, next_nominal_mark, nominal_mark


@pytest.mark.parametrize(
    ("setting", "value", "written"),
    [
        ("exposure_time_s", 1 / 128, "1/125"),
        ("exposure_time_s", 0.0125, "1/80"),
        ("exposure_time_s", 35, "30"),
        ("exposure_time_s", 36.5, None),
        ("exposure_time_s", 1 / 36000, "1/32000"),
        ("exposure_time_s", 1 / 37500, None),
        ("iso", 317, "320"),
        ("iso", 5, None),
        ("f_number", 5.7, "f/5.6"),
        ("f_number", 0.48, "f/0.5"),
        ("f_number", 0.47, None),
        ("f_number", 270, "f/256"),
        ("f_number", 275, None),
        ("flash_distance_mm", 100, None),
    ],
)
def test_a_value_has_the_mark_within_half_a_step_or_none(setting: str, value: float, written: str | None) -> None:
    found = nominal_mark(setting, value)
    assert (None if found is None else found[1]) == written


@pytest.mark.parametrize(
    ("setting", "value", "rising", "mark"),
    [
        ("iso", 101, True, 125),
        ("iso", 101, False, 100),
        ("iso", 100, True, 100),
        ("iso", 100, False, 100),
        ("f_number", 8.1, False, 8),
        ("f_number", 8.1, True, 9),
        ("iso", 5e6, True, None),
        ("pops", 3, True, None),
    ],
)
def test_the_first_mark_beyond_a_value(setting: str, value: float, rising: bool, mark: float | None) -> None:
    found = next_nominal_mark(setting, value, rising)
    assert (None if found is None else found.nominal) == mark


@pytest.mark.parametrize(
    ("scale", "wanted", "clicked"),
    [
        (Scale("fraction", least=1 / 128, step_stops=1 / 3), -2.17, -7 / 3),
        (Scale("fraction", least=1 / 128, step_stops=1 / 3), -2.16, -2.0),
        (Scale("fraction", least=1 / 128, step_stops=1 / 3), -30.0, -7.0),
        (Scale("fraction", step_stops=1.0), 3.0, 0.0),
        (Scale("stops-below-full", greatest=6, step_stops=0.5), -2.3, -2.5),
        (Scale("stops-below-full", greatest=6, step_stops=0.5), 2.0, 0.0),
        (Scale("dial", 2, 10, 1.0, 0.1), 5.16, 5.2),
        (Scale("dial", 2, 10, 1.0, 3.0), 2.0, 4.0),
    ],
)
def test_a_head_clicks_to_the_nearest_step_below_its_strongest(scale: Scale, wanted: float, clicked: float) -> None:
    assert scale.nearest_click(wanted) == pytest.approx(clicked)


def test_a_head_without_steps_or_without_a_strongest_setting_has_no_clicks() -> None:
    assert Scale("joules", least=1, step_stops=0.1).nearest_click(3.0) is None
    assert Scale("dial", 2, 10, 1.0).nearest_click(3.0) is None


@pytest.mark.parametrize(
    ("scale", "ends"),
    [
        (Scale("stops-below-full"), (float("-inf"), 0.0)),
        (Scale("stops-below-full", least=1, greatest=6), (-6.0, -1.0)),
        (Scale("fraction", greatest=0.5), (float("-inf"), -1.0)),
        (Scale("joules", least=8), (3.0, float("inf"))),
        (Scale("dial", 2, 10, -0.5), (-5.0, -1.0)),
    ],
)
def test_the_range_of_a_head_in_stops(scale: Scale, ends: tuple[float, float]) -> None:
    assert scale.range_stops == ends


@pytest.mark.parametrize("setting", MARKS)
def test_an_engraved_setting_is_its_exact_one_rounded(setting: str) -> None:
    for mark in MARKS[setting]:
        assert mark.nominal == pytest.approx(mark.exact, rel=0.07)


@pytest.mark.parametrize(
    ("setting", "value", "exact"),
    [
        ("iso", 100.0, 100.0),
        ("iso", 3200.0, 3200.0),
        ("iso", 6.0, 6.25),
        ("iso", 125.0, 100 * 2 ** (1 / 3)),
        ("exposure_time_s", 1.0, 1.0),
        ("exposure_time_s", 30.0, 32.0),
        ("exposure_time_s", 1 / 60, 1 / 64),
    ],
)
def test_marks_stand_for_exact_thirds_of_a_stop_from_100_and_from_a_second(
    setting: str, value: float, exact: float
) -> None:
    found = nominal_mark(setting, value)
    assert found is not None
    assert found[0].exact == pytest.approx(exact)
    assert found[0].nominal == pytest.approx(value)


def test_the_nearest_mark_is_counted_in_stops() -> None:
    marks = list_marks([8.0, 2.0, 8.0])
    assert marks == (Mark(2.0, 2.0), Mark(8.0, 8.0))
    assert nearest_mark(marks, 3.9).exact == 2.0
    assert nearest_mark(marks, 4.1).exact == 8.0
