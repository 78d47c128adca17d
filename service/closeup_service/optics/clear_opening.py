"""How wide an opening before the lens must be, and what a given one takes.

A ray from a subject point at height y to a point of the entrance pupil at height q, z from the subject, passes the plane x
from the subject at y (1 - x/z) + q x/z. So what the rays need is linear between the subject's diagonal d and the pupil's
diameter, and the pupil is known by its cone: diameter / z = 2 NA. By similar triangles; paraxial, as every cone here.

Lengths in mm; 1/z instead of z, so that a telecentric set-up (1/z = 0) and a hypercentric one (1/z < 0) are ordinary ones.
In operators only, or by an `Arithmetic`.
"""

from __future__ import annotations

from typing import Generic

from msgspec import Struct

from closeup_service.optics.arithmetic import Arithmetic, R, absolute


class Opening(Struct, Generic[R], frozen=True):
    """Diameters of a round opening about the axis, mm.

    Attributes
    ----------
    axial : passes every ray of the middle of the frame
    chief : passes the middle ray of every point, as far as the corners
    """

    axial: R
    chief: R

    @property
    def full(self) -> R:
        """Passes every ray of the picture."""
        return self.chief + self.axial


def clear_opening(field_diagonal: R, numerical_aperture: R, inverse_pupil_distance: R, from_subject: R) -> Opening[R]:
    """Openings needed in the plane x [mm] from the subject towards the lens.

    Parameters
    ----------
    field_diagonal : float or array, sensor's diagonal on the subject, mm
    numerical_aperture : float or array, on the subject's side
    inverse_pupil_distance : float or array, 1/z, 1/mm, z from subject to entrance pupil
    from_subject : float or array, plane from the subject towards the lens, mm

    Returns
    -------
    Opening, diameters in mm
    """
    chief = field_diagonal * absolute(1 - from_subject * inverse_pupil_distance)
    axial = 2 * numerical_aperture * from_subject
    return Opening(axial, chief)


def remaining_distance(working_distance: R, distance: R, arithmetic: Arithmetic[R]) -> R:
    """Plane between lens and subject by its distance from the one, given that from the other [mm]; not beyond it.

    Parameters
    ----------
    working_distance : float or array, front of the lens to the subject, mm
    distance : float or array, of the plane from the front or from the subject, mm

    Returns
    -------
    float or array, mm
    """
    return arithmetic.greatest(working_distance - distance, 0.0)


def pupil_diameter(numerical_aperture: R, inverse_pupil_distance: R) -> R:
    """Diameter of the entrance pupil [mm].

    Parameters
    ----------
    numerical_aperture : float or array, on the subject's side
    inverse_pupil_distance : float or array, 1/z, 1/mm, z from subject to entrance pupil
    """
    return 2 * numerical_aperture / inverse_pupil_distance


def lit_field_share(opening: Opening[R], diameter: R, arithmetic: Arithmetic[R]) -> R:
    """Share of the field's diagonal, about its middle, that a hole of this diameter [mm] takes no light from.

    A point at the share s of the half diagonal needs s x chief + axial; so s = (diameter - axial) / chief, from 0 to 1.

    Parameters
    ----------
    diameter : float or array, of the hole, mm

    Returns
    -------
    float or array, from 0 to 1
    """
    spread = opening.chief > 0
    share = (diameter - opening.axial) / arithmetic.where(spread, opening.chief, 1.0)
    share = arithmetic.where(spread, share, arithmetic.where(diameter >= opening.axial, 1.0, 0.0))
    return arithmetic.least(1.0, arithmetic.greatest(0.0, share))


def axial_loss_stops(opening: Opening[R], diameter: R, arithmetic: Arithmetic[R]) -> R:
    """Light that the hole takes from the middle of the frame, in stops = 2 log2(axial / diameter), at least 0.

    Parameters
    ----------
    diameter : float or array, of the hole, mm

    Returns
    -------
    float or array, stops
    """
    clipped = opening.axial > diameter
    return arithmetic.where(clipped, 2 * arithmetic.log2(arithmetic.where(clipped, opening.axial / diameter, 1.0)), 0.0)
