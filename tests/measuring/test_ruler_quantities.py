"""What a photograph tells beside its scale, against what was drawn."""

from collections.abc import Iterator
from dataclasses import replace
from types import NoneType
from typing import Any

import numpy as np
import pytest
from msgspec import Struct, structs

from closeup_service.measuring.ruler.choice import choose_scale, find_neighbouring_scales, refine_candidates
from closeup_service.measuring.ruler.picture import pyramid
from closeup_service.measuring.ruler.pitch import pitch_check
from closeup_service.measuring.ruler.reading import read_ruler
from closeup_service.measuring.ruler.records import Measured, RulerReading, Wanted
from edge_widths import widths_told
from ruler_scenes import HALF, INCH, Scale, Scene, render, true_pixels_per_mm

PLAIN = Scene(1536, 1024, 30.0, angle_deg=12.0)


def close(measured: Measured, value: float, least: float) -> bool:
    return abs(measured.value - value) < max(4 * measured.uncertainty, least)


def read(scene: Scene, distance: float | None = None) -> RulerReading:
    return read_ruler(render(scene), scene.scale.pitch_mm, perspective_distance_mm=distance)


def test_scale_direction_and_count_of_a_square_on_ruler() -> None:
    reading = read(PLAIN)
    assert reading.pixels_per_mm.value == pytest.approx(30, rel=2e-4)
    assert reading.mean_pixels_per_mm.value == pytest.approx(30, rel=2e-4)
    assert reading.direction_deg == pytest.approx(-12, abs=0.2)
    assert reading.marks_used >= 48
    assert reading.dark_marks
    assert len(reading.marks) == reading.marks_used


def test_unknown_tilt_adds_its_cosine_to_the_uncertainty() -> None:
    """Of even tilts up to 5 degrees 95 % lie within 4.75: 1.96 standard uncertainties hold their shortening."""
    reading = read(PLAIN)
    assert reading.tilt_deg is None
    assert reading.square_on_pixels_per_mm is None
    assert reading.reading_uncertainty < 2e-4
    assert reading.tilt.largest_deg == 5
    assert reading.pixels_per_mm.relative_uncertainty == pytest.approx(
        (1 / np.cos(np.radians(4.75)) - 1) / 1.96, rel=0.02
    )


@pytest.mark.parametrize("tilt", [-7.0, 3.0, 8.0])
def test_tilt_follows_from_the_keystone_and_the_distance_and_squares_the_scale(tilt: float) -> None:
    reading = read(replace(PLAIN, tilt_deg=tilt, distance_mm=180.0), 180.0)
    assert reading.tilt_deg is not None
    assert reading.square_on_pixels_per_mm is not None
    assert close(Measured(abs(reading.tilt_deg.value), reading.tilt_deg.uncertainty), abs(tilt), 0.05)
    assert reading.square_on_pixels_per_mm.value == pytest.approx(30, rel=4e-4)
    assert reading.pixels_per_mm.value == pytest.approx(30 * np.cos(np.radians(tilt)), rel=4e-4)
    assert np.sign(reading.tilt_deg.value) == np.sign(reading.keystone_per_mm.value)


def test_the_nearer_end_of_a_tilted_ruler_has_the_larger_scale() -> None:
    reading = read(replace(PLAIN, angle_deg=0.0, tilt_deg=8.0), 200.0)
    marks = np.array(reading.marks)
    steps = np.hypot(*np.diff(marks, axis=0).T)
    assert (steps[-5:].mean() > steps[:5].mean()) == (reading.keystone_per_mm.value > 0)


def test_every_number_is_pythons_own() -> None:
    for scene in (replace(PLAIN, colour=True), replace(PLAIN, other=HALF, strip_mm=26.0, across_mm=12.0)):
        assert set(kinds_of(read(scene, 180.0))) <= {float, int, bool, NoneType}


def kinds_of(value: Any) -> Iterator[type]:
    """Type of every number in a record."""
    if isinstance(value, Struct | tuple):
        for part in value if isinstance(value, tuple) else structs.astuple(value):
            yield from kinds_of(part)
    else:
        yield type(value)


@pytest.mark.parametrize("distortion", [-0.03, 0.015])
def test_distortion_at_the_end_of_the_scale_is_what_was_drawn(distortion: float) -> None:
    scene = replace(PLAIN, distortion=distortion)
    reading = read(scene)
    half = np.hypot(scene.width, scene.height) / 2
    reach = max(np.hypot(x - reading.centre[0], y - reading.centre[1]) for x, y in reading.line) / half
    assert reading.distortion_percent.value == pytest.approx(100 * distortion * reach**2, rel=0.08)
    assert reading.pixels_per_mm.value == pytest.approx(true_pixels_per_mm(scene), rel=5e-4)


def test_edge_width_is_that_of_the_blur_disk() -> None:
    reading = read(replace(PLAIN, blur_px=3.0, scale=Scale(width_mm=0.45), noise=1.0))
    u = np.linspace(-1, 1, 20001)
    edge = 0.5 + (u * np.sqrt(1 - u * u) + np.arcsin(u)) / np.pi
    expected = 3.0 * (np.interp(0.9, edge, u) - np.interp(0.1, edge, u))
    zones = [zone for zone in reading.sharpness if zone is not None]
    assert len(reading.sharpness) == 9
    assert 3 <= len(zones) < 9
    for zone in zones:
        assert zone.edge_width_px == pytest.approx(expected, rel=0.1)
        assert zone.edge_width_um == pytest.approx(1000 * zone.edge_width_px / 30, rel=0.01)


@pytest.mark.parametrize(("edge", "mark"), [(0.7, 6.0), (1.4, 4.0), (4.5, 2.5), (6.0, 2.5), (6.0, 12.0)])
def test_edge_width_is_the_blurs_own_for_sharp_marks_and_for_those_narrower_than_it(edge: float, mark: float) -> None:
    """Blurred by a disk, seen by pixels of width 1, marks of these widths [px]; `edge_widths` prints a table of more."""
    widths = widths_told(edge, mark)
    assert len(widths) >= 2
    assert widths == pytest.approx([edge] * len(widths), rel=0.05, abs=0.1)


def test_blur_that_grows_to_the_ends_shows_in_the_outer_zones() -> None:
    reading = read(replace(PLAIN, angle_deg=0.0, blur_px=1.0, blur_growth_px=4.0, scale=Scale(width_mm=0.4)))
    left, middle, right = reading.sharpness[3:6]
    assert left is not None
    assert middle is not None
    assert right is not None
    assert min(left.edge_width_px, right.edge_width_px) > 1.5 * middle.edge_width_px


def test_lateral_colour_is_the_difference_of_scale_drawn() -> None:
    reading = read(replace(PLAIN, colour=True, red_scale=1.0006, blue_scale=0.999))
    colour = reading.lateral_colour
    assert colour is not None
    assert close(colour.red_scale_percent, 0.06, 0.004)
    assert close(colour.blue_scale_percent, -0.1, 0.004)
    for end in colour.ends:
        reach = np.hypot(end.place[0] - reading.centre[0], end.place[1] - reading.centre[1])
        assert end.red_minus_green_px == pytest.approx(0.0006 * reach, abs=0.05)
        assert end.blue_minus_green_px == pytest.approx(-0.001 * reach, abs=0.05)


def test_grey_pictures_have_no_lateral_colour() -> None:
    grey = render(PLAIN)
    assert read_ruler(grey, 1.0).lateral_colour is None
    assert read_ruler(np.stack([grey] * 3, axis=2), 1.0).lateral_colour is None


def test_fall_off_is_what_the_ground_tells_and_not_known_of_a_dark_ruler() -> None:
    scene = replace(PLAIN, vignetting=0.4, slope=0.1, angle_deg=0.0)
    reading = read(scene)
    reach = (abs(reading.line[1][0] - reading.centre[0]) / (scene.width / 2)) ** 2
    coded = np.array([1.0, 1 - scene.vignetting * reach / 2]) * scene.ground / 255
    light = ((coded + 0.055) / 1.055) ** 2.4
    assert reading.fall_off_stops == pytest.approx(np.log2(light[0] / light[1]), abs=0.08)
    assert read(replace(scene, ground=50.0, ink=180.0)).fall_off_stops is None


@pytest.mark.parametrize(
    ("scale", "pitch", "every", "fits", "suggested"),
    [
        (Scale(), 1.0, (5, 10), True, None),
        (HALF, 0.5, (2, 10, 20), True, None),
        (HALF, 1.0, (2, 10, 20), False, 0.5),
        (Scale(), 0.5, (5, 10), False, 1.0),
        (INCH, 25.4 / 16, (2, 4, 8, 16), True, None),
        (INCH, 1.0, (2, 4, 8, 16), False, 25.4 / 16),
    ],
)
def test_longer_marks_tell_whether_the_pitch_fits(
    scale: Scale, pitch: float, every: tuple[int, ...], fits: bool, suggested: float | None
) -> None:
    reading = read_ruler(render(replace(PLAIN, scale=scale, strip_mm=26.0)), pitch, accept_pitch=not fits)
    assert set(reading.pitch.longer_every) <= set(every)
    assert reading.pitch.longer_every[0] == every[0]
    assert reading.pitch.fits is fits
    assert reading.pitch.suggested_pitch_mm == suggested


def test_a_ruler_on_strong_cloth_is_read_although_the_cloth_is_tried_first() -> None:
    scene = Scene(960, 640, 20.0, angle_deg=12.0, background="cloth", texture=60.0, last_mm=60.0)
    assert read(scene).pixels_per_mm.value == pytest.approx(20, rel=1e-3)


def test_the_finer_scale_of_the_other_edge_is_found_from_the_coarser_whose_longer_marks_speak_against_the_pitch() -> (
    None
):
    scene = Scene(1152, 800, 30.0, angle_deg=12.0, other=HALF, strip_mm=20.0, across_mm=9.0)
    picture = pyramid(render(scene))
    coarse = choose_scale(picture, refine_candidates(picture, 256.0), Wanted(1.0))
    assert find_neighbouring_scales(picture, [coarse], Wanted(1.0)) == []
    against = pitch_check(coarse.marks, coarse.scale, 0.5)
    assert (against.fits, against.suggested_pitch_mm) == (False, 1.0)
    found = find_neighbouring_scales(picture, [structs.replace(coarse, pitch=against)], Wanted(0.5))
    assert [one.pitch.fits for one in found] == [True]
    assert found[0].scale.period == pytest.approx(15, rel=2e-3)


@pytest.mark.parametrize(
    ("pitch", "scale", "other"), [(1.0, Scale(), HALF), (0.5, HALF, Scale()), (1.0, Scale(), INCH)]
)
def test_of_two_scales_on_one_ruler_the_one_of_the_pitch_is_read(pitch: float, scale: Scale, other: Scale) -> None:
    scene = replace(PLAIN, scale=scale, other=other, strip_mm=26.0, across_mm=12.0)
    assert read_ruler(render(scene), pitch).pixels_per_mm.value == pytest.approx(30, rel=1e-3)
