"""Depth of field and depth of focus by named models.

Every model gives one half depth x0 on the subject's side, the same before and behind for a lens whose entrance pupil is
infinitely far; the true limits follow from the pupil's position: 1/near = 1/x0 + 1/z, 1/far = 1/x0 - 1/z.
"""

from __future__ import annotations

from typing import Generic

from msgspec import Struct

from closeup_service.optics.arithmetic import Arithmetic, R


class Depth(Struct, Generic[R], frozen=True):
    """Depths before and behind the subject plane, both positive; mm.

    Infinite where unlimited, NaN where the position of the pupil is not determined.
    """

    front: R
    rear: R
    depth_of_focus: R

    @property
    def total(self) -> R:
        """Depth of field in all."""
        return self.front + self.rear


def geometric_half_depth(effective: R, magnification: R, blur: R) -> R:
    """Half depth [mm] by geometric blur = c N_eff / m^2, c the blur criterion's diameter on the sensor [mm].

    Sources: S. F. Ray, *Applied Photographic Optics*; L. Larmore, *Introduction to Photographic Principles* (both from
    memory); proved against traced rays.

    Parameters
    ----------
    effective : float or array, effective f-number
    magnification : float or array, sensor/subject
    blur : float or array, blur criterion on the sensor, mm

    Returns
    -------
    float or array, mm
    """
    return blur * effective / (magnification * magnification)


def wave_half_depth(effective: R, magnification: R, wavelength_nm: R) -> R:
    """Half depth [mm] to a quarter wave of defocus = 2 lambda N_eff^2 / m^2, in all lambda / NA^2 in air.

    Lord Rayleigh's quarter-wave rule; M. Born and E. Wolf, *Principles of Optics*, section 8.8 (from memory). The angle is
    taken as small: exact in angle it is lambda / (4 (1 - cos u)) either way, less by 2 % at NA 0.28 and by 14 % at 0.65.

    Parameters
    ----------
    effective : float or array, effective f-number
    magnification : float or array, sensor/subject
    wavelength_nm : float or array, nm

    Returns
    -------
    float or array, mm
    """
    return 2 * wavelength_nm * 1e-6 * effective * effective / (magnification * magnification)


def combined_half_depth(effective: R, magnification: R, blur: R, wavelength_nm: R) -> R:
    """Half depth [mm] as microscopists add it: wave plus geometric.

    Source: S. Inoue and K. R. Spring, *Video Microscopy*: n lambda/NA^2 + n e/(M NA) (from memory; excerpts of teaching
    pages have the same sum).

    Parameters
    ----------
    effective : float or array, effective f-number
    magnification : float or array, sensor/subject
    blur : float or array, blur criterion on the sensor, mm
    wavelength_nm : float or array, nm

    Returns
    -------
    float or array, mm
    """
    return geometric_half_depth(effective, magnification, blur) + wave_half_depth(
        effective, magnification, wavelength_nm
    )


def geometric_cover(half_depth: R, magnification: R, blur: R) -> R:
    """Effective f-number whose geometric blur gives this half depth = m^2 x0 / c, c the blur criterion [mm].

    Parameters
    ----------
    half_depth : float or array, x0, mm
    magnification : float or array, sensor/subject
    blur : float or array, blur criterion on the sensor, mm

    Returns
    -------
    float or array, effective f-number
    """
    return magnification * magnification * half_depth / blur


def wave_cover(half_depth: R, magnification: R, wavelength_nm: R) -> R:
    """Effective f-number whose quarter wave of defocus gives this half depth = m sqrt(x0 / (2 lambda)).

    Parameters
    ----------
    half_depth : float or array, x0, mm
    magnification : float or array, sensor/subject
    wavelength_nm : float or array, nm

    Returns
    -------
    float or array, effective f-number
    """
    root: R = (half_depth / (2 * wavelength_nm * 1e-6)) ** 0.5
    return magnification * root


def combined_cover(half_depth: R, magnification: R, blur: R, wavelength_nm: R) -> R:
    """Effective f-number whose geometric and wave depth together give this half depth.

    The positive root of 2 lambda N^2 + c N = m^2 x0, written so that no digits cancel.

    Parameters
    ----------
    half_depth : float or array, x0, mm
    magnification : float or array, sensor/subject
    blur : float or array, blur criterion on the sensor, mm
    wavelength_nm : float or array, nm

    Returns
    -------
    float or array, effective f-number
    """
    defocus = magnification * magnification * half_depth
    root: R = (blur * blur + 8 * wavelength_nm * 1e-6 * defocus) ** 0.5
    return 2 * defocus / (blur + root)


def defocus_half_depth(magnification: R, defocus: R) -> R:
    """Half depth [mm] that a defocus of the sensor [mm], either way, stands for = dz' / m^2 (longitudinal magnification).

    Parameters
    ----------
    magnification : float or array, sensor/subject
    defocus : float or array, of the sensor, mm

    Returns
    -------
    float or array, mm
    """
    return defocus / (magnification * magnification)


def half_depth_defocus(half_depth: R, magnification: R) -> R:
    """Defocus of the sensor [mm], either way, that a half depth [mm] stands for, by the longitudinal magnification.

    Parameters
    ----------
    half_depth : float or array, on the subject's side, mm
    magnification : float or array, sensor/subject

    Returns
    -------
    float or array, mm
    """
    return magnification * magnification * half_depth


def depth_limits(half_depth: R, magnification: R, inverse_pupil_distance: R, arithmetic: Arithmetic[R]) -> Depth[R]:
    """Depth of field and focus from a model's half depth, exact for any position of the entrance pupil.

    Parameters
    ----------
    half_depth : x0, mm
    magnification : sensor/subject
    inverse_pupil_distance : 1/z, 1/mm, z from the subject to the entrance pupil, positive towards the sensor; 0 when it is
        telecentric, negative when hypercentric; 0 gives the symmetric depth

    Notes
    -----
    The depth knows the lens only through m, N_eff and z.
    """
    return Depth(
        front=arithmetic.positive_reciprocal(1 / half_depth + inverse_pupil_distance),
        rear=arithmetic.positive_reciprocal(1 / half_depth - inverse_pupil_distance),
        depth_of_focus=2 * half_depth * magnification * magnification,
    )
