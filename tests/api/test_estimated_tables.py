"""Tables of lenses that are known only in part: medians and ranges row by row."""

import csv
import io
from math import isclose
from typing import Any

import pytest
from flask.testing import FlaskClient

from asking import answered, codes, pointers, refused, without
from closeup_service.operations.set_up.table.schemas import FIELDS
from kits import SOUND
from unknown_lenses import CAMERA, KNOWN, TELE, WIDE, unknown_set_up

TABLE, EVALUATE = "/v1/set-ups/table", "/v1/set-ups/evaluate"
LENGTH = "/train/1/length_mm"
LENGTHS = [0.0, 7.0, 60.0, 150.0]
MODELS: list[dict[str, Any]] = [
    {},
    {"subject_depth_mm": 2},
    {"subject_depth_mm": 2, "depth_of_field_model": "contrast", "sensor_detail_lp_per_mm": 20},
]
LENSES = [WIDE, TELE, {**WIDE, "reversed": False}, {**without(TELE, "register_mm"), "lens_class": "macro"}]


def table_of(lens: dict[str, Any] = WIDE, lengths: list[float] = LENGTHS, **more: Any) -> dict[str, Any]:
    fields = more.pop("fields", ["magnification", "working_distance_mm"])
    return {**unknown_set_up(lens, **more), "columns": {LENGTH: lengths}, "fields": fields}


def figure_at(answer: dict[str, Any], name: str) -> Any:
    found: Any = answer
    for step in name.split("."):
        found = found[step]
    return found


def ends_in_row(answer: dict[str, Any], name: str, row: int) -> tuple[Any, Any]:
    columns = answer["ranges"].get(name)
    return (None, None) if columns is None else (columns["low"][row], columns["high"][row])


def agree(a: Any, b: Any) -> bool:
    return a == b or (isinstance(a, float) and isinstance(b, float) and isclose(a, b, rel_tol=1e-9))


@pytest.mark.parametrize("more", MODELS, ids=["plain", "stack", "contrast"])
@pytest.mark.parametrize("lens", LENSES, ids=["wide", "tele", "mounted", "macro"])
def test_every_row_is_what_the_set_up_alone_gives(api: FlaskClient, lens: dict[str, Any], more: dict[str, Any]) -> None:
    table = answered(api, TABLE, table_of(lens, fields=list(FIELDS), **more))
    for row, length in enumerate(LENGTHS):
        response = api.post(EVALUATE, json=unknown_set_up(lens, length, **more))
        alone = response.get_json()
        assert (table["problem"][row] is None) == (response.status_code == 200)
        for name in FIELDS if response.status_code == 200 else ():
            told, ends = figure_at(alone, name), alone["ranges"].get(name, {})
            assert agree(table["columns"][name][row], told), name
            assert all(map(agree, ends_in_row(table, name, row), (ends.get("low"), ends.get("high")))), name


def test_an_impossible_row_is_null_and_without_range(api: FlaskClient) -> None:
    table = answered(api, TABLE, table_of({**WIDE, "reversed": False}, [0.0, 10.0]))
    assert table["problem"] == ["focused-at-infinity", None]
    assert table["columns"]["working_distance_mm"][0] is None
    assert table["ranges"]["working_distance_mm"]["low"][0] is None
    assert table["ranges"]["working_distance_mm"]["low"][1] < table["columns"]["working_distance_mm"][1]


def test_rows_of_many_blocks_are_those_of_a_block(api: FlaskClient) -> None:
    lengths = [index / 2 for index in range(200)]
    whole = answered(api, TABLE, table_of(lengths=lengths))
    last = answered(api, TABLE, table_of(lengths=lengths[-3:]))
    assert whole["columns"]["magnification"][-3:] == last["columns"]["magnification"]
    assert whole["ranges"]["magnification"]["high"][-3:] == last["ranges"]["magnification"]["high"]


def test_it_says_what_is_estimated_and_how_many_rows_are_to_be_measured_first(api: FlaskClient) -> None:
    table = answered(api, TABLE, table_of(TELE))
    assert table["coverage"] == 0.95
    assert set(table["estimated"]) >= {"/train/0/front_principal_plane_mm", "/train/0/pupil_magnification"}
    assert {"lens-estimated", "measure-first", "rows-not-told"} <= codes(table["remarks"])
    untold = [value is None for value in table["columns"]["magnification"]]
    assert untold == [True, True, True, False]
    assert [value is None for value in table["ranges"]["magnification"]["low"]] == untold


def test_what_does_not_depend_on_the_lens_has_no_range(api: FlaskClient) -> None:
    mounted = {**WIDE, "reversed": False, "front_principal_plane_mm": 20.0}
    table = answered(api, TABLE, table_of(mounted, [5.0, 10.0], fields=["magnification", "effective_f_number"]))
    assert set(table["ranges"]) == {"effective_f_number"}


def test_csv_has_both_ends_as_columns(api: FlaskClient) -> None:
    asked = table_of(fields=["magnification", "depth_of_field.rear_extent"])
    told = api.post(TABLE, json=asked, headers={"Accept": "text/csv"})
    rows = list(csv.reader(io.StringIO(told.text)))
    assert rows[0] == [
        LENGTH,
        "magnification",
        "magnification.low",
        "magnification.high",
        "depth_of_field.rear_extent",
        "problem",
    ]
    for _, median, low, high, extent, _ in rows[1:]:
        assert float(low) < float(median) < float(high)
        assert extent == "finite"


def test_a_lens_that_is_known_is_answered_as_without_estimates(api: FlaskClient) -> None:
    asked = table_of(KNOWN, [float(row) for row in range(1001)])
    assert answered(api, TABLE, asked) == answered(api, TABLE, without(asked, "estimate_unknown"))


def test_without_the_flag_nothing_is_estimated(api: FlaskClient) -> None:
    table = answered(api, TABLE, without(table_of({**WIDE, "reversed": False}, [5.0]), "estimate_unknown"))
    assert not {"ranges", "estimated", "coverage"} & set(table)
    assert table["columns"]["working_distance_mm"] == [None]


def test_too_many_rows_are_refused(api: FlaskClient) -> None:
    assert pointers(refused(api, TABLE, table_of(lengths=[float(row) for row in range(1001)]))) == {"/columns"}
    by_contrast = table_of(lengths=[float(row) for row in range(101)], **MODELS[2])
    assert pointers(refused(api, TABLE, by_contrast)) == {"/columns"}


@pytest.mark.parametrize("name", ["focal_length_mm", "widest_f_number", "register_mm", "pupil_magnification"])
def test_what_the_estimate_is_based_on_stands_in_no_column(api: FlaskClient, name: str) -> None:
    asked = {**table_of(), "columns": {f"/train/0/{name}": [2.0, 30.0] if name != "register_mm" else [40.0, 44.0]}}
    assert pointers(refused(api, TABLE, asked)) == {f"/columns/~1train~10~1{name}"}


def test_the_camera_register_of_a_lens_made_for_it_stands_in_no_column(api: FlaskClient) -> None:
    lens = {**without(WIDE, "register_mm"), "reversed": False}
    asked = {**table_of(lens), "columns": {"/camera/register_mm": [40.0, 44.0]}}
    assert pointers(refused(api, TABLE, asked)) == {"/columns/~1camera~1register_mm"}
    assert answered(api, TABLE, {**asked, "train": [WIDE, asked["train"][1]]})["rows"] == 2


def kit_table(**columns: list[Any]) -> dict[str, Any]:
    train = [{"element": "kit-part", "use": "fifty", "reversed": True, "f_number": 8}, {"element": "spacer"}]
    named = {f"/train/{pointer.replace('_at_', '/')}": values for pointer, values in columns.items()}
    return {
        "camera": {"use": "body"},
        "kit": SOUND,
        "train": train,
        "columns": named,
        "fields": ["magnification", "effective_f_number"],
        "estimate_unknown": True,
    }


def test_settings_of_a_kit_are_estimated_each_by_itself(api: FlaskClient) -> None:
    lengths = [50.0, 60.0, 70.0]
    mixed = kit_table()
    mixed["columns"] = {"/train/0/setting": ["near", "infinity", "near"], LENGTH: lengths}
    table = answered(api, TABLE, mixed)
    for row, setting in enumerate(mixed["columns"]["/train/0/setting"]):
        alone = kit_table()
        alone["train"][0]["setting"] = setting
        alone["columns"] = {LENGTH: [lengths[row]]}
        told = answered(api, TABLE, alone)
        for name in alone["fields"]:
            assert agree(table["columns"][name][row], told["columns"][name][0])
            assert all(map(agree, ends_in_row(table, name, row), ends_in_row(told, name, 0)))
    assert table["kit_revision"] == told["kit_revision"]


def test_the_same_request_gets_the_same_bytes(api: FlaskClient) -> None:
    two = table_of()
    two["train"] = [{**WIDE, "reversed": False, "focal_length_mm": 50}, {**WIDE, "register_mm": 45.46}, two["train"][1]]
    two["columns"] = {"/train/2/length_mm": [10.0, 50.0]}
    first, second = (api.post(TABLE, json=two).data for _ in range(2))
    assert first == second
    assert b'"ranges"' in first


def test_the_sensor_of_the_camera_may_stand_in_a_column(api: FlaskClient) -> None:
    asked = {**table_of(fields=["allowed_movement_um"]), "columns": {"/camera/circle_of_confusion_mm": [0.01, 0.03]}}
    table = answered(api, TABLE, {**asked, "camera": CAMERA})
    small, large = table["columns"]["allowed_movement_um"]
    assert isclose(3 * small, large, rel_tol=1e-9)
