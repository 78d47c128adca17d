"""Where the fit of a lens starts: f and q from the magnifications alone, g and h from the distances at those."""

import numpy as np

from closeup_service.language import tr
from closeup_service.measuring.lens.model import (
    FOCAL,
    GLASS,
    OFFSET,
    SEPARATION,
    focus_distance,
    focusings,
    magnifications,
    places,
    readings,
)
from closeup_service.measuring.lens.records import Session
from closeup_service.measuring.straight_line import straight_line
from closeup_service.optics.arithmetic import FloatArray
from closeup_service.optics.errors import Contradiction


def weights_of(session: Session) -> FloatArray:
    """Weights of the magnifications, up to a factor.

    Returns
    -------
    array : shape (frames,)
    """
    if session.is_weighted:
        sigmas = stated_sigmas(session)
        return np.asarray(1 / (sigmas * sigmas))
    read = magnifications(session)
    return 1 / (read * read) if session.relative else np.ones_like(read)


def stated_sigmas(session: Session) -> FloatArray:
    """Standard uncertainties of the magnifications, of which every frame states its own.

    Returns
    -------
    array : sensor over subject, shape (frames,)
    """
    return np.array([frame.magnification.uncertainty for frame in session.frames], dtype=float)


def starting_values(session: Session) -> FloatArray:
    """Return f and q from the magnifications alone, g and h from the distances at those.

    Returns
    -------
    array : f, q, g, h [mm], shape (4,); NaN where nothing tells g or h
    """
    weights, place, read = weights_of(session), places(session), magnifications(session)
    values = np.full(4, np.nan)
    if session.focal_length is not None:
        values[FOCAL] = session.focal_length.value
        values[OFFSET] = np.average(values[FOCAL] * (read + session.turned) - place, weights=weights)
    else:
        line = straight_line(place, read, weights)
        if not line.slope > 0:
            raise Contradiction(
                tr(
                    "The magnifications do not grow with the extension, as any lens would have it: check which belongs "
                    "to which.",
                ),
                f"{session.pointer}/frames",
            )
        values[FOCAL] = 1 / line.slope
        values[OFFSET] = (line.intercept + session.turned) / line.slope
    x = focus_distance(values, place, session.turned)
    refuse_frames_before_focus(session, x)
    values[GLASS] = mean_glass(session, values, x)
    values[SEPARATION] = mean_separation(session, values, x)
    return values


def refuse_frames_before_focus(session: Session, x: FloatArray) -> None:
    """A frame with a distance must lie beyond the focus for infinity, as fitted.

    Parameters
    ----------
    x : focus for infinity to the sensor in each frame [mm], shape (frames,)

    Raises
    ------
    Contradiction
        Where it is not positive in a frame with a distance.
    """
    wrong = [
        f"{session.pointer}/frames/{index}/magnification"
        for index, frame in enumerate(session.frames)
        if x[index] <= 0 and (frame.working_distance or frame.subject_to_sensor)
    ]
    if wrong:
        raise Contradiction(
            tr(
                "By the other frames this one would be focused beyond infinity: check its magnification and extension.",
            ),
            *wrong,
        )


def mean_glass(session: Session, values: FloatArray, x: FloatArray) -> float:
    """Return g from the working distances [mm], and turned round from the register where that was given; NaN without either."""
    at, read, sigmas = readings(frame.working_distance for frame in session.frames)
    reach = values[FOCAL] * values[FOCAL] / x[at] - read
    found = focusings(session)[at] - reach if session.turned else values[FOCAL] + reach
    if session.turned and session.lens_register is not None:
        found, sigmas = np.append(found, session.lens_register), np.append(sigmas, session.infinity_stop_play)
    return float(np.average(found, weights=1 / (sigmas * sigmas))) if len(found) else np.nan


def mean_separation(session: Session, values: FloatArray, x: FloatArray) -> float:
    """Return h from the distances between subject and sensor [mm]; NaN without them."""
    at, read, sigmas = readings(frame.subject_to_sensor for frame in session.frames)
    f = values[FOCAL]
    found = read - (2 * f + x[at] + f * f / x[at])
    return float(np.average(found, weights=1 / (sigmas * sigmas))) if len(at) else np.nan
