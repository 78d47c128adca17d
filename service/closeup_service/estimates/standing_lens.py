"""One lens as it stands before a camera, and the figure of that set-up that matters."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from msgspec import Struct

from closeup_service.estimates.ensemble import Ensemble
from closeup_service.estimates.ranges import Range, weighted_ranges
from closeup_service.optics import formulas
from closeup_service.optics.arithmetic import FloatArray

MAGNIFICATION = "magnification"
FIGURES = (MAGNIFICATION, "effective_f_number", "working_distance_mm", "subject_to_sensor_mm")
"""What may matter of a set-up."""

DISTANCES = FIGURES[2:]
"""Figures that only a lens with a real subject has."""


class Standing(Struct, frozen=True):
    """How a lens stands, focused on infinity: lengths in mm. `figure` is one of `FIGURES`."""

    reversed: bool
    camera_register_mm: float
    extension_mm: float
    figure: str = MAGNIFICATION
    f_number: float | None = None
    """f-number marked on the lens, which the effective f-number needs."""

    def magnification(self, ensemble: Ensemble) -> FloatArray:
        """Magnification with each member; where it is not positive that member has no real subject.

        Returns
        -------
        array, sensor/subject, shape (members,)
        """
        if self.reversed:
            plane = self.camera_register_mm + self.extension_mm + ensemble.front_plane
            return np.asarray(formulas.magnification_reversed(ensemble.focal_length, plane))
        extension = np.asarray(self.net_extension(ensemble.lens.flange_mm))
        return np.asarray(formulas.magnification_by_extension(ensemble.focal_length, extension))

    def net_extension(self, lens_register: float) -> float:
        """Extension beyond the infinity stop [mm] of a lens on its mount; `lens_register` is the lens's [mm]."""
        return self.extension_mm + self.camera_register_mm - lens_register

    def figures(self, ensemble: Ensemble) -> FloatArray:
        """The figure that matters with each member, infinite where that member has no real subject.

        Returns
        -------
        array, sensor/subject, effective f-number or mm, by `figure`
        """
        magnification = self.magnification(ensemble)
        if self.figure == MAGNIFICATION:
            return magnification
        if self.figure == "effective_f_number":
            assert self.f_number is not None
            pupil, mark = ensemble.pupil_magnification, np.asarray(self.f_number)
            return np.asarray(formulas.effective_as_mounted(mark, magnification, pupil, self.reversed))
        real = magnification > 0
        distance = self.distances(ensemble, np.where(real, magnification, 1.0))
        return np.where(real, distance, np.inf)

    def distances(self, ensemble: Ensemble, magnification: FloatArray) -> FloatArray:
        """Distance that matters [mm] at each member's magnification."""
        focal_length = ensemble.focal_length
        if self.figure == "subject_to_sensor_mm":
            return np.asarray(formulas.subject_to_sensor(focal_length, magnification, ensemble.separation))
        if self.reversed:
            register = np.asarray(ensemble.lens.flange_mm)
            found = formulas.working_distance_reversed(focal_length, magnification, register, np.asarray(0.0))
            return np.asarray(found)
        distance = formulas.subject_distance(focal_length, magnification)
        return np.asarray(formulas.working_distance(distance, ensemble.front_plane))

    def find_range(self, ensemble: Ensemble) -> Range:
        """Range of the figure that matters; its ends are infinite where too many members have no real subject."""
        with np.errstate(invalid="ignore"):
            [found] = weighted_ranges(self.figures(ensemble)[None], ensemble.weights)
        return found


def list_data(ensemble: Ensemble) -> Mapping[str, FloatArray]:
    """Everything that an ensemble says of a lens itself, by name: lengths in mm.

    Returns
    -------
    mapping to arrays, mm; the pupil magnification as ratio
    """
    member = ensemble.member
    return {
        "focal_length_mm": ensemble.focal_length,
        "front_principal_plane_mm": ensemble.front_plane,
        "principal_plane_separation_mm": ensemble.separation,
        "pupil_magnification": ensemble.pupil_magnification,
        "entrance_pupil_depth_mm": member.pupil_depth,
        "barrel_length_mm": member.barrel_length(ensemble.lens.flange_mm),
    }
