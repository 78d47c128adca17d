"""Sessions of frames drawn at random from known lenses, and how often the intervals calibrated from them hold the truth.

The lenses, extensions and errors are invented: what a ruler read to 0.002, a tape to 0.5 mm and a calliper to 0.1 mm give.
The intervals meant here are those of 95 %.
"""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import sqrt
from typing import Any

import numpy as np

from closeup_service.measuring.distributions import student_factor
from closeup_service.measuring.lens.calibration import Estimates, estimates_of, residuals_of
from closeup_service.measuring.lens.fit import fit
from closeup_service.measuring.lens.records import Frame, Measured, Session
from closeup_service.optics.effective_degrees import effective_degrees

RARE = 0.05
PUPILS, PUPIL_ERROR = (12.0, 15.0), 0.1


@dataclass(frozen=True, slots=True)
class Lens:
    """A lens as it truly is, but for the play of its infinity stop; mm."""

    focal_length: float
    front_plane: float
    register: float
    separation: float
    camera_register: float
    least: float
    greatest: float


NORMAL = Lens(50.3, 21.0, 44.0, 9.0, 44.0, 10.0, 60.0)
TURNED = Lens(35.0, 21.0, 45.46, 9.0, 18.0, 31.0, 90.0)


@dataclass(frozen=True, slots=True)
class Case:
    """How sessions are taken.

    Attributes
    ----------
    frames : how many
    turned : whether the lens stands reversed
    register, known : whether the lens's register is given, and whether the frames state their uncertainty
    distances : whether every frame has its working distance and its distance from subject to sensor
    camera_register : whether that is given; a reversed lens needs it
    sigma, distance_error : standard errors of magnifications and distances [mm]
    play : standard uncertainty that is stated for the register, mm
    residual : true play, mm; None where it is drawn from what is stated
    """

    frames: int
    turned: bool = False
    register: bool = False
    known: bool = False
    distances: bool = False
    camera_register: bool = True
    sigma: float = 0.002
    distance_error: float = 0.5
    play: float = 0.2
    residual: float | None = None

    @property
    def lens(self) -> Lens:
        """The lens measured."""
        return TURNED if self.turned else NORMAL


@dataclass(frozen=True, slots=True)
class Drawn:
    """A session, and the true lens by the names of `QUANTITIES` with what it does in new trains."""

    session: Session
    truth: Mapping[str, float]


def drawn(case: Case, rng: np.random.Generator) -> Drawn:
    """One session."""
    lens = case.lens
    play = rng.normal(0, case.play) if case.residual is None else case.residual
    register = lens.register + play
    truth = {
        "focal_length_mm": lens.focal_length,
        "front_principal_plane_mm": lens.front_plane,
        "rear_principal_plane_mm": register - lens.focal_length,
        "extension_at_infinity_mm": lens.camera_register - register,
        "principal_plane_separation_mm": lens.separation,
        "pupil_magnification": PUPILS[1] / PUPILS[0],
        "f_number_estimate": lens.focal_length / PUPILS[0],
    }
    pupils = [Measured(float(pupil + rng.normal(0, PUPIL_ERROR)), PUPIL_ERROR) for pupil in PUPILS]
    extensions = np.linspace(lens.least, lens.greatest, case.frames).tolist()
    session = Session(
        [frame_at(case, extension, register, rng) for extension in extensions],
        turned=case.turned,
        camera_register=lens.camera_register if case.camera_register else None,
        lens_register=lens.register if case.register else None,
        infinity_stop_play=case.play,
        entrance_pupil=pupils[0],
        exit_pupil=pupils[1],
    )
    return Drawn(session, truth)


def magnification(case: Case, extension: float, register: float) -> float:
    """Magnification of the true lens (FORMULAS: normal (e + R_camera - R)/f, reversed (R_camera + e + a)/f - 1)."""
    lens = case.lens
    if case.turned:
        return (lens.camera_register + extension + lens.front_plane) / lens.focal_length - 1
    return (extension + lens.camera_register - register) / lens.focal_length


def frame_at(case: Case, extension: float, register: float, rng: np.random.Generator) -> Frame:
    """One frame with its errors."""
    lens, m = case.lens, magnification(case, extension, register)
    f = lens.focal_length
    read = Measured(float(m + rng.normal(0, case.sigma)), case.sigma if case.known else None)
    if not case.distances:
        return Frame(extension, read)
    working = register + f / m if case.turned else f + f / m - lens.front_plane
    total = f * (2 + m + 1 / m) + lens.separation
    distances = [Measured(float(d + rng.normal(0, case.distance_error)), case.distance_error) for d in (working, total)]
    return Frame(extension, read, 0.0, *distances)


def intervals(case: Case, estimates: Estimates) -> Iterator[tuple[str, float, float]]:
    """Every quantity told, with its interval; and the magnification in trains that were not measured, by its law."""
    for name in estimates.parameters:
        interval = estimates.interval(name)
        assert interval is not None
        yield name, *interval
    for share in (0.0, 0.5, 1.5):
        extension = case.lens.least + share * (case.lens.greatest - case.lens.least)
        told = magnification_interval(case, estimates, extension)
        if told is not None:
            yield f"magnification at {extension:g} mm", *told


def magnification_interval(case: Case, estimates: Estimates, extension: float) -> tuple[float, float] | None:
    """Interval of the magnification at an extension, by first order in the lens's covariance (GUM 5.2.2 and G.4)."""
    plane = "front_principal_plane_mm" if case.turned else "rear_principal_plane_mm"
    names = ("focal_length_mm", plane)
    if not set(names) <= set(estimates.parameters) or estimates.covariance is None:
        return None
    f, at = (float(estimates.values[name] or 0.0) for name in names)
    sign = 1 if case.turned else -1
    m = (case.lens.camera_register + extension + sign * at) / f - 1
    places = [estimates.parameters.index(name) for name in names]
    gradient = np.array([-(m + 1) / f, sign / f])
    variance = float(gradient @ estimates.covariance[np.ix_(places, places)] @ gradient)
    scattered = []
    if estimates.scatter is not None:
        scattered = [(float(gradient @ estimates.scatter[np.ix_(places, places)] @ gradient), estimates.degrees)]
    reach = student_factor(effective_degrees(variance, scattered)) * sqrt(variance)
    return m - reach, m + reach


@dataclass(frozen=True, slots=True)
class Coverage:
    """Share of sessions whose interval holds the truth, by quantity; shares of those with an outlier, and with distances that
    are said to disagree.
    """

    held: Mapping[str, float]
    outliers: float
    disagreeing: float


def coverage(case: Case, sessions: int, rng: np.random.Generator) -> Coverage:
    """Draw so many sessions and calibrate them."""
    held: Counter[str] = Counter()
    outliers = disagreeing = 0
    for _ in range(sessions):
        one = drawn(case, rng)
        fitted = fit(one.session)
        estimates = estimates_of(one.session, fitted)
        for name, low, high in intervals(case, estimates):
            held[name] += low <= truth_of(case, one.truth, name) <= high
        outliers += any(residual.outlier for residual in residuals_of(one.session, fitted))
        disagreeing += fitted.agreement is not None and fitted.agreement.probability < RARE
    return Coverage(
        {name: count / sessions for name, count in held.items()}, outliers / sessions, disagreeing / sessions
    )


def truth_of(case: Case, truth: Mapping[str, Any], name: str) -> float:
    """True value of what an interval is of."""
    if name in truth:
        return float(truth[name])
    extension = float(name.split()[2])
    return magnification(case, extension, truth["rear_principal_plane_mm"] + truth["focal_length_mm"])
