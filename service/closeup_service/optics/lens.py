"""The thick lens with pupils."""

from __future__ import annotations

from typing import Generic

from msgspec import Struct

from closeup_service.optics import formulas
from closeup_service.optics.arithmetic import R


class ThickLens(Struct, Generic[R], frozen=True):
    """A lens between two joining faces, as light meets it: two principal planes and two pupils.

    All lengths in mm along the axis, positive in the direction of the light; None where unknown. Pupils and principal
    planes are conjugate, so the exit pupil lies f (1 - p) behind the second principal plane and the entrance pupil
    f (1 - 1/p) before the first. Source: E. Hecht, *Optics*, ch. 6 (from memory).

    Attributes
    ----------
    focal_length : mm
    front_gap : first joining face to first principal plane, mm
    separation : first to second principal plane, signed, mm
    rear_gap : second principal plane to second joining face, mm
    entrance_pupil, exit_pupil : diameters, mm; their ratio is the pupil magnification
    """

    focal_length: R
    front_gap: R | None
    separation: R | None
    rear_gap: R | None
    entrance_pupil: R
    exit_pupil: R

    @classmethod
    def from_marks(
        cls,
        focal_length: R,
        f_number: R,
        pupil_magnification: R,
        front_gap: R | None = None,
        separation: R | None = None,
        rear_gap: R | None = None,
    ) -> ThickLens[R]:
        """Lens as its maker marks it, front to the subject: entrance pupil f/N, exit pupil p f/N.

        Parameters
        ----------
        focal_length : float or array, mm
        f_number : float or array, marked f-number
        pupil_magnification : float or array, exit over entrance pupil, ratio
        front_gap : float or array or None, first joining face to first principal plane, mm
        separation : float or array or None, first to second principal plane, signed, mm
        rear_gap : float or array or None, second principal plane to second joining face, mm

        Returns
        -------
        ThickLens, lengths in mm
        """
        entrance = focal_length / f_number
        return cls(focal_length, front_gap, separation, rear_gap, entrance, pupil_magnification * entrance)

    @property
    def pupil_magnification(self) -> R:
        """Exit over entrance pupil, as light meets the lens."""
        return formulas.pupil_ratio(self.exit_pupil, self.entrance_pupil)

    @property
    def f_number(self) -> R:
        """Focal length over entrance pupil, as light meets the lens."""
        return formulas.f_number_by_pupil(self.focal_length, self.entrance_pupil)

    def reverse(self) -> ThickLens[R]:
        """Return the same lens turned back to front, which is just another lens."""
        return ThickLens(
            self.focal_length,
            self.rear_gap,
            self.separation,
            self.front_gap,
            self.exit_pupil,
            self.entrance_pupil,
        )
