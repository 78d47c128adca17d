"""Laws that hold for every photograph, and the overlay."""

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from closeup_service.measuring.ruler.overlay import MARK, draw_overlay, scale_length_mm
from closeup_service.measuring.ruler.reading import read_ruler
from ruler_scenes import HALF, Scale, Scene, render
from thoroughness import up_to

FEW = settings(max_examples=up_to(6), deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))


@st.composite
def photographs(draw: st.DrawFn) -> tuple[NDArray[np.uint8], float]:
    scale = draw(st.sampled_from([Scale(), HALF]))
    scene = Scene(
        960,
        640,
        draw(st.floats(12, 40)) / scale.pitch_mm,
        draw(st.floats(-90, 90)),
        scale=scale,
        across_mm=draw(st.floats(1, 4)),
        noise=draw(st.floats(0, 4)),
        background=draw(st.sampled_from(["plain", "noise"])),
        seed=draw(st.integers(0, 99)),
    )
    return render(scene), scale.pitch_mm


def scale_of(picture: NDArray[np.uint8], pitch: float) -> float:
    return read_ruler(np.ascontiguousarray(picture), pitch).pixels_per_mm.value


@given(photographs())
@FEW
def test_a_quarter_turn_and_a_mirror_leave_the_scale(drawn: tuple[NDArray[np.uint8], float]) -> None:
    picture, pitch = drawn
    scale = scale_of(picture, pitch)
    assert scale_of(np.rot90(picture), pitch) == pytest.approx(scale, rel=3e-4)
    assert scale_of(picture[:, ::-1], pitch) == pytest.approx(scale, rel=3e-4)
    assert scale_of(picture[::-1], pitch) == pytest.approx(scale, rel=3e-4)


@given(photographs())
@FEW
def test_a_negative_leaves_the_scale(drawn: tuple[NDArray[np.uint8], float]) -> None:
    picture, pitch = drawn
    assert scale_of(255 - picture, pitch) == pytest.approx(scale_of(picture, pitch), rel=3e-4)


@given(photographs())
@FEW
def test_a_picture_twice_as_large_has_twice_the_scale(drawn: tuple[NDArray[np.uint8], float]) -> None:
    picture, pitch = drawn
    larger = picture.repeat(2, axis=0).repeat(2, axis=1)
    assert scale_of(larger, pitch) == pytest.approx(2 * scale_of(picture, pitch), rel=5e-4)


@given(photographs())
@FEW
def test_sixteen_bits_tell_the_same_as_eight(drawn: tuple[NDArray[np.uint8], float]) -> None:
    picture, pitch = drawn
    wide = read_ruler(picture.astype(np.uint16) * 257, pitch).pixels_per_mm.value
    assert wide == pytest.approx(scale_of(picture, pitch), rel=1e-5)


@pytest.mark.parametrize("colour", [False, True])
def test_the_overlay_is_reduced_and_shows_marks_line_middle_and_scale(colour: bool) -> None:
    picture = render(Scene(1536, 1024, 30.0, angle_deg=12.0, colour=colour))
    reading = read_ruler(picture, 1.0)
    overlay = draw_overlay(picture, reading, 800)
    assert overlay.shape == (512, 768, 3)
    assert overlay.dtype == np.uint8
    assert draw_overlay(np.rot90(picture), reading, 800).shape == (768, 512, 3)
    assert scale_length_mm(reading, 1536) == 10
    yellow = (overlay == (255, 255, 0)).all(axis=2)
    assert yellow.any(axis=0).sum() == pytest.approx(150, abs=6)
    assert (overlay[round(511.5 / 2) - 1 : round(511.5 / 2) + 2, 383:385] == (255, 0, 200)).all(axis=2).any()
    found = (overlay == MARK).all(axis=2)
    x, y = reading.marks[3]
    assert found[int(y / 2) - 3 : int(y / 2) + 4, int(x / 2) - 3 : int(x / 2) + 4].any()
