"""The light of a frame in stops, and the one setting that makes a planned frame as bright as a known one.

Every setting counts by algebra: light on the sensor goes as 1 / N_eff^2, as the transmission and the ISO speed; continuous
light as the exposure time; flash as its energy, the number of its pops, and the inverse square of its distance, which for a
luminous disc of radius r is 1 / (D^2 + r^2) on its axis. Sources: the additive system of stops is APEX, after ISO 2720 (from
memory); S. F. Ray, *Applied Photographic Optics*, ch. on exposure (from memory).
"""

from __future__ import annotations

from msgspec import Struct

from closeup_service.language import mark
from closeup_service.optics import disc
from closeup_service.optics.arithmetic import POINT, USUAL, Arithmetic, R
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


def gain_stops(planned: R, reference: R, arithmetic: Arithmetic[R]) -> R:
    """Light that a planned setting gives more than the reference's [stops], where light goes as the setting.

    Parameters
    ----------
    planned, reference : float or array, exposure time, ISO speed, transmission or number of flashes

    Returns
    -------
    float or array, stops
    """
    return arithmetic.log2(planned / reference)


def distance_gain_stops(distance: R, radius: R, planned_distance: R, planned_radius: R, arithmetic: Arithmetic[R]) -> R:
    """Light that luminous discs give more on their axis at the planned distance [stops]: it goes as 1 / (D^2 + r^2).

    Parameters
    ----------
    distance, planned_distance : float or array, light to subject, mm
    radius, planned_radius : float or array, of the source, mm

    Returns
    -------
    float or array, stops
    """
    return gain_stops(disc.fall_off(distance, radius), disc.fall_off(planned_distance, planned_radius), arithmetic)


def difference(planned: Frame, reference: Frame, light: str) -> dict[str, float | None]:
    """Stops that each setting of the planned frame gives more than the reference; None where one does not state it.

    Returns
    -------
    dict of floats or None, stops
    """
    passed, passed_before = (
        frame.transmission * (1.0 if light == CONTINUOUS else frame.flash_transmission)
        for frame in (planned, reference)
    )
    settings = {
        "aperture_stops": light_loss_stops(reference.effective_f_number, planned.effective_f_number, POINT),
        "transmission_stops": gain_stops(passed, passed_before, POINT),
        "iso_stops": known_gain(planned.iso, reference.iso),
    }
    if light == CONTINUOUS:
        return settings | {"exposure_time_stops": known_gain(planned.exposure_time_s, reference.exposure_time_s)}
    return settings | {
        "power_stops": power_gain(planned, reference),
        "flash_distance_stops": flash_distance_gain(planned, reference),
        "pops_stops": gain_stops(planned.pops, reference.pops, POINT),
    }


def known_gain(planned: float | None, reference: float | None) -> float | None:
    """Gain by a setting that both frames state [stops]."""
    return None if planned is None or reference is None else gain_stops(planned, reference, POINT)


def power_gain(planned: Frame, reference: Frame) -> float | None:
    """Gain by the flash's power, which is in stops of its scale already."""
    power, before = planned.flash_power_stops, reference.flash_power_stops
    return None if power is None or before is None else power - before


def flash_distance_gain(planned: Frame, reference: Frame) -> float | None:
    """Gain by the flash's distance [stops]."""
    distance, before = planned.flash_distance_mm, reference.flash_distance_mm
    if distance is None or before is None:
        return None
    return distance_gain_stops(before, reference.source_radius_mm, distance, planned.source_radius_mm, POINT)


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
        return f_number_for(reference.effective_f_number, -missing_stops)
    if unknown == "flash_power_stops":
        return _require(reference.flash_power_stops) + missing_stops
    if unknown == "flash_distance_mm":
        before = _require(reference.flash_distance_mm)
        return distance_for(before, reference.source_radius_mm, -missing_stops, planned.source_radius_mm, POINT)
    return setting_for(_require(getattr(reference, unknown)), -missing_stops)


def factor_of(stops: R) -> R:
    """Light over what it is so many stops under = 2^stops.

    Parameters
    ----------
    stops : float or array, stops

    Returns
    -------
    float or array, factor
    """
    factor: R = 2.0**stops
    return factor


def filter_transmission(stops: R) -> R:
    """Share of the light that a filter of so many stops lets pass.

    Parameters
    ----------
    stops : float or array, stops

    Returns
    -------
    float or array, from 0 to 1
    """
    return factor_of(-stops)


def setting_for(before: R, gain: R) -> R:
    """Exposure time or ISO speed that takes away the light that all else gives more.

    Parameters
    ----------
    before : float or array, s, or ISO speed
    gain : float or array, light that all else gives more, stops

    Returns
    -------
    float or array, in the unit of the setting before
    """
    return before * factor_of(-gain)


def f_number_for(effective_f_number: R, gain: R) -> R:
    """Effective f-number that takes away the light that all else gives more.

    Parameters
    ----------
    effective_f_number : float or array, before
    gain : float or array, light that all else gives more, stops

    Returns
    -------
    float or array, effective f-number
    """
    return effective_f_number * factor_of(gain / 2)


def distance_for(distance: R, radius: R, gain: R, planned_radius: R, arithmetic: Arithmetic[R]) -> R:
    """Distance [mm] that takes away the light that all else gives more; refused where the disc's radius alone takes more.

    Parameters
    ----------
    distance : float or array, before, mm
    radius, planned_radius : float or array, of the source, mm
    gain : float or array, light that all else gives more, stops

    Returns
    -------
    float or array, mm

    Raises
    ------
    NoSolution
        Where the radius alone takes more.
    """
    found = disc.distance_of(disc.fall_off(distance, radius) * factor_of(gain), planned_radius, arithmetic)
    arithmetic.refuse(
        found <= 0,
        NoSolution,
        mark(
            "No distance of the flash gives so much light: even touching the subject, a source of that diameter "
            "is too dim. Use more power, a higher ISO speed or a smaller marked f-number.",
        ),
        "unknown",
    )
    return found


def _require(value: float | None) -> float:
    """Narrow a reference value that the request was checked for."""
    assert value is not None
    return value


def setting_exposure_value(
    effective_f_number: R, transmission: R, time_s: R, iso: R, arithmetic: Arithmetic[R] = USUAL
) -> R:
    """Exposure value at ISO 100 that these settings expose mid-grey for = log2 (N_eff^2 / (T t)) - log2 (S / 100).

    Source: APEX, Ev = Av + Tv, at ISO 100 (ISO 2720, from memory).

    Parameters
    ----------
    effective_f_number : float or array, effective f-number
    transmission : float or array, share of the light that passes
    time_s : float or array, exposure time, s
    iso : float or array, ISO speed

    Returns
    -------
    float or array, stops
    """
    at_its_speed = arithmetic.log2(effective_f_number * effective_f_number / (transmission * time_s))
    return at_its_speed - arithmetic.log2(iso / 100)


def finder_loss(effective_f_number: R, widest: R, transmission: R, arithmetic: Arithmetic[R]) -> R:
    """Light of the finder lost against the lens wide open at infinity without filters, in stops.

    Parameters
    ----------
    effective_f_number : float or array, effective f-number
    widest : float or array, f-number of the widest mark
    transmission : float or array, share of the light that passes
    """
    return light_loss_stops(effective_f_number, widest, arithmetic) - arithmetic.log2(transmission)


def ambient_share(stops_under: R) -> R:
    """Share of a frame's light that ambient gives, so many stops under the flash = 1 / (1 + 2^stops).

    Parameters
    ----------
    stops_under : float or array, below the flash

    Returns
    -------
    float or array, from 0 to 1
    """
    return 1 / (1 + factor_of(stops_under))
