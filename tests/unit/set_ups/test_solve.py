"""Solving an open length, case by case."""

from typing import Any

import pytest

from closeup_service.optics.errors import NoRealSubject, NoSolution
from closeup_service.set_ups.solve import solve

CAMERA = {"register_mm": 45.46}


def lens(focal_length: float, **more: Any) -> Any:
    members = {"f_number": 4.0, "front_principal_plane_mm": 10.0, "principal_plane_separation_mm": 5.0}
    return {"element": "lens", "focal_length_mm": focal_length, "register_mm": 45.46, **members, **more}


def tube(length: float) -> Any:
    return {"element": "spacer", "length_mm": length}


def test_an_upright_image_is_found_where_an_inverted_one_would_need_a_virtual_subject() -> None:
    """The rear lens, run out by 100 mm, enlarges an image of the front one 1.25 times: 0.4 makes 0.5 of it."""
    document: Any = {"camera": CAMERA, "train": [lens(50.0), tube(0.0), lens(80.0), tube(100.0)]}
    solved = solve(document, "/train/1/length_mm", "magnification", 0.5, 0.0, 500.0)
    front_image = 50.0 * (1 + 0.4)
    rear_subject = 80.0 * (1 + 1 / 1.25)
    gaps = (50.0 - 45.46) + 10.0
    assert solved.value == pytest.approx(front_image + rear_subject - gaps)
    assert solved.set_up.erect is True
    assert solved.set_up.magnification == pytest.approx(0.5)


def test_the_nearest_attainable_value_is_found_where_the_range_begins_with_what_cannot_be() -> None:
    """Below it the numerical aperture m / (2 N_eff) exceeds 1; the rear lens has m = 0.2, so N_eff = 1 + 0.2/3."""
    fast = {"f_number": 1.0, "pupil_magnification": 3.0, "front_principal_plane_mm": 20.0}
    document: Any = {"camera": CAMERA, "train": [lens(30.0, **fast), tube(0.0), lens(50.0, **fast), tube(10.0)]}
    greatest = 2 * (1 + 0.2 / 3)
    front_image = 30.0 * (greatest / 0.2 - 1)  # virtual, before the lens
    length = 50.0 * (1 + 1 / 0.2) - front_image - (30.0 - 45.46) - 20.0
    with pytest.raises(NoSolution, match=f" {greatest:.6g}, at {length:.6g} mm"):
        solve(document, "/train/1/length_mm", "magnification", 1.1 * greatest, 0.0, 100.0)


def test_what_would_refuse_the_value_itself_is_told_besides_the_nearest() -> None:
    """The rear lens has m = 1.2, so that the numerical aperture exceeds 1 from m = 2 N (1 + 1.2/3) = 3.92 on."""
    fast = {"f_number": 1.4, "pupil_magnification": 3.0, "front_principal_plane_mm": 20.0}
    document: Any = {"camera": CAMERA, "train": [lens(30.0, **fast), tube(0.0), lens(50.0, **fast), tube(60.0)]}
    told = r"nearest attainable is 3\.92, at 19\.1267 mm\. Beyond that: The numerical aperture .* 1 or more"
    with pytest.raises(NoSolution, match=told):
        solve(document, "/train/1/length_mm", "magnification", 4.312, 0.0, 100.0)


def test_a_range_in_which_nothing_can_be_is_refused_for_the_reason_at_its_end() -> None:
    document: Any = {"camera": CAMERA, "train": [lens(100.0, reversed=True), tube(0.0)]}
    with pytest.raises(NoRealSubject, match=r"the sensor stands 39\.54 mm before"):
        solve(document, "/train/1/length_mm", "magnification", 1.0, 0.0, 5.0)


def test_a_length_between_lenses_focused_at_infinity_does_not_matter_and_the_value_is_told() -> None:
    front = lens(50.0, reversed=True)
    document: Any = {"camera": CAMERA, "train": [front, tube(0.0), lens(100.0)]}
    with pytest.raises(NoSolution, match=r"magnification: .* 2 "):
        solve(document, "/train/1/length_mm", "magnification", 1.0, 0.0, 50.0)


@pytest.mark.parametrize(("wanted", "reached", "length"), [(0.1, 0.4, 20.0), (1.5, 1.0, 50.0)])
def test_the_nearest_attainable_value_may_be_that_of_either_end(wanted: float, reached: float, length: float) -> None:
    document: Any = {"camera": CAMERA, "train": [lens(50.0), tube(0.0)]}
    with pytest.raises(NoSolution, match=rf" {reached:g}, at {length:g} mm\.$"):
        solve(document, "/train/1/length_mm", "magnification", wanted, 20.0, 50.0)


def test_an_upright_image_is_found_where_the_subject_of_an_inverted_one_would_lie_inside() -> None:
    """An image half as large upright, on the other side of what the rear lens takes in from a real image of the front one."""
    document: Any = {"camera": CAMERA, "train": [lens(80.0), tube(200.0), lens(80.0), tube(0.0)]}
    solved = solve(document, "/train/3/length_mm", "magnification", 0.5, 0.0, 500.0)
    assert solved.set_up.magnification == pytest.approx(0.5)
    assert solved.set_up.erect is True
    rear = solved.value / 80.0
    front_image = 200.0 + (80.0 - 45.46) + 10.0 - 80.0 * (1 + 1 / rear)
    assert (front_image / 80.0 - 1) * rear == pytest.approx(0.5)
