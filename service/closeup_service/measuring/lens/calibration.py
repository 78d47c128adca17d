"""What the fitted lens is, in the vocabulary's quantities, with their covariance by the law of propagation.

Each quantity has its own share of what the frames' scatter brought, and its interval the degrees of freedom that follow.
Source: JCGM 100 (GUM), 5.1.2, 5.2.2 and G.4 (from memory). Pupils: their magnification is exit over entrance diameter, each
as seen through its own side; the f-number is focal length over entrance pupil.
"""

from collections.abc import Mapping, Sequence
from math import inf, log, sqrt

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from closeup_service.language import tr
from closeup_service.measuring.distributions import chi_square_tail, student_factor
from closeup_service.measuring.lens.fit import Fit, fit
from closeup_service.measuring.lens.model import (
    FOCAL,
    GLASS,
    OFFSET,
    SEPARATION,
    focus_distance,
    places,
    register_tells,
)
from closeup_service.measuring.lens.more_frames import MoreFrames, frames_to_halve
from closeup_service.measuring.lens.outliers import magnification_residuals, outliers, studentised_residuals
from closeup_service.measuring.lens.records import Session
from closeup_service.optics import exposure, formulas
from closeup_service.optics.arithmetic import FloatArray
from closeup_service.optics.effective_degrees import effective_degrees
from closeup_service.optics.errors import Contradiction
from closeup_service.optics.vocabulary import VOCABULARY
from closeup_service.set_ups.elements import OTHER_REGISTER_MM

QUANTITIES = (
    "focal_length_mm",
    "front_principal_plane_mm",
    "rear_principal_plane_mm",
    "extension_at_infinity_mm",
    "pupil_magnification",
    "principal_plane_separation_mm",
    "f_number_estimate",
)
"""What a calibration tells, in the order of its covariance."""

ENTRANCE, EXIT, LIGHT_LOSS, PLAY = range(4, 8)
"""Places of the pupils, the light loss and the play of the infinity stop behind the four quantities fitted."""

_PLAY_IN_UNCERTAINTIES = 5
"""A register that was given is another lens's beyond `OTHER_REGISTER_MM` and so many standard uncertainties."""

Stated = tuple[float, Mapping[int, float]]
"""A value, and its derivatives by what was fitted or measured."""


class Estimates(Struct, frozen=True):
    """Values by name, None where not determined, and the covariance of those whose uncertainty is known.

    `scatter` is the part of the covariance that rests on a scatter, with its `degrees` of freedom; without it all of the
    covariance was stated beforehand.
    """

    values: Mapping[str, float | None]
    parameters: tuple[str, ...] = ()
    covariance: FloatArray | None = None
    scatter: FloatArray | None = None
    degrees: float = inf

    def uncertainty(self, name: str) -> float | None:
        """Standard uncertainty; None where it is not known.

        Returns
        -------
        float or None : in the unit of the quantity
        """
        if self.covariance is None or name not in self.parameters:
            return None
        place = self.parameters.index(name)
        return sqrt(float(self.covariance[place, place]))

    def degrees_of(self, name: str) -> float:
        """Effective degrees of freedom of one of the `parameters`."""
        if self.covariance is None or self.scatter is None:
            return inf
        place = self.parameters.index(name)
        return effective_degrees(
            float(self.covariance[place, place]), [(float(self.scatter[place, place]), self.degrees)]
        )

    def interval(self, name: str) -> tuple[float, float] | None:
        """Interval of 95 % confidence, by Student's factor (GUM, G.3).

        Returns
        -------
        tuple or None : least and greatest value, in the unit of the quantity
        """
        uncertainty, value = self.uncertainty(name), self.values[name]
        if uncertainty is None or value is None:
            return None
        reach = student_factor(self.degrees_of(name)) * uncertainty
        return value - reach, value + reach


class Residual(Struct, frozen=True):
    """One frame against the fitted lens; None where it cannot be said."""

    magnification: float
    sigma: float | None
    standardised: float | None
    outlier: bool
    working_distance: float | None
    subject_to_sensor: float | None


class RegisterFound(Struct, frozen=True):
    """Register that the frames alone tell [mm], its standard uncertainty (None where not known) and degrees of freedom."""

    value: float
    uncertainty: float | None = None
    degrees: float = inf


class Calibration(Struct, frozen=True):
    """A lens measured. `register_found` is what the frames say of the lens's register, where one was given too."""

    session: Session
    fit: Fit
    estimates: Estimates
    residuals: tuple[Residual, ...]
    more: MoreFrames
    register_found: RegisterFound | None


@np.errstate(all="ignore")
def calibrate(session: Session, least: float | None = None, greatest: float | None = None) -> Calibration:
    """Measure a lens from its frames; `least` and `greatest` are the extensions that further frames could have [mm].

    Parameters
    ----------
    session : frames, pupils and what is known beforehand, lengths in mm
    least, greatest : range of extensions that further frames could have [mm]

    Returns
    -------
    Calibration : quantities with their covariance, residuals, and the frames that would halve the interval

    Raises
    ------
    Contradiction
        For readings that no lens has, and for a register that cannot be this lens's.
    """
    fitted = fit(session)
    found = fitted_register(session)
    refuse_other_register(session, found)
    estimates = estimates_of(session, fitted)
    refuse_out_of_bounds(session, estimates)
    return Calibration(
        session,
        fitted,
        estimates,
        residuals_of(session, fitted),
        frames_to_halve(session, fitted, least, greatest),
        found,
    )


def describe_quantities(session: Session, fitted: Fit) -> dict[str, Stated]:
    """Every quantity that is determined, with its derivatives."""
    f, q, g, h = (float(value) for value in fitted.values)
    told: dict[str, Stated] = {"focal_length_mm": (f, {FOCAL: 1.0})}
    front = (q, {OFFSET: 1.0}) if session.turned else (g, {GLASS: 1.0})
    told["front_principal_plane_mm"] = front
    rear = rear_plane(session, f, q, g)
    if rear is not None:
        told["rear_principal_plane_mm"] = rear
    if not session.turned:
        told["extension_at_infinity_mm"] = (q, {OFFSET: 1.0})
    told["principal_plane_separation_mm"] = (h, {SEPARATION: 1.0})
    return {name: value for name, value in (told | pupils(session, f)).items() if not np.isnan(value[0])}


def rear_plane(session: Session, f: float, q: float, g: float) -> Stated | None:
    """Flange to rear principal plane: register less f, as the frames and the register together put the lens.

    A register that no frame can be held against, since the camera's is not known, is uncertain by the play alone.

    Parameters
    ----------
    f, q, g : as fitted [mm]

    Returns
    -------
    tuple or None : flange to plane [mm], and its derivatives by what was fitted
    """
    if session.turned:
        return g - f, {GLASS: 1.0, FOCAL: -1.0}
    if session.camera_register is not None:
        return formulas.rear_plane(session.camera_register - q, f), {OFFSET: -1.0, FOCAL: -1.0}
    if session.lens_register is not None:
        return formulas.rear_plane(session.lens_register, f), {PLAY: 1.0, FOCAL: -1.0}
    return None


def pupils(session: Session, f: float) -> dict[str, Stated]:
    """Pupil magnification and f-number.

    Parameters
    ----------
    f : focal length [mm]

    Returns
    -------
    dict : f-number and exit over entrance pupil, each with its derivatives by what was fitted or measured
    """
    told: dict[str, Stated] = {}
    if session.entrance_pupil is not None:
        entrance = session.entrance_pupil.value
        n = formulas.f_number_by_pupil(f, entrance)
        told["f_number_estimate"] = (n, {FOCAL: 1 / entrance, ENTRANCE: -f / (entrance * entrance)})
        if session.exit_pupil is not None:
            p = formulas.pupil_ratio(session.exit_pupil.value, entrance)
            told["pupil_magnification"] = (p, {EXIT: 1 / entrance, ENTRANCE: -p / entrance})
    if session.reference_f_number is not None and session.light_loss is not None:
        n = exposure.f_number_for(session.reference_f_number, session.light_loss.value)
        told["f_number_estimate"] = (n, {LIGHT_LOSS: n * log(2) / 2})
    return told


def variances(session: Session, fitted: Fit) -> dict[int, float | None]:
    """Variance of each thing fitted or measured; None where it is not known.

    Returns
    -------
    dict : each in the square of its unit
    """
    own = {
        ENTRANCE: session.entrance_pupil,
        EXIT: session.exit_pupil,
        LIGHT_LOSS: session.light_loss,
    }
    known: dict[int, float | None] = {
        place: None if read is None or read.uncertainty is None else read.uncertainty * read.uncertainty
        for place, read in own.items()
    }
    known[PLAY] = session.infinity_stop_play * session.infinity_stop_play
    for place in (FOCAL, OFFSET, GLASS, SEPARATION):
        known[place] = None if fitted.covariance is None else float(fitted.covariance[place, place])
    return known


def estimates_of(session: Session, fitted: Fit) -> Estimates:
    """Values, and covariance J C J^T of those whose every ingredient has a known uncertainty."""
    told, known = describe_quantities(session, fitted), variances(session, fitted)
    values = {name: told[name][0] if name in told else None for name in QUANTITIES}
    covariance, scatter = np.zeros((PLAY + 1, PLAY + 1)), np.zeros((PLAY + 1, PLAY + 1))
    if fitted.covariance is not None:
        covariance[:4, :4] = fitted.covariance
    if fitted.scatter is not None:
        scatter[:4, :4] = fitted.scatter
    for place in (ENTRANCE, EXIT, LIGHT_LOSS, PLAY):
        covariance[place, place] = known[place] or 0.0
    names, gradients = [], []
    for name in QUANTITIES:
        parts = told[name][1] if name in told else {}
        if parts and all(known[place] is not None for place in parts):
            gradient = np.zeros(PLAY + 1)
            gradient[list(parts)] = list(parts.values())
            if gradient @ covariance @ gradient > 0:
                names.append(name)
                gradients.append(gradient)
    if not names:
        return Estimates(values)
    jacobian = np.array(gradients)
    return Estimates(
        values,
        tuple(names),
        jacobian @ covariance @ jacobian.T,
        None if fitted.scatter is None else jacobian @ scatter @ jacobian.T,
        inf if fitted.scatter is None else fitted.degrees,
    )


def frames_tell_register(session: Session) -> bool:
    """Whether the frames tell the lens's register themselves: against the camera's, or by the distances of a reversed lens."""
    if session.turned:
        return any(frame.working_distance for frame in session.frames)
    return session.camera_register is not None


def fitted_register(session: Session) -> RegisterFound | None:
    """Register of the lens by the frames alone, where one was given to compare it with."""
    place = register_tells(session)
    if place is None or not frames_tell_register(session):
        return None
    free = fit(replace(session, lens_register=None))
    found = (
        float(free.values[place]) if session.turned else (session.camera_register or 0.0) - float(free.values[place])
    )
    if free.covariance is None:
        return RegisterFound(found)
    variance = float(free.covariance[place, place])
    scattered = [] if free.scatter is None else [(float(free.scatter[place, place]), free.degrees)]
    return RegisterFound(found, sqrt(variance), effective_degrees(variance, scattered))


def refuse_other_register(session: Session, found: RegisterFound | None) -> None:
    """A register far from where the frames were sharp is another lens's."""
    if found is None or found.uncertainty is None or session.lens_register is None:
        return
    reach = max(OTHER_REGISTER_MM, _PLAY_IN_UNCERTAINTIES * session.infinity_stop_play)
    reach += _PLAY_IN_UNCERTAINTIES * found.uncertainty * student_factor(found.degrees) / student_factor(inf)
    if abs(found.value - session.lens_register) > reach:
        raise Contradiction(
            tr(
                "By the frames the lens's register is {value:.4g} mm (standard uncertainty {uncertainty:.2g} mm), "
                "and lens_register_mm says {lens_register:g} mm: check the registers and whether every adapter "
                "counts in the extension, or leave lens_register_mm out.",
                value=found.value,
                uncertainty=found.uncertainty,
                lens_register=session.lens_register,
            ),
            "/lens_register_mm",
            "/camera_register_mm",
        )


BOUNDED = {name: name for name in QUANTITIES} | {"f_number_estimate": "f_number"}


def refuse_out_of_bounds(session: Session, estimates: Estimates) -> None:
    """A lens that no train would take was not measured."""
    for name, bound in BOUNDED.items():
        value, entry = estimates.values[name], VOCABULARY[bound]
        if value is None or entry.minimum is None or entry.maximum is None:
            continue
        if not entry.minimum <= value <= entry.maximum:
            raise Contradiction(
                tr(
                    "These readings make {bound} {value:.4g}, beyond {minimum:g} to {maximum:g}: check the "
                    "magnifications, the extensions and their units.",
                    bound=bound,
                    value=value,
                    minimum=entry.minimum,
                    maximum=entry.maximum,
                ),
                f"{session.pointer}/frames",
            )


def residuals_of(session: Session, fitted: Fit) -> tuple[Residual, ...]:
    """Every frame against the fitted lens."""
    x = focus_distance(fitted.values, places(session), session.turned)
    f, _, g, h = fitted.values
    read = magnification_residuals(session, fitted)
    shown, outlying = studentised_residuals(fitted, read), outliers(session, fitted)
    found = []
    for index, (frame, beyond) in enumerate(zip(session.frames, x, strict=True)):
        distance, total = frame.working_distance, frame.subject_to_sensor
        to_glass = f * f / beyond + (g - frame.focusing if session.turned else f - g)
        found.append(
            Residual(
                float(read[index]),
                None if fitted.sigmas is None else float(fitted.sigmas[index]),
                shown[index],
                index in outlying,
                None if distance is None else float(distance.value - to_glass),
                None if total is None else float(total.value - (2 * f + beyond + f * f / beyond + h)),
            )
        )
    return tuple(found)


def scatter_probability(fitted: Fit) -> float | None:
    """How rare a chi-square this large is with the uncertainties as stated; None where it cannot be tested.

    Parameters
    ----------
    fitted : lens fitted to the session

    Returns
    -------
    float or None : probability, 0 to 1
    """
    if fitted.square_sum is None or fitted.spare < 1:
        return None
    return chi_square_tail(fitted.square_sum, fitted.spare)


def outlier_places(residuals: Sequence[Residual]) -> list[int]:
    """Return the places of the outliers."""
    return [index for index, residual in enumerate(residuals) if residual.outlier]
