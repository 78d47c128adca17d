"""What a train refuses, and which way out the refusal tells."""

from typing import Any

import pytest

from closeup_service.optics.errors import FocusedAtInfinity, NoRealSubject, SubjectInsideLens, Undetermined
from closeup_service.set_ups.set_up import evaluate

REGISTER_MM = 45.46


def lens(focal_length: float, **more: Any) -> Any:
    members = {"f_number": 4.0, "front_principal_plane_mm": 10.0, "principal_plane_separation_mm": 5.0}
    return {"element": "lens", "focal_length_mm": focal_length, "register_mm": REGISTER_MM, **members, **more}


def tube(length: float) -> Any:
    return {"element": "spacer", "length_mm": length}


def document(*train: Any) -> Any:
    return {"camera": {"register_mm": REGISTER_MM}, "train": list(train)}


def close_up_lens(power_dpt: float, **more: float) -> Any:
    return {"element": "close-up-lens", "power_dpt": power_dpt, **more}


def coupled(image_of_front: float) -> Any:
    """A 50 mm lens before an 80 mm one on 100 mm of tube, which needs its subject 144 mm before its first plane."""
    gap = image_of_front + 80.0 * (1 + 80.0 / 100.0)
    return document(lens(50.0), tube(gap - (50.0 - REGISTER_MM) - 10.0), lens(80.0), tube(100.0))


def test_parts_behind_that_are_focused_too_near_are_told_to_come_nearer() -> None:
    """An image less than 50 mm behind a 50 mm lens has no real subject: for 49 mm it lies 2450 mm behind the lens."""
    assert evaluate(coupled(51.0)).magnification == pytest.approx(1.25 * 1 / 50)
    with pytest.raises(NoRealSubject, match=r"2460 mm .* less extension"):
        evaluate(coupled(49.0))


def test_parts_behind_that_are_focused_beyond_infinity_are_told_to_go_further_out() -> None:
    """3 mm short of infinity a 50 mm lens wants light that goes together 50 (50/3 - 1) mm behind its first plane."""
    wanted = 10 + 50 * (50 / 3 - 1)
    assert evaluate(document(close_up_lens(10.0), lens(50.0), tube(-3.0))).magnification > 0
    behind = 1 / (1 / wanted - 1 / 1000)
    told = f"{behind:.4g} mm behind the front .* Add extension behind, or use a stronger lens in front"
    with pytest.raises(NoRealSubject, match=told):
        evaluate(document(close_up_lens(1.0), lens(50.0), tube(-3.0)))


@pytest.mark.parametrize("extension", [5.0, 15.0])
def test_behind_a_spreading_front_part_it_is_more_extension_that_helps(extension: float) -> None:
    """A converter of -80 mm in front spreads what comes from the subject: the lens must be focused nearer than 80 mm behind."""
    converter = {"element": "teleconverter", "factor": 2.0, "added_length_mm": 40.0, "register_mm": REGISTER_MM}
    prime = lens(50.0, front_principal_plane_mm=30.0)
    with pytest.raises(NoRealSubject, match="Add extension behind"):
        evaluate(document(converter, prime, tube(extension)))


def test_whether_a_subject_behind_an_unknown_first_plane_is_before_the_glass_is_not_determined() -> None:
    """The rear lens is focused 80 (1 + 80/100) mm before its plane; for an image of 49 mm there the subject is virtual."""
    bare = {name: value for name, value in lens(50.0).items() if name != "front_principal_plane_mm"}
    rear = coupled(49.0)["train"][1:]
    with pytest.raises(Undetermined, match="2450 mm") as refused:
        evaluate(document(bare, *rear))
    assert refused.value.members == ("/train/0/front_principal_plane_mm",)
    assert evaluate(document(bare, *coupled(51.0)["train"][1:])).working_distance_mm is None


@pytest.mark.parametrize("before_plane", [0.5, 5.0, 9.0])
def test_a_subject_before_the_first_plane_but_behind_the_glass_is_inside_the_lens(before_plane: float) -> None:
    """Thin-lens equation: a subject s before a 50 mm lens has its image at 1 / (1/50 - 1/s), here virtual."""
    with pytest.raises(SubjectInsideLens, match=f"{10 - before_plane:.4g} mm behind the front"):
        evaluate(coupled(1 / (1 / 50 - 1 / before_plane)))


@pytest.mark.parametrize(
    ("train", "advice"),
    [
        ([tube(95.0), lens(50.0), tube(50.0)], "Shorten what stands before the lens"),
        ([lens(50.0, front_principal_plane_mm=110.0), tube(50.0)], "turn the lens round"),
        (
            [close_up_lens(10.0, front_principal_plane_mm=90.0), lens(50.0), tube(50.0)],
            "behind .* Use less magnification.$",
        ),
    ],
)
def test_a_subject_inside_is_told_by_what_stands_in_front(train: list[Any], advice: str) -> None:
    with pytest.raises(SubjectInsideLens, match=advice):
        evaluate(document(*train))


def test_a_lens_at_its_infinity_stop_is_refused_and_a_hair_further_out_is_not() -> None:
    with pytest.raises(FocusedAtInfinity):
        evaluate(document(lens(50.0)))
    assert evaluate(document(lens(50.0), tube(1e-6))).magnification == pytest.approx(2e-8)
