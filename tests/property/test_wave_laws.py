"""Laws of defocus and diffraction together, and of what counts as sharp."""

import math
from typing import TYPE_CHECKING, Any, cast

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from closeup_service.operations.set_up.optimum_aperture import operation as optimum_aperture
from closeup_service.optics.arithmetic import POINT
from closeup_service.optics.diffraction import optimum_effective_f_number
from closeup_service.optics.errors import ContrastUnattainable
from closeup_service.optics.formulas import airy_diameter_um
from closeup_service.optics.wave import (
    Light,
    contrast_defocus,
    cutoff_frequency,
    defocused_otf,
    image_contrast,
    white_light,
)
from closeup_service.set_ups.criterion import criterion_of
from thoroughness import up_to

if TYPE_CHECKING:
    from closeup_service.records import requests

ONE_WAVELENGTH = Light.of((550.0,))
LIGHTS = st.sampled_from([ONE_WAVELENGTH, Light.of((450.0,)), Light.of((480.0, 620.0), (1.0, 3.0)), white_light()])
RELATIVE = st.floats(0.002, 0.998)
WAVES = st.floats(0.0, 10.0)
CONTRASTS = st.floats(0.01, 0.99)
EFFECTIVE = st.floats(0.5, 200.0)
MAGNIFICATIONS = st.floats(0.1, 20.0)

slow = settings(max_examples=up_to(30), deadline=None)


def on_sensor(relative: Any, effective: float) -> Any:
    """Frequency [lp/mm] from its share of the cut-off at 550 nm."""
    return relative * float(cutoff_frequency(effective, 550.0))


def in_focus(frequency: float, effective: float, light: Light) -> float:
    return float(image_contrast(frequency, 0.0, effective, light))


@given(RELATIVE, WAVES)
def test_defocus_never_adds_contrast(relative: float, waves: float) -> None:
    assert abs(float(defocused_otf(relative, waves))) <= float(defocused_otf(relative, 0.0)) + 1e-12


@given(RELATIVE, WAVES)
def test_focus_too_near_and_too_far_blur_alike(relative: float, waves: float) -> None:
    assert float(defocused_otf(relative, -waves)) == float(defocused_otf(relative, waves))


@given(RELATIVE)
def test_contrast_falls_steadily_to_its_first_zero_as_defocus_grows(relative: float) -> None:
    phases = np.linspace(0, 8, 400)  # of the beat between the pupils, in rad; the zero lies between 3.8 and 4.6
    otf = defocused_otf(relative, phases / (8 * np.pi * relative * (1 - relative)))
    lost = int(np.argmax(otf <= 0))
    assert 3.8 < phases[lost] < 4.6
    assert (np.diff(otf[: lost + 1]) < 0).all()


@slow
@given(RELATIVE, CONTRASTS, EFFECTIVE, LIGHTS)
def test_the_contrast_at_the_defocus_found_is_the_contrast_asked_and_nowhere_less_before(
    relative: float, contrast: float, effective: float, light: Light
) -> None:
    frequency = on_sensor(relative, effective)
    assume(in_focus(frequency, effective, light) >= contrast)
    defocus = float(contrast_defocus(frequency, contrast, effective, light))
    assert float(image_contrast(frequency, defocus, effective, light)) == pytest.approx(contrast, abs=1e-9)
    before = image_contrast(frequency, np.linspace(0, defocus, 300), effective, light)
    assert (before >= contrast - 1e-12).all()


@slow
@given(st.floats(0.002, 1.5), CONTRASTS, EFFECTIVE, LIGHTS)
def test_no_defocus_is_found_exactly_where_even_focus_leaves_too_little(
    relative: float, contrast: float, effective: float, light: Light
) -> None:
    frequency = on_sensor(relative, effective)
    best = in_focus(frequency, effective, light)
    defocus = float(contrast_defocus(frequency, contrast, effective, light))
    assert math.isnan(defocus) == (best < contrast)


@slow
@given(st.lists(st.tuples(st.floats(0.002, 1.5), CONTRASTS, EFFECTIVE), min_size=1, max_size=5), LIGHTS)
def test_many_details_at_once_give_what_each_gives_alone(rows: list[tuple[float, float, float]], light: Light) -> None:
    relative, contrast, effective = (np.array(column) for column in zip(*rows, strict=True))
    frequency = relative * cutoff_frequency(effective, 550.0)
    together = contrast_defocus(frequency, contrast, effective, light)
    alone = [float(contrast_defocus(f, c, n, light)) for f, c, n in zip(frequency, contrast, effective, strict=True)]
    assert together == pytest.approx(alone, rel=1e-12, nan_ok=True)


def depth_grows(relative: tuple[float, float], contrast: float) -> bool:
    """Whether the finer of two details keeps the contrast over more defocus; neither lost even in focus."""
    coarse, fine = contrast_defocus(on_sensor(np.array(sorted(relative)), 8.0), contrast, 8.0, ONE_WAVELENGTH)
    return bool(fine > coarse)


@slow
@given(st.floats(0.01, 0.49), st.floats(0.001, 0.3), CONTRASTS)
def test_up_to_half_the_cut_off_finer_detail_has_less_depth(low: float, step: float, contrast: float) -> None:
    assert not depth_grows((low, min(low + step, 0.5)), contrast)


@slow
@given(st.floats(0.01, 0.8), st.floats(0.001, 0.3), st.floats(0.1, 0.99))
def test_with_a_tenth_of_contrast_or_more_finer_detail_has_less_depth_throughout(
    low: float, step: float, contrast: float
) -> None:
    assert not depth_grows((low, low + step), contrast)


def test_near_the_cut_off_the_depth_for_a_trace_of_contrast_grows_again() -> None:
    """The first zero lies at defocus in proportion to 1/(v (1 - v)): least at half the cut-off."""
    assert depth_grows((0.55, 0.85), 0.01)


@slow
@given(st.floats(0.01, 0.9), st.floats(0.1, 0.99), EFFECTIVE)
def test_the_depth_in_white_light_lies_between_those_of_its_wavelengths(
    relative: float, contrast: float, effective: float
) -> None:
    """From a tenth of contrast on: more than that never comes back after the first zero."""
    frequency, white = on_sensor(relative, effective), white_light()
    single = [
        float(contrast_defocus(frequency, contrast, effective, Light.of((wavelength,))))
        for wavelength in white.wavelengths_nm
    ]
    assume(not any(map(math.isnan, single)))
    found = float(contrast_defocus(frequency, contrast, effective, white))
    assert min(single) * (1 - 1e-9) <= found <= max(single) * (1 + 1e-9)


@given(RELATIVE, WAVES, EFFECTIVE)
def test_the_contrast_in_white_light_lies_between_those_of_its_wavelengths(
    relative: float, waves: float, effective: float
) -> None:
    frequency, white = on_sensor(relative, effective), white_light()
    defocus = waves * 8 * effective * effective * 550e-6
    single = [
        float(image_contrast(frequency, defocus, effective, Light.of((wavelength,))))
        for wavelength in white.wavelengths_nm
    ]
    assert min(single) - 1e-12 <= float(image_contrast(frequency, defocus, effective, white)) <= max(single) + 1e-12


@st.composite
def subjects(draw: st.DrawFn, least: float, greatest: float) -> tuple[Any, float, float]:
    """A deep subject, and two details: shares of the cut-off at the closed form's aperture, the coarser first."""
    m, depth, pupils = draw(MAGNIFICATIONS), draw(st.floats(0.01, 10)), draw(st.floats(0.4, 2.5))
    asked = {
        "mounting": draw(st.sampled_from(["normal", "reversed"])),
        "magnification": m,
        "subject_depth_mm": depth,
        "pupil_magnification": pupils,
        "light": draw(st.sampled_from(["one-wavelength", "white"])),
        "aperture_series": "third",
        "least_f_number": 1.4,
        "greatest_f_number": 256.0,
    }
    unit = float(cutoff_frequency(optimum_effective_f_number(depth, m, 550.0, POINT), 550.0))
    shares = sorted((draw(st.floats(least, greatest)), draw(st.floats(least, greatest))))
    return asked, shares[0] * unit, shares[1] * unit


def best_mark(asked: Any, detail: float) -> float:
    answer = optimum_aperture.answer(
        cast("requests.OptimumApertureRequest", asked | {"sensor_detail_lp_per_mm": detail})
    )
    assume("best" in answer)
    return float(answer["best"]["nominal_f_number"])


@slow
@given(subjects(0.35, 1.0))
def test_the_best_aperture_opens_up_as_detail_gets_finer(drawn: tuple[Any, float, float]) -> None:
    """From a third of the cut-off at the closed form's aperture on; to 1, where only 6 % of contrast is left."""
    asked, coarse, fine = drawn
    assert best_mark(asked, fine) <= best_mark(asked, coarse)


@slow
@given(subjects(0.005, 0.28))
def test_for_coarse_detail_it_is_the_other_way(drawn: tuple[Any, float, float]) -> None:
    """Diffraction takes contrast in proportion to detail, defocus with its square: the coarsest is best wider open."""
    asked, coarse, fine = drawn
    assert best_mark(asked, coarse) <= best_mark(asked, fine)


@given(MAGNIFICATIONS, EFFECTIVE, st.floats(0.001, 0.1), st.floats(380, 1000))
def test_the_combined_depth_is_the_geometric_and_the_wave_depth(
    m: float, effective: float, blur: float, wavelength: float
) -> None:
    members: Any = {"circle_of_confusion_mm": blur, "wavelength_nm": wavelength}
    half: Any = {
        model: criterion_of(members, model, {}).half_depth(effective, m, POINT)
        for model in ("geometric", "wave", "combined")
    }
    assert half["combined"] == pytest.approx(half["geometric"] + half["wave"], rel=1e-15)
    assert half["wave"] == pytest.approx(
        airy_diameter_um(effective, wavelength) * effective / m / m / 1219.67, rel=1e-5
    )


@slow
@given(RELATIVE, CONTRASTS, EFFECTIVE, MAGNIFICATIONS, st.floats(1, 10), st.floats(0.1, 1))
def test_the_contrast_model_keeps_the_contrast_through_the_pixels_or_refuses(
    relative: float, contrast: float, effective: float, m: float, pitch: float, fill: float
) -> None:
    frequency = on_sensor(relative, effective)
    members: Any = {
        "subject_detail_lp_per_mm": frequency * m,
        "contrast": contrast,
        "pixel_pitch_um": pitch,
        "pixel_fill": fill,
    }
    criterion = criterion_of(members, "contrast", {})
    best = float(criterion.contrast_at(frequency, 0.0, effective))
    assume(abs(best - contrast) > 1e-9)
    if best < contrast:
        with pytest.raises(ContrastUnattainable):
            criterion.half_depth(effective, m, POINT)
        return
    half_depth: Any = criterion.half_depth(effective, m, POINT)
    assert float(criterion.contrast_at(frequency, half_depth * m * m, effective)) == pytest.approx(contrast, abs=1e-8)


@given(st.floats(1, 100), st.floats(10, 20000), st.floats(0.2, 10))
def test_a_print_seen_from_its_own_width_asks_for_a_blur_that_does_not_know_its_size(
    sensor: float, width: float, acuity: float
) -> None:
    members: Any = {
        "sensor_width_mm": sensor,
        "sensor_height_mm": sensor,
        "print_width_mm": width,
        "acuity_arcmin": acuity,
    }
    assumed: Any = {}
    blur: Any = criterion_of(members, "geometric", assumed).blur_mm
    assert blur == pytest.approx(sensor * math.radians(acuity / 60), rel=1e-12)
    assert assumed["viewing_distance_mm"] == width


@given(st.floats(1, 100), st.floats(10, 20000), st.floats(50, 50000), st.floats(0.2, 10))
def test_the_blur_on_the_print_subtends_the_acuity(sensor: float, width: float, distance: float, acuity: float) -> None:
    members: Any = {
        "sensor_width_mm": sensor,
        "sensor_height_mm": sensor,
        "print_width_mm": width,
        "viewing_distance_mm": distance,
        "acuity_arcmin": acuity,
    }
    blur: Any = criterion_of(members, "geometric", {}).blur_mm
    assert math.degrees(blur * width / sensor / distance) * 60 == pytest.approx(acuity, rel=1e-12)
