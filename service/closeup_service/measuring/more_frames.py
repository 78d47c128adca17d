"""How many frames more would halve the 95 % interval, and where they tell most."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf, isinf, sqrt

import numpy as np

from closeup_service.measuring.calibration_records import Session
from closeup_service.measuring.distributions import student_factor
from closeup_service.measuring.lens_fit import FOCAL, OFFSET, Fit, beyond_focus, fitted_places, places
from closeup_service.optics.arithmetic import FloatArray

MOST_REPEATS, MOST_ADDED = 100, 4096
SHARES = (0.0, 0.25, 0.5, 0.75, 1.0)


@dataclass(frozen=True, slots=True)
class Added:
    """So many further frames at one extension [mm]."""

    extension: float
    frames: int


@dataclass(frozen=True, slots=True)
class MoreFrames:
    """What halves the interval: repeats of all frames, or fewer where they tell most; None or empty where nothing does."""

    repeats: int | None = None
    added: tuple[Added, ...] = ()


def frames_to_halve(session: Session, fit: Fit, least: float | None, greatest: float | None) -> MoreFrames:
    """Find what halves the 95 % interval of the focal length, or of the plane where the focal length is known beforehand.

    Repeats divide the variance by their number. Single frames tell most at the ends of the extensions that can be had, where
    their leverage is greatest. Where the uncertainty stems from the scatter, Student's factor shrinks too, and the scatter is
    taken to stay.
    """
    if fit.covariance is None or fit.sigmas is None:
        return MoreFrames()
    free = fitted_places(session, fit.values)
    target = free.index(FOCAL) if FOCAL in free else free.index(OFFSET)
    covariance = fit.covariance[np.ix_(free, free)]
    wanted = student_factor(fit.degrees) * sqrt(fit.covariance[free[target], free[target]]) / 2
    ends = candidates(session, fit, least, greatest)
    gains = [gain_at(session, fit, end)[free] for end in ends]
    return MoreFrames(
        repeats(len(session.frames), fit.degrees), added(covariance, ends, gains, target, fit.degrees, wanted)
    )


def repeats(frames: int, degrees: float) -> int | None:
    """How often all frames must be taken again."""
    wanted = student_factor(degrees) / 2
    for again in range(1, MOST_REPEATS):
        spare = inf if isinf(degrees) else degrees + again * frames
        if student_factor(spare) / sqrt(again + 1) <= wanted:
            return again
    return None


def extensions(session: Session) -> FloatArray:
    """Extension of each frame, the focus ring's share included where the lens stands normally; mm."""
    return places(session) - (session.camera_register or 0.0) * session.turned


def candidates(session: Session, fit: Fit, least: float | None, greatest: float | None) -> list[float]:
    """Ends of the extensions that can be had, of those at which there is a subject; without a range the present ends."""
    present = extensions(session)
    ends = sorted({least if least is not None else present.min(), greatest if greatest is not None else present.max()})
    return [float(end) for end in ends if magnification_at(session, fit, end) > 0]


def magnification_at(session: Session, fit: Fit, extension: float) -> float:
    """Magnification that the fitted lens has at an extension."""
    place = np.array([extension + (session.camera_register or 0.0) * session.turned])
    return float(beyond_focus(fit.values, place, session.turned)[0] / fit.values[FOCAL])


def gain_at(session: Session, fit: Fit, extension: float) -> FloatArray:
    """Derivatives of the magnification at an extension over its uncertainty there."""
    assert fit.sigmas is not None
    m, f = magnification_at(session, fit, extension), fit.values[FOCAL]
    nearest = int(np.argmin(np.abs(extensions(session) - extension)))
    sigma = fit.sigmas[nearest]
    if session.relative and not session.weighed:
        sigma = sigma * m / session.frames[nearest].magnification.value
    gain: FloatArray = np.array([-(m + session.turned) / f, 1 / f, 0.0, 0.0]) / sigma
    return gain


def variance_with(covariance: FloatArray, gains: Sequence[FloatArray], numbers: Sequence[int], target: int) -> float:
    """Variance of one quantity after so many further frames of each kind: C - C G^T (G C G^T + 1/n)^-1 G C (Woodbury)."""
    rows = np.array([gain for gain, number in zip(gains, numbers, strict=True) if number])
    spread = rows @ covariance @ rows.T + np.diag([1 / number for number in numbers if number])
    shared = rows @ covariance[:, target]
    taken = shared @ np.linalg.lstsq(spread, shared, rcond=None)[0]
    return max(float(covariance[target, target] - taken), 0.0)


def added(
    covariance: FloatArray,
    ends: Sequence[float],
    gains: Sequence[FloatArray],
    target: int,
    degrees: float,
    wanted: float,
) -> tuple[Added, ...]:
    """Fewest frames at the ends that reach the wanted interval, by bisection of their number."""

    def split(total: int) -> list[int] | None:
        """Numbers at each end by which so many frames reach it."""
        spare = inf if isinf(degrees) else degrees + total
        for share in SHARES if len(ends) > 1 else (1.0,):
            numbers = [total - round(share * total), round(share * total)][-len(ends) :]
            if student_factor(spare) * sqrt(variance_with(covariance, gains, numbers, target)) <= wanted:
                return numbers
        return None

    if not ends or split(MOST_ADDED) is None:
        return ()
    low, high = 0, MOST_ADDED
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if split(middle) is not None else (middle, high)
    numbers = split(high) or []
    return tuple(Added(end, number) for end, number in zip(ends, numbers, strict=True) if number)
