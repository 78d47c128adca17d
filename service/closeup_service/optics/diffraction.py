"""What diffraction leaves of the picture in the plane of focus."""

from closeup_service.optics.arithmetic import Arithmetic, Real
from closeup_service.optics.formulas import AIRY_DIAMETER

UNDERSAMPLED, MATCHED, OVERSAMPLED = "pixels-limit", "matched", "diffraction-limits"
SAMPLING = (UNDERSAMPLED, MATCHED, OVERSAMPLED)


def sensor_resolution_um(effective: Real, wavelength_nm: Real) -> Real:
    """Least distance resolved on the sensor [um] by Rayleigh's criterion = 1.21967 lambda N_eff."""
    return AIRY_DIAMETER / 2 * wavelength_nm * 1e-3 * effective


def nyquist_frequency(pixel_pitch_um: Real) -> Real:
    """Finest detail that the pixels can carry [lp/mm] = 1 / (2 pitch)."""
    return 500 / pixel_pitch_um


def effective_where_airy_fills(blur_mm: Real, wavelength_nm: Real) -> Real:
    """Effective f-number at which the Airy disk is as wide as the blur criterion = c / (2.43934 lambda)."""
    return blur_mm * 1e6 / (AIRY_DIAMETER * wavelength_nm)


def filled_share(resolution_um: float, pixel_pitch_um: float) -> float:
    """Share of the sensor's pixels that the image really fills.

    Two points just resolved need two samples between them, so the image fills pixels of half the resolved distance.
    """
    ratio = 2 * pixel_pitch_um / resolution_um
    return min(1.0, ratio * ratio)


def sampling(cutoff_lp_per_mm: float, resolution_um: float, pixel_pitch_um: float) -> str:
    """Which is finer: what the pixels can carry, or what diffraction leaves.

    The pixels limit while even the distance resolved by Rayleigh's criterion is finer than they can carry; diffraction
    limits once the pixels carry all that it leaves, up to the cut-off.
    """
    nyquist = nyquist_frequency(pixel_pitch_um)
    if nyquist < 1000 / resolution_um:
        return UNDERSAMPLED
    return OVERSAMPLED if nyquist >= cutoff_lp_per_mm else MATCHED


def optimum_effective_f_number(
    subject_depth_mm: Real, magnification: Real, wavelength_nm: Real, arithmetic: Arithmetic
) -> Real:
    """Effective f-number with the least blur at both ends of a subject's depth = m sqrt(T / (4.87868 lambda)).

    There the blur of defocus equals the Airy disk; the plain sum and the sum of squares of the two have the same minimum.
    Source: P. Hansma, *Photo Techniques*, March/April 1996 (from memory; N = sqrt(375 D) with D on the sensor).
    """
    return magnification * arithmetic.sqrt(subject_depth_mm * 1e6 / (2 * AIRY_DIAMETER * wavelength_nm))


def end_defocus(subject_depth_mm: Real, magnification: Real, inverse_pupil_distance: Real) -> Real:
    """Defocus on the sensor [mm] at both ends of a subject's depth, the focus set so that they are equally blurred.

    From total depth = 2 x0 / (1 - (x0/z)^2) for x0, then dz' = m^2 x0.
    """
    reach = subject_depth_mm * inverse_pupil_distance
    half_depth = subject_depth_mm / (1 + (1 + reach * reach) ** 0.5)
    return magnification * magnification * half_depth
