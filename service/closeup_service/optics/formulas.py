"""The closed formulas for one thick lens, in operators only: floats and numpy columns alike.

Lengths in mm, wavelengths in nm unless a name says otherwise; `magnification` is the positive size ratio sensor/subject.
The formulas hold for a lens as it stands before the camera: a reversed lens is first turned into just another lens
(`lens.ThickLens.reverse`, `marked_as_mounted`). Sources: E. Hecht, *Optics*, ch. 5 and 6 (from memory); R. Kingslake,
*Optics in Photography* (from memory); S. F. Ray, *Applied Photographic Optics* (from memory).
"""

from __future__ import annotations

from math import log2, pi

from closeup_service.language import tr
from closeup_service.optics.arithmetic import Arithmetic, R
from closeup_service.optics.errors import ApertureImpossible

LEAST_EFFECTIVE_F_NUMBER = 0.5
"""sin u' = 1/(2 N_eff) cannot exceed 1 in air."""

FIRST_ZERO = 3.8317059702
"""First zero of the Bessel function J1 (DLMF 10.21, from memory)."""

AIRY_DIAMETER = 2 * FIRST_ZERO / pi
"""Diameter of the first dark ring over wavelength times effective f-number."""

RAYLEIGH = AIRY_DIAMETER / 4
"""Least resolved distance over wavelength / numerical aperture (Lord Rayleigh's criterion)."""


def magnification_by_framing(sensor_size: R, subject_size: R) -> R:
    """Magnification at which this size on the subject fills that size on the sensor [both mm]."""
    return sensor_size / subject_size


def diagonal(width: R, height: R) -> R:
    """Diagonal of a rectangle, in the unit of its sides.

    Parameters
    ----------
    width, height : float or array, mm or any other unit

    Returns
    -------
    float or array, in the unit of the sides
    """
    found: R = (width * width + height * height) ** 0.5
    return found


def subject_size(sensor_size: R, magnification: R) -> R:
    """Size on the subject of a size on the sensor, in the unit of that.

    Parameters
    ----------
    sensor_size : float or array, mm or any other unit
    magnification : float or array, sensor/subject

    Returns
    -------
    float or array, in the unit of `sensor_size`
    """
    return sensor_size / magnification


def subject_diagonal(sensor_width: R, sensor_height: R, magnification: R) -> R:
    """Diagonal of what the frame shows of the subject, in the unit of the sensor's sides.

    Parameters
    ----------
    sensor_width, sensor_height : float or array, mm or any other unit
    magnification : float or array, sensor/subject

    Returns
    -------
    float or array, in the unit of the sides
    """
    return subject_size(diagonal(sensor_width, sensor_height), magnification)


def subject_frequency(sensor_frequency: R, magnification: R) -> R:
    """Frequency on the subject of detail on the sensor [lp/mm]."""
    return sensor_frequency * magnification


def whole_extension(extension: R, focusing_extension: R, register_difference: R) -> R:
    """Whole extension beyond infinity focus [mm], camera register less lens register being `register_difference`."""
    return extension + focusing_extension + register_difference


def cropped_size(size: R, crop_factor: R) -> R:
    """Part of a sensor's width or height that a crop leaves, in its unit.

    Parameters
    ----------
    size : float or array, mm or any other unit
    crop_factor : float or array, whole over what is left, ratio

    Returns
    -------
    float or array, in the unit of `size`
    """
    return size / crop_factor


def f_number_by_pupil(focal_length: R, entrance_pupil: R) -> R:
    """Focal length over the diameter of the entrance pupil [both mm]."""
    return focal_length / entrance_pupil


def pupil_ratio(exit_pupil: R, entrance_pupil: R) -> R:
    """Diameter of the exit pupil over that of the entrance pupil [both mm]."""
    return exit_pupil / entrance_pupil


def rear_plane(register: R, focal_length: R) -> R:
    """Mount flange to rear principal plane [mm] at infinity focus, positive towards the sensor, by the register."""
    return register - focal_length


def image_extension(focal_length: R, magnification: R) -> R:
    """Extension beyond infinity focus [mm] = f m."""
    return focal_length * magnification


def extension_for_magnification(focal_length: R, magnification: R, focusing_extension: R, register_difference: R) -> R:
    """Extension [mm] that gives a magnification, camera register less lens register being `register_difference`."""
    return image_extension(focal_length, magnification) - focusing_extension - register_difference


def extension_of_reversed_lens(focal_length: R, magnification: R, camera_register: R, front_principal_plane: R) -> R:
    """Extension [mm] that gives a magnification with a reversed lens, its plane so far behind its rim."""
    return image_extension(focal_length, magnification) + focal_length - camera_register - front_principal_plane


def magnification_by_extension(focal_length: R, extension: R) -> R:
    """Magnification = d / f, with d the whole extension beyond infinity focus [mm]."""
    return extension / focal_length


def sensor_to_plane(camera_register: R, extension: R, front_principal_plane: R) -> R:
    """Sensor to the plane of a reversed lens that is its front principal plane when mounted normally [mm]."""
    return camera_register + extension + front_principal_plane


def magnification_reversed(focal_length: R, sensor_to_plane: R) -> R:
    """Magnification of a reversed lens = q / f - 1.

    q [mm] is `sensor_to_plane`. Not positive: no real subject plane.
    """
    return sensor_to_plane / focal_length - 1


def magnification_by_subject_distance(focal_length: R, subject_distance: R) -> R:
    """Magnification = f / (s - f), with s [mm] from the subject to the first principal plane."""
    return focal_length / (subject_distance - focal_length)


def subject_distance_by_front(working_distance: R, front_principal_plane: R) -> R:
    """Subject to first principal plane [mm], that plane so far behind the front rim."""
    return working_distance + front_principal_plane


def subject_distance_of_reversed_lens(
    working_distance: R, lens_register: R, focusing_extension: R, focal_length: R
) -> R:
    """Subject to first principal plane [mm] of a reversed lens, by the distance from its flange."""
    return working_distance - lens_register + focusing_extension + focal_length


def subject_distance(focal_length: R, magnification: R) -> R:
    """Subject to first principal plane [mm] = f (1 + 1/m)."""
    return focal_length * (1 + 1 / magnification)


def subject_to_sensor(focal_length: R, magnification: R, separation: R) -> R:
    """Subject to sensor [mm] = f (2 + m + 1/m) + h, with h the signed principal-plane separation."""
    return focal_length * (2 + magnification + 1 / magnification) + separation


def working_distance(subject_distance_: R, front_to_plane: R) -> R:
    """Front to the subject [mm], the first principal plane so far behind that front."""
    return subject_distance_ - front_to_plane


def working_distance_reversed(focal_length: R, magnification: R, lens_register: R, focusing_extension: R = 0.0) -> R:
    """Mount flange of a reversed lens to the subject [mm].

    The register is that of the mount which the lens was made for: its rear focal plane lies exactly there, nearer by what the
    lens is carried out to focus.
    """
    return lens_register + focal_length / magnification - focusing_extension


def marked_as_mounted(f_number: R, pupil_magnification: R, reversed_: bool) -> tuple[R, R]:
    """Marked f-number and pupil magnification of the lens as it stands: N, p; reversed N/p, 1/p.

    Parameters
    ----------
    f_number : float or array, marked f-number
    pupil_magnification : float or array, exit over entrance pupil as when mounted normally, ratio

    Returns
    -------
    two floats or arrays, f-number and ratio
    """
    if reversed_:
        return f_number / pupil_magnification, 1 / pupil_magnification
    return f_number, pupil_magnification


def effective_f_number(f_number: R, magnification: R, pupil_magnification: R) -> R:
    """Effective f-number = N (1 + m/p) = 1/(2 sin u'), with N and p of the lens as it stands.

    Parameters
    ----------
    f_number : float or array, focal length over entrance pupil, as the lens stands
    magnification : float or array, sensor/subject
    pupil_magnification : float or array, exit over entrance pupil, as the lens stands, ratio

    Returns
    -------
    float or array, effective f-number
    """
    return f_number * (1 + magnification / pupil_magnification)


def effective_f_number_of_reversed_lens(f_number: R, magnification: R, pupil_magnification: R) -> R:
    """Effective f-number of a reversed lens = N (m + 1/p), with N and p as when mounted normally.

    Parameters
    ----------
    f_number : float or array, marked f-number
    magnification : float or array, sensor/subject
    pupil_magnification : float or array, exit over entrance pupil as when mounted normally, ratio

    Returns
    -------
    float or array, effective f-number
    """
    return f_number * (magnification + 1 / pupil_magnification)


def effective_as_mounted(f_number: R, magnification: R, pupil_magnification: R, reversed_: bool) -> R:
    """Effective f-number, with N and p as when mounted normally.

    Parameters
    ----------
    f_number : float or array, marked f-number
    magnification : float or array, sensor/subject
    pupil_magnification : float or array, exit over entrance pupil as when mounted normally, ratio

    Returns
    -------
    float or array, effective f-number
    """
    if reversed_:
        return effective_f_number_of_reversed_lens(f_number, magnification, pupil_magnification)
    return effective_f_number(f_number, magnification, pupil_magnification)


def numerical_aperture(magnification: R, effective: R) -> R:
    """Numerical aperture on the subject's side in air = m / (2 N_eff).

    Parameters
    ----------
    magnification : float or array, sensor/subject
    effective : float or array, effective f-number

    Returns
    -------
    float or array, sine of the half angle of the cone, ratio
    """
    return magnification / (2 * effective)


def effective_by_numerical_aperture(magnification: R, numerical_aperture_: R) -> R:
    """Effective f-number of a numerical aperture on the subject's side in air.

    Parameters
    ----------
    magnification : float or array, sensor/subject
    numerical_aperture_ : float or array, sine of the half angle of the cone, ratio

    Returns
    -------
    float or array, effective f-number
    """
    return magnification / (2 * numerical_aperture_)


def mark_in_proportion(effective: R, marked: R, effective_at_mark: R) -> R:
    """Marked f-number that gives an effective one, where another mark and what it gives are known: both are in proportion.

    Parameters
    ----------
    effective : float or array, effective f-number wanted
    marked : float or array, the other marked f-number
    effective_at_mark : float or array, effective f-number that it gives

    Returns
    -------
    float or array, marked f-number
    """
    return effective * marked / effective_at_mark


def exposure_factor(effective: R, marked: R) -> R:
    """Factor on the exposure time = (N_eff / N)^2.

    Parameters
    ----------
    effective : float or array, effective f-number
    marked : float or array, marked f-number

    Returns
    -------
    float or array, ratio
    """
    ratio = effective / marked
    return ratio * ratio


def light_loss_stops(effective: R, marked: R, arithmetic: Arithmetic[R]) -> R:
    """Light lost against the marked f-number, in stops = 2 log2(N_eff / N); negative is a gain.

    Parameters
    ----------
    effective : float or array, effective f-number
    marked : float or array, marked f-number

    Returns
    -------
    float or array, stops
    """
    return 2 * arithmetic.log2(effective / marked)


def inverse_entrance_pupil_distance(focal_length: R, magnification: R, pupil_magnification: R) -> R:
    """1/z [1/mm], z = f (1/m + 1/p) from the subject to the entrance pupil, of the lens as it stands."""
    return 1 / (focal_length * (1 / magnification + 1 / pupil_magnification))


def airy_diameter_um(effective: R, wavelength_nm: R) -> R:
    """Diameter of the first dark ring on the sensor [um] = 2.43934 lambda N_eff."""
    return AIRY_DIAMETER * wavelength_nm * 1e-3 * effective


def subject_resolution_um(numerical_aperture_: R, wavelength_nm: R) -> R:
    """Least distance resolved on the subject [um] by Rayleigh's criterion = 0.60984 lambda / NA."""
    return RAYLEIGH * wavelength_nm * 1e-3 / numerical_aperture_


def cutoff_lp_per_mm(effective: R, wavelength_nm: R) -> R:
    """Frequency beyond which no contrast is left, on the sensor [lp/mm]."""
    return 1e6 / (wavelength_nm * effective)


def refuse_wide(effective: float, magnification: float | None, mend: str, *members: str) -> None:
    """Refuse an effective f-number that air does not admit: a cone of half a turn or more, on either side of the lens.

    Parameters
    ----------
    effective : float, effective f-number
    magnification : float or None, sensor/subject

    Raises
    ------
    ApertureImpossible
        Where the cone is half a turn or more.
    """
    least = max(LEAST_EFFECTIVE_F_NUMBER, (magnification or 0.0) / 2)
    if effective < least or (magnification is not None and effective <= magnification / 2):
        raise ApertureImpossible(
            tr(
                "The effective f-number would be {effective:.3g}, and air admits none below {least:.3g} here: {short:.2g} "
                "stops short. {mend}",
                effective=effective,
                least=least,
                short=2 * log2(least / effective),
                mend=mend,
            ),
            *members,
        )
