"""Solving in columns against solving one set-up at a time."""

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from closeup_service.optics.arithmetic import Columns
from closeup_service.optics.errors import OpticsError
from closeup_service.set_ups.solve import Target, solve
from closeup_service.set_ups.solve_columns import solve_columns

CAMERA = {"register_mm": 45.46, "sensor_width_mm": 36.0}
TARGETS = st.one_of(
    st.tuples(st.just("magnification"), st.floats(0.2, 4)),
    st.tuples(st.just("subject_width_mm"), st.floats(8, 100)),
    st.tuples(st.just("working_distance_mm"), st.floats(20, 150)),
)
PLANES = st.lists(st.floats(-20, 45), min_size=1, max_size=5)


def document(plane: Any, *, reversed_: bool) -> Any:
    lens = {
        "element": "lens",
        "focal_length_mm": 35.0,
        "reversed": reversed_,
        "f_number": 8.0,
        "front_principal_plane_mm": plane,
        "principal_plane_separation_mm": 30.0,
        "register_mm": 45.46,
    }
    return {"camera": CAMERA, "train": [lens, {"element": "spacer", "length_mm": 0.0}]}


@given(TARGETS, PLANES, st.booleans())
def test_every_row_has_the_length_that_it_has_alone(
    target: tuple[str, float], planes: list[float], reversed_: bool
) -> None:
    name, wanted = target
    arithmetic = Columns(len(planes))
    asked = Target("/train/1/length_mm", name, wanted, 0.0, 200.0)
    with np.errstate(all="ignore"):
        _, lengths = solve_columns(document(np.array(planes), reversed_=reversed_), asked, arithmetic, len(planes))
    for row, plane in enumerate(planes):
        try:
            alone = solve(document(plane, reversed_=reversed_), asked.pointer, name, wanted, 0.0, 200.0).value
        except OpticsError:
            assert arithmetic.impossible[row]
        else:
            assert not arithmetic.impossible[row]
            assert lengths[row] == pytest.approx(alone, abs=1e-6)
