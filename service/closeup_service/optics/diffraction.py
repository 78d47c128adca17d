"""What diffraction leaves of the picture in the plane of focus."""

from __future__ import annotations

from closeup_service.optics.arithmetic import Arithmetic, R, Words
from closeup_service.optics.depth import half_depth_defocus
from closeup_service.optics.formulas import AIRY_DIAMETER

UNDERSAMPLED, MATCHED, OVERSAMPLED = "pixels-limit", "matched", "diffraction-limits"
SAMPLING = (UNDERSAMPLED, MATCHED, OVERSAMPLED)


def sensor_resolution_um(effective: R, wavelength_nm: R) -> R:
    """Least distance resolved on the sensor [um] by Rayleigh's criterion = 1.21967 lambda N_eff.

    Parameters
    ----------
    effective : float or array, effective f-number
    wavelength_nm : float or array, nm

    Returns
    -------
    float or array, um
    """
    return AIRY_DIAMETER / 2 * wavelength_nm * 1e-3 * effective


def nyquist_frequency(pixel_pitch_um: R) -> R:
    """Finest detail that the pixels can carry [lp/mm] = 1 / (2 pitch).

    Parameters
    ----------
    pixel_pitch_um : float or array, um

    Returns
    -------
    float or array, lp/mm
    """
    return 500 / pixel_pitch_um


def airy_limited_f_number(blur_mm: R, wavelength_nm: R) -> R:
    """Effective f-number at which the Airy disk is as wide as the blur criterion = c / (2.43934 lambda).

    Parameters
    ----------
    blur_mm : float or array, blur criterion on the sensor, mm
    wavelength_nm : float or array, nm

    Returns
    -------
    float or array, effective f-number
    """
    return blur_mm * 1e6 / (AIRY_DIAMETER * wavelength_nm)


def fill_fraction(resolution_um: R, pixel_pitch_um: R, arithmetic: Arithmetic[R]) -> R:
    """Share of the sensor's pixels that the image really fills.

    Two points just resolved need two samples between them, so the image fills pixels of half the resolved distance.

    Parameters
    ----------
    resolution_um : float or array, least distance resolved on the sensor, um
    pixel_pitch_um : float or array, um

    Returns
    -------
    float or array, from 0 to 1
    """
    ratio = 2 * pixel_pitch_um / resolution_um
    return arithmetic.least(1.0, ratio * ratio)


def filled_megapixels(share: R, sensor_width_mm: R, sensor_height_mm: R, pixel_pitch_um: R) -> R:
    """Pixels that the image fills, in millions: that share of all on the sensor.

    Parameters
    ----------
    share : float or array, from 0 to 1
    sensor_width_mm, sensor_height_mm : float or array, mm
    pixel_pitch_um : float or array, um
    """
    return share * (sensor_width_mm * sensor_height_mm) / (pixel_pitch_um * pixel_pitch_um)


def sampling(cutoff_lp_per_mm: R, resolution_um: R, pixel_pitch_um: R, arithmetic: Arithmetic[R]) -> Words:
    """Which is finer: what the pixels can carry, or what diffraction leaves.

    The pixels limit while even the distance resolved by Rayleigh's criterion is finer than they can carry; diffraction
    limits once the pixels carry all that it leaves, up to the cut-off.

    Parameters
    ----------
    cutoff_lp_per_mm : float or array, cut-off frequency on the sensor, lp/mm
    resolution_um : float or array, least distance resolved on the sensor, um
    pixel_pitch_um : float or array, um

    Returns
    -------
    float or array, code
    """
    nyquist = nyquist_frequency(pixel_pitch_um)
    without_limit = arithmetic.where(nyquist >= cutoff_lp_per_mm, OVERSAMPLED, MATCHED)
    return arithmetic.where(nyquist < 1000 / resolution_um, UNDERSAMPLED, without_limit)


def optimum_effective_f_number(subject_depth_mm: R, magnification: R, wavelength_nm: R, arithmetic: Arithmetic[R]) -> R:
    """Effective f-number with the least blur at both ends of a subject's depth = m sqrt(T / (4.87868 lambda)).

    There the blur of defocus equals the Airy disk; the plain sum and the sum of squares of the two have the same minimum.
    Source: P. Hansma, *Photo Techniques*, March/April 1996 (from memory; N = sqrt(375 D) with D on the sensor).

    Parameters
    ----------
    subject_depth_mm : float or array, mm
    magnification : float or array, sensor/subject
    wavelength_nm : float or array, nm

    Returns
    -------
    float or array, effective f-number
    """
    return magnification * arithmetic.sqrt(subject_depth_mm * 1e6 / (2 * AIRY_DIAMETER * wavelength_nm))


def end_half_depth(subject_depth_mm: R, inverse_pupil_distance: R) -> R:
    """Half depth x0 [mm] that reaches both ends of a subject's depth, from total depth = 2 x0 / (1 - (x0/z)^2).

    Parameters
    ----------
    subject_depth_mm : float or array, mm
    inverse_pupil_distance : float or array, 1/z, 1/mm, z from subject to entrance pupil

    Returns
    -------
    float or array, mm
    """
    reach = subject_depth_mm * inverse_pupil_distance
    root: R = (1 + reach * reach) ** 0.5
    return subject_depth_mm / (1 + root)


def end_defocus(subject_depth_mm: R, magnification: R, inverse_pupil_distance: R) -> R:
    """Defocus on the sensor [mm] at both ends of a subject's depth, the focus set so that they are equally blurred.

    Parameters
    ----------
    subject_depth_mm : float or array, mm
    magnification : float or array, sensor/subject
    inverse_pupil_distance : float or array, 1/z, 1/mm, z from subject to entrance pupil

    Returns
    -------
    float or array, mm
    """
    return half_depth_defocus(end_half_depth(subject_depth_mm, inverse_pupil_distance), magnification)
