"""What was measured of a lens: frames of a ruler at known extensions, and its pupils. Lengths in mm."""

from collections.abc import Sequence

from msgspec import Struct

INFINITY_STOP_PLAY_MM = 0.2
"""Assumed standard uncertainty of where the infinity stop puts a lens: it is set with a play of some tenths of a millimetre
(common practice, no source)."""


class Measured(Struct, frozen=True):
    """A value and its standard uncertainty in the same unit; None where that is not known."""

    value: float
    uncertainty: float | None = None


class Frame(Struct, frozen=True):
    """One frame.

    Attributes
    ----------
    extension : rings, tubes, bellows and adapters between lens and camera, mm
    focusing : how far the focus ring has carried glass and rim out from the infinity stop, mm
    magnification : sensor/subject
    working_distance : front joining face of the set-up to the subject, mm
    subject_to_sensor : mm
    """

    extension: float
    magnification: Measured
    focusing: float = 0.0
    working_distance: Measured | None = None
    subject_to_sensor: Measured | None = None


class Session(Struct, frozen=True):
    """All that was measured of one lens at one setting.

    Attributes
    ----------
    turned : whether the lens stood back to front
    camera_register, lens_register : mm, None where unknown; a turned lens needs the camera's
    infinity_stop_play : standard uncertainty of the lens's register as the infinity stop keeps it, mm
    relative : whether frames without uncertainties err in proportion to their magnification, or all alike
    focal_length : what is known of it beforehand, mm; one frame alone needs it
    entrance_pupil, exit_pupil : diameters, mm
    reference_f_number, light_loss : a known f-number of this lens, and the stops by which the one wanted gives less light at
        equal magnification
    pointer : JSON pointer of what this was read from
    """

    frames: Sequence[Frame]
    turned: bool = False
    camera_register: float | None = None
    lens_register: float | None = None
    infinity_stop_play: float = INFINITY_STOP_PLAY_MM
    relative: bool = False
    focal_length: Measured | None = None
    entrance_pupil: Measured | None = None
    exit_pupil: Measured | None = None
    reference_f_number: float | None = None
    light_loss: Measured | None = None
    pointer: str = ""

    @property
    def is_weighted(self) -> bool:
        """Whether every frame states the uncertainty of its magnification."""
        return all(frame.magnification.uncertainty is not None for frame in self.frames)
