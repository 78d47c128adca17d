"""What counts as sharp: a named model with its criterion, and the half depth that it gives."""

from __future__ import annotations

from math import pi
from typing import Any, Generic, overload

import numpy as np
from msgspec import Struct

from closeup_service.language import mark
from closeup_service.optics.arithmetic import Arithmetic, Condition, FloatArray, R, Real
from closeup_service.optics.depth import (
    combined_half_depth,
    defocus_half_depth,
    geometric_half_depth,
    wave_half_depth,
)
from closeup_service.optics.diffraction import nyquist_frequency
from closeup_service.optics.errors import ContrastUnattainable
from closeup_service.optics.formulas import diagonal
from closeup_service.optics.wave import Light, contrast_defocus, image_contrast, pixel_mtf

MODELS = ("combined", "geometric", "wave", "contrast")
"""The first is assumed when none is asked for; DEVELOPERS.md has the evidence."""

WAVELENGTH_NM = 550.0
CONTRAST = 0.3
"""Contrast asked of the detail when none is stated (common practice, no source)."""

BLUR_PER_DIAGONAL = 1 / 1500
"""Blur accepted when none is stated, over the sensor's diagonal (common practice, no source)."""

ACUITY_ARCMIN = 2.0
"""Angle of the least blur a viewer notices in a print, when none is stated (common practice, no source)."""

VANISHING = 1e-3
"""Contrast that counts as none."""

ROUNDING = 1e-9
RADIANS_PER_ARCMIN = pi / 180 / 60


class Criterion(Struct, Generic[R], frozen=True):
    """A model of sharpness and what it is measured by; None where the request leaves it open.

    `blur_mm` is a diameter on the sensor; `sensor_detail` and `subject_detail` are line pairs per mm, at most one given;
    `pixel_pitch_um` counts only where it is not None.
    """

    model: str
    blur_mm: R | None
    wavelength_nm: R
    light: Light
    sensor_detail: R | None = None
    subject_detail: R | None = None
    contrast: R = CONTRAST
    pixel_pitch_um: R | None = None
    pixel_fill: R = 1.0

    @overload
    def frequency(self, magnification: R) -> R | None: ...

    @overload
    def frequency(self, magnification: Real) -> Real | None: ...

    def frequency(self, magnification: Real) -> Real | None:
        """Frequency of the detail on the sensor, lp/mm.

        Parameters
        ----------
        magnification : float or array, sensor/subject

        Returns
        -------
        float or array or None, lp/mm
        """
        if self.subject_detail is not None:
            return self.subject_detail / magnification
        return self.sensor_detail

    def pixels(self, frequency: Real) -> Real:
        """Share of the contrast that the pixels leave: none beyond what they can carry, all where they are unknown.

        Parameters
        ----------
        frequency : float or array, on the sensor, lp/mm

        Returns
        -------
        float or array, ratio
        """
        if self.pixel_pitch_um is None:
            return 1.0
        left = pixel_mtf(frequency, self.pixel_pitch_um, self.pixel_fill)
        return np.where(frequency <= nyquist_frequency(self.pixel_pitch_um) * (1 + ROUNDING), left, 0.0)

    def contrast_at(self, frequency: Real, defocus_mm: Real, effective: Real) -> Real:
        """Contrast of a detail on the sensor, pixels included, with the sensor so far from focus.

        Parameters
        ----------
        frequency : float or array, on the sensor, lp/mm
        defocus_mm : float or array, sensor to best focus, mm
        effective : float or array, effective f-number

        Returns
        -------
        float or array, contrast, ratio
        """
        return self.optics_contrast(frequency, defocus_mm, effective) * self.pixels(frequency)

    def optics_contrast(self, frequency: Real, defocus_mm: Real, effective: Real) -> FloatArray:
        """Contrast of a detail on the sensor that diffraction and defocus leave.

        Parameters
        ----------
        frequency : float or array, on the sensor, lp/mm
        defocus_mm : float or array, sensor to best focus, mm
        effective : float or array, effective f-number

        Returns
        -------
        array, contrast, ratio
        """
        return image_contrast(frequency, defocus_mm, effective, self.light)

    def contrast_at_ends(self, frequency: Real, defocus_mm: Real, effective: Real) -> tuple[Real, Condition]:
        """Contrast of a detail on the sensor at the ends of a depth, and whether it has not yet fallen to none there.

        Parameters
        ----------
        frequency : float or array, on the sensor, lp/mm
        defocus_mm : float or array, sensor to best focus, mm
        effective : float or array, effective f-number

        Returns
        -------
        float or array, contrast, ratio; bool or array
        """
        vanishes = contrast_defocus(frequency, VANISHING, effective, self.light)
        return self.contrast_at(frequency, defocus_mm, effective), defocus_mm <= vanishes

    @overload
    def half_depth(self, effective: R, magnification: R, arithmetic: Arithmetic[R]) -> R | None: ...

    @overload
    def half_depth(self, effective: Real, magnification: Real, arithmetic: Arithmetic[Real]) -> Real | None: ...

    def half_depth(self, effective: Real, magnification: Real, arithmetic: Arithmetic[Any]) -> Real | None:
        """Half depth on the subject's side, mm; None where the model's measure is not known.

        Parameters
        ----------
        effective : float or array, effective f-number
        magnification : float or array, sensor/subject

        Returns
        -------
        float or array or None, mm

        Raises
        ------
        ContrastUnattainable
            Where the detail does not have the contrast asked of it even in best focus.
        """
        if self.model == "wave":
            return wave_half_depth(effective, magnification, self.wavelength_nm)
        if self.model == "contrast":
            return self._contrast_half_depth(effective, magnification, arithmetic)
        if self.blur_mm is None:
            return None
        if self.model == "geometric":
            return geometric_half_depth(effective, magnification, self.blur_mm)
        return combined_half_depth(effective, magnification, self.blur_mm, self.wavelength_nm)

    def _contrast_half_depth(
        self, effective: Real, magnification: Real, arithmetic: Arithmetic | Arithmetic[Real]
    ) -> Real | None:
        frequency = self.frequency(magnification)
        if frequency is None:
            return None
        pixels = self.pixels(frequency)
        with np.errstate(divide="ignore", invalid="ignore"):
            optics_alone = np.divide(self.contrast, pixels)
        defocus = contrast_defocus(frequency, np.minimum(optics_alone, 2.0), effective, self.light)
        best = np.abs(self.optics_contrast(frequency, 0.0, effective))
        arithmetic.refuse(
            np.isnan(defocus) & (best >= self.contrast),
            ContrastUnattainable,
            mark(
                "Detail of {frequency:.4g} lp/mm on the sensor is too fine for its pixels: they leave a contrast of "
                "{left:.3f}, and {asked:.3g} is asked. Use more magnification or finer pixels, or ask for coarser "
                "detail.",
            ),
            "contrast",
            frequency=frequency,
            left=best * pixels,
            asked=self.contrast,
        )
        arithmetic.refuse(
            np.isnan(defocus),
            ContrastUnattainable,
            mark(
                "Detail of {frequency:.4g} lp/mm on the sensor has a contrast of {best:.3f} at best at an effective "
                "f/{effective:.3g}, and {asked:.3g} is asked. Open up, ask for less contrast, or for coarser detail.",
            ),
            "contrast",
            frequency=frequency,
            best=best * pixels,
            effective=effective,
            asked=self.contrast,
        )
        return defocus_half_depth(magnification, float(defocus) if defocus.ndim == 0 else defocus)


def blur_of_sensor(width: R, height: R) -> R:
    """Blur [mm] in proportion to a sensor's diagonal.

    Parameters
    ----------
    width, height : float or array, mm

    Returns
    -------
    float or array, mm
    """
    return diagonal(width, height) * BLUR_PER_DIAGONAL


def noticed_blur(viewing_distance: R, acuity_arcmin: R, sensor_width: R, print_width: R) -> R:
    """Blur on the sensor [mm] that a viewer of the print just notices, by similar triangles.

    Parameters
    ----------
    viewing_distance, print_width : float or array, mm
    acuity_arcmin : float or array, arcmin
    sensor_width : float or array, mm
    """
    return viewing_distance * acuity_arcmin * RADIANS_PER_ARCMIN * sensor_width / print_width
