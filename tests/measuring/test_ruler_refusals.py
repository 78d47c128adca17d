"""What is refused, with which code and which words."""

from dataclasses import replace

import numpy as np
import pytest

from closeup_service.measuring.ruler.reading import read_ruler
from closeup_service.optics.errors import NoScaleFound, OpticsError, TooBlurred, TooFewMarks
from ruler_scenes import Scale, Scene, render

PLAIN = Scene(1536, 1024, 30.0, angle_deg=12.0)


def test_a_bare_table_holds_no_scale() -> None:
    with pytest.raises(NoScaleFound, match="No scale is found beyond doubt"):
        read_ruler(render(replace(PLAIN, first_mm=1e4, last_mm=2e4)), 1.0)
    assert NoScaleFound.code == "no-scale-found"


def test_a_uniform_picture_holds_no_scale() -> None:
    with pytest.raises(NoScaleFound):
        read_ruler(np.full((600, 800), 128, np.uint8), 1.0)


def test_a_thumbnail_is_too_small() -> None:
    with pytest.raises(NoScaleFound, match="smaller than 96 pixels"):
        read_ruler(np.zeros((90, 200), np.uint8), 1.0)


def test_four_marks_are_too_few() -> None:
    scene = replace(PLAIN, pixels_per_mm=200.0, middle_mm=42.0, first_mm=39.6, last_mm=43.4, across_mm=1.5)
    with pytest.raises(TooFewMarks, match="needs 5 or more") as refusal:
        read_ruler(render(scene), 1.0)
    assert refusal.value.code == "too-few-marks"


def test_a_short_piece_of_ruler_is_too_few_marks() -> None:
    with pytest.raises(TooFewMarks, match="Only 8 marks"):
        read_ruler(render(replace(PLAIN, middle_mm=42.0, first_mm=39.6, last_mm=47.4)), 1.0)


def test_a_piece_of_ruler_at_the_border_tells_too_little_of_the_middle() -> None:
    scene = Scene(1152, 800, 20.0, first_mm=11.8, last_mm=25.6, noise=8.0, blur_px=2.0)
    with pytest.raises(TooFewMarks, match="on both sides of the middle"):
        read_ruler(render(scene), 1.0)
    assert read_ruler(render(replace(scene, last_mm=45.6)), 1.0).reading_uncertainty < 0.01


def test_blurred_marks_that_might_hide_finer_ones_are_refused() -> None:
    alike = Scale(lengths_mm=((1, 4.0),), numerals_every=0, width_mm=0.4)
    with pytest.raises(TooBlurred, match="Focus on the ruler") as refusal:
        read_ruler(render(replace(PLAIN, scale=alike, blur_px=9.0, noise=1.0)), 1.0)
    assert refusal.value.code == "too-blurred"


def test_marks_closer_than_the_pixels_resolve_are_never_misread() -> None:
    for pixels_per_mm in (2.0, 3.0, 4.0):
        scene = replace(PLAIN, pixels_per_mm=pixels_per_mm, last_mm=400.0, middle_mm=180.0)
        try:
            reading = read_ruler(render(scene), 1.0)
        except OpticsError:
            continue
        assert reading.pixels_per_mm.value == pytest.approx(pixels_per_mm, rel=0.01) or reading.pitch.fits is False
