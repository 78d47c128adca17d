"""Diffraction and defocus together: the contrast of fine detail by wave optics.

A circular pupil without aberrations in incoherent light, defocused by w waves (wavefront error at the pupil's edge). With
the relative frequency s = 2 v / cut-off (0 to 2) the overlap of two shifted pupils gives, integrated across the shift,

    OTF(s, w) = (4/pi) * integral over t from 0 to acos(s/2) of  L sinc(a L) cos(t) dt,
    L = cos(t) - s/2,  a = 4 pi w s,  sinc(x) = sin(x)/x

which Gauss-Legendre nodes, more of them the more the phase a L turns, take to 1e-8; where it turns by more than 2048 rad
less than 1e-3 of the contrast is left, and 0 is returned. Sources: H. H. Hopkins, *Proc. R. Soc. A* 231 (1955) 91;
J. W. Goodman, *Introduction to Fourier Optics*, section 6.4 (both from memory). Frequencies in line pairs per mm, wavelengths
in nm, pitches in um. Everything takes floats or numpy arrays that broadcast, and returns arrays.
"""

from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from closeup_service.optics.arithmetic import FloatArray, Real
from closeup_service.optics.formulas import cutoff_lp_per_mm
from closeup_service.optics.quadrature import nodes

LEAST_NODES, MOST_NODES = 32, 1024
PHASE_PER_NODE = 2.0
"""The nodes keep 1e-8 while the phase turns by no more than this for each of them."""


def count_nodes(phase: FloatArray) -> int:
    """Nodes that follow the greatest phase, doubled from the least on.

    Parameters
    ----------
    phase : array, radians

    Returns
    -------
    int, nodes
    """
    wanted, count = float(np.max(phase, initial=0.0)) / PHASE_PER_NODE, LEAST_NODES
    while count < min(wanted, MOST_NODES):
        count *= 2
    return count


def cutoff_frequency(effective_f_number: Real, wavelength_nm: Real) -> FloatArray:
    """Frequency beyond which no contrast is left, on the sensor [lp/mm].

    Parameters
    ----------
    effective_f_number : float or array, effective f-number
    wavelength_nm : float or array, nm

    Returns
    -------
    array, lp/mm
    """
    return np.asarray(cutoff_lp_per_mm(effective_f_number, np.asarray(wavelength_nm, dtype=float)))


def defocus_waves(defocus_mm: Real, effective_f_number: Real, wavelength_nm: Real) -> FloatArray:
    """Wavefront error at the pupil's edge [waves] of a sensor `defocus_mm` from focus = dz / (8 N_eff^2 lambda).

    Source: V. N. Mahajan, *Optical Imaging and Aberrations* (from memory); a quarter wave is 2 lambda N_eff^2.

    Parameters
    ----------
    defocus_mm : float or array, sensor from focus, mm
    effective_f_number : float or array, effective f-number
    wavelength_nm : float or array, nm

    Returns
    -------
    array, waves
    """
    n = np.asarray(effective_f_number, dtype=float)
    return np.asarray(np.asarray(defocus_mm, dtype=float) * 1e6 / (8 * n * n * wavelength_nm))


def defocused_otf(relative_frequency: Real, waves: Real) -> FloatArray:
    """Optical transfer function of a defocused circular pupil, signed: negative where contrast is reversed.

    Parameters
    ----------
    relative_frequency : frequency over cut-off; 0 from 1 on
    waves : defocus at the pupil's edge, in waves
    """
    half_shift, waves = np.broadcast_arrays(
        np.clip(np.abs(np.asarray(relative_frequency, dtype=float)), 0, 1), np.asarray(waves, dtype=float)
    )
    turns = 8 * np.abs(waves) * half_shift
    greatest_phase = np.pi * turns * (1 - half_shift)
    places, weights = nodes(count_nodes(greatest_phase))
    span = np.arccos(half_shift)
    cosine = np.cos(span[..., None] / 2 * (places + 1))
    chord = cosine - half_shift[..., None]
    integrand = chord * np.sinc(turns[..., None] * chord) * cosine
    otf = (2 / np.pi) * span * (integrand @ weights)
    return np.asarray(np.where(greatest_phase > PHASE_PER_NODE * MOST_NODES, 0.0, otf))


def pixel_mtf(frequency: Real, pitch_um: Real, fill: Real = 1.0) -> FloatArray:
    """Contrast that square pixels leave = |sinc(pitch x fill x frequency)|; `fill` is the linear share that is sensitive.

    Source: G. D. Boreman, *Modulation Transfer Function in Optical and Electro-Optical Systems* (from memory).

    Parameters
    ----------
    frequency : float or array, on the sensor, lp/mm
    pitch_um : float or array, pixel pitch, um
    fill : float or array, linear share that is sensitive

    Returns
    -------
    array, from 0 to 1
    """
    cycles = np.asarray(frequency, dtype=float) * np.asarray(pitch_um, dtype=float) * fill * 1e-3
    return np.asarray(np.abs(np.sinc(cycles)))


class Light(Struct, frozen=True):
    """Weighted wavelengths; the weights sum to 1."""

    wavelengths_nm: tuple[Real, ...]
    weights: tuple[float, ...]

    @classmethod
    def of(cls, wavelengths_nm: Sequence[Real], weights: Sequence[float] | None = None) -> "Light":
        """Light of these wavelengths, equally strong unless weights are given.

        Parameters
        ----------
        wavelengths_nm : floats or arrays, nm
        weights : floats or None, relative, without unit
        """
        given = [1.0] * len(wavelengths_nm) if weights is None else weights
        total = sum(given)
        return cls(tuple(wavelengths_nm), tuple(weight / total for weight in given))


def white_light() -> Light:
    """Five wavelengths weighted as the eye weighs daylight (CIE 1924 photopic curve at those wavelengths, from memory)."""
    return Light.of((470.0, 510.0, 550.0, 590.0, 630.0), (0.091, 0.503, 0.995, 0.757, 0.265))


def image_contrast(frequency: Real, defocus_mm: Real, effective_f_number: Real, light: Light) -> FloatArray:
    """Signed contrast on the sensor of lines `frequency` [lp/mm], the sensor `defocus_mm` from focus, in the given light.

    Parameters
    ----------
    frequency : float or array, on the sensor, lp/mm
    defocus_mm : float or array, sensor from focus, mm
    effective_f_number : float or array, effective f-number

    Returns
    -------
    array, from -1 to 1
    """
    total: Real = 0.0
    for wavelength, weight in zip(light.wavelengths_nm, light.weights, strict=True):
        relative = np.asarray(frequency, dtype=float) / cutoff_frequency(effective_f_number, wavelength)
        waves = defocus_waves(defocus_mm, effective_f_number, wavelength)
        total = total + weight * defocused_otf(relative, waves)
    return np.asarray(total)


SCAN, HALVINGS = 48, 48
"""Steps of defocus in which the first fall of the contrast is looked for, and halvings that place it."""

LEAST_REST = 0.02
"""Nearer the cut-off than this less contrast is left than anyone can ask for."""

BEYOND_FIRST_ZERO = 8.0
"""The contrast of a defocused pupil first falls to zero before the phase a (1 - s/2) reaches this."""


def contrast_defocus(frequency: Real, contrast: Real, effective_f_number: Real, light: Light) -> FloatArray:
    """Greatest defocus of the sensor [mm], either way, up to which the contrast stays at or above `contrast`.

    NaN where even in focus the contrast is lower. The first fall below counts; contrast that comes back is not detail.

    Parameters
    ----------
    frequency : float or array, on the sensor, lp/mm
    contrast : float or array, from 0 to 1
    effective_f_number : float or array, effective f-number

    Returns
    -------
    array, mm
    """
    frequency, contrast, effective = np.broadcast_arrays(
        *(np.asarray(value, dtype=float)[..., None] for value in (frequency, contrast, effective_f_number))
    )
    steps = defocus_reach(frequency, effective, light) * np.linspace(0.0, 1.0, SCAN)
    below = image_contrast(frequency, steps, effective, light) < contrast
    fall = np.maximum(np.argmax(below, axis=-1, keepdims=True), 1)
    low, high = np.take_along_axis(steps, fall - 1, -1), np.take_along_axis(steps, fall, -1)
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        lost = image_contrast(frequency, middle, effective, light) < contrast
        low, high = np.where(lost, low, middle), np.where(lost, middle, high)
    return np.asarray(np.where(below[..., :1], np.nan, low)[..., 0])


def defocus_reach(frequency: FloatArray, effective_f_number: FloatArray, light: Light) -> FloatArray:
    """Defocus [mm] beyond the first zero of contrast at every one of the light's wavelengths that still carries detail.

    Parameters
    ----------
    frequency : array, on the sensor, lp/mm
    effective_f_number : array, effective f-number

    Returns
    -------
    array, mm
    """
    reach = np.zeros(np.broadcast_shapes(frequency.shape, effective_f_number.shape))
    for wavelength in light.wavelengths_nm:
        v = frequency / cutoff_frequency(effective_f_number, wavelength)
        waves = np.where(v < 1, BEYOND_FIRST_ZERO / (8 * np.pi * v * np.maximum(1 - v, LEAST_REST)), 0.0)
        reach = np.maximum(reach, waves * 8 * effective_f_number * effective_f_number * wavelength * 1e-6)
    return reach
