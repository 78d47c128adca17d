"""The members of what diffraction leaves, for every answer that carries them, and for columns of set-ups."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Generic, cast

from msgspec import Struct

from closeup_service.optics import diffraction, formulas
from closeup_service.optics.arithmetic import USUAL, Arithmetic, R, Words
from closeup_service.optics.sharpness import Criterion

if TYPE_CHECKING:
    from closeup_service.records import answers


class Diffraction(Struct, Generic[R], frozen=True):
    """What diffraction leaves in the plane of focus, and what the pixels can carry of it; None where there are no pixels."""

    criterion: Criterion[R]
    effective: R
    magnification: R
    arithmetic: Arithmetic[R] = USUAL

    def members(self: Diffraction) -> answers.DiffractionMembers:
        """Return the answer's members."""
        sampling = self.sampling
        return {
            "wavelength_nm": self.wavelength_nm,
            "airy_diameter_um": self.airy_diameter_um,
            "subject_airy_diameter_um": self.subject_airy_diameter_um,
            "sensor_resolution_um": self.sensor_resolution_um,
            "subject_resolution_um": self.subject_resolution_um,
            "sensor_cutoff_lp_per_mm": self.sensor_cutoff_lp_per_mm,
            "subject_cutoff_lp_per_mm": self.subject_cutoff_lp_per_mm,
            "nyquist_lp_per_mm": self.nyquist_lp_per_mm,
            "nyquist_contrast": self.nyquist_contrast,
            "filled_share": self.filled_share,
            "sampling": None if sampling is None else str(sampling),
        }

    @property
    def wavelength_nm(self) -> R:
        """Wavelength of the light, nm."""
        return self.criterion.wavelength_nm

    @property
    def airy_diameter_um(self) -> R:
        """Airy disk on the sensor, um."""
        return formulas.airy_diameter_um(self.effective, self.wavelength_nm)

    @property
    def subject_airy_diameter_um(self) -> R:
        """Airy disk on the subject, um."""
        return formulas.subject_size(self.airy_diameter_um, self.magnification)

    @property
    def sensor_resolution_um(self) -> R:
        """Distance resolved on the sensor, um."""
        return diffraction.sensor_resolution_um(self.effective, self.wavelength_nm)

    @property
    def subject_resolution_um(self) -> R:
        """Distance resolved on the subject, um."""
        aperture = formulas.numerical_aperture(self.magnification, self.effective)
        return formulas.subject_resolution_um(aperture, self.wavelength_nm)

    @property
    def sensor_cutoff_lp_per_mm(self) -> R:
        """Cut-off on the sensor, lp/mm."""
        return formulas.cutoff_lp_per_mm(self.effective, self.wavelength_nm)

    @property
    def subject_cutoff_lp_per_mm(self) -> R:
        """Cut-off on the subject, lp/mm."""
        return formulas.subject_frequency(self.sensor_cutoff_lp_per_mm, self.magnification)

    @property
    def nyquist_lp_per_mm(self) -> R | None:
        """Finest detail that the pixels carry, lp/mm."""
        pitch = self.criterion.pixel_pitch_um
        return None if pitch is None else diffraction.nyquist_frequency(pitch)

    @property
    def nyquist_contrast(self) -> R | None:
        """Contrast that diffraction leaves of the finest detail that the pixels carry."""
        finest = self.nyquist_lp_per_mm
        return None if finest is None else self.contrast(finest)

    @property
    def filled_share(self) -> R | None:
        """Share of the pixels that the image fills."""
        pitch = self.criterion.pixel_pitch_um
        return None if pitch is None else diffraction.fill_fraction(self.sensor_resolution_um, pitch, self.arithmetic)

    @property
    def sampling(self) -> Words | None:
        """Word for what limits the detail: the pixels or diffraction."""
        pitch = self.criterion.pixel_pitch_um
        if pitch is None:
            return None
        return diffraction.sampling(self.sensor_cutoff_lp_per_mm, self.sensor_resolution_um, pitch, self.arithmetic)

    def contrast(self, frequency: R) -> R:
        """Contrast that diffraction alone leaves of a detail on the sensor, in the criterion's light."""
        contrast = self.criterion.optics_contrast(frequency, 0.0, self.effective)
        # Of a point the sums give an array without axes.
        found: Any = float(contrast) if contrast.ndim == 0 else contrast
        return cast("R", found)
