"""One lens fitted to all that was measured of it, by weighted least squares.

Every length is written in x, how far the sensor stands beyond the focus for infinity: x = z + q - k f, with z known.
Mounted normally k = 0, z is the extension (rings and focusing) and q what remains of it at the infinity stop; turned round
k = 1, z the camera's register with the extension, and q the front principal plane behind the rim. Then

    m = x / f,   working distance = f^2/x + (f - g  normal;  g - focusing  turned),   subject to sensor = 2 f + x + f^2/x + h

with g the front principal plane, or turned round the lens's own register, and h the principal-plane separation (the thick
lens of `optics.formulas`). Extensions count as exact; what is read off a ruler carries the errors, so that magnification and
working distance of a frame are independent. Sources: JCGM 100 (GUM), 5.2 and H.3; W. E. Deming, *Statistical Adjustment of
Data* (both from memory).
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import inf, sqrt
from typing import Any

import numpy as np

from closeup_service.measuring.calibration_records import Measured, Session
from closeup_service.measuring.distributions import f_tail
from closeup_service.measuring.straight_line import straight_line
from closeup_service.optics.arithmetic import FloatArray
from closeup_service.optics.errors import Contradiction

FOCAL, OFFSET, GLASS, SEPARATION = range(4)
"""Places of f, q, g and h among the four quantities fitted."""

_MOST_STEPS = 60
_SETTLED = 1e-13
_GOOD_ENOUGH = 1e-7
_TOLD_APART = 1e-10


@dataclass(frozen=True, slots=True)
class Agreement:
    """Whether distances and magnifications tell of the same lens: F of the extra sum of squares, and how rare it is."""

    ratio: float
    probability: float


@dataclass(frozen=True, slots=True)
class Fit:
    """A lens fitted.

    Attributes
    ----------
    values : f, q, g, h [mm], NaN where nothing was measured of it
    covariance : of the four, 0 where exact or not fitted; None where no uncertainty is known
    degrees : degrees of freedom of the uncertainty, infinite where it was stated beforehand
    sigmas : standard uncertainty of each magnification, stated or from the scatter; None where not known
    leverages : share of each magnification in its own fitted value
    square_sum, spare : chi-square of the fit and its degrees of freedom; None unless all uncertainties were stated
    agreement : of distances with magnifications; None where it cannot be tested
    """

    values: FloatArray
    covariance: FloatArray | None
    degrees: float
    sigmas: FloatArray | None
    leverages: FloatArray | None
    square_sum: float | None
    spare: int
    agreement: Agreement | None = None


@dataclass(frozen=True, slots=True)
class Rows:
    """What was read, one row each: value, uncertainty, value and derivatives by the model."""

    read: FloatArray
    sigmas: FloatArray
    model: FloatArray
    derivatives: FloatArray


def places(session: Session) -> FloatArray:
    """Return z of each frame, mm."""
    if session.turned:
        assert session.camera_register is not None
        return np.array([session.camera_register + frame.extension for frame in session.frames])
    return np.array([frame.extension + frame.focusing for frame in session.frames])


def beyond_focus(values: FloatArray, place: FloatArray, turned: bool) -> FloatArray:
    """Return x, mm."""
    return np.asarray(place + values[OFFSET] - turned * values[FOCAL])


def fit(session: Session) -> Fit:
    """Fit the lens; without uncertainties, stated or from the scatter of three frames or more, to its values alone."""
    sigmas, degrees = magnification_sigmas(session)
    values = starting_values(session)
    if sigmas is None:
        return Fit(values, None, degrees, None, None, None, 0)
    found, square_sum, covariance, leverages, spare = adjust(session, values, sigmas)
    return Fit(
        found,
        covariance,
        degrees,
        sigmas,
        leverages,
        square_sum if session.weighed else None,
        spare,
        agreement_of(session, values, sigmas, square_sum, spare, degrees),
    )


def magnification_sigmas(session: Session) -> tuple[FloatArray | None, float]:
    """Standard uncertainty of each magnification and its degrees of freedom: as stated, or from the scatter about a line."""
    if session.weighed:
        return stated_sigmas(session), inf
    spare = len(session.frames) - 2
    if spare < 1 or session.focal_length is not None:
        return None, 0
    read = magnifications(session)
    line = straight_line(places(session), read, weights_of(session))
    scale = sqrt(float(line.square_sum) / spare)
    floor = np.finfo(float).eps * read
    return np.maximum(scale * (read if session.relative else np.ones_like(read)), floor), spare


def stated_sigmas(session: Session) -> FloatArray:
    """Standard uncertainties of the magnifications, of which every frame states its own."""
    return np.array([frame.magnification.uncertainty for frame in session.frames], dtype=float)


def magnifications(session: Session) -> FloatArray:
    """Magnifications as read."""
    return np.array([frame.magnification.value for frame in session.frames])


def weights_of(session: Session) -> FloatArray:
    """Weights of the magnifications, up to a factor."""
    if session.weighed:
        sigmas = stated_sigmas(session)
        return np.asarray(1 / (sigmas * sigmas))
    read = magnifications(session)
    return 1 / (read * read) if session.relative else np.ones_like(read)


def starting_values(session: Session) -> FloatArray:
    """Return f and q from the magnifications alone, g and h from the distances at those."""
    weights, place, read = weights_of(session), places(session), magnifications(session)
    values = np.full(4, np.nan)
    if session.focal_length is not None:
        values[FOCAL] = session.focal_length.value
        values[OFFSET] = np.average(values[FOCAL] * (read + session.turned) - place, weights=weights)
    else:
        line = straight_line(place, read, weights)
        if not line.slope > 0:
            raise Contradiction(
                "The magnifications do not grow with the extension, as any lens would have it: check which belongs to which.",
                f"{session.pointer}/frames",
            )
        values[FOCAL] = 1 / line.slope
        values[OFFSET] = (line.intercept + session.turned) / line.slope
    x = beyond_focus(values, place, session.turned)
    refuse_frames_before_focus(session, x)
    values[GLASS] = mean_glass(session, values, x)
    values[SEPARATION] = mean_separation(session, values, x)
    return values


def refuse_frames_before_focus(session: Session, x: FloatArray) -> None:
    """A frame with a distance must lie beyond the focus for infinity, as fitted."""
    wrong = [
        f"{session.pointer}/frames/{index}/magnification"
        for index, frame in enumerate(session.frames)
        if x[index] <= 0 and (frame.working_distance or frame.subject_to_sensor)
    ]
    if wrong:
        raise Contradiction(
            "By the other frames this one would be focused beyond infinity: check its magnification and extension.",
            *wrong,
        )


def mean_glass(session: Session, values: FloatArray, x: FloatArray) -> float:
    """Return g from the working distances [mm]; turned round the register where that was given; NaN without either."""
    if session.turned and session.lens_register is not None:
        return session.lens_register
    at, read, sigmas = readings(frame.working_distance for frame in session.frames)
    reach = values[FOCAL] * values[FOCAL] / x[at] - read
    found = focusings(session)[at] - reach if session.turned else values[FOCAL] + reach
    return float(np.average(found, weights=1 / (sigmas * sigmas))) if len(at) else np.nan


def mean_separation(session: Session, values: FloatArray, x: FloatArray) -> float:
    """Return h from the distances between subject and sensor [mm]; NaN without them."""
    at, read, sigmas = readings(frame.subject_to_sensor for frame in session.frames)
    f = values[FOCAL]
    found = read - (2 * f + x[at] + f * f / x[at])
    return float(np.average(found, weights=1 / (sigmas * sigmas))) if len(at) else np.nan


def readings(given: Iterable[Measured | None]) -> tuple[list[int], FloatArray, FloatArray]:
    """Which frames have a reading, and the readings with their uncertainties."""
    found = [(index, read.value, read.uncertainty) for index, read in enumerate(given) if read is not None]
    values = np.array([value for _, value, _ in found], dtype=float)
    return [index for index, _, _ in found], values, np.array([sigma for _, _, sigma in found], dtype=float)


def focusings(session: Session) -> FloatArray:
    """How far the focus ring had carried the lens in each frame, mm."""
    return np.array([frame.focusing for frame in session.frames])


def fitted_places(session: Session, values: FloatArray) -> list[int]:
    """Which of the four are free: neither exact nor without a measurement."""
    exact = session.focal_length is not None and session.focal_length.uncertainty is None
    free = [OFFSET] if exact else [FOCAL, OFFSET]
    read_glass = any(frame.working_distance for frame in session.frames)
    if read_glass and not (session.turned and session.lens_register is not None):
        free.append(GLASS)
    return [*free, SEPARATION] if not np.isnan(values[SEPARATION]) else free


def rows_of(session: Session, values: FloatArray, sigmas: FloatArray) -> Rows:
    """Every reading, the magnifications first, against the model."""
    x = beyond_focus(values, places(session), session.turned)
    f, k = values[FOCAL], float(session.turned)
    rows = [
        (magnifications(session), sigmas, x / f, table(len(x), -x / (f * f) - k / f, 1 / f, 0, 0)),
        working_distance_rows(session, values, x),
        subject_to_sensor_rows(session, values, x),
    ]
    known = session.focal_length
    if known is not None and known.uncertainty is not None:
        rows.append((np.array([known.value]), np.array([known.uncertainty]), np.array([f]), table(1, 1, 0, 0, 0)))
    return Rows(*(np.concatenate(column) for column in zip(*rows, strict=True)))


def working_distance_rows(
    session: Session, values: FloatArray, x: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Working distances against the model."""
    at, read, sigmas = readings(frame.working_distance for frame in session.frames)
    f, g, k = values[FOCAL], values[GLASS], float(session.turned)
    stretch = f / x[at]
    by_x = -stretch * stretch
    model = f * stretch + (g - focusings(session)[at] if session.turned else f - g)
    return read, sigmas, model, table(len(at), 2 * stretch - k * by_x + (1 - k), by_x, 2 * k - 1, 0)


def subject_to_sensor_rows(
    session: Session, values: FloatArray, x: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Distances between subject and sensor against the model."""
    at, read, sigmas = readings(frame.subject_to_sensor for frame in session.frames)
    f, k = values[FOCAL], float(session.turned)
    stretch = f / x[at]
    by_x = 1 - stretch * stretch
    model = 2 * f + x[at] + f * stretch + values[SEPARATION]
    return read, sigmas, model, table(len(at), 2 + 2 * stretch - k * by_x, by_x, 0, 1)


def table(rows: int, *columns: Any) -> FloatArray:
    """Columns side by side; a number fills its column."""
    filled = np.empty((rows, len(columns)))
    for index, column in enumerate(columns):
        filled[:, index] = column
    return filled


def adjust(
    session: Session, start: FloatArray, sigmas: FloatArray
) -> tuple[FloatArray, float, FloatArray, FloatArray, int]:
    """Gauss-Newton steps to the least sum of squares: values, that sum, covariance, leverages, degrees of freedom."""
    free = fitted_places(session, start)
    values = start.copy()
    for _ in range(_MOST_STEPS):
        rows = rows_of(session, values, sigmas)
        weighed = rows.derivatives[:, free] / rows.sigmas[:, None]
        size = np.sqrt((weighed * weighed).sum(axis=0))
        q, r = np.linalg.qr(weighed / size)
        refuse_undetermined(session, r)
        step = np.linalg.solve(r, q.T @ ((rows.read - rows.model) / rows.sigmas)) / size
        values[free] += step
        moved = float(np.max(np.abs(step) / np.maximum(np.abs(values[free]), 1)))
        if not np.isfinite(moved) or moved < _SETTLED:
            break
    refuse_unsettled(session, moved)
    rows = rows_of(session, values, sigmas)
    residuals = (rows.read - rows.model) / rows.sigmas
    inverse = np.linalg.inv(r) / size[:, None]
    covariance = np.zeros((4, 4))
    covariance[np.ix_(free, free)] = inverse @ inverse.T
    leverages = (q * q).sum(axis=1)[: len(sigmas)]
    return values, float(residuals @ residuals), covariance, leverages, len(residuals) - len(free)


def refuse_undetermined(session: Session, triangle: FloatArray) -> None:
    """Readings that do not tell the quantities apart, to the digits that a number has, cannot be fitted."""
    if not np.all(np.isfinite(triangle)) or np.min(np.abs(np.diag(triangle))) < _TOLD_APART:
        raise Contradiction(
            "These frames do not tell the focal length and the planes apart: take them at extensions that differ more, and "
            "check that their uncertainties are of like size.",
            f"{session.pointer}/frames",
        )


def refuse_unsettled(session: Session, moved: float) -> None:
    """Distances that no lens with these magnifications can have do not settle."""
    if not moved < _GOOD_ENOUGH:
        raise Contradiction(
            "No lens has both these magnifications and these distances: check the distances and their uncertainties.",
            f"{session.pointer}/frames",
        )


def agreement_of(
    session: Session, start: FloatArray, sigmas: FloatArray, square_sum: float, spare: int, degrees: float
) -> Agreement | None:
    """Hold the distances against the magnifications, by the extra sum of squares that they bring."""
    if not any(frame.working_distance or frame.subject_to_sensor for frame in session.frames):
        return None
    bare = replace(
        session,
        frames=[replace(frame, working_distance=None, subject_to_sensor=None) for frame in session.frames],
    )
    alone = np.where([True, True, False, False], start, np.nan)
    _, alone_sum, _, _, alone_spare = adjust(bare, alone, sigmas)
    extra = spare - alone_spare
    if extra < 1:
        return None
    ratio = max(square_sum - alone_sum, 0.0) / extra
    return Agreement(ratio, f_tail(ratio, extra, degrees))
