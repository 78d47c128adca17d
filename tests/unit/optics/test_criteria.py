"""What counts as sharp and what limits detail, case by case."""

from typing import Any

import numpy as np
import pytest

from closeup_service.optics.arithmetic import POINT
from closeup_service.optics.diffraction import MATCHED, OVERSAMPLED, UNDERSAMPLED, fill_fraction, sampling
from closeup_service.optics.sharpness import Criterion
from closeup_service.optics.wave import Light, pixel_mtf
from closeup_service.set_ups.criterion import blur_of, criterion_of


@pytest.mark.parametrize("known", [{"sensor_width_mm": 36.0}, {"sensor_height_mm": 24.0}, {}])
def test_without_both_sides_of_the_sensor_no_blur_is_assumed(known: Any) -> None:
    assumed: Any = {}
    assert blur_of(known, assumed) is None
    assert not assumed


def test_the_assumed_blur_is_a_fifteen_hundredth_of_the_diagonal() -> None:
    assumed: Any = {}
    assert blur_of({"sensor_width_mm": 30.0, "sensor_height_mm": 40.0}, assumed) == pytest.approx(50 / 1500)
    assert assumed == {"circle_of_confusion_mm": pytest.approx(50 / 1500)}


def test_what_is_stated_is_not_assumed() -> None:
    assumed: Any = {}
    stated: Any = {"circle_of_confusion_mm": 0.02, "wavelength_nm": 500.0, "contrast": 0.4, "light": "white"}
    found = criterion_of(stated, "contrast", assumed)
    assert (found.blur_mm, found.wavelength_nm, found.contrast, len(found.light.weights)) == (0.02, 500.0, 0.4, 5)
    assert not assumed
    assert criterion_of({}, None, assumed).model == "combined"
    assert assumed == {"model": "combined", "wavelength_nm": 550.0}


@pytest.mark.parametrize(
    ("resolved_over_two_pixels", "cutoff", "verdict"),
    [
        (0.9995, 1e6, UNDERSAMPLED),
        (1.0005, 1e6, MATCHED),
        (1.0005, 100.0001, MATCHED),
        (1.0005, 100.0, OVERSAMPLED),
        (1.0005, 99.0, OVERSAMPLED),
    ],
)
def test_pixels_limit_up_to_rayleighs_distance_and_diffraction_from_the_cut_off(
    resolved_over_two_pixels: float, cutoff: float, verdict: str
) -> None:
    """Pixels of 5 um carry 100 lp/mm."""
    assert sampling(cutoff, 10.0 * resolved_over_two_pixels, 5.0, POINT) == verdict


@pytest.mark.parametrize(("resolved_um", "share"), [(8.0, 1.0), (10.0, 1.0), (20.0, 0.25), (100.0, 0.01)])
def test_the_image_fills_pixels_of_half_the_resolved_distance(resolved_um: float, share: float) -> None:
    assert fill_fraction(resolved_um, 5.0, POINT) == pytest.approx(share)


def test_pixels_that_are_sensitive_all_over_are_assumed() -> None:
    assert float(pixel_mtf(100.0, 5.0)) == pytest.approx(2 / np.pi)
    assert float(pixel_mtf(100.0, 5.0, 0.5)) == pytest.approx(2 * np.sqrt(2) / np.pi)


def test_pixels_carry_nothing_beyond_the_finest_detail_they_can() -> None:
    """Where they are not known they take nothing."""
    light = Light.of((550.0,))
    fine = Criterion("contrast", None, 550.0, light, pixel_pitch_um=5.0)
    assert float(fine.pixels(100.0)) == pytest.approx(2 / np.pi)
    assert float(fine.pixels(100.001)) == 0.0
    assert Criterion("contrast", None, 550.0, light).pixels(1e4) == 1.0
