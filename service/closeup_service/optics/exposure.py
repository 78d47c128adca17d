"""The light of a frame in stops, and the one setting that makes a planned frame as bright as a known one.

Every setting counts by algebra: light on the sensor goes as 1 / N_eff^2, as the transmission and the ISO speed; continuous
light as the exposure time; flash as its energy, the number of its pops, and the inverse square of its distance, which for a
luminous disc of radius r is 1 / (D^2 + r^2) on its axis. Sources: the additive system of stops is APEX, after ISO 2720 (from
memory); S. F. Ray, *Applied Photographic Optics*, ch. on exposure (from memory).
"""

from __future__ import annotations

from math import exp2, log2

from msgspec import Struct

from closeup_service.optics import disc
from closeup_service.optics.arithmetic import POINT, Arithmetic, R
from closeup_service.optics.errors import NoSolution
from closeup_service.optics.formulas import light_loss_stops

CONTINUOUS, FLASH = LIGHTS = ("continuous", "flash")


class Frame(Struct, frozen=True):
    """What sets the light of one frame; None where it is not known, and then must not change.

    Parameters
    ----------
    effective_f_number : through the whole set-up
    transmission : of filters before the lens, 0 to 1
    exposure_time_s, iso : as set
    flash_power_stops : power of the flash, in stops of its scale (`flash_power.Scale.stops`)
    flash_distance_mm, source_radius_mm : flash to subject, and radius of its luminous disc, 0 for a point
    flash_transmission : of diffusers and filters before the flash, 0 to 1; ambient light does not pass them
    pops : flashes with the shutter open
    """

    effective_f_number: float
    transmission: float = 1.0
    exposure_time_s: float | None = None
    iso: float | None = None
    flash_power_stops: float | None = None
    flash_distance_mm: float | None = None
    source_radius_mm: float = 0.0
    flash_transmission: float = 1.0
    pops: float = 1.0


def light_stops(frame: Frame, light: str) -> dict[str, float | None]:
    """What each setting adds to the light on the sensor [stops], each against a fixed level of its own; None if not known.

    Returns
    -------
    dict of floats or None, stops
    """
    settings = {
        "aperture_stops": -2 * log2(frame.effective_f_number),
        "transmission_stops": log2(frame.transmission * (1.0 if light == CONTINUOUS else frame.flash_transmission)),
        "iso_stops": None if frame.iso is None else log2(frame.iso),
    }
    if light == CONTINUOUS:
        return settings | {
            "exposure_time_stops": None if frame.exposure_time_s is None else log2(frame.exposure_time_s)
        }
    return settings | {
        "power_stops": frame.flash_power_stops,
        "flash_distance_stops": distance_stops(frame.flash_distance_mm, frame.source_radius_mm),
        "pops_stops": log2(frame.pops),
    }


def distance_stops(distance_mm: float | None, radius_mm: float) -> float | None:
    """Light that a luminous disc of this radius throws on its axis [stops] = - log2 (D^2 + r^2).

    Parameters
    ----------
    distance_mm : float or None, light to subject, mm
    radius_mm : float, of the source, mm

    Returns
    -------
    float or None, stops
    """
    return None if distance_mm is None else -log2(disc.fall_off(distance_mm, radius_mm))


def difference(planned: Frame, reference: Frame, light: str) -> dict[str, float | None]:
    """Stops that each setting of the planned frame gives more than the reference; None where neither states it.

    Returns
    -------
    dict of floats or None, stops
    """
    given = light_stops(planned, light)
    return {
        name: None if before is None or given[name] is None else given[name] - before  # type: ignore[operator]
        for name, before in light_stops(reference, light).items()
    }


def open_setting(unknown: str, reference: Frame, planned: Frame, missing_stops: float) -> float:
    """Value of the open setting that gives the planned frame the light it misses with the reference's value.

    Parameters
    ----------
    unknown : `exposure_time_s`, `iso`, `flash_power_stops`, `flash_distance_mm` or `effective_f_number`
    missing_stops : how much darker the planned frame is by all other settings together

    Raises
    ------
    NoSolution
        Where no distance is near enough for a source of that size.
    """
    if unknown == "effective_f_number":
        return reference.effective_f_number * exp2(-missing_stops / 2)
    if unknown == "flash_power_stops":
        return _require(reference.flash_power_stops) + missing_stops
    if unknown == "flash_distance_mm":
        before = disc.fall_off(_require(reference.flash_distance_mm), reference.source_radius_mm)
        return distance_for(before * exp2(-missing_stops), planned.source_radius_mm)
    return _require(getattr(reference, unknown)) * exp2(missing_stops)


def distance_for(fall_off_mm2: float, radius_mm: float) -> float:
    """Distance D [mm] at which D^2 + r^2 is this; refused where the disc's radius alone exceeds it.

    Parameters
    ----------
    fall_off_mm2 : float, D^2 + r^2, mm^2
    radius_mm : float, of the source, mm

    Returns
    -------
    float, mm

    Raises
    ------
    NoSolution
        Where the radius alone exceeds it.
    """
    found: float = disc.distance_of(fall_off_mm2, radius_mm, POINT)
    if found <= 0:
        raise NoSolution(
            "No distance of the flash gives so much light: even touching the subject, a source of that diameter is too dim. "
            "Use more power, a higher ISO speed or a smaller marked f-number.",
            "unknown",
        )
    return found


def _require(value: float | None) -> float:
    """Narrow a reference value that the request was checked for."""
    assert value is not None
    return value


def setting_exposure_value(effective_f_number: float, transmission: float, time_s: float, iso: float) -> float:
    """Exposure value at ISO 100 that these settings expose mid-grey for = log2 (N_eff^2 / (T t)) - log2 (S / 100).

    Source: APEX, Ev = Av + Tv, at ISO 100 (ISO 2720, from memory).

    Parameters
    ----------
    effective_f_number : float, effective f-number
    transmission : float, share of the light that passes
    time_s : float, exposure time, s
    iso : float, ISO speed

    Returns
    -------
    float, stops
    """
    return log2(effective_f_number * effective_f_number / (transmission * time_s)) - log2(iso / 100)


def finder_loss(effective_f_number: R, widest: R, transmission: R, arithmetic: Arithmetic[R]) -> R:
    """Light of the finder lost against the lens wide open at infinity without filters, in stops.

    Parameters
    ----------
    effective_f_number : float or array, effective f-number
    widest : float or array, f-number of the widest mark
    transmission : float or array, share of the light that passes
    """
    return light_loss_stops(effective_f_number, widest, arithmetic) - arithmetic.log2(transmission)


def ambient_share(stops_under: float) -> float:
    """Share of a frame's light that ambient gives, so many stops under the flash = 1 / (1 + 2^stops).

    Parameters
    ----------
    stops_under : float, below the flash

    Returns
    -------
    float, from 0 to 1
    """
    return 1 / (1 + exp2(stops_under))
