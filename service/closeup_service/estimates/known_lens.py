"""What is known of one lens: what stands on its barrel, and what was measured of it."""

from __future__ import annotations

from functools import cached_property
from math import log

from msgspec import Struct

from closeup_service.estimates.families import BY_NAME, Family, choose_family


class Frame(Struct, frozen=True):
    """A magnification read from one photograph of a ruler, and how the lens stood for it."""

    magnification: float
    reversed: bool
    extension_mm: float
    """Everything between lens and camera: rings, adapters, bellows."""
    camera_register_mm: float
    standard_error: float | None = None


class KnownLens(Struct, frozen=True, dict=True):
    """A lens as it is known: lengths in mm, None where nothing is known.

    `front_plane_mm`, `separation_mm` and `pupil_magnification` are data of the lens itself; what is measured at the barrel
    comes with standard errors, or with the usual ones.
    """

    focal_length_mm: float
    register_mm: float | None = None
    lens_class: str | None = None
    widest_f_number: float | None = None
    zoom_from_mm: float | None = None
    zoom_to_mm: float | None = None
    front_plane_mm: float | None = None
    separation_mm: float | None = None
    pupil_magnification: float | None = None
    barrel_length_mm: float | None = None
    barrel_length_error_mm: float | None = None
    entrance_pupil_depth_mm: float | None = None
    entrance_pupil_depth_error_mm: float | None = None
    pupil_ratio: float | None = None
    """Exit over entrance pupil, measured with a rule."""
    pupil_ratio_error: float | None = None
    """Relative standard error of the ratio."""
    frames: tuple[Frame, ...] = ()

    @property
    def is_zoom(self) -> bool:
        """Whether the lens states the ends of a zoom."""
        return self.zoom_from_mm is not None

    @cached_property
    def family(self) -> Family:
        """Family that is named, or that register and zoom tell."""
        return (
            choose_family(self.register_mm, zoom=self.is_zoom) if self.lens_class is None else BY_NAME[self.lens_class]
        )

    @property
    def flange_mm(self) -> float:
        """Register of the lens, or the one that is assumed [mm]."""
        return self.family.register_mm if self.register_mm is None else self.register_mm

    @property
    def f_number(self) -> float:
        """Widest f-number, or the usual one."""
        return self.family.usual_f_number if self.widest_f_number is None else self.widest_f_number

    @property
    def zoom_position(self) -> float:
        """Where the zoom stands, 0 at its short end to 1 at its long; in the middle where its ends are not known."""
        if self.zoom_from_mm is None or self.zoom_to_mm is None or self.zoom_from_mm >= self.zoom_to_mm:
            return 0.5
        position = log(self.focal_length_mm / self.zoom_from_mm) / log(self.zoom_to_mm / self.zoom_from_mm)
        return min(max(position, 0.0), 1.0)

    @property
    def is_measured(self) -> bool:
        """Whether anything beside the engravings narrows the class."""
        read = (self.barrel_length_mm, self.entrance_pupil_depth_mm, self.pupil_ratio, *self.own_data)
        return bool(self.frames) or any(value is not None for value in read)

    @property
    def own_data(self) -> tuple[float | None, float | None, float | None]:
        """Front plane [mm], separation [mm] and pupil magnification that the lens itself states."""
        return self.front_plane_mm, self.separation_mm, self.pupil_magnification

    @property
    def is_complete(self) -> bool:
        """Whether nothing is left to estimate."""
        return None not in self.own_data

    @property
    def designs(self) -> int:
        """Patents that the classes of the lens come from."""
        return sum(lens_class.patents for lens_class, _ in self.family.branches(self.focal_length_mm))

    @property
    def within_statistics(self) -> bool:
        """Whether there are statistics of such lenses at this focal length."""
        low, high = self.family.valid_mm
        return low <= self.focal_length_mm <= high
