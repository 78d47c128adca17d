"""The same picture on a sensor of another size: same framing, same depth.

With k the other sensor's size over this one's: the same framing takes m' = k m, the same sharpness in the finished picture
c' = k c. The geometric depth 2 c N_eff / m^2 then stays for N_eff' = k N_eff. That is the same numerical aperture
m / (2 N_eff) on the subject: so wave depth, contrast and resolution on the subject stay as well, and only the light on each
mm^2 of the sensor changes, by 1/k^2. Follows from the formulas of depth, wave and exposure; as the trade states it, for
distant subjects, L. Stroebel, *View Camera Technique* (1976), p. 139 (as quoted in an excerpt of a page).
"""

from closeup_service.optics.arithmetic import Arithmetic, R
from closeup_service.optics.formulas import diagonal

FRAMING_BY = ("width", "height", "diagonal")
"""What of the frame shows as much of the subject on both sensors; the first is assumed."""

Size = tuple[float, float]
"""Width and height of a sensor, mm."""


def format_ratio(size: Size, other: Size, framing_by: str) -> float:
    """Size of the other sensor over this one's, by the measure that the framing keeps."""
    return measure(other, framing_by) / measure(size, framing_by)


def measure(size: Size, framing_by: str) -> float:
    """Width, height or diagonal [mm]."""
    return diagonal(*size) if framing_by == "diagonal" else size[FRAMING_BY.index(framing_by)]


def scale_to_format(ratio: R, value: R) -> R:
    """Magnification, blur or effective f-number for the same picture on the other sensor: each is in proportion to its size.

    Parameters
    ----------
    ratio : float or array, k, of the two formats
    value : float or array, on this sensor

    Returns
    -------
    float or array, in the unit of the value
    """
    return ratio * value


def exposure_factor(ratio: R) -> R:
    """Factor on exposure time or ISO speed = k^2: the irradiance goes with 1 / N_eff^2.

    Parameters
    ----------
    ratio : float or array, k, of the two formats

    Returns
    -------
    float or array, factor
    """
    return ratio * ratio


def exposure_stops(ratio: R, arithmetic: Arithmetic[R]) -> R:
    """Factor on exposure time or ISO speed, in stops = 2 log2 k.

    Parameters
    ----------
    ratio : float or array, k, of the two formats

    Returns
    -------
    float or array, stops
    """
    return 2 * arithmetic.log2(ratio)


def same_perspective_focal_length(inverse_pupil_distance: R, other_magnification: R, pupil_magnification: R) -> R:
    """Focal length [mm] whose entrance pupil stands as far from the subject = z / (1/m' + 1/p'), p' as the lens stands.

    Parameters
    ----------
    inverse_pupil_distance : float or array, 1/z, 1/mm, z from subject to entrance pupil
    other_magnification : float or array, on the other sensor
    pupil_magnification : float or array, exit over entrance pupil, as the lens stands

    Returns
    -------
    float or array, mm
    """
    return 1 / (inverse_pupil_distance * (1 / other_magnification + 1 / pupil_magnification))
