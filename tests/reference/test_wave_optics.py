"""The wave sums against textbooks, published values, and two other ways to the same integral.

`seen` means that the passage was read, mostly in an excerpt of the page; `memory` that it is quoted from memory.
"""

import math
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest
from flask.testing import FlaskClient
from scipy.fft import fft, ifft
from scipy.integrate import dblquad, quad
from scipy.optimize import brentq
from scipy.special import j0, j1, jn_zeros

from asking import answered
from closeup_service.optics.aperture_series import marks_of_ring
from closeup_service.optics.arithmetic import POINT
from closeup_service.optics.depth import wave_half_depth
from closeup_service.optics.diffraction import optimum_effective_f_number, sensor_resolution_um
from closeup_service.optics.formulas import AIRY_DIAMETER
from closeup_service.optics.wave import (
    Light,
    contrast_defocus,
    cutoff_frequency,
    defocus_waves,
    defocused_otf,
    image_contrast,
    pixel_mtf,
    white_light,
)

RELATIVE = (0.02, 0.1, 0.25, 0.5, 0.75, 0.95, 0.999)
WAVES = (0.0, 0.25, 0.5, 1.0, 2.5, 5.0, 7.0, 10.0)


@pytest.mark.parametrize(
    ("relative_frequency", "contrast", "tolerance"),
    [
        (0.5, 0.391, 1e-3),  # documentation of a Rust optics crate quoting optics texts (seen)
        (0.4, 0.5, 2e-2),  # W. J. Smith, 1997, curve on p. 120 as a forum post describes it, "about 40 %" (seen)
        (0.4040, 0.5, 2e-4),  # the closed form of J. W. Goodman, Introduction to Fourier Optics, 6.4 (memory), solved
        (0.8054, 0.1, 5e-4),  # the same
    ],
)
def test_contrast_in_focus_is_as_published(relative_frequency: float, contrast: float, tolerance: float) -> None:
    assert float(defocused_otf(relative_frequency, 0.0)) == pytest.approx(contrast, rel=tolerance)


@pytest.mark.parametrize(("contrast", "share"), [(0.5, 0.4040), (0.1, 0.8054)])  # as above
def test_the_share_of_the_cut_off_that_keeps_a_contrast(contrast: float, share: float) -> None:
    assert brentq(lambda v: float(defocused_otf(v, 0.0)) - contrast, 0, 1) == pytest.approx(share, abs=5e-5)


def test_lines_at_rayleighs_distance_keep_nine_per_cent() -> None:
    """0.0892 is the closed form at 1/1.21967 of the cut-off; "about 9 %" is common in print (memory)."""
    rayleigh = 1000 / sensor_resolution_um(8.0, 550.0)
    share = rayleigh / float(cutoff_frequency(8.0, 550.0))
    assert share == pytest.approx(0.81989, abs=5e-6)
    assert float(defocused_otf(share, 0.0)) == pytest.approx(0.0892, abs=5e-5)


def test_the_integral_in_focus_is_goodmans_closed_form() -> None:
    """(2/pi) (phi - cos phi sin phi), cos phi the frequency over cut-off: Goodman, section 6.4 (memory)."""
    phi = np.arccos(np.linspace(0, 1, 501))
    closed = 2 / np.pi * (phi - np.cos(phi) * np.sin(phi))
    assert defocused_otf(np.cos(phi), 0.0) == pytest.approx(closed, abs=1e-12)


def test_nothing_is_left_from_the_cut_off_on() -> None:
    assert defocused_otf(np.array([1.0, 1.5, 40.0]), 2.0) == pytest.approx([0, 0, 0], abs=1e-15)
    assert float(cutoff_frequency(8.0, 500.0)) == pytest.approx(250)  # 1/(lambda N) = 1/(0.0005 mm x 8)


def wavefront(x: Any, y: Any, waves: float) -> Any:
    """Wavefront error of defocus over the unit pupil, in waves."""
    return waves * (x * x + y * y)


def by_pupil_grid(waves: float, half_width: int = 400) -> npt.NDArray[np.float64]:
    """OTF at k/(2 half_width) of the cut-off: autocorrelation, along x, of a pupil laid out in small squares.

    Its edge is in steps, which is what limits it.
    """
    middles = (np.arange(-half_width, half_width) + 0.5) / half_width
    x, y = np.meshgrid(middles, middles)
    pupil = np.where(x * x + y * y <= 1, np.exp(2j * np.pi * wavefront(x, y, waves)), 0)
    spectrum = fft(pupil, 4 * half_width, axis=1)
    correlation = ifft((np.abs(spectrum) ** 2).sum(axis=0))
    assert correlation.imag == pytest.approx(0, abs=1e-3 * correlation[0].real)
    return np.asarray((correlation.real / correlation[0].real)[: 2 * half_width])


@pytest.mark.parametrize("waves", WAVES)
def test_defocused_contrast_is_the_autocorrelation_of_the_pupil(waves: float) -> None:
    found = by_pupil_grid(waves)
    relative = np.arange(len(found)) / len(found)
    assert defocused_otf(relative, waves) == pytest.approx(found, abs=1e-3)


def by_quadrature(relative_frequency: float, waves: float) -> float:
    """Overlap of two pupils shifted apart along x, weighted by the difference of their wavefronts: a quarter of it, in 2-D."""
    v = relative_frequency

    def beat(y: float, x: float) -> float:
        return math.cos(2 * math.pi * (wavefront(x + v, y, waves) - wavefront(x - v, y, waves)))

    def edge(x: float) -> float:
        return math.sqrt(max(1 - (x + v) ** 2, 0.0))

    overlap, _ = dblquad(beat, 0, 1 - v, 0, edge, epsabs=1e-10, epsrel=1e-10)
    return float(4 * overlap / math.pi)


@pytest.mark.parametrize("waves", WAVES)
@pytest.mark.parametrize("relative_frequency", RELATIVE)
def test_defocused_contrast_is_the_overlap_integral(relative_frequency: float, waves: float) -> None:
    expected = by_quadrature(relative_frequency, waves)
    assert float(defocused_otf(relative_frequency, waves)) == pytest.approx(expected, abs=2e-8)


@pytest.mark.parametrize("waves", [10.1, 12.0, 15.0, 20.3, 30.0, 40.7, 80.0])
@pytest.mark.parametrize("v", [0.2, 0.5, 0.8])
def test_the_integral_across_the_shift_is_taken_finely_enough_however_the_phase_turns(v: float, waves: float) -> None:
    """The integral by adaptive quadrature, on either side of where the nodes are doubled."""

    def integrand(t: float) -> float:
        chord = math.cos(t) - v
        return float(chord * np.sinc(8 * waves * v * chord) * math.cos(t))

    expected = 4 / math.pi * quad(integrand, 0, math.acos(v), epsabs=1e-12, limit=2000)[0]
    assert float(defocused_otf(v, waves)) == pytest.approx(expected, abs=2e-8)


def test_many_waves_of_defocus_tend_to_the_blur_disk_of_geometry() -> None:
    """2 J1(a)/a of a uniform disk, a = 8 pi w v (1 - v) for low frequencies: Hopkins 1955 (memory)."""
    v, waves = 0.002, np.linspace(1, 200, 100)
    a = 8 * np.pi * waves * v * (1 - v)
    assert defocused_otf(v, waves) == pytest.approx(2 * j1(a) / a, abs=4e-3)


@pytest.mark.parametrize(("waves", "most"), [(300.0, 1e-3), (510.0, 1e-3), (1e3, 0.0), (1e5, 0.0)])
@pytest.mark.parametrize("relative_frequency", [0.2, 0.5, 0.8])
def test_of_hundreds_of_waves_nothing_is_left(relative_frequency: float, waves: float, most: float) -> None:
    """From a phase of 2048 rad on, 8 pi w v (1 - v), it is taken for none."""
    assert abs(float(defocused_otf(relative_frequency, waves))) <= most


@pytest.mark.parametrize("light", [Light.of((550.0,)), white_light()], ids=["green", "white"])
@pytest.mark.parametrize(("frequency", "effective"), [(5.0, 4.0), (20.0, 4.0), (40.0, 8.0), (60.0, 16.0), (10.0, 64.0)])
@pytest.mark.parametrize("contrast", [0.05, 0.3])
def test_the_defocus_that_keeps_a_contrast_is_where_it_first_falls_below(
    frequency: float, effective: float, contrast: float, light: Light
) -> None:
    found = float(contrast_defocus(frequency, contrast, effective, light))
    assert float(image_contrast(frequency, found, effective, light)) == pytest.approx(contrast, abs=1e-9)
    assert np.all(image_contrast(frequency, np.linspace(0, found * (1 - 1e-9), 500), effective, light) >= contrast)


def peak(waves: float) -> float:
    """Peak of a point's image over that in focus: the volume under the transfer function."""
    volume, in_focus = (
        quad(lambda v, w=w: v * float(defocused_otf(v, w)), 0, 1, epsabs=1e-10)[0] for w in (waves, 0.0)
    )
    return float(volume / in_focus)


@pytest.mark.parametrize(("waves", "published", "tolerance"), [(0.25, 0.81, 1e-3), (1.0, 0.0, 1e-8)])
def test_the_peak_of_a_points_image_falls_as_published(waves: float, published: float, tolerance: float) -> None:
    """0.81 at a quarter wave, nothing at one: M. Born and E. Wolf, Principles of Optics, 8.8 and 9.1 (memory)."""
    assert peak(waves) == pytest.approx(published, abs=tolerance)


@pytest.mark.parametrize("waves", [0.1, 0.25, 0.5, 1.0, 1.7])
def test_the_peak_of_a_points_image_is_a_sine_over_its_angle_squared(waves: float) -> None:
    """(sin x / x)^2 with x = pi times the waves of defocus: M. Born and E. Wolf, Principles of Optics, 8.8 (memory)."""
    x = math.pi * waves
    assert peak(waves) == pytest.approx((math.sin(x) / x) ** 2, abs=1e-8)


def test_a_quarter_wave_is_two_lambda_n_squared_of_the_sensor() -> None:
    """Born and Wolf, 8.8 (memory); at N = 4.545 and 550 nm +-0.0227227 mm (photomacrography forum: in all 0.045445455)."""
    assert float(defocus_waves(0.045445455 / 2, 4.545, 550.0)) == pytest.approx(0.25, rel=1e-6)


def test_the_first_dark_ring_is_the_first_zero_of_j1_and_holds_84_per_cent() -> None:
    """1 - J0^2 - J1^2 within a radius: Lord Rayleigh 1881, in Born and Wolf, 8.5.2, with 83.8 % for the first ring (memory)."""
    radius = math.pi / 2 * AIRY_DIAMETER
    assert radius == pytest.approx(jn_zeros(1, 1)[0], rel=1e-10)
    assert 1 - j0(radius) ** 2 - j1(radius) ** 2 == pytest.approx(0.838, abs=5e-4)


def test_white_light_is_weighted_as_the_eye_sees() -> None:
    """CIE 1924 photopic luminous efficiency at five wavelengths, nm (memory)."""
    photopic = {470: 0.09098, 510: 0.5030, 550: 0.99495, 590: 0.7570, 630: 0.2650}
    light = white_light()
    assert light.wavelengths_nm == tuple(photopic)
    assert light.weights == pytest.approx([seen / sum(photopic.values()) for seen in photopic.values()], rel=1e-3)


@pytest.mark.parametrize(("pitch_um", "fill"), [(3.9, 1.0), (6.0, 0.5), (2.4, 0.9)])
@pytest.mark.parametrize("frequency", [1.0, 40.0, 128.0, 300.0])
def test_pixels_average_over_their_width(frequency: float, pitch_um: float, fill: float) -> None:
    half = pitch_um * fill / 2000
    mean = quad(lambda x: math.cos(2 * math.pi * frequency * x), -half, half, epsabs=1e-13)[0] / (2 * half)
    assert float(pixel_mtf(frequency, pitch_um, fill)) == pytest.approx(abs(mean), abs=1e-9)


def test_full_pixels_leave_64_per_cent_at_nyquist() -> None:
    """2/pi: G. D. Boreman, Modulation Transfer Function in Optical and Electro-Optical Systems (memory)."""
    assert float(pixel_mtf(500 / 3.9, 3.9)) == pytest.approx(2 / math.pi)


def test_the_best_aperture_is_hansmas() -> None:
    """N = sqrt(375 D), D mm the spread of focus: P. Hansma, Photo Techniques, March/April 1996 (memory), to 1 %."""
    coefficient = optimum_effective_f_number(1.0, 1.0, 550.0, POINT) ** 2
    assert coefficient == pytest.approx(375, rel=0.01)
    assert coefficient == pytest.approx(372.7, abs=0.05)  # 1 / (2 x 2.43934 x 550 nm), by hand
    spread = 2.0 * 3.0**2  # a subject 2 mm deep at 3:1
    assert optimum_effective_f_number(2.0, 3.0, 550.0, POINT) == pytest.approx(math.sqrt(375 * spread), rel=0.005)


@pytest.mark.parametrize(
    ("numerical_aperture", "depth_um"),
    [
        # Table of lambda / NA^2 in a thread of a photomacrography forum (seen).
        (0.1, 55.0),
        (0.14, 28.1),
        (0.28, 7.02),
        (0.42, 3.12),
        (0.55, 1.82),
        (0.75, 0.98),
        (0.25, 8.8),  # also D. B. Murphy, Fundamentals of Light Microscopy, p. 90 (formula seen)
    ],
)
@pytest.mark.parametrize("magnification", [1.0, 5.0, 20.0])
def test_the_quarter_wave_depth_is_as_published(
    magnification: float, numerical_aperture: float, depth_um: float
) -> None:
    effective = magnification / (2 * numerical_aperture)
    assert 2000 * wave_half_depth(effective, magnification, 550.0) == pytest.approx(depth_um, rel=3e-3)


@pytest.mark.parametrize(("model", "total_um"), [("geometric", 8.6), ("wave", 28.1), ("combined", 36.6)])
def test_the_models_differ_as_microscopists_reckon(api: FlaskClient, model: str, total_um: float) -> None:
    """lambda/NA^2 + e/(M NA), by hand for 5x, NA 0.14, blur 6 um: teaching pages on depth of field (excerpts seen)."""
    fields = {"magnification": 5, "f_number": 5 / 0.28 / 6, "pupil_magnification": 1, "circle_of_confusion_mm": 0.006}
    answer = answered(api, "/v1/depth-of-field", fields | {"model": model})
    assert 1000 * answer["total_mm"] == pytest.approx(total_um, abs=0.06)
    assert answer["effective_f_number"] == pytest.approx(5 / 0.28)


# ISO 517, Photography - Apertures and related properties pertaining to photographic lenses (memory): engraved, exact.
FULL = {1: 1, 1.4: 1.41421, 2: 2, 2.8: 2.82843, 4: 4, 5.6: 5.65685, 8: 8, 11: 11.3137, 16: 16, 22: 22.6274, 32: 32}
HALF = {1.2: 1.18921, 1.7: 1.68179, 2.4: 2.37841, 3.3: 3.36359, 4.8: 4.75683, 6.7: 6.72717, 9.5: 9.51366, 13: 13.45434}
THIRD = {1.1: 1.12246, 1.6: 1.58740, 1.8: 1.78180, 2.5: 2.51984, 3.5: 3.56359, 6.3: 6.34960, 7.1: 7.12719, 9: 8.97970}
SERIES = {"full": FULL, "half": FULL | HALF, "third": FULL | THIRD}


@pytest.mark.parametrize("series", SERIES)
def test_engraved_apertures_stand_for_exact_powers_of_two(series: str) -> None:
    marks = {mark.nominal: mark.exact for mark in marks_of_ring(series, 1, 32)}
    assert {nominal: marks[nominal] for nominal in SERIES[series]} == pytest.approx(SERIES[series], rel=3e-6)


@pytest.mark.parametrize(("series", "steps"), [("full", 1), ("half", 2), ("third", 3)])
def test_marks_are_equally_spaced_and_engraved_nearest_to_what_they_stand_for(series: str, steps: int) -> None:
    marks = marks_of_ring(series, 0.5, 256)
    exact = np.array([mark.exact for mark in marks])
    assert exact[1:] / exact[:-1] == pytest.approx(2 ** (0.5 / steps), rel=1e-12)
    assert (exact[0], exact[-1]) == pytest.approx((0.5, 256))
    for mark in marks:
        assert min(exact, key=lambda number: abs(math.log(number / mark.nominal))) == mark.exact


@pytest.mark.parametrize("series", SERIES)
def test_a_ring_keeps_the_engraved_numbers_at_both_its_ends(series: str) -> None:
    marks = marks_of_ring(series, 2.8, 22)
    assert (marks[0].nominal, marks[-1].nominal) == (2.8, 22)
