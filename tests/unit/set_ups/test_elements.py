"""How elements of a document become parts, case by case."""

from typing import Any

import pytest

from closeup_service.optics.arithmetic import POINT
from closeup_service.optics.errors import Contradiction, Undetermined
from closeup_service.optics.parts import Part
from closeup_service.set_ups.elements import Builder
from closeup_service.set_ups.set_up import evaluate

REGISTER_MM = 45.46


def built(element: Any) -> tuple[Part, Any]:
    assumed: Any = {}
    return Builder(REGISTER_MM, POINT, assumed).part(element, "/train/0"), assumed


@pytest.mark.parametrize("factor", [1.4, 1.7, 2.0, 3.0])
def test_a_converter_by_its_focal_length_is_the_one_by_its_length(factor: float) -> None:
    """Thin: ft = -k L / (k - 1)^2, and it moves the image k times as far behind it as it lay, (k - 1) u = L."""
    added = 30.0
    focal_length = -factor * added / (factor - 1) ** 2
    by_length, assumed = built({"element": "teleconverter", "factor": factor, "added_length_mm": added})
    assert assumed["/train/0/focal_length_mm"] == pytest.approx(focal_length)
    by_focal_length, assumed = built({"element": "teleconverter", "factor": factor, "focal_length_mm": focal_length})
    assert assumed["/train/0/added_length_mm"] == pytest.approx(added)
    for part in (by_length, by_focal_length):
        assert part.power == pytest.approx(1 / focal_length)
        assert part.separation == pytest.approx(0.0, abs=1e-9)
        assert part.length == pytest.approx(added)
        assert part.front_gap == pytest.approx(REGISTER_MM - added / (factor - 1))
        assert part.rear_gap == pytest.approx(factor * added / (factor - 1) - REGISTER_MM)


def test_a_converter_of_known_glass_keeps_its_planes_apart() -> None:
    element = {"element": "teleconverter", "factor": 2.0, "added_length_mm": 40.0, "focal_length_mm": -70.0}
    part, _ = built(element | {"register_mm": 44.0})
    assert part.front_gap == pytest.approx(44.0 - 35.0)
    assert part.rear_gap == pytest.approx(70.0 - 44.0)
    assert part.separation == pytest.approx(40.0 - 9.0 - 26.0)


def test_a_close_up_lens_has_its_power_in_dioptres_or_as_a_focal_length() -> None:
    thin, assumed = built({"element": "close-up-lens", "power_dpt": 4.0})
    assert (thin.power, thin.front_gap, thin.separation, thin.rear_gap) == (1 / 250, 0.0, 0.0, 0.0)
    assert set(assumed) == {
        f"/train/0/{name}_mm" for name in ("length", "front_principal_plane", "rear_principal_plane")
    }
    planes = {"length_mm": 12.0, "front_principal_plane_mm": 5.0, "rear_principal_plane_mm": -4.0}
    thick, assumed = built({"element": "close-up-lens", "focal_length_mm": 250.0, **planes})
    assert (thick.power, thick.front_gap, thick.separation, thick.rear_gap) == (1 / 250, 5.0, 3.0, 4.0)
    assert not assumed


LENS: Any = {"element": "lens", "focal_length_mm": 50.0, "register_mm": REGISTER_MM}


def test_two_statements_of_the_rear_plane_may_differ_by_rounding_alone() -> None:
    part, _ = built({**LENS, "rear_principal_plane_mm": -4.545})
    assert part.rear_gap == pytest.approx(50.0 - REGISTER_MM)
    with pytest.raises(Contradiction, match=r"at -4\.54 mm, rear_principal_plane_mm at -4\.56 mm"):
        built({**LENS, "rear_principal_plane_mm": -4.56})


@pytest.mark.parametrize("reversed_", [True, False])
def test_planes_that_leave_the_lens_no_length_are_refused(reversed_: bool) -> None:
    """Rim to flange = front plane + separation + focal length - register."""
    planes = {"front_principal_plane_mm": 10.0, "reversed": reversed_}
    part, _ = built({**LENS, **planes, "principal_plane_separation_mm": -14.5})
    assert part.length == pytest.approx(10.0 - 14.5 + 50.0 - REGISTER_MM)
    with pytest.raises(Contradiction, match=r"the lens -0\.06 mm long"):
        built({**LENS, **planes, "principal_plane_separation_mm": -14.6})


OBJECTIVE: Any = {"element": "objective", "magnification": 4.0, "numerical_aperture": 0.1}
OBJECTIVE |= {"tube_length_mm": 160.0}


def test_a_finite_objective_of_unknown_focal_length_follows_from_where_it_is_sharp() -> None:
    """Subject to image, 45 mm before the shoulder and 150 mm behind it, is f (2 + m + 1/m) for a thin lens."""
    part, assumed = built({**OBJECTIVE, "working_distance_mm": 17.0})
    f = (45.0 + 150.0) / (2 + 4 + 0.25)
    assert assumed["/train/0/focal_length_mm"] == pytest.approx(f)
    assert (assumed["/train/0/image_distance_mm"], assumed["/train/0/parfocal_distance_mm"]) == (150.0, 45.0)
    assert part.power == pytest.approx(1 / f)
    assert part.rear_gap == pytest.approx(5 * f - 150.0)
    assert part.front_gap == pytest.approx(1.25 * f - 17.0)
    assert part.separation is None
    assert part.stops[0].offset == pytest.approx(f)
    assert part.stops[0].radius == pytest.approx(0.1 * f)


def test_an_objective_for_infinity_has_the_focal_length_of_its_tube_lens_over_its_magnification() -> None:
    element = {"element": "objective", "magnification": 10.0, "numerical_aperture": 0.28, "parfocal_distance_mm": 95.0}
    part, _ = built({**element, "tube_lens_focal_length_mm": 200.0, "working_distance_mm": 34.0})
    assert part.power == pytest.approx(1 / 20)
    assert (part.rear_gap, part.front_gap) == (20.0, 20.0 - 34.0)
    assert part.separation == pytest.approx(95.0 - 20.0 - 20.0)
    with pytest.raises(Contradiction, match="sharp 34 mm before its shoulder"):
        built(
            {**element, "tube_lens_focal_length_mm": 200.0, "working_distance_mm": 34.0, "parfocal_distance_mm": 34.0}
        )


@pytest.mark.parametrize(
    ("off_mm", "refused"), [(0.0, False), (0.45, False), (-0.45, False), (0.55, True), (-0.55, True)]
)
def test_an_objective_of_unknown_focal_length_must_stand_where_it_was_made_for(off_mm: float, refused: bool) -> None:
    tube = {"element": "spacer", "length_mm": 150.0 - REGISTER_MM + off_mm}
    document: Any = {
        "camera": {"register_mm": REGISTER_MM},
        "train": [{**OBJECTIVE, "working_distance_mm": 17.0}, tube],
    }
    if refused:
        with pytest.raises(Undetermined, match="made for 150 mm"):
            evaluate(document)
    else:
        assert evaluate(document).magnification == pytest.approx(4.0, rel=0.005)
