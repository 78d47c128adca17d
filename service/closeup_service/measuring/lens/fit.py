"""One lens fitted to all that was measured of it, by weighted least squares.

The model is that of `lens_model`. Extensions count as exact; what is read off a ruler carries the errors, so that
magnification and working distance of a frame are independent. Source: JCGM 100 (GUM), 5.2 and H.3 (from memory).

Where the magnifications state no uncertainty, it is their scatter sigma. Beside readings whose uncertainty is known it is
found together with the lens by restricted maximum likelihood: sigma^2 = sum of squares of the magnifications' residuals /
(frames - sum of their leverages), which is the scatter about a straight line with n - 2 degrees of freedom where nothing
else was read. Its degrees of freedom are those of the likelihood's information, 2 sigma^4 I(sigma^2). Sources: S. R. Searle,
G. Casella and C. E. McCulloch, *Variance Components*, ch. 6; W. E. Deming, *Statistical Adjustment of Data* (both from
memory).
"""

from math import inf, sqrt

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from closeup_service.language import tr
from closeup_service.measuring.distributions import f_tail
from closeup_service.measuring.lens.model import Rows, fitted_places, magnifications, places, rows_of
from closeup_service.measuring.lens.records import Session
from closeup_service.measuring.lens.start import starting_values, stated_sigmas, weights_of
from closeup_service.measuring.straight_line import straight_line
from closeup_service.optics.arithmetic import FloatArray
from closeup_service.optics.errors import Contradiction

_MOST_STEPS = 60
_MOST_SCATTERS = 100
_SETTLED = 1e-13
_GOOD_ENOUGH = 1e-7
_SCATTER_SETTLED = 1e-9
_MOST_GROWTH = 2.0
"""The logarithm of the scatter's variance changes by no more in one step."""
_TOLD_APART = 1e-10


class Agreement(Struct, frozen=True):
    """Whether distances and magnifications tell of the same lens: F of the extra sum of squares, and how rare it is."""

    ratio: float
    probability: float


class Adjusted(Struct, frozen=True):
    """A lens adjusted to rows of given uncertainties.

    Attributes
    ----------
    values : f, q, g, h [mm], NaN where nothing tells of them
    free : which of those were adjusted
    rows : readings against the adjusted lens
    weighed : their derivatives by what is free, over their uncertainties
    basis, inverse : orthonormal basis of `weighed`, and what makes it of `weighed` from the right
    """

    values: FloatArray
    free: list[int]
    rows: Rows
    weighed: FloatArray
    basis: FloatArray
    inverse: FloatArray

    @property
    def residuals(self) -> FloatArray:
        """What is left of each row, in its standard uncertainty."""
        return self.rows.residuals

    @property
    def square_sum(self) -> float:
        """Sum of their squares."""
        return float(self.residuals @ self.residuals)

    @property
    def degrees_of_freedom(self) -> int:
        """Rows beyond what is free."""
        return len(self.weighed) - len(self.free)

    def covariance(self, rows: int | None = None) -> FloatArray:
        """Covariance of the four; with `rows`, the part of it that the first so many rows bring.

        Returns
        -------
        array : of f, q, g, h [mm^2], shape (4, 4)
        """
        inner = self.inverse @ self.inverse.T
        if rows is not None:
            brought = inner @ self.weighed[:rows].T
            inner = brought @ brought.T
        covariance = np.zeros((4, 4))
        covariance[np.ix_(self.free, self.free)] = inner
        return covariance


class Fit(Struct, frozen=True):
    """A lens fitted.

    Attributes
    ----------
    values : f, q, g, h [mm], NaN where nothing was measured of it
    covariance : of the four, 0 where exact or not fitted; None where no uncertainty is known
    scatter : the part of the covariance that rests on the frames' scatter; None where that was not taken
    degrees : degrees of freedom of that scatter, infinite where all uncertainties were stated beforehand
    sigmas : standard uncertainty of each magnification, stated or from the scatter; None where not known
    leverages : share of each magnification in its own fitted value
    adjusted : the rows as they were adjusted; None where no uncertainty is known
    square_sum, spare : chi-square of the fit and its degrees of freedom; None unless all uncertainties were stated
    agreement : of distances with magnifications; None where it cannot be tested
    """

    values: FloatArray
    covariance: FloatArray | None
    scatter: FloatArray | None
    degrees: float
    sigmas: FloatArray | None
    leverages: FloatArray | None
    adjusted: Adjusted | None
    square_sum: float | None
    spare: int
    agreement: Agreement | None = None


def fit(session: Session) -> Fit:
    """Fit the lens; without uncertainties, stated or from the scatter of three frames or more, to its values alone.

    Parameters
    ----------
    session : frames and what is known beforehand, lengths in mm

    Returns
    -------
    Fit : f, q, g and h [mm] (see `model`) with what the fit leaves uncertain

    Raises
    ------
    Contradiction : for readings that no lens has
    """
    sigmas, degrees = magnification_sigmas(session)
    start = starting_values(session)
    if sigmas is None:
        return Fit(start, None, None, degrees, None, None, None, None, 0)
    agreement = agreement_of(session, start, sigmas, degrees)
    adjusted = adjust(session, start, sigmas)
    if not session.is_weighted and len(adjusted.rows.read) > len(session.frames):
        adjusted, degrees = adjust_with_scatter(session, adjusted)
    frames = len(session.frames)
    return Fit(
        adjusted.values,
        adjusted.covariance(),
        None if session.is_weighted else adjusted.covariance(frames),
        degrees,
        adjusted.rows.sigmas[:frames],
        leverages(adjusted)[:frames],
        adjusted,
        adjusted.square_sum if session.is_weighted else None,
        adjusted.degrees_of_freedom,
        agreement,
    )


def magnification_sigmas(session: Session) -> tuple[FloatArray | None, float]:
    """Standard uncertainty of each magnification and its degrees of freedom: as stated, or from the scatter about a line.

    Returns
    -------
    tuple : sensor over subject, shape (frames,), or None; and degrees of freedom
    """
    if session.is_weighted:
        return stated_sigmas(session), inf
    spare = len(session.frames) - 2
    if spare < 1 or session.focal_length is not None:
        return None, 0
    line = straight_line(places(session), magnifications(session), weights_of(session))
    return scatter_sigmas(session, sqrt(float(line.square_sum) / spare)), spare


def scatter_sigmas(session: Session, scale: float) -> FloatArray:
    """Standard uncertainty of each magnification by a scatter, which is relative or the same for all; never below rounding.

    Parameters
    ----------
    scale : scatter, relative to the magnification where `session.relative`, else sensor over subject

    Returns
    -------
    array : sensor over subject, shape (frames,)
    """
    read = magnifications(session)
    return np.maximum(scale * (read if session.relative else np.ones_like(read)), least_sigmas(session))


def least_sigmas(session: Session) -> FloatArray:
    """Rounding of the magnifications.

    Returns
    -------
    array : sensor over subject, shape (frames,)
    """
    return np.asarray(np.finfo(float).eps * magnifications(session))


def adjust_with_scatter(session: Session, adjusted: Adjusted) -> tuple[Adjusted, float]:
    """Scatter and lens found together, from a first adjustment: the adjustment, and the scatter's degrees of freedom."""
    frames = len(session.frames)
    step, before = 0.0, 0.0
    for _ in range(_MOST_SCATTERS):
        growth, degrees = scatter_growth(adjusted, frames)
        step, before = next_step(growth, before, step), growth
        sigmas = np.maximum(adjusted.rows.sigmas[:frames] * np.exp(step / 2), least_sigmas(session))
        if np.max(np.abs(sigmas / adjusted.rows.sigmas[:frames] - 1)) < _SCATTER_SETTLED:
            break
        adjusted = adjust(session, adjusted.values, sigmas)
    return adjusted, degrees


def next_step(growth: float, before: float, step: float) -> float:
    """Secant step of the logarithm of the scatter's variance, from its growth now and one step before; else the growth.

    Parameters
    ----------
    growth, before : scoring step of the natural logarithm now and one step before
    step : last step of the natural logarithm

    Returns
    -------
    float : step of the natural logarithm
    """
    fallen = before - growth
    wanted = growth * step / fallen if fallen * step > 0 else growth
    return min(max(wanted, -_MOST_GROWTH), _MOST_GROWTH)


def scatter_growth(adjusted: Adjusted, frames: int) -> tuple[float, float]:
    """Scoring step of the logarithm of the scatter's variance, and its degrees of freedom.

    With M = 1 - Q Q^T, Q the basis of the weighed derivatives, and E picking the magnifications: the restricted likelihood
    rises with the logarithm by (|E residuals|^2 - tr(E M)) / 2, and its information there is tr(E M E M) / 2.

    Returns
    -------
    tuple : step of the natural logarithm, and degrees of freedom
    """
    shares = adjusted.basis[:frames] @ adjusted.basis[:frames].T
    left = np.eye(frames) - shares
    degrees = float((left * left).sum())
    squares = float(adjusted.residuals[:frames] @ adjusted.residuals[:frames])
    return (squares - float(np.trace(left))) / degrees, degrees


def leverages(adjusted: Adjusted) -> FloatArray:
    """Share of each row in its own fitted value."""
    return np.asarray((adjusted.basis * adjusted.basis).sum(axis=1))


def adjust(session: Session, start: FloatArray, sigmas: FloatArray) -> Adjusted:
    """Gauss-Newton steps to the least sum of squares.

    Parameters
    ----------
    start : f, q, g, h [mm], shape (4,)
    sigmas : standard uncertainties of the magnifications, sensor over subject, shape (frames,)

    Returns
    -------
    Adjusted : values [mm]
    """
    free = fitted_places(session)
    values = start.copy()
    for _ in range(_MOST_STEPS):
        rows = rows_of(session, values, sigmas)
        weighed = rows.derivatives[:, free] / rows.sigmas[:, None]
        size = np.sqrt((weighed * weighed).sum(axis=0))
        q, r = np.linalg.qr(weighed / size)
        refuse_undetermined(session, r)
        step = np.linalg.solve(r, q.T @ rows.residuals) / size
        values[free] += step
        moved = float(np.max(np.abs(step) / np.maximum(np.abs(values[free]), 1)))
        if not np.isfinite(moved) or moved < _SETTLED:
            break
    refuse_unsettled(session, moved)
    return Adjusted(values, free, rows_of(session, values, sigmas), weighed, q, np.linalg.inv(r) / size[:, None])


def refuse_undetermined(session: Session, triangle: FloatArray) -> None:
    """Readings that do not tell the quantities apart, to the digits that a number has, cannot be fitted.

    Parameters
    ----------
    triangle : R of the weighed derivatives, each column brought to length 1, shape (free, free)

    Raises
    ------
    Contradiction
        Where its diagonal is as small as rounding makes it.
    """
    if not np.all(np.isfinite(triangle)) or np.min(np.abs(np.diag(triangle))) < _TOLD_APART:
        raise Contradiction(
            tr(
                "These frames do not tell the focal length and the planes apart: take them at extensions that differ "
                "more, and check that their uncertainties are of like size.",
            ),
            f"{session.pointer}/frames",
        )


def refuse_unsettled(session: Session, moved: float) -> None:
    """Distances that no lens with these magnifications can have do not settle.

    Parameters
    ----------
    moved : largest last step, as a share of its value, or of 1 mm where the value is smaller

    Raises
    ------
    Contradiction
        Where it is not small.
    """
    if not moved < _GOOD_ENOUGH:
        raise Contradiction(
            tr(
                "No lens has both these magnifications and these distances: check the distances and their "
                "uncertainties.",
            ),
            f"{session.pointer}/frames",
        )


def drop_distances(session: Session) -> Session:
    """The session with its magnifications alone, beside what is known beforehand."""
    frames = [replace(frame, working_distance=None, subject_to_sensor=None) for frame in session.frames]
    return replace(session, frames=frames)


def agreement_of(session: Session, start: FloatArray, sigmas: FloatArray, degrees: float) -> Agreement | None:
    """Hold the distances against the magnifications, by the extra sum of squares that they bring.

    Parameters
    ----------
    start : f, q, g, h [mm], shape (4,)
    sigmas : standard uncertainties of the magnifications, sensor over subject, shape (frames,)
    degrees : degrees of freedom of those, or inf

    Returns
    -------
    Agreement or None : ratio of variances, and its probability, 0 to 1
    """
    if not any(frame.working_distance or frame.subject_to_sensor for frame in session.frames):
        return None
    bare = drop_distances(session)
    joint, alone = adjust(session, start, sigmas), adjust(bare, starting_values(bare), sigmas)
    extra = joint.degrees_of_freedom - alone.degrees_of_freedom
    if extra < 1:
        return None
    ratio = max(joint.square_sum - alone.square_sum, 0.0) / extra
    return Agreement(ratio, f_tail(ratio, extra, degrees))
