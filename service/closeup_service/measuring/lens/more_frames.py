"""How many frames more would halve the 95 % interval, and where they tell most."""

from collections.abc import Sequence
from math import sqrt

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from closeup_service.measuring.distributions import student_factor
from closeup_service.measuring.lens.fit import Adjusted, Fit
from closeup_service.measuring.lens.model import FOCAL, OFFSET, focus_distance, places
from closeup_service.measuring.lens.records import Session
from closeup_service.optics.arithmetic import FloatArray
from closeup_service.optics.effective_degrees import effective_degrees

MOST_REPEATS, MOST_ADDED = 100, 4096
SHARES = (0.0, 0.25, 0.5, 0.75, 1.0)
_ROUNDING = 1e-9


class Added(Struct, frozen=True):
    """So many further frames at one extension [mm]."""

    extension: float
    frames: int


class MoreFrames(Struct, frozen=True):
    """What halves the interval: repeats of all frames, or fewer where they tell most; None or empty where nothing does."""

    repeats: int | None = None
    added: tuple[Added, ...] = ()


class Told(Struct, frozen=True):
    """What frames tell of one quantity, in the coordinates in which all rows together tell one unit of each.

    `direction` is the quantity in those, `total` the information of all rows, `frames` and `scattered` that of the rows that
    frames brought and of those whose uncertainty is the scatter, `degrees` those of the scatter.
    """

    direction: FloatArray
    total: FloatArray
    frames: FloatArray
    scattered: FloatArray
    degrees: float

    def half_interval(self) -> float:
        """Half the 95 % interval of the quantity.

        Returns
        -------
        float : [mm]
        """
        spread = np.linalg.solve(self.total, self.direction)
        variance, by_scatter = float(self.direction @ spread), float(spread @ self.scattered @ spread)
        return student_factor(effective_degrees(variance, [(by_scatter, self.degrees)])) * sqrt(max(variance, 0.0))

    def with_more(self, frames: int, information: FloatArray, scattered: FloatArray) -> "Told":
        """The same with so many frames more, and what they bring.

        Parameters
        ----------
        information, scattered : what the frames bring to `total` and to `scattered`, in the coordinates of those, without unit
        """
        return replace(
            self,
            total=self.total + information,
            scattered=self.scattered + scattered,
            degrees=self.degrees + frames,
        )


def frames_to_halve(session: Session, fit: Fit, least: float | None, greatest: float | None) -> MoreFrames:
    """Find what halves the 95 % interval of the focal length, or of the plane where the focal length is known beforehand.

    Repeats bring again what all frames brought, but not what was known beforehand. Single frames tell most at the ends of the
    extensions that can be had, where their leverage is greatest. Where the uncertainty stems from the scatter, Student's
    factor shrinks too, and the scatter is taken to stay.

    Parameters
    ----------
    session : the present frames
    fit : lens fitted to them
    least, greatest : range of extensions that can be had [mm]; None for the present range

    Returns
    -------
    MoreFrames : how many frames, and at which extensions [mm]
    """
    if fit.adjusted is None:
        return MoreFrames()
    told = information_of(session, fit, fit.adjusted)
    wanted = told.half_interval() / 2
    ends = candidates(session, fit, least, greatest)
    gains = [gain_at(session, fit, end)[fit.adjusted.free] @ fit.adjusted.inverse for end in ends]
    return MoreFrames(
        count_repeats(told, len(session.frames), wanted),
        count_added_frames(told, not session.is_weighted, ends, gains, wanted),
    )


def information_of(session: Session, fit: Fit, adjusted: Adjusted) -> Told:
    """What the present rows tell."""
    target = adjusted.free.index(FOCAL) if FOCAL in adjusted.free else adjusted.free.index(OFFSET)
    basis, frames = adjusted.basis, adjusted.basis[: adjusted.rows.frames]
    scattered = basis[: 0 if session.is_weighted else len(session.frames)]
    return Told(adjusted.inverse[target], basis.T @ basis, frames.T @ frames, scattered.T @ scattered, fit.degrees)


def count_repeats(told: Told, frames: int, wanted: float) -> int | None:
    """How often all frames must be taken again, by bisection.

    Parameters
    ----------
    wanted : half the interval [mm]

    Returns
    -------
    int or None : how many times
    """

    def is_reached(again: int) -> bool:
        more = told.with_more(again * frames, again * told.frames, again * told.scattered)
        return more.half_interval() <= wanted * (1 + _ROUNDING)

    if not is_reached(MOST_REPEATS - 1):
        return None
    low, high = 0, MOST_REPEATS - 1
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if is_reached(middle) else (middle, high)
    return high


def extensions(session: Session) -> FloatArray:
    """Extension of each frame, the focus ring's share included where the lens stands normally; mm.

    Returns
    -------
    array : shape (frames,) [mm]
    """
    return places(session) - (session.camera_register or 0.0) * session.turned


def candidates(session: Session, fit: Fit, least: float | None, greatest: float | None) -> list[float]:
    """Ends of the extensions that can be had, of those at which there is a subject; without a range the present ends.

    Parameters
    ----------
    least, greatest : range of extensions [mm], or None

    Returns
    -------
    list : extensions [mm]
    """
    present = extensions(session)
    ends = sorted({least if least is not None else present.min(), greatest if greatest is not None else present.max()})
    return [float(end) for end in ends if magnification_at(session, fit, end) > 0]


def magnification_at(session: Session, fit: Fit, extension: float) -> float:
    """Magnification that the fitted lens has at an extension.

    Parameters
    ----------
    extension : [mm]

    Returns
    -------
    float : sensor over subject
    """
    place = np.array([extension + (session.camera_register or 0.0) * session.turned])
    return float(focus_distance(fit.values, place, session.turned)[0] / fit.values[FOCAL])


def gain_at(session: Session, fit: Fit, extension: float) -> FloatArray:
    """Derivatives of the magnification at an extension over its uncertainty there.

    Parameters
    ----------
    extension : [mm]

    Returns
    -------
    array : by f, q, g, h [1/mm], shape (4,)
    """
    assert fit.sigmas is not None
    m, f = magnification_at(session, fit, extension), fit.values[FOCAL]
    nearest = int(np.argmin(np.abs(extensions(session) - extension)))
    sigma = fit.sigmas[nearest]
    if session.relative and not session.is_weighted:
        sigma = sigma * m / session.frames[nearest].magnification.value
    gain: FloatArray = np.array([-(m + session.turned) / f, 1 / f, 0.0, 0.0]) / sigma
    return gain


def count_added_frames(
    told: Told, by_scatter: bool, ends: Sequence[float], gains: Sequence[FloatArray], wanted: float
) -> tuple[Added, ...]:
    """Fewest frames at the ends that reach the wanted interval, by bisection of their number.

    Parameters
    ----------
    ends : extensions [mm]
    gains : what a frame at each of them tells, in the coordinates of `told`, without unit
    wanted : half the interval [mm]

    Returns
    -------
    tuple : number of frames at each extension [mm]
    """

    def split(total: int) -> list[int] | None:
        """Numbers at each end by which so many frames reach it."""
        for share in SHARES if len(ends) > 1 else (1.0,):
            numbers = [total - round(share * total), round(share * total)][-len(ends) :]
            brought = sum(number * np.outer(gain, gain) for number, gain in zip(numbers, gains, strict=True))
            more = told.with_more(total, np.asarray(brought), np.asarray(brought) * by_scatter)
            if more.half_interval() <= wanted:
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
