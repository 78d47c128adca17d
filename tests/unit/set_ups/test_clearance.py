"""What stands out furthest before a set-up takes room from the working distance."""

from typing import Any

import pytest

from closeup_service.set_ups.set_up import evaluate


def lens(**more: Any) -> Any:
    members = {"f_number": 4.0, "front_principal_plane_mm": 10.0, "principal_plane_separation_mm": 5.0}
    return {"element": "lens", "focal_length_mm": 50.0, "register_mm": 45.46, **members, **more}


def tube(length: float) -> Any:
    return {"element": "spacer", "length_mm": length}


@pytest.mark.parametrize(
    ("front", "taken"),
    [
        ([lens(front_protrusion_mm=7.0)], 7.0),
        ([tube(4.0), lens(front_protrusion_mm=7.0)], 3.0),
        ([tube(9.0), lens(front_protrusion_mm=7.0)], 0.0),
        ([lens(front_protrusion_mm=7.0), tube(30.0), lens(front_protrusion_mm=9.0)], 7.0),
        ([lens()], 0.0),
    ],
)
def test_the_part_that_stands_out_furthest_counts(front: list[Any], taken: float) -> None:
    set_up = evaluate({"camera": {"register_mm": 45.46}, "train": [*front, tube(50.0)]})
    assert set_up.working_distance_mm is not None
    assert set_up.clearance_mm == pytest.approx(set_up.working_distance_mm - taken)


def test_a_protrusion_that_is_not_stated_is_assumed_none() -> None:
    stated = evaluate({"camera": {"register_mm": 45.46}, "train": [lens(front_protrusion_mm=0.0), tube(50.0)]})
    assumed = evaluate({"camera": {"register_mm": 45.46}, "train": [lens(), tube(50.0)]})
    assert "/train/0/front_protrusion_mm" not in stated.assumed
    assert assumed.assumed["/train/0/front_protrusion_mm"] == 0.0
