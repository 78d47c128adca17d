"""Rulers of which something hides a part, and short pieces: read rightly, or refused for the true reason."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from closeup_service.measuring.ruler.gaps import find_hidden
from closeup_service.measuring.ruler.reading import read_ruler
from closeup_service.optics.errors import OpticsError, TooFewMarks
from covered_scenes import Cover, covered, drawn_covered
from ruler_scenes import Scene, render, true_pixels_per_mm
from thoroughness import FULL

PLAIN = Scene(1152, 800, 12.0, angle_deg=12.0, middle_mm=45.0)
SHOWN = Cover("clamp", 0.0, 3.0, 1.0, 9.0, 90.0)


def under(*shown: tuple[float, float], scene: Scene = PLAIN) -> NDArray[np.uint8]:
    """The ruler with everything hidden but these stretches [mm]."""
    ends = [-40.0, *(end for stretch in shown for end in stretch), 130.0]
    covers = [
        replace(SHOWN, along_mm=(low + high) / 2, half_along_mm=(high - low) / 2)
        for low, high in zip(ends[::2], ends[1::2], strict=True)
    ]
    return covered(scene, tuple(covers))


@pytest.mark.parametrize(
    "shown",
    [
        ((30.5, 43.5), (58.5, 69.5)),  # two pieces that are too short alone, and a gap longer than either
        ((22.5, 31.5), (40.5, 51.5), (62.5, 72.5)),
        ((44.5, 60.5),),  # a sixth of the frame
    ],
)
def test_pieces_beside_what_hides_the_ruler_are_read_as_one(shown: tuple[tuple[float, float], ...]) -> None:
    reading = read_ruler(under(*shown), 1.0)
    assert reading.pixels_per_mm.value == pytest.approx(12, rel=2e-3)
    assert reading.marks_used >= sum(int(high - low) - 1 for low, high in shown)
    assert reading.mean_pixels_per_mm.value == pytest.approx(12, rel=1e-3)


def test_two_rulers_in_line_whose_marks_do_not_continue_one_another_are_not_joined() -> None:
    left, right = under((33.5, 43.5)), under((58.9, 68.9), scene=replace(PLAIN, middle_mm=45.4))
    half = PLAIN.width // 2
    with pytest.raises(TooFewMarks):
        read_ruler(np.concatenate([left[:, :half], right[:, half:]], axis=1), 1.0)
    right = under((58.5, 68.5))
    assert read_ruler(np.concatenate([left[:, :half], right[:, half:]], axis=1), 1.0).marks_used >= 18


def test_a_piece_that_is_too_short_is_told_so_and_not_that_its_marks_are_too_few() -> None:
    with pytest.raises(TooFewMarks, match=r" 1[12] marks .* 1\d% "):
        read_ruler(under((40.5, 52.5)), 1.0)


def test_random_rulers_partly_hidden_are_read_rightly_or_refused() -> None:
    refused = 0
    for number in range(5 if FULL else 2):
        scene, covers = drawn_covered(np.random.default_rng([1, number]))
        try:
            reading = read_ruler(covered(scene, covers), scene.scale.pitch_mm)
        except OpticsError:
            refused += 1
            continue
        assert reading.pixels_per_mm.value == pytest.approx(true_pixels_per_mm(scene), rel=0.01)
    assert refused <= 1


def test_the_hidden_marks_are_counted_in_perspective_too() -> None:
    scene = replace(PLAIN, tilt_deg=8.0, distance_mm=250.0)
    reading = read_ruler(under((28.5, 38.5), (58.5, 68.5), scene=scene), 1.0)
    assert reading.pixels_per_mm.value == pytest.approx(true_pixels_per_mm(scene), rel=2e-3)
    assert reading.marks_used >= 18


@pytest.mark.parametrize(
    ("row", "expected"),
    [
        ("||||||||", "........"),
        ("|||||...|||||", ".....xxx....."),
        ("|||||..|||||", "............"),  # two lost to glare are not hidden
        ("|||||..|..|||||", ".....xxxxx....."),  # a mark between fingers
        ("|||||.......|", "............."),  # one mark beyond proves nothing
        ("||.||...||||.||", ".....xxx......."),
        ("|||", "..."),
    ],
)
def test_what_lies_between_clear_stretches_is_hidden(row: str, expected: str) -> None:
    found = np.array([sign == "|" for sign in row])
    assert find_hidden(found).tolist() == [sign == "x" for sign in expected]


def test_a_whole_ruler_is_read_as_before() -> None:
    assert read_ruler(render(PLAIN), 1.0).pixels_per_mm.value == pytest.approx(12, rel=2e-4)
