"""The thick lens that frames are held against: every reading beside what the model says, with derivatives.

Every length is written in x, how far the sensor stands beyond the focus for infinity: x = z + q - k f, with z known.
Mounted normally k = 0, z is the extension (rings and focusing) and q what remains of it at the infinity stop; turned round
k = 1, z the camera's register with the extension, and q the front principal plane behind the rim. Then

    m = x / f,   working distance = f^2/x + (f - g  normal;  g - focusing  turned),   subject to sensor = 2 f + x + f^2/x + h

with g the front principal plane, or turned round the lens's own register, and h the principal-plane separation (the thick
lens of `optics.formulas`). What is known beforehand is a reading like any other: a focal length reads f; the register R of
the lens reads g turned round, and q = R_camera - R mounted normally, both with the play of the infinity stop as their
standard uncertainty. Source: W. E. Deming, *Statistical Adjustment of Data* (from memory).
"""

from collections.abc import Iterable
from typing import TypeAlias

import numpy as np
from msgspec import Struct

from closeup_service.measuring.lens.records import Measured, Session
from closeup_service.optics.arithmetic import FloatArray

FOCAL, OFFSET, GLASS, SEPARATION = range(4)
"""Places of f, q, g and h among the four quantities fitted."""

Block: TypeAlias = tuple[FloatArray, FloatArray, FloatArray, FloatArray]
"""Readings of one kind: values, standard uncertainties, what the model says, its derivatives by f, q, g and h."""


class Rows(Struct, frozen=True):
    """What was read and what was known beforehand, one row each; the magnifications first, the knowledge last.

    `frames` is the number of rows that frames brought.
    """

    read: FloatArray
    sigmas: FloatArray
    model: FloatArray
    derivatives: FloatArray
    frames: int

    @property
    def residuals(self) -> FloatArray:
        """What the readings differ by, in their standard uncertainties."""
        return np.asarray((self.read - self.model) / self.sigmas)


def places(session: Session) -> FloatArray:
    """Return z of each frame, mm.

    Returns
    -------
    array : shape (frames,) [mm]
    """
    if session.turned:
        assert session.camera_register is not None
        return np.array([session.camera_register + frame.extension for frame in session.frames])
    return np.array([frame.extension + frame.focusing for frame in session.frames])


def focus_distance(values: FloatArray, place: FloatArray, turned: bool) -> FloatArray:
    """Return x, mm.

    Parameters
    ----------
    values : f, q, g, h [mm], shape (4,)
    place : z of each frame [mm], shape (frames,)
    turned : whether the lens stood back to front

    Returns
    -------
    array : shape (frames,) [mm]
    """
    return np.asarray(place + values[OFFSET] - turned * values[FOCAL])


def magnifications(session: Session) -> FloatArray:
    """Magnifications as read.

    Returns
    -------
    array : sensor over subject, shape (frames,)
    """
    return np.array([frame.magnification.value for frame in session.frames])


def focusings(session: Session) -> FloatArray:
    """How far the focus ring had carried the lens in each frame, mm.

    Returns
    -------
    array : shape (frames,) [mm]
    """
    return np.array([frame.focusing for frame in session.frames])


def readings(given: Iterable[Measured | None]) -> tuple[list[int], FloatArray, FloatArray]:
    """Which frames have a reading, and the readings with their uncertainties.

    Returns
    -------
    tuple : places of the frames; values and standard uncertainties, in the unit that they are given in
    """
    found = [(index, read.value, read.uncertainty) for index, read in enumerate(given) if read is not None]
    values = np.array([value for _, value, _ in found], dtype=float)
    return [index for index, _, _ in found], values, np.array([sigma for _, _, sigma in found], dtype=float)


def fitted_places(session: Session) -> list[int]:
    """Which of the four are free: those that are not exact and that some reading or knowledge tells of."""
    exact = session.focal_length is not None and session.focal_length.uncertainty is None
    free = [OFFSET] if exact else [FOCAL, OFFSET]
    if any(frame.working_distance for frame in session.frames) or register_tells(session) == GLASS:
        free.append(GLASS)
    if any(frame.subject_to_sensor for frame in session.frames):
        free.append(SEPARATION)
    return free


def register_tells(session: Session) -> int | None:
    """Which of the four a register that was given tells of; None without one, or without the camera's to hold it against."""
    if session.lens_register is None:
        return None
    if session.turned:
        return GLASS
    return None if session.camera_register is None else OFFSET


def rows_of(session: Session, values: FloatArray, sigmas: FloatArray) -> Rows:
    """Every reading against the model.

    Parameters
    ----------
    session : what was read and known
    values : f, q, g, h [mm], shape (4,)
    sigmas : standard uncertainties of the magnifications, shape (frames,)

    Returns
    -------
    Rows : n readings [mm, or sensor over subject], with derivatives of shape (n, 4)
    """
    x = focus_distance(values, places(session), session.turned)
    f, k = values[FOCAL], float(session.turned)
    from_frames: list[Block] = [
        (magnifications(session), sigmas, x / f, table(len(x), -x / (f * f) - k / f, 1 / f, 0, 0)),
        working_distance_rows(session, values, x),
        subject_to_sensor_rows(session, values, x),
    ]
    rows = [*from_frames, *known_rows(session, values)]
    read, errors, model, derivatives = (np.concatenate(column) for column in zip(*rows, strict=True))
    return Rows(read, errors, model, derivatives, sum(len(block[0]) for block in from_frames))


def known_rows(session: Session, values: FloatArray) -> list[Block]:
    """What is known beforehand: the focal length, and where the register puts the lens at its infinity stop.

    Parameters
    ----------
    values : f, q, g, h [mm], shape (4,)

    Returns
    -------
    list : readings [mm] of one row each
    """
    known, told = session.focal_length, register_tells(session)
    rows = []
    if known is not None and known.uncertainty is not None:
        rows.append(known_row(FOCAL, known.value, known.uncertainty, values))
    if told is not None:
        assert session.lens_register is not None
        read = session.lens_register if session.turned else (session.camera_register or 0.0) - session.lens_register
        rows.append(known_row(told, read, session.infinity_stop_play, values))
    return rows


def known_row(place: int, read: float, sigma: float, values: FloatArray) -> Block:
    """One of the four, known as such.

    Parameters
    ----------
    read, sigma : value and its standard uncertainty [mm]
    values : f, q, g, h [mm], shape (4,)

    Returns
    -------
    tuple : reading, uncertainty and model [mm], each of shape (1,), and derivatives, shape (1, 4)
    """
    return np.array([read]), np.array([sigma]), values[[place]], np.eye(4)[[place]]


def working_distance_rows(session: Session, values: FloatArray, x: FloatArray) -> Block:
    """Working distances against the model.

    Parameters
    ----------
    values : f, q, g, h [mm], shape (4,)
    x : focus for infinity to the sensor in each frame [mm], shape (frames,)

    Returns
    -------
    tuple : readings, uncertainties and model [mm], each of shape (n,), and derivatives, shape (n, 4)
    """
    at, read, sigmas = readings(frame.working_distance for frame in session.frames)
    f, g, k = values[FOCAL], values[GLASS], float(session.turned)
    stretch = f / x[at]
    by_x = -stretch * stretch
    model = f * stretch + (g - focusings(session)[at] if session.turned else f - g)
    return read, sigmas, model, table(len(at), 2 * stretch - k * by_x + (1 - k), by_x, 2 * k - 1, 0)


def subject_to_sensor_rows(session: Session, values: FloatArray, x: FloatArray) -> Block:
    """Distances between subject and sensor against the model.

    Parameters
    ----------
    values : f, q, g, h [mm], shape (4,)
    x : focus for infinity to the sensor in each frame [mm], shape (frames,)

    Returns
    -------
    tuple : readings, uncertainties and model [mm], each of shape (n,), and derivatives, shape (n, 4)
    """
    at, read, sigmas = readings(frame.subject_to_sensor for frame in session.frames)
    f, k = values[FOCAL], float(session.turned)
    stretch = f / x[at]
    by_x = 1 - stretch * stretch
    model = 2 * f + x[at] + f * stretch + values[SEPARATION]
    return read, sigmas, model, table(len(at), 2 + 2 * stretch - k * by_x, by_x, 0, 1)


def table(rows: int, *columns: FloatArray | float) -> FloatArray:
    """Columns side by side; a number fills its column."""
    filled = np.empty((rows, len(columns)))
    for index, column in enumerate(columns):
        filled[:, index] = column
    return filled
