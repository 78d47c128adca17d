"""Where parts of unknown length are drawn, and how the axial ray goes through several lenses."""

from itertools import pairwise
from typing import Any

import pytest

from closeup_service.optics.parts import Part
from closeup_service.set_ups.along_axis import Gaps, gaps_of, lay_out_axis, trace_forwards
from closeup_service.set_ups.set_up import evaluate
from known_lens import LENS

CAMERA = {"register_mm": 18.0}
CLOSE_UP_LENS = {"element": "close-up-lens", "power_dpt": 5.0, "length_mm": 6.0, "front_principal_plane_mm": 2.0}
CLOSE_UP_LENS |= {"rear_principal_plane_mm": -3.0}
CONVERTER = {"element": "teleconverter", "factor": 2.0, "added_length_mm": 40.0, "register_mm": 45.46}


def part(focal_length: float, front: float | None, separation: float | None, rear: float | None) -> Part:
    return Part("/train/0", 1 / focal_length, front, separation, rear)


@pytest.mark.parametrize(
    ("whole", "room", "gaps"),
    [
        (part(50, 3.0, -2.0, 4.0), 10.0, Gaps(3.0, -2.0, 4.0)),  # as it is, however short
        (part(40, None, None, 7.0), None, Gaps(20.0, 0.0, 7.0)),  # half the focal length before an unknown plane
        (part(-40, None, None, 7.0), None, Gaps(20.0, 0.0, 7.0)),
        (part(100, None, None, 7.0), None, Gaps(30.0, 0.0, 7.0)),  # at most 30 mm
        (part(100, 12.0, 1.0, None), 50.0, Gaps(12.0, 1.0, 30.0)),
        (part(100, None, 1.0, 7.0), 50.0, Gaps(25.0, 1.0, 7.0)),  # half the room there is
        (part(100, None, 1.0, 7.0), 70.0, Gaps(30.0, 1.0, 7.0)),
        (part(100, None, 1.0, 7.5), -5.0, Gaps(0.0, 1.0, 7.5)),  # none where there is none
        (part(100, None, 1.0, 6.5), -5.0, Gaps(0.5, 1.0, 6.5)),  # 8 mm long at least, by what is not known
        (part(10, 3.0, None, -6.0), 50.0, Gaps(3.0, 11.0, -6.0)),
        (part(10, None, 2.0, -6.0), 50.0, Gaps(12.0, 2.0, -6.0)),
        (part(10, -9.0, 2.0, None), 50.0, Gaps(-9.0, 2.0, 15.0)),
    ],
)
def test_an_unknown_gap_is_drawn_as_usual_and_the_part_long_enough_to_see(
    whole: Part, room: float | None, gaps: Gaps
) -> None:
    assert gaps_of(whole, room) == gaps


def bare(**members: Any) -> Any:
    return {"element": "lens", "focal_length_mm": 50.0, "register_mm": 45.46, **members}


def spacer(length: float) -> Any:
    return {"element": "spacer", "length_mm": length}


@pytest.mark.parametrize(
    ("before", "working"),
    [
        ([], 50 * (1 + 1 / 0.6) - 25),
        ([spacer(90.0)], (50 * (1 + 1 / 0.6) - 90) / 2),
        ([spacer(140.0)], 8.0),
    ],
)
def test_a_lens_of_unknown_front_is_drawn_clear_of_the_subject(before: list[Any], working: float) -> None:
    document: Any = {"camera": CAMERA, "train": [*before, bare(), spacer(57.46)]}
    axis = lay_out_axis(document, evaluate(document))
    assert axis.working_distance_mm == pytest.approx(working)
    assert axis.drawn["/drawn_working_distance_mm"] == pytest.approx(working)
    assert axis.parts[0].start_mm == pytest.approx(working)
    drawn = axis.parts[len(before)]
    assert axis.drawn[f"/train/{len(before)}/drawn_length_mm"] == pytest.approx(drawn.end_mm - drawn.start_mm)


@pytest.mark.parametrize(
    "train",
    [
        [CLOSE_UP_LENS, LENS, spacer(40.0)],
        [LENS, spacer(40.0), CONVERTER],
        [spacer(10.0), CLOSE_UP_LENS, spacer(8.0), LENS, spacer(50.0), CONVERTER],
    ],
)
def test_the_ray_is_bent_by_each_lens_and_meets_the_axis_at_the_sensor(train: list[Any]) -> None:
    document: Any = {"camera": CAMERA, "train": train}
    set_up = evaluate(document)
    axis = lay_out_axis(document, set_up)
    free = list(pairwise(axis.ray))[::2]
    slopes = [(y - before_y) / (x - before_x) for (before_x, before_y), (x, y) in free]
    heights = [y for _, y in axis.ray[1:-1:2]]
    powers = [power for element in train if (power := power_of(element)) is not None]
    assert slopes[0] == pytest.approx(set_up.numerical_aperture)
    assert -slopes[-1] == pytest.approx(1 / (2 * float(set_up.effective_f_number or 0)))
    bends = [before - after for before, after in pairwise(slopes)]
    assert bends == pytest.approx([power * height for power, height in zip(powers, heights, strict=True)])


def power_of(element: Any) -> float | None:
    """By the definitions: 1/f, dioptres, and ft = -k added / (k - 1)^2 of a thin converter."""
    if element["element"] == "teleconverter":
        return -1 / float(element["factor"] * element["added_length_mm"])
    if element["element"] == "close-up-lens":
        return float(element["power_dpt"]) / 1000
    return 1 / float(element["focal_length_mm"]) if element["element"] == "lens" else None


def test_the_entrance_pupil_is_drawn_where_and_as_wide_as_the_mark_says() -> None:
    document: Any = {"camera": CAMERA, "train": [LENS, spacer(40.0)]}
    axis = lay_out_axis(document, evaluate(document))
    magnification = (40.0 + 18.0 - 45.46) / 50.0
    assert axis.entrance_pupil_mm == pytest.approx(50.0 * (1 / magnification + 1 / 1.25))
    assert axis.entrance_pupil_radius_mm == pytest.approx(50.0 / 4.0 / 2)


def test_no_entrance_pupil_is_drawn_where_it_is_infinitely_far() -> None:
    objective = {"element": "objective", "magnification": 4.0, "numerical_aperture": 0.1, "tube_length_mm": 160.0}
    objective |= {"working_distance_mm": 17.0, "parfocal_distance_mm": 45.0}
    document: Any = {"camera": CAMERA, "train": [objective, spacer(160.0 - 10.0 - 18.0)]}
    axis = lay_out_axis(document, evaluate(document))
    assert (axis.entrance_pupil_mm, axis.entrance_pupil_radius_mm) == (None, None)


def test_no_entrance_pupil_is_drawn_where_an_unknown_gap_leaves_it_open() -> None:
    """Between two lenses focused at infinity the gap does not matter for anything but where the rear stop's image is."""
    front = {**bare(), "reversed": True, "f_number": 2.0, "principal_plane_separation_mm": 5.0}
    document: Any = {
        "camera": {"register_mm": 45.46},
        "train": [front, {**LENS, "focal_length_mm": 100.0, "f_number": 8.0}],
    }
    set_up = evaluate(document)
    axis = lay_out_axis(document, set_up)
    assert set_up.aperture_stop == 1
    assert set_up.effective_f_number == pytest.approx(8.0)
    assert (axis.entrance_pupil_mm, axis.entrance_pupil_radius_mm) == (None, None)


def test_where_planes_are_crossed_the_ray_turns_half_way() -> None:
    assert trace_forwards([(0.0, 0.0), (10.0, 4.0)], (6.0, 2.0)) == [(0.0, 0.0), (8.0, 3.0)]
    assert trace_forwards([(0.0, 0.0), (10.0, 4.0)], (10.0, 2.0)) == [(0.0, 0.0), (10.0, 4.0), (10.0, 2.0)]
    assert trace_forwards([(0.0, 0.0)], (-1.0, 2.0)) == [(0.0, 0.0), (-1.0, 2.0)]
