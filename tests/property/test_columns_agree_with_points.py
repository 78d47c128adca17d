"""One text of each formula: a column of set-ups gives what its rows give one by one, refusals included."""

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import structs

from closeup_service.optics.arithmetic import Columns, R, Real
from closeup_service.optics.errors import OpticsError
from closeup_service.set_ups.set_up import SetUp, evaluate
from set_ups import Document, lengths

ROWS = st.lists(
    st.fixed_dictionaries(
        {
            "/train/0/f_number": lengths(0.6, 32),
            "/train/0/focal_length_mm": lengths(10, 150),
            "/train/1/length_mm": lengths(0, 200),
            "/camera/register_mm": st.just(18.0) | lengths(0, 60),
        }
    ),
    min_size=1,
    max_size=8,
)

ONE_LENS: Document = {
    "camera": {"register_mm": 18.0, "sensor_width_mm": 36.0, "sensor_height_mm": 24.0},
    "train": [
        {
            "element": "lens",
            "reversed": True,
            "focal_length_mm": 35.0,
            "f_number": 8.0,
            "pupil_magnification": 1.3,
            "front_principal_plane_mm": 21.0,
            "register_mm": 45.46,
            "principal_plane_separation_mm": 200.0,
        },
        {"element": "spacer", "length_mm": 31.0, "clear_diameter_mm": 20.0},
    ],
}
COUPLED: Document = {
    "camera": ONE_LENS["camera"],
    "train": [
        ONE_LENS["train"][0],
        ONE_LENS["train"][1],
        {
            "element": "lens",
            "focal_length_mm": 100.0,
            "f_number": 4.0,
            "register_mm": 44.0,
            "front_principal_plane_mm": 40.0,
            "principal_plane_separation_mm": 5.0,
        },
        {"element": "teleconverter", "factor": 2.0, "added_length_mm": 25.0},
    ],
}


def with_members(document: Document, members: Any) -> Document:
    camera, train = dict(document["camera"]), [dict(element) for element in document["train"]]
    for pointer, value in members.items():
        place = pointer.lstrip("/").split("/")
        target = camera if place[0] == "camera" else train[int(place[1])]
        target[place[-1]] = value
    return {"camera": camera, "train": train}


def by_columns(document: Document, rows: list[dict[str, float]]) -> tuple[SetUp[Real], list[str]]:
    columns = {name: np.array([row[name] for row in rows]) for name in rows[0]}
    arithmetic = Columns(len(rows))
    with np.errstate(all="ignore"):
        result = evaluate(with_members(document, columns), arithmetic)
    return result, [str(code) for code in arithmetic.problem]


def by_point(document: Document) -> tuple[Any | None, str]:
    try:
        return numbers(evaluate(document)), ""
    except OpticsError as error:
        return None, error.code


def numbers(set_up: SetUp[R]) -> Any:
    members = structs.asdict(set_up)
    depth = members.pop("depth")
    for name in ("front", "rear", "depth_of_focus"):
        members[name] = None if depth is None else getattr(depth, name)
    return {name: value for name, value in members.items() if name not in ("assumed", "needs")}


UNKNOWN_GAP: Document = {
    "camera": ONE_LENS["camera"],
    "train": [
        {"element": "lens", "reversed": True, "focal_length_mm": 35.0, "f_number": 8.0, "register_mm": 45.46},
        {"element": "spacer", "length_mm": 31.0},
        {"element": "lens", "focal_length_mm": 100.0, "f_number": 4.0, "register_mm": 18.0},
    ],
}


@pytest.mark.parametrize(
    "document", [ONE_LENS, COUPLED, UNKNOWN_GAP], ids=["one lens", "coupled with converter", "unknown gap"]
)
@given(rows=ROWS)
def test_columns_agree_with_points(document: Document, rows: list[dict[str, float]]) -> None:
    columns, problems = by_columns(document, rows)
    for index, row in enumerate(rows):
        point, problem = by_point(with_members(document, dict(row)))
        assert problems[index] == problem
        if point is None:
            continue
        for name, value in numbers(columns).items():
            of_row = None if value is None else np.broadcast_to(value, len(rows))[index]
            expected = np.nan if point[name] is None and value is not None else point[name]
            assert of_row == expected or of_row == pytest.approx(expected, rel=1e-12, nan_ok=True), name
