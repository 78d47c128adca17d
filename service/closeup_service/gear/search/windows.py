"""Windows: which total lengths of a stack fill the frame behind each front part, and which fills it best.

Behind a front part everything is empty space up to the end, so that the magnification is linear in the stack's length,
m = -(alpha + beta L): the lengths that fill the frame are an interval. Where the optics allow one length alone (an objective
at its design length, a lens focused at infinity) the interval is what lies within the tolerance of that length.
"""

import numpy as np
from msgspec import Struct

from closeup_service.gear.search.ends import End
from closeup_service.gear.search.fronts import Fronts
from closeup_service.gear.search.request import Request
from closeup_service.gear.search.shelf import ROUNDING
from closeup_service.optics.arithmetic import FloatArray, IntArray
from closeup_service.optics.matrices import INFINITY_FOCUS
from closeup_service.set_ups.elements import DESIGN_LENGTH_TOLERANCE_MM

INFINITY_ERROR_MM = 0.5
"""An infinity-corrected objective is sought only before a lens that is focused at infinity within this."""


class Windows(Struct, frozen=True):
    """For each front part: the best length of a stack, and the interval of those that may do; NaN where there is none."""

    exact: FloatArray
    low: FloatArray
    high: FloatArray

    def take_rows(self, index: IntArray) -> "Windows":
        """Some of the rows."""
        return Windows(self.exact[index], self.low[index], self.high[index])


def windows_of(request: Request, fronts: Fronts, end: End) -> tuple[Windows, Windows]:
    """Windows for an inverted image and, where several parts have glass, for an upright one."""
    bound = fixed_windows(request, fronts, end)
    one_length = ~np.isnan(bound.exact)
    inverted, upright = (frame_windows(request, fronts, end, sign) for sign in (1.0, -1.0))
    merged = (np.where(one_length, *columns) for columns in zip(columns_of(bound), columns_of(inverted), strict=True))
    several = (fronts.powered + end.powered > 1) & ~one_length
    return Windows(*merged), Windows(*(np.where(several, column, np.nan) for column in columns_of(upright)))


def columns_of(windows: Windows) -> tuple[FloatArray, FloatArray, FloatArray]:
    """The three columns.

    Returns
    -------
    three arrays, lengths, mm
    """
    return windows.exact, windows.low, windows.high


def frame_windows(request: Request, fronts: Fronts, end: End, sign: float) -> Windows:
    """Lengths that fill the frame; `sign` is 1 for an inverted image, -1 for an upright one.

    Parameters
    ----------
    sign : float, 1 for an inverted image, -1 for an upright one
    """
    alpha = end.matrix.a * fronts.a + end.matrix.b * fronts.c
    beta = end.matrix.a * fronts.c
    wanted = sign * request.magnification
    wide, narrow = ((-wanted / (1 + side * request.tolerance) - alpha) / beta for side in (1.0, -1.0))
    return widen((-wanted - alpha) / beta, np.minimum(wide, narrow), np.maximum(wide, narrow))


def fixed_windows(request: Request, fronts: Fronts, end: End) -> Windows:
    """The one length that the optics allow, NaN where any will do: design length, or the lens's infinity focus."""
    per_mm = end.matrix.a * fronts.behind_c
    at_infinity = -(end.matrix.a * fronts.behind_a + end.matrix.b * fronts.behind_c) / per_mm
    power = end.matrix.c * (fronts.behind_a + at_infinity * fronts.behind_c) + end.matrix.d * fronts.behind_c
    infinity_error = np.where(fronts.loose, INFINITY_FOCUS / np.abs(per_mm), INFINITY_ERROR_MM * np.abs(power / per_mm))
    exact = np.where(fronts.infinity | fronts.loose, at_infinity, fronts.design - request.camera.register_mm)
    error = np.where(fronts.infinity | fronts.loose, infinity_error, DESIGN_LENGTH_TOLERANCE_MM)
    return widen(exact, exact - error, exact + error)


def widen(exact: FloatArray, low: FloatArray, high: FloatArray) -> Windows:
    """Windows a rounding wider.

    Parameters
    ----------
    exact : array, lengths that would be exact, mm
    low, high : array, least and greatest lengths, mm

    Returns
    -------
    Windows, lengths in mm
    """
    slack = ROUNDING * (np.abs(low) + np.abs(high) + 1)
    return Windows(exact, low - slack, high + slack)
