"""Contrast by diffraction and defocus against the physical-optics package `prysm`, an independent numerical engine.

It lays the pupil on a square grid, transforms it to the image of a point, and that to the transfer function. The steps of
its round pupil's edge leave it some 1e-4 to 2e-4 off.
"""

import warnings
from functools import cache

import numpy as np
import numpy.typing as npt
import pytest

from closeup_service.optics.wave import cutoff_frequency, defocused_otf

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from prysm.coordinates import cart_to_polar, make_xy_grid
    from prysm.geometry import circle
    from prysm.otf import mtf_from_psf
    from prysm.propagation import Wavefront

SAMPLES, OVERSAMPLING = 512, 4
DIAMETER_MM, EFFECTIVE, WAVELENGTH_NM = 10.0, 8.0, 550.0


@cache
def by_package(waves: float) -> tuple[npt.NDArray[np.float64], npt.NDArray[np.float64]]:
    """Frequencies over cut-off and the contrast there, along one axis of the image."""
    x, y = make_xy_grid(SAMPLES, diameter=DIAMETER_MM)
    radius, _ = cart_to_polar(x, y)
    aperture = circle(DIAMETER_MM / 2, radius)
    relative = radius / (DIAMETER_MM / 2)
    path_nm = waves * WAVELENGTH_NM * relative * relative
    spacing = x[0, 1] - x[0, 0]
    pupil = Wavefront.from_amp_and_phase(aperture, path_nm, WAVELENGTH_NM / 1000, spacing)
    image = pupil.focus(EFFECTIVE * DIAMETER_MM, Q=OVERSAMPLING).intensity
    contrast = mtf_from_psf(image.data, dx=image.dx)
    middle = contrast.data.shape[0] // 2
    steps = np.arange(contrast.data.shape[1] - middle)
    cutoff = float(cutoff_frequency(EFFECTIVE, WAVELENGTH_NM))
    return steps * contrast.dx / cutoff, contrast.data[middle, middle:]


@pytest.mark.parametrize("waves", [0, 0.25, 1, 3, 5, 10])
def test_the_contrast_of_a_defocused_pupil_is_that_of_the_package(waves: float) -> None:
    relative, contrast = by_package(waves)
    inside = relative <= 1
    assert np.count_nonzero(inside) > 100
    assert np.abs(defocused_otf(relative[inside], waves)) == pytest.approx(contrast[inside], abs=5e-4)
