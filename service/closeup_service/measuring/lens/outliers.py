"""Frames that lie beyond what the other frames admit.

Source: R. D. Cook and S. Weisberg, *Residuals and Influence in Regression*, ch. 2 (from memory).
"""

from math import isinf, sqrt

import numpy as np
from msgspec.structs import replace

from closeup_service.measuring.distributions import student_factor
from closeup_service.measuring.lens.fit import Fit, drop_distances, fit
from closeup_service.measuring.lens.model import FOCAL, focus_distance, magnifications, places
from closeup_service.measuring.lens.records import Session
from closeup_service.optics.arithmetic import FloatArray
from closeup_service.optics.errors import OpticsError

RARE = 0.05
_ALONE = 1e-9
_LEAST_FRAMES = 3


def studentised_residuals(fitted: Fit, residuals: FloatArray) -> list[float | None]:
    """Residuals over their own standard deviation; None where a frame alone determines its fitted value.

    Parameters
    ----------
    fitted : lens fitted to the session
    residuals : of the magnifications, sensor over subject, shape (frames,)

    Returns
    -------
    list : one number for each frame, in standard deviations
    """
    if fitted.sigmas is None or fitted.leverages is None:
        return [None] * len(residuals)
    return [
        float(residual / (sigma * sqrt(1 - leverage))) if leverage < 1 - _ALONE else None
        for residual, sigma, leverage in zip(residuals, fitted.sigmas, fitted.leverages, strict=True)
    ]


def outliers(session: Session, fitted: Fit) -> set[int]:
    """Which frames are outliers by the studentised deleted residual, the worst first and the others without it.

    A frame is an outlier where its residual in the scatter of the others is beyond the 95 % that all frames together must
    keep (Bonferroni). Where the uncertainties were stated they take the place of that scatter, and everything read is held
    together. A scatter is that of the magnifications about a straight line, whatever else was read: only there do residual
    and scatter follow Student's distribution exactly. Where leaving a frame out leaves no degree of freedom, or the frame
    alone determines its fitted value, there is no verdict.

    Returns
    -------
    set : places of the frames in the session
    """
    if len(session.frames) <= _LEAST_FRAMES:
        return set()
    if not session.is_weighted:
        session = replace(drop_distances(session), lens_register=None)
        fitted = fit(session)
    left, found = list(range(len(session.frames))), set[int]()
    while len(left) > _LEAST_FRAMES:
        own = [abs(value or 0.0) for value in studentised_residuals(fitted, magnification_residuals(session, fitted))]
        worst = own.index(max(own))
        if not is_outlier(own[worst], fitted.degrees, len(left)):
            break
        found.add(left.pop(worst))
        kept = [frame for index, frame in enumerate(session.frames) if index != worst]
        session = replace(session, frames=kept)
        if np.ptp(places(session)) == 0:
            break
        try:
            fitted = fit(session)
        except OpticsError:
            break
    return found


def magnification_residuals(session: Session, fitted: Fit) -> FloatArray:
    """Magnifications as read, less those of the fitted lens.

    Returns
    -------
    array : sensor over subject, shape (frames,)
    """
    x = focus_distance(fitted.values, places(session), session.turned)
    return np.asarray(magnifications(session) - x / fitted.values[FOCAL])


def is_outlier(own: float, degrees: float, frames: int) -> bool:
    """Whether a residual in its own standard deviation is beyond what all frames keep together."""
    confidence = 1 - RARE / frames
    if isinf(degrees):
        return abs(own) > student_factor(degrees, confidence)
    if degrees < 2:
        return False
    left = degrees - own * own
    return left <= 0 or abs(own) * sqrt((degrees - 1) / left) > student_factor(degrees - 1, confidence)
