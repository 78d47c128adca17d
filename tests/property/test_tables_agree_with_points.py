"""A table's rows against the answers of the same set-ups asked one by one, every field of them."""

import itertools
from typing import Any

import pytest
from flask.testing import FlaskClient
from hypothesis import given, settings
from hypothesis import strategies as st

from asking import CAMERA, LENS, SET_UPS, answered, spacer
from closeup_service.http.app import create_app
from closeup_service.operations.set_up.table.schemas import FIELDS
from set_ups import lengths
from thoroughness import up_to

TABLE = "/v1/set-ups/table"
API: FlaskClient = create_app().test_client()

FULL_CAMERA = {**CAMERA, "pixel_pitch_um": 3.9}
SECOND = {
    "element": "lens",
    "focal_length_mm": 100.0,
    "f_number": 4.0,
    "register_mm": 44.0,
    "front_principal_plane_mm": 40.0,
    "principal_plane_separation_mm": 5.0,
}
OBJECTIVE = {"element": "objective", "magnification": 5, "numerical_aperture": 0.14, "tube_lens_focal_length_mm": 200}
SET_UP_DOCUMENTS: dict[str, dict[str, Any]] = {
    "one lens": {"camera": FULL_CAMERA, "train": [LENS, spacer(31)], "subject_depth_mm": 2},
    "geometric": {"camera": FULL_CAMERA, "train": [LENS, spacer(31)], "depth_of_field_model": "geometric"},
    "no aperture, no sensor": {
        "camera": {"register_mm": 18.0},
        "train": [{"element": "lens", "focal_length_mm": 50.0, "register_mm": 44.0}, spacer(31)],
    },
    "coupled": {"camera": CAMERA, "train": [LENS, spacer(12), SECOND], "subject_depth_mm": 1},
    "tube that stops": {
        "camera": CAMERA,
        "train": [LENS, {**spacer(31), "clear_diameter_mm": 9}],
        "subject_depth_mm": 3,
    },
    "converter": {
        "camera": CAMERA,
        "train": [LENS, spacer(31), {"element": "teleconverter", "factor": 1.4, "added_length_mm": 18}],
    },
    "objective": {"camera": CAMERA, "train": [OBJECTIVE, {**SECOND, "focal_length_mm": 200.0, "register_mm": 18.0}]},
    "contrast": {
        "camera": FULL_CAMERA,
        "train": [LENS, spacer(31)],
        "depth_of_field_model": "contrast",
        "sensor_detail_lp_per_mm": 30,
        "subject_depth_mm": 1,
    },
    "flat subject": {"camera": FULL_CAMERA, "train": [LENS, spacer(31)], "subject_depth_mm": 0},
}
ALWAYS = {"/camera/register_mm": st.just(18.0) | lengths(0, 60), "/train/0/f_number": lengths(1, 32)}
OFTEN: dict[str, Any] = {
    "/train/0/focal_length_mm": lengths(10, 150),
    "/train/1/length_mm": lengths(0, 200),
    "/train/0/pupil_magnification": lengths(0.4, 2.5),
    "/camera/pixel_pitch_um": lengths(1, 9),
    "/camera/circle_of_confusion_mm": lengths(0.005, 0.05),
    "/subject_depth_mm": st.just(0.0) | lengths(0, 5),
}


def of_point(answer: dict[str, Any], field: str) -> Any:
    for step in field.split("."):
        answer = answer[step]
    return answer


def with_values(document: dict[str, Any], values: dict[str, float]) -> dict[str, Any]:
    changed = {**document, "camera": {**document["camera"]}, "train": [{**part} for part in document["train"]]}
    for pointer, value in values.items():
        *place, name = pointer[1:].split("/")
        target: Any = changed
        for step in place:
            target = target[int(step) if step.isdigit() else step]
        target[name] = value
    return changed


def columns_for(document: dict[str, Any]) -> dict[str, Any]:
    kinds = [part["element"] for part in document["train"]]
    known = {**ALWAYS, **OFTEN} if kinds[0] == "lens" else {"/camera/register_mm": ALWAYS["/camera/register_mm"]}
    if kinds[1] != "spacer":
        known.pop("/train/1/length_mm", None)
    return known


@pytest.mark.parametrize("document", SET_UP_DOCUMENTS.values(), ids=SET_UP_DOCUMENTS)
@settings(max_examples=up_to(30))
@given(data=st.data())
def test_every_field_of_every_row_is_what_evaluate_answers(document: dict[str, Any], data: st.DataObject) -> None:
    known = columns_for(document)
    pointers = data.draw(st.lists(st.sampled_from(sorted(known)), min_size=1, max_size=4, unique=True))
    rows = data.draw(st.lists(st.fixed_dictionaries({name: known[name] for name in pointers}), min_size=1, max_size=4))
    columns = {name: [row[name] for row in rows] for name in pointers}
    response = API.post(TABLE, json={**document, "columns": columns, "fields": list(FIELDS)})
    points = [API.post(SET_UPS, json=with_values(document, row)) for row in rows]
    if response.status_code == 422:
        assert response.get_json()["type"] == "/problems/undetermined"
        assert all(point.status_code == 422 for point in points)
        return
    table = response.get_json()
    for index, point in enumerate(points):
        if point.status_code == 422:
            assert table["problem"][index] == point.get_json()["code"]
            assert {column[index] for column in table["columns"].values()} == {None}
            continue
        assert table["problem"][index] is None
        for field in FIELDS:
            cell, expected = table["columns"][field][index], of_point(point.get_json(), field)
            assert cell == expected or cell == pytest.approx(expected, rel=1e-11, abs=1e-12), field


def test_blocks_of_the_contrast_model_join_without_a_seam() -> None:
    document = SET_UP_DOCUMENTS["contrast"]
    marks = list(itertools.islice(itertools.cycle([2.0, 4.0, 5.6, 8.0, 11.0]), 230))
    asked = {**document, "columns": {"/train/0/f_number": marks}, "fields": ["depth_of_field.total_mm"]}
    total = answered(API, TABLE, asked)["columns"]["depth_of_field.total_mm"]
    assert total == total[:5] * 46
