"""Scales that are easily misread: filled blocks, a vernier on its scale, a wrong pitch, two legs."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from closeup_service.measuring.ruler.neighbour import phase_turns, vernier
from closeup_service.measuring.ruler.pitch import fits_pitch, suggest_pitch
from closeup_service.measuring.ruler.reading import read_ruler
from closeup_service.measuring.ruler.records import Leg
from closeup_service.optics.errors import BlocksOrLines, PitchContradicted, PlainMarks
from other_scales import BENCH, blocks, calliper, l_shaped
from ruler_scenes import HALF, INCH, Scale, Scene, render

PLAIN = Scene(1152, 800, 30.0, angle_deg=12.0, strip_mm=26.0)


def test_blocks_are_refused_with_both_readings_and_read_as_they_are_said_to_be() -> None:
    picture = blocks()
    with pytest.raises(BlocksOrLines, match=r" 24 pixels per mm.* 48 pixels") as refusal:
        read_ruler(picture, 1.0)
    assert (refusal.value.code, refusal.value.members) == ("blocks-or-lines", ("/marks_are",))
    assert read_ruler(picture, 1.0, filled_blocks=True).pixels_per_mm.value == pytest.approx(24, rel=1e-3)
    assert read_ruler(picture, 1.0, filled_blocks=True).mean_pixels_per_mm.value == pytest.approx(24, rel=1e-3)
    with pytest.raises(PlainMarks):
        read_ruler(picture, 1.0, filled_blocks=False)
    numbered = blocks(numerals=True)
    assert read_ruler(numbered, 1.0, filled_blocks=False).pixels_per_mm.value == pytest.approx(48, rel=1e-3)


def test_lines_are_no_blocks() -> None:
    with pytest.raises(BlocksOrLines, match="not as wide as the gaps"):
        read_ruler(render(PLAIN), 1.0, filled_blocks=True)
    assert read_ruler(render(PLAIN), 1.0, filled_blocks=False).pixels_per_mm.value == pytest.approx(30, rel=1e-3)


@pytest.mark.parametrize(
    ("ratio", "divisions", "begin", "across"), [(0.98, 50, 5.0, 3.0), (0.95, 20, 35.0, -2.0), (0.9, 10, 25.0, 3.0)]
)
def test_of_a_vernier_and_its_scale_the_scale_is_read(
    ratio: float, divisions: int, begin: float, across: float
) -> None:
    picture = calliper(replace(BENCH, across_mm=across), ratio, begin, divisions)
    assert read_ruler(picture, 1.0).pixels_per_mm.value == pytest.approx(24, rel=1e-3)


def wave(turns: NDArray[Any]) -> NDArray[np.complex128]:
    return np.asarray(0.9 * np.exp(2j * np.pi * turns), dtype=np.complex128)


def test_the_wave_of_another_scale_turns_from_mark_to_mark() -> None:
    marks = np.arange(30)
    for turn in (0.02, -0.05, 0.111):
        assert phase_turns(wave(0.3 + turn * marks), 1.0) == pytest.approx(turn, abs=1e-3)
    assert phase_turns(wave(0.3 + 0.002 * marks), 1.0) is None
    assert phase_turns(np.full(30, 0.1 + 0j), 1.0) is None
    assert phase_turns(np.exp(1j * marks**2.0), 1.0) is None
    assert [vernier(ratio) for ratio in (0.9, 0.949, 0.9795, 0.99, 1.02)] == [0.9, 0.95, 0.98, None, None]


@pytest.mark.parametrize(
    ("scale", "pitch", "other"),
    [
        (Scale(), 0.5, " 1 mm .* 30"),
        (Scale(), 2.0, " 1 mm .* 30"),
        (Scale(), 25.4 / 16, " 1 mm .* 30"),
        (HALF, 1.0, " 0.5 mm .* 30"),
        (INCH, 1.0, " 1.58[78] mm .* 30"),
    ],
)
def test_a_pitch_that_the_longer_marks_contradict_is_refused_with_both_readings(
    scale: Scale, pitch: float, other: str
) -> None:
    picture = render(replace(PLAIN, scale=scale))
    with pytest.raises(PitchContradicted, match=rf"about {30 * scale.pitch_mm / pitch:.3g}.*{other}") as refusal:
        read_ruler(picture, pitch)
    assert (refusal.value.code, refusal.value.members) == ("pitch-contradicted", ("/tick_pitch_mm",))
    taken = read_ruler(picture, pitch, accept_pitch=True)
    assert taken.pixels_per_mm.value == pytest.approx(30 * scale.pitch_mm / pitch, rel=1e-3)
    assert taken.pitch.fits is False


def test_decimal_inches_fit_and_the_nearest_pitch_in_use_is_suggested() -> None:
    assert fits_pitch((5, 10), 2.54)
    assert not fits_pitch((2, 4, 8, 16), 25.4 / 8)  # a longer mark after two inches, and none after one
    assert suggest_pitch((5, 10), 25.4 / 16) == pytest.approx(1.0)
    assert suggest_pitch((2, 4, 8, 16), 1.0) == pytest.approx(25.4 / 16)
    assert suggest_pitch((2, 10), 25.4 / 32) == pytest.approx(0.5)
    assert suggest_pitch((3,), 1.0) is None


@pytest.mark.parametrize(("leg", "read", "other"), [(None, 24, 26), ("level", 24, 26), ("upright", 26, 24)])
def test_of_an_l_shaped_ruler_both_legs_are_told_and_the_one_asked_for_is_read(
    leg: Leg | None, read: float, other: float
) -> None:
    reading = read_ruler(l_shaped(upright_px_per_mm=26.0), 1.0, leg=leg)
    assert reading.pixels_per_mm.value == pytest.approx(read, rel=1e-3)
    assert reading.other_leg is not None
    assert reading.other_leg.pixels_per_mm.value == pytest.approx(other, rel=1e-3)
    assert abs(reading.other_leg.direction_deg - reading.direction_deg) == pytest.approx(90, abs=0.8)


def test_a_ruler_without_another_leg_has_none() -> None:
    assert read_ruler(render(PLAIN), 1.0).other_leg is None
