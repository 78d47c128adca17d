"""The statistics of lens classes, read once from the package data.

How front principal plane, entrance pupil, separation of the principal planes and true focal length are spread over published
designs: fitted coefficients and shuffled standardised residuals, calculated by our own paraxial tracing from lens data
published in patents. They hold no surface tables and no names.
"""

from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from math import exp, log

import msgspec
import numpy as np
from msgspec import Struct, field

from closeup_service.optics.arithmetic import FloatArray

REFERENCE_FOCAL_LENGTH_MM = 50.0
REFERENCE_F_NUMBER = 2.8
TARGETS = ("a", "pe", "h")
"""Front rim to front principal plane, front rim to entrance pupil, front to rear principal plane."""


class About(Struct, frozen=True):
    """Where the statistics come from."""

    what: str
    records: int
    patents: int
    records_held_back: int
    patents_held_back: int
    method: str
    date: str


class Target(Struct, frozen=True):
    """Location and logarithm of the scale of one length, over features of focal length, f-number and zoom position."""

    features: tuple[str, ...]
    b: tuple[float, ...]
    c: tuple[float, float]


class LensClass(Struct, frozen=True):
    """One class of lenses: what its designs share, and the standardised residuals (a, pe, h, ln k) of its records."""

    unit: str
    f_fit: tuple[float, float]
    n_fit: tuple[float, float] = field(name="N_fit")
    rim_offset_mm: tuple[float, float]
    targets: Mapping[str, Target]
    widen: float
    inflate: float
    patents: int
    records: int
    z: tuple[tuple[float, float, float, float], ...]

    def columns(self, focal_length: float, f_number: float, zoom_position: float) -> FloatArray:
        """Lengths a, pe, h [mm] and true over engraved focal length of every member, shape (4, members).

        Parameters
        ----------
        focal_length : as engraved, mm
        f_number : widest f-number
        zoom_position : 0 at the short end to 1 at the long end
        """
        residuals = np.array(self.z).T
        features = self.features(focal_length, f_number, zoom_position)
        logarithm = log_focal_length(min(max(focal_length, self.f_fit[0]), self.f_fit[1]))
        unit = focal_length if self.unit == "f" else 1.0
        lengths = [
            unit * (sum(b * features[name] for b, name in zip(target.b, target.features, strict=True)) + spread * z)
            for target, z in zip(map(self.targets.__getitem__, TARGETS), residuals[:3], strict=True)
            for spread in (self.widen * exp(target.c[0] + target.c[1] * logarithm),)
        ]
        return np.array([*lengths, np.exp(residuals[3])])

    def features(self, focal_length: float, f_number: float, zoom_position: float) -> Mapping[str, float]:
        """What lengths are regressed on, with focal length and f-number held within what was fitted.

        Parameters
        ----------
        focal_length : as engraved, mm
        f_number : widest f-number
        zoom_position : 0 at the short end to 1 at the long end

        Returns
        -------
        mapping to floats, without unit: 1, ln and squared ln of the focal length, ln of the f-number, zoom position
        """
        lf = log_focal_length(min(max(focal_length, self.f_fit[0]), self.f_fit[1]))
        aperture = log(min(max(f_number, self.n_fit[0]), self.n_fit[1]) / REFERENCE_F_NUMBER)
        return {"1": 1.0, "lf": lf, "lf2": lf * lf, "lN": aperture, "t": zoom_position}


class Branch(Struct, frozen=True):
    """A class within a family, and between which focal lengths [mm] its weight rises and falls."""

    lens_class: str = field(name="class")
    ramp_in: tuple[float, float] | None
    ramp_out: tuple[float, float] | None

    def weight(self, focal_length: float) -> float:
        """Weight of the class at a focal length [mm]: linear in its logarithm over the ramps."""
        risen = 1.0 if self.ramp_in is None else ramp_share(focal_length, *self.ramp_in)
        fallen = 0.0 if self.ramp_out is None else ramp_share(focal_length, *self.ramp_out)
        return risen * (1.0 - fallen)


class StandardErrors(Struct, frozen=True):
    """Standard errors of readings where none is stated."""

    barrel_length_mm: float = field(name="L_mm")
    entrance_pupil_depth_mm: float = field(name="pe_mm")
    pupil_ratio: float = field(name="P_rel")
    magnification_share: float = field(name="m_rel")
    magnification: float = field(name="m_abs")


class Conditioning(Struct, frozen=True):
    """What an update by readings takes for granted."""

    sigma: StandardErrors


class Drop(Struct, frozen=True):
    """Members that no lens could be."""

    inverse_pupil_ratio: tuple[float, float] = field(name="invP")
    entrance_pupil_depth_mm: float = field(name="pe_min")
    barrel_length_mm: float = field(name="L_min")


class MeasureFirst(Struct, frozen=True):
    """From where on a range of the magnification says nothing."""

    low: float = field(name="m_lo_max")
    ratio: float = field(name="ratio_max")


class Statistics(Struct, frozen=True):
    """All of it."""

    about: About
    f_valid: Mapping[str, tuple[float, float]]
    families: Mapping[str, tuple[Branch, ...]]
    usual_registers: Mapping[str, float] = field(name="R0_if_unknown")
    conditioning: Conditioning
    drop: Drop
    measure_first: MeasureFirst
    classes: Mapping[str, LensClass]


@cache
def statistics() -> Statistics:
    """Read the statistics from the package data."""
    text = files(__package__).joinpath("data", "lens_classes.json").read_bytes()
    return msgspec.json.decode(text, type=Statistics)


def log_focal_length(focal_length: float) -> float:
    """Logarithm of a focal length [mm] over the reference."""
    return log(focal_length / REFERENCE_FOCAL_LENGTH_MM)


def ramp_share(focal_length: float, start: float, end: float) -> float:
    """How much of a ramp [mm] lies below a focal length [mm], in its logarithm."""
    return min(max(log(focal_length / start) / log(end / start), 0.0), 1.0)
