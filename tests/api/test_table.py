"""`/v1/set-ups/table`: what it takes, refuses and answers; the figures are in tests/property."""

import csv
import io
import json
from collections.abc import Mapping, Sequence
from typing import Any

import pytest
from flask.testing import FlaskClient

from asking import CAMERA, LENS, answered, codes, pointers, refused, set_up, spacer, text_of, without
from closeup_service.operations.set_up.table.schemas import FIELDS, MOST_ROWS

TABLE = "/v1/set-ups/table"
TUBE = "/train/1/length_mm"
MARK = "/train/0/f_number"


def table(columns: dict[str, Any], *fields: str, **more: Any) -> dict[str, Any]:
    return set_up(LENS, spacer(31), columns=columns, fields=list(fields) or ["magnification"], **more)


def test_impossible_rows_are_null_with_their_code_and_sink_nothing(api: FlaskClient) -> None:
    lens = {"element": "lens", "focal_length_mm": 50, "f_number": 4, "register_mm": 44.0}
    camera = {"register_mm": 44.0}
    asked = {
        "camera": camera,
        "train": [lens, spacer(0)],
        "columns": {TUBE: [50, 0, 25], MARK: [4, 4, 0.5]},
        "fields": ["magnification", "aperture_stop", "depth_of_field.rear_extent"],
    }
    answer = answered(api, TABLE, asked)
    assert answer["problem"] == [None, "focused-at-infinity", None]
    assert answer["columns"]["magnification"] == [pytest.approx(1), None, pytest.approx(0.5)]
    assert answer["columns"]["aperture_stop"] == [0, None, 0]
    assert answer["columns"]["depth_of_field.rear_extent"][1] is None


def test_a_table_of_impossible_rows_alone_is_still_a_table(api: FlaskClient) -> None:
    lens = {"element": "lens", "focal_length_mm": 50, "f_number": 4, "register_mm": 44.0}
    asked = {
        "camera": {"register_mm": 44.0},
        "train": [lens],
        "columns": {MARK: [4, 8]},
        "fields": list(FIELDS),
    }
    answer = answered(api, TABLE, asked)
    assert answer["problem"] == ["focused-at-infinity"] * 2
    assert all(column == [None, None] for column in answer["columns"].values())


def test_a_column_takes_the_place_of_what_the_set_up_gives_or_leaves_out(api: FlaskClient) -> None:
    given = answered(api, TABLE, table({TUBE: [10, 31]}))
    left_out = set_up(LENS, {"element": "spacer"}, columns={TUBE: [10, 31]}, fields=["magnification"])
    assert answered(api, TABLE, left_out)["columns"] == given["columns"]


def test_csv_repeats_the_given_columns_and_leaves_null_cells_empty(api: FlaskClient) -> None:
    asked = table({TUBE: [0, 31], MARK: [8, 5.6]}, "magnification", "stack_step_mm", subject_depth_mm=0.1)
    headers = {"Accept": "text/csv, application/json;q=0.5"}
    response = api.post(TABLE, data=json.dumps(asked), content_type="application/json", headers=headers)
    assert response.headers["Content-Type"] == "text/csv; charset=utf-8"
    assert "Accept" in response.headers["Vary"]
    assert response.text.count("\r\n") == 3
    rows = list(csv.DictReader(io.StringIO(response.text, newline="")))
    assert [*rows[0]] == [TUBE, MARK, "magnification", "stack_step_mm", "problem"]
    columns = answered(api, TABLE, asked)["columns"]
    assert [float(row["magnification"]) for row in rows] == columns["magnification"]
    assert [row["stack_step_mm"] for row in rows] == ["", ""]
    assert [row["problem"] for row in rows] == ["", ""]
    assert [float(row[MARK]) for row in rows] == [8, 5.6]


@pytest.mark.parametrize(
    ("accept", "kind"),
    [("*/*", "application/json"), ("text/*", "text/csv; charset=utf-8"), ("text/csv;q=0.5", "text/csv; charset=utf-8")],
)
def test_json_is_preferred_among_equals(api: FlaskClient, accept: str, kind: str) -> None:
    response = api.post(TABLE, json=table({TUBE: [31]}), headers={"Accept": accept})
    assert response.headers["Content-Type"] == kind


def test_what_is_neither_json_nor_csv_is_not_offered(api: FlaskClient) -> None:
    assert api.post(TABLE, json=table({TUBE: [31]}), headers={"Accept": "image/png"}).status_code == 406
    evaluate = api.post("/v1/set-ups/evaluate", json=set_up(LENS, spacer(31)), headers={"Accept": "text/csv"})
    assert evaluate.status_code == 406


def test_a_table_is_asked_by_post_alone(api: FlaskClient) -> None:
    assert api.get(TABLE).status_code == 405


@pytest.mark.parametrize(
    ("columns", "at"),
    [
        ({"/train/0/f_numbr": [8]}, "/columns/~1train~10~1f_numbr"),
        ({"/train/0/reversed": [1]}, "/columns/~1train~10~1reversed"),
        ({"/train/2/f_number": [8]}, "/columns/~1train~12~1f_number"),
        ({"/train/00/f_number": [8]}, "/columns/~1train~100~1f_number"),
        ({"/train/0": [8]}, "/columns/~1train~10"),
        ({"train/0/f_number": [8]}, "/columns/train~10~1f_number"),
        ({"/camera/sensor": [8]}, "/columns/~1camera~1sensor"),
        ({"/solve": [8]}, "/columns/~1solve"),
        ({"/columns": [8]}, "/columns/~1columns"),
        ({"": [8]}, "/columns/"),
        ({MARK: []}, "/columns/~1train~10~1f_number"),
        ({MARK: 8}, "/columns/~1train~10~1f_number"),
        ({MARK: [8] * (MOST_ROWS + 1)}, "/columns/~1train~10~1f_number"),
        ({MARK: [8, 0.4]}, "/columns/~1train~10~1f_number/1"),
        ({MARK: [8, 8, 257]}, "/columns/~1train~10~1f_number/2"),
        ({MARK: [8, True]}, "/columns/~1train~10~1f_number/1"),
        ({MARK: [False, 8]}, "/columns/~1train~10~1f_number/0"),
        ({MARK: [8, "8"]}, "/columns/~1train~10~1f_number/1"),
        ({MARK: [8, None]}, "/columns/~1train~10~1f_number/1"),
        ({MARK: [8, [8]]}, "/columns/~1train~10~1f_number/1"),
        ({MARK: [8, 10**350]}, "/columns/~1train~10~1f_number/1"),
        ({}, "/columns"),
        ([], "/columns"),
    ],
)
def test_faults_of_columns_are_named_by_pointer(api: FlaskClient, columns: Any, at: str) -> None:
    assert pointers(refused(api, TABLE, table(columns))) == {at}


def test_one_is_a_number_where_the_bounds_allow_it(api: FlaskClient) -> None:
    assert answered(api, TABLE, table({MARK: [1, 1.0, 8]}, "effective_f_number"))["rows"] == 3


def test_columns_of_unequal_length_are_refused_each(api: FlaskClient) -> None:
    problem = refused(api, TABLE, table({MARK: [8, 11], TUBE: [1, 2, 3]}))
    assert pointers(problem) == {"/columns/~1train~10~1f_number", "/columns/~1train~11~1length_mm"}


def test_all_faults_come_at_once_and_of_a_column_the_first(api: FlaskClient) -> None:
    asked = table({MARK: [0] * 500}, "magnification", "magnifcation", wavelength_nm=-1)
    problem = refused(api, TABLE, asked)
    at = pointers(problem)
    assert {"/fields/1", "/wavelength_nm", "/columns/~1train~10~1f_number/0"} <= at
    assert len(problem["errors"]) == 22


def test_a_result_is_asked_once(api: FlaskClient) -> None:
    assert pointers(refused(api, TABLE, table({MARK: [8]}, "magnification", "magnification"))) == {"/fields"}


def test_nothing_is_solved_in_a_table(api: FlaskClient) -> None:
    solve = {"unknown": TUBE, "target": {"magnification": 1}}
    assert pointers(refused(api, TABLE, table({MARK: [8]}, solve=solve))) == {"/solve"}


def test_contradictions_between_columns_and_set_up_are_found(api: FlaskClient) -> None:
    problem = refused(api, TABLE, table({"/camera/sensor_width_mm": [23.5]}))
    assert "/camera/sensor" in pointers(problem)


def test_the_contrast_model_takes_one_light(api: FlaskClient) -> None:
    asked = table({"/wavelength_nm": [450, 650]}, depth_of_field_model="contrast", sensor_detail_lp_per_mm=30)
    assert pointers(refused(api, TABLE, asked)) == {"/columns/~1wavelength_nm"}


def test_what_no_row_determines_is_refused_for_the_whole(api: FlaskClient) -> None:
    asked = {
        "camera": CAMERA,
        "train": [without(LENS, "front_principal_plane_mm")],
        "columns": {MARK: [8]},
        "fields": ["magnification"],
    }
    problem = refused(api, TABLE, asked)
    assert problem["type"] == "/problems/undetermined"


def test_what_is_assumed_by_row_is_said_and_nulls_name_what_they_wait_for(api: FlaskClient) -> None:
    camera = {"register_mm": 18.0}
    asked = {
        "camera": camera,
        "train": [LENS, spacer(31)],
        "columns": {"/camera/sensor_width_mm": [36, 24], "/camera/sensor_height_mm": [24, 16]},
        "fields": ["stack_frames", "subject_width_mm"],
    }
    answer = answered(api, TABLE, asked)
    assert answer["columns"]["stack_frames"] == [None, None]
    assert codes(answer["remarks"]) == {"not-determined", "assumed-by-row"}
    assert "/camera/circle_of_confusion_mm" not in answer["assumed"]


def test_a_result_too_large_for_a_number_is_a_problem_of_its_row(api: FlaskClient) -> None:
    asked = {
        "camera": {"register_mm": 0.0, "circle_of_confusion_mm": 0.03},
        "train": [{"element": "lens", "focal_length_mm": 50, "register_mm": 0, "f_number": 8}, spacer(0)],
        "columns": {TUBE: [25, 1e-290, 1e-320]},
        "fields": ["depth_of_field.depth_of_focus_mm", "magnification"],
    }
    answer = answered(api, TABLE, asked)
    assert answer["problem"][0] is None
    assert set(answer["problem"][1:]) <= {"overflow", "focused-at-infinity", "aperture-impossible"}
    assert None not in answer["problem"][1:]


def test_the_largest_table_is_taken_and_read_as_strictly_as_any(api: FlaskClient) -> None:
    values = [2 + index / 1000 for index in range(MOST_ROWS)]
    asked = table({MARK: values, TUBE: values}, *FIELDS[:14])
    answer = answered(api, TABLE, asked)
    assert answer["rows"] == MOST_ROWS
    assert len(answer["columns"]["magnification"]) == MOST_ROWS
    twice = json.dumps(asked)[:-1] + ', "fields": ["magnification"]}'
    response = api.post(TABLE, data=twice, content_type="application/json")
    assert response.status_code == 400
    assert "twice" in response.get_json()["detail"]


def test_the_larger_limit_is_the_tables_alone(api: FlaskClient) -> None:
    body = b" " * (2 * 1024 * 1024) + json.dumps(table({MARK: [8]})).encode()
    assert api.post(TABLE, data=body, content_type="application/json").status_code == 200
    assert api.post("/v1/set-ups/evaluate", data=body, content_type="application/json").status_code == 413
    assert api.post(TABLE, data=b" " * (17 * 1024 * 1024), content_type="application/json").status_code == 413


def test_parts_of_a_kit_stand_in_a_table_too(api: FlaskClient) -> None:
    parts: list[dict[str, Any]] = [
        {"element": "kit-part", "use": "wide-35", "reversed": True, "f_number": 8},
        {"element": "kit-part", "use": "step-up-49-52"},
        {"element": "kit-part", "use": "reversing-52-house"},
        {"element": "kit-part", "use": "table-bellows"},
    ]
    camera = {"use": "field-camera"}
    lengths = [40, 90, 160]
    columns = {"/train/3/length_mm": lengths}
    answer = answered(api, TABLE, {"camera": camera, "train": parts, "columns": columns, "fields": ["magnification"]})
    assert answer["kit_revision"]
    for length, magnification in zip(lengths, answer["columns"]["magnification"], strict=True):
        train = [*parts[:3], {**parts[3], "length_mm": length}]
        point = answered(api, "/v1/set-ups/evaluate", {"camera": camera, "train": train})
        assert magnification == pytest.approx(point["magnification"], rel=1e-12)


REVERSED_ON_BELLOWS: list[dict[str, Any]] = [
    {"element": "kit-part", "use": "wide-35", "reversed": True, "f_number": 8},
    {"element": "kit-part", "use": "step-up-49-52"},
    {"element": "kit-part", "use": "reversing-52-house"},
    {"element": "kit-part", "use": "table-bellows", "length_mm": 90},
]


def of_the_kit(columns: Mapping[str, Sequence[float]], **more: Any) -> dict[str, Any]:
    """A table of the demo kit's reversed lens on its bellows."""
    return {
        "camera": {"use": "field-camera"},
        "train": REVERSED_ON_BELLOWS,
        "columns": columns,
        "fields": ["magnification", "effective_f_number"],
        **more,
    }


@pytest.mark.parametrize(
    ("pointer", "values", "words"),
    [
        ("/train/3/length_mm", [40, 300, 165, 37.9], ("table-bellows", "38 to 165 mm")),
        ("/train/0/f_number", [8, 22, 2.8, 2], ("wide-35", "f/2.8 to f/16")),
        ("/train/0/focusing_extension_mm", [0, 6.1, 6, 50], ("wide-35", "0 to 6 mm")),
    ],
)
def test_a_row_beyond_its_part_of_the_kit_is_refused_alone(
    api: FlaskClient, pointer: str, values: list[float], words: tuple[str, str]
) -> None:
    answer = answered(api, TABLE, of_the_kit({pointer: values}))
    assert answer["problem"] == [None, "invalid-fields", None, "invalid-fields"]
    within = answered(api, TABLE, of_the_kit({pointer: [values[0], values[2]]}))
    for name, column in answer["columns"].items():
        assert [column[1], column[3]] == [None, None]
        assert [column[0], column[2]] == within["columns"][name]
    (note,) = [each for each in answer["remarks"] if each["code"] == "beyond-part"]
    assert all(told in note["text"] for told in (pointer, *words))
    assert "beyond-part" not in codes(within["remarks"])


def test_the_code_is_that_of_the_single_set_up(api: FlaskClient) -> None:
    train = [*REVERSED_ON_BELLOWS[:3], {**REVERSED_ON_BELLOWS[3], "length_mm": 300}]
    problem = refused(api, "/v1/set-ups/evaluate", {"camera": {"use": "field-camera"}, "train": train})
    answer = answered(api, TABLE, of_the_kit({"/train/3/length_mm": [300]}))
    assert answer["problem"] == [problem["type"].removeprefix("/problems/")]
    assert answer["columns"]["magnification"] == [None]


def test_rows_beyond_two_parts_are_each_told(api: FlaskClient) -> None:
    columns = {"/train/3/length_mm": [40, 300, 90], "/train/0/f_number": [8, 8, 32]}
    answer = answered(api, TABLE, of_the_kit(columns))
    assert answer["problem"] == [None, "invalid-fields", "invalid-fields"]
    assert sum(note["code"] == "beyond-part" for note in answer["remarks"]) == 2
    assert "table-bellows goes from 38" in text_of(answer, "beyond-part")
    assert "The ring of wide-35" in text_of(answer, "beyond-part")


def test_rows_beyond_their_part_stay_so_where_the_table_is_worked_out_in_blocks(api: FlaskClient) -> None:
    lengths = [300 if row % 7 == 0 else 40 + row / 3 for row in range(250)]
    model = {"depth_of_field_model": "contrast", "sensor_detail_lp_per_mm": 40}
    answer = answered(api, TABLE, of_the_kit({"/train/3/length_mm": lengths}, **model))
    assert [code == "invalid-fields" for code in answer["problem"]] == [length == 300 for length in lengths]


def test_a_value_beyond_its_part_that_all_rows_share_is_refused_for_the_whole(api: FlaskClient) -> None:
    train = [{**REVERSED_ON_BELLOWS[0], "f_number": 32}, *REVERSED_ON_BELLOWS[1:]]
    problem = refused(api, TABLE, of_the_kit({"/train/3/length_mm": [40, 90]}, train=train))
    assert pointers(problem) == {"/train/0/f_number"}


ZOOM: dict[str, Any] = {"element": "kit-part", "use": "zoom-24-60", "setting": "at-35", "f_number": 8}
ZOOMED = ["at-24", "at-35", "at-60"]


def of_the_zoom(columns: Mapping[str, Sequence[Any]], **more: Any) -> dict[str, Any]:
    """A table of the demo kit's zoom on a tube."""
    train = [ZOOM, {"element": "kit-part", "use": "tube-16"}]
    fields = ["magnification", "effective_f_number", "aperture_stop", "depth_of_field.front_extent"]
    return {"camera": {"use": "field-camera"}, "train": train, "columns": columns, "fields": fields, **more}


def test_settings_of_a_lens_stand_in_a_column_and_each_row_is_its_own_set_up(api: FlaskClient) -> None:
    settings = [ZOOMED[row % 3] for row in range(9)]
    marks = [5.6 + row for row in range(9)]
    answer = answered(api, TABLE, of_the_zoom({"/train/0/setting": settings, MARK: marks}))
    assert answer["problem"] == [None] * 9
    assert answer["kit_revision"]
    for row, (setting, mark) in enumerate(zip(settings, marks, strict=True)):
        train = [{**ZOOM, "setting": setting, "f_number": mark}, {"element": "kit-part", "use": "tube-16"}]
        point = answered(api, "/v1/set-ups/evaluate", {"camera": {"use": "field-camera"}, "train": train})
        for name in ("magnification", "effective_f_number"):
            assert answer["columns"][name][row] == pytest.approx(point[name], rel=1e-12)
        assert answer["columns"]["aperture_stop"][row] == point["aperture_stop"]
        assert answer["columns"]["depth_of_field.front_extent"][row] == point["depth_of_field"]["front_extent"]


def test_a_row_of_a_setting_that_the_lens_has_not_is_refused_alone(api: FlaskClient) -> None:
    answer = answered(api, TABLE, of_the_zoom({"/train/0/setting": ["at-24", "at-70", "at-60", "at-70"]}))
    assert answer["problem"] == [None, "invalid-fields", None, "invalid-fields"]
    assert [cell is None for cell in answer["columns"]["magnification"]] == [False, True, False, True]
    assert "has no such setting; there are at-24, at-35, at-60" in text_of(answer, "refused-rows")


def test_a_value_beyond_the_ring_at_some_settings_is_refused_in_their_rows(api: FlaskClient) -> None:
    train = [{**ZOOM, "f_number": 3.5}, {"element": "kit-part", "use": "tube-16"}]
    answer = answered(api, TABLE, of_the_zoom({"/train/0/setting": ZOOMED}, train=train))
    assert answer["problem"] == [None, None, "invalid-fields"]
    assert "The ring of zoom-24-60 runs from f/4 to f/22" in text_of(answer, "refused-rows")
    varied = answered(api, TABLE, of_the_zoom({"/train/0/setting": ZOOMED * 2, MARK: [3, 3, 3, 8, 8, 30]}))
    assert varied["problem"] == [None, "invalid-fields", "invalid-fields", None, None, "invalid-fields"]


def test_one_setting_in_every_row_is_the_table_of_that_setting(api: FlaskClient) -> None:
    column = answered(api, TABLE, of_the_zoom({"/train/0/setting": ["at-35"] * 2, MARK: [8, 11]}))
    plain = answered(api, TABLE, of_the_zoom({MARK: [8, 11]}))
    assert column == plain


def test_settings_are_repeated_in_csv(api: FlaskClient) -> None:
    asked = of_the_zoom({"/train/0/setting": ["at-24", "at-70"]}, fields=["magnification"])
    rows = list(csv.reader(io.StringIO(api.post(TABLE, json=asked, headers={"Accept": "text/csv"}).text)))
    assert rows[0] == ["/train/0/setting", "magnification", "problem"]
    assert [row[0] for row in rows[1:]] == ["at-24", "at-70"]
    assert rows[2] == ["at-70", "", "invalid-fields"]


@pytest.mark.parametrize(
    ("values", "at"),
    [
        (["at-24", 7], "/columns/~1train~10~1setting/1"),
        (["at-24", "At 35"], "/columns/~1train~10~1setting/1"),
        ("at-24", "/columns/~1train~10~1setting"),
        ([], "/columns/~1train~10~1setting"),
        ([f"at-{number}" for number in range(101)], "/columns/~1train~10~1setting"),
    ],
)
def test_what_is_no_column_of_settings_is_refused(api: FlaskClient, values: Any, at: str) -> None:
    assert pointers(refused(api, TABLE, of_the_zoom({"/train/0/setting": values}))) == {at}


def test_only_a_lens_of_the_kit_has_settings(api: FlaskClient) -> None:
    asked = table({"/train/0/setting": ["near"]})
    assert pointers(refused(api, TABLE, asked)) == {"/columns/~1train~10~1setting"}
    problem = refused(api, TABLE, of_the_zoom({"/train/1/setting": ["near"]}))
    assert pointers(problem) == {"/train/1/setting"}


def test_a_table_of_settings_that_the_lens_has_not_is_still_a_table(api: FlaskClient) -> None:
    answer = answered(api, TABLE, of_the_zoom({"/train/0/setting": ["at-1", "at-2", "at-1"]}))
    assert answer["problem"] == ["invalid-fields"] * 3
    assert answer["columns"]["magnification"] == [None] * 3
    assert codes(answer["remarks"]) >= {"refused-rows"}


def test_what_is_wrong_at_every_setting_is_refused_for_the_whole(api: FlaskClient) -> None:
    train = [{**ZOOM, "f_number": 100}, {"element": "kit-part", "use": "tube-16"}]
    problem = refused(api, TABLE, of_the_zoom({"/train/0/setting": ["at-24", "at-1", "at-60"]}, train=train))
    assert pointers(problem) == {"/train/0/f_number"}
