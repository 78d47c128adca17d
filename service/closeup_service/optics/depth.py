"""Depth of field and depth of focus by geometry."""

from dataclasses import dataclass

from closeup_service.optics.arithmetic import Arithmetic, Real


@dataclass(frozen=True, slots=True)
class Depth:
    """Depths before and behind the subject plane, both positive; mm.

    Infinite where unlimited, NaN where the position of the pupil is not determined.
    """

    front: Real
    rear: Real
    depth_of_focus: Real


def geometric_depth(
    effective: Real, magnification: Real, blur: Real, inverse_pupil_distance: Real, arithmetic: Arithmetic
) -> Depth:
    """Depth of field by geometric blur, exact, for any position of the entrance pupil.

    With x0 = c N_eff / m^2 and z from the subject to the entrance pupil (positive towards the sensor, infinite when
    telecentric, negative when hypercentric): 1/near = 1/x0 + 1/z, 1/far = 1/x0 - 1/z; a right side that is not positive
    means unlimited. The total depth of focus is 2 c N_eff.

    Parameters
    ----------
    effective : effective f-number
    magnification : sensor/subject
    blur : blur criterion (circle of confusion), diameter on the sensor, mm
    inverse_pupil_distance : 1/z, 1/mm; 0 gives the symmetric depth

    Notes
    -----
    The depth knows the lens only through m, N_eff and z. Sources: S. F. Ray, *Applied Photographic Optics*;
    L. Larmore, *Introduction to Photographic Principles* (both from memory); proved against traced rays.
    """
    inverse_half_depth = magnification * magnification / (blur * effective)
    return Depth(
        front=arithmetic.positive_reciprocal(inverse_half_depth + inverse_pupil_distance),
        rear=arithmetic.positive_reciprocal(inverse_half_depth - inverse_pupil_distance),
        depth_of_focus=2 * blur * effective,
    )
