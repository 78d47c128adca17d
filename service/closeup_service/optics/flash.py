"""Flash by guide number: aperture, distance, power or number of flashes, whichever is open.

One head lights the subject by (GN / D)^2, and that is the square of the effective f-number that it is right for at ISO 100.
What multiplies light - ISO, power, flashes with the shutter open, filters - multiplies that square, and the light of several
heads adds. By algebra from the definition of the guide number (f-number times distance); ISO 1230:1992, *Determination of
flash guide numbers*, has the same idea (its formulas not seen).

Guide numbers in m at ISO 100 and full power, distances in mm. Each flash is taken to give its whole light while the shutter
is open, and the sensor to add up every flash (no reciprocity failure).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Generic

from msgspec import Struct

from closeup_service.language import mark
from closeup_service.optics import disc
from closeup_service.optics.arithmetic import Arithmetic, R
from closeup_service.optics.errors import NoSolution

BASE_ISO = 100.0
"""ISO speed at which guide numbers are stated (common practice; ISO 1230, title seen)."""

MM_PER_M = 1000.0
ROUNDING = 1e-12
"""So little above a whole number of flashes, or above full power, is none."""


class Head(Struct, Generic[R], frozen=True):
    """One flash head: guide number, m at ISO 100 and full power, and its distance from the subject, mm."""

    guide_number: R
    distance: R


def gain(iso: R, power_fraction: R, pops: R, transmission: R) -> R:
    """Light over that of one flash at full power without filters at ISO 100 = S/100 x power x flashes x transmission.

    The power is a share of the full energy: twice the energy is twice the light, one stop.

    Parameters
    ----------
    iso : float or array, ISO speed
    power_fraction : float or array, share of the full energy
    pops : float or array, number of flashes
    transmission : float or array, share of the light that passes

    Returns
    -------
    float or array, factor
    """
    return iso / BASE_ISO * power_fraction * pops * transmission


def guide_number_of_all(guide_numbers: Sequence[R], arithmetic: Arithmetic[R]) -> R:
    """Guide number [m] of several heads at one distance = sqrt(sum GN^2): their energies add.

    Parameters
    ----------
    guide_numbers : floats or arrays, m

    Returns
    -------
    float or array, m
    """
    return arithmetic.sqrt(sum(each * each for each in guide_numbers))


def light_of(head: Head[R], source_radius: R) -> R:
    """Light of one head = (1000 GN)^2 / (D^2 + r^2), the square of the f-number at ISO 100.

    For a luminous disc of radius r [mm] (`disc`). From afar its light falls by the inverse square, and there guide numbers
    are measured.

    Parameters
    ----------
    source_radius : float or array, of the disc, mm

    Returns
    -------
    float or array, square of the f-number at ISO 100
    """
    reach = MM_PER_M * head.guide_number
    return reach * reach / disc.fall_off(head.distance, source_radius)


def light_of_all(heads: Sequence[Head[R]], source_radius: R) -> R:
    """Light of several heads, each a disc of the same radius [mm]: it adds.

    Parameters
    ----------
    source_radius : float or array, of the disc, mm

    Returns
    -------
    float or array, square of the f-number at ISO 100
    """
    return sum(light_of(head, source_radius) for head in heads)


def effective_f_number(light: R, gain_: R, arithmetic: Arithmetic[R]) -> R:
    """Effective f-number that is right for the light = sqrt(light x gain); for one small head GN sqrt(S/100) / D.

    Parameters
    ----------
    light : float or array, square of the f-number at ISO 100
    gain_ : float or array, light over that at ISO 100, full power, no filter

    Returns
    -------
    float or array, effective f-number
    """
    return arithmetic.sqrt(light * gain_)


def guide_number_at(guide_number: R, iso: R, arithmetic: Arithmetic[R]) -> R:
    """Guide number [m] at another ISO speed: light goes as its square.

    Parameters
    ----------
    guide_number : float or array, m
    iso : float or array, ISO speed
    """
    return guide_number * arithmetic.sqrt(gain(iso, 1.0, 1.0, 1.0))


def exposure_ratio(light: R, gain_: R, effective: R) -> R:
    """Light on the sensor over the right amount = light x gain / N_eff^2.

    Parameters
    ----------
    light : float or array, square of the f-number at ISO 100
    gain_ : float or array, light over that at ISO 100, full power, no filter
    effective : float or array, effective f-number

    Returns
    -------
    float or array, 1 where the exposure is right
    """
    return light * gain_ / (effective * effective)


def required_factor(light: R, effective: R, other_gain: R) -> R:
    """Power or flashes that are right at an effective f-number = N_eff^2 / (light x all other gain).

    Parameters
    ----------
    light : float or array, square of the f-number at ISO 100
    effective : float or array, effective f-number
    other_gain : float or array, gain with a power, or a number of flashes, of 1

    Returns
    -------
    float or array, share of the full power, or flashes
    """
    return effective * effective / (light * other_gain)


def distance(guide_number: R, gain_: R, effective: R, source_radius: R, arithmetic: Arithmetic[R]) -> R:
    """Distance of all heads [mm] = sqrt((1000 GN)^2 gain / N_eff^2 - r^2).

    Refused where a disc of that radius does not give enough light even when it touches the subject.

    Parameters
    ----------
    guide_number : float or array, m
    gain_ : float or array, light over that at ISO 100, full power, no filter
    effective : float or array, effective f-number
    source_radius : float or array, of the disc, mm

    Returns
    -------
    float or array, mm

    Raises
    ------
    NoSolution
        Where the disc gives too little light even at the subject.
    """
    reach = MM_PER_M * guide_number / effective
    found = disc.distance_of(reach * reach * gain_, source_radius, arithmetic)
    arithmetic.refuse(
        found <= 0,
        NoSolution,
        mark(
            "No distance is near enough: even touching the subject, a flash with a luminous disc of "
            "{diameter:.4g} mm gives too little light for an effective f/{effective:.3g}. Open the aperture, "
            "raise iso, or use more power, heads or flashes.",
        ),
        "source_diameter_mm",
        diameter=2 * source_radius,
        effective=effective,
    )
    return found


def inverse_square_error(heads: Sequence[Head[R]], source_radius: R) -> R:
    """Light by the inverse square over the light of discs, less 1: for one head (r/D)^2, 4 % at D = 5 r.

    Parameters
    ----------
    source_radius : float or array, of the disc, mm

    Returns
    -------
    float or array, share of the light
    """
    off: R = 0.0
    for head in heads:
        ratio = source_radius / head.distance
        off = off + light_of(head, source_radius) * ratio * ratio
    return off / light_of_all(heads, source_radius)


def stops_below_full(power_fraction: R, arithmetic: Arithmetic[R]) -> R:
    """Power in stops below full.

    Parameters
    ----------
    power_fraction : float or array, share of the full energy

    Returns
    -------
    float or array, stops
    """
    return -arithmetic.log2(power_fraction)


def excess_stops(share: R, arithmetic: Arithmetic[R]) -> R:
    """Light that exceeds by such a share, in stops.

    Parameters
    ----------
    share : float or array, of the light

    Returns
    -------
    float or array, stops
    """
    return arithmetic.log2(1 + share)


def distance_for_light(distance_: R, source_radius: R, ratio: R, arithmetic: Arithmetic[R]) -> R:
    """Distance [mm] at which a disc gives so many times the light = sqrt((D^2 + r^2) / ratio - r^2); 0 where none does.

    Parameters
    ----------
    distance_ : float or array, light to subject, mm
    source_radius : float or array, of the disc, mm
    ratio : float or array, light over that at the distance

    Returns
    -------
    float or array, mm
    """
    return disc.distance_of(disc.fall_off(distance_, source_radius) / ratio, source_radius, arithmetic)


class Setting(Struct, frozen=True):
    """Everything that decides one exposure. `power` and `pops` are those that would be just right, the power above 1 too.

    `other_gain` is the gain at full power with one flash.
    """

    effective: float
    heads: tuple[Head, ...]
    source_radius: float
    power: float
    pops: float
    other_gain: float

    @property
    def whole_pops(self) -> int:
        """Flashes that can really be fired."""
        return max(1, math.ceil(self.pops * (1 - ROUNDING)))

    @property
    def difference_stops(self) -> float:
        """Light against the right amount with whole flashes and no more than full power; positive is too much."""
        light = light_of_all(self.heads, self.source_radius)
        gain_ = self.other_gain * min(self.power, 1.0) * self.whole_pops
        return math.log2(exposure_ratio(light, gain_, self.effective))

    @property
    def nearest(self) -> float:
        """Distance of the nearest head, mm."""
        return float(min(head.distance for head in self.heads))

    @property
    def inverse_square_error(self) -> float:
        """Light by the inverse square over that of discs, less 1."""
        return float(inverse_square_error(self.heads, self.source_radius))
