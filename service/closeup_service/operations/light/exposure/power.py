"""The flash's power against the head's range, and what closes a gap."""

from __future__ import annotations

from math import ceil, exp2, isfinite
from typing import TYPE_CHECKING, TypedDict

from closeup_service.advice import exposure_remarks
from closeup_service.advice.figures import decimal
from closeup_service.advice.remark import Remark
from closeup_service.optics import flash
from closeup_service.optics.arithmetic import POINT
from closeup_service.optics.exposure import Frame
from closeup_service.optics.flash_power import FRACTION, Scale
from closeup_service.optics.nominal_series import next_nominal_mark
from closeup_service.optics.vocabulary import VOCABULARY
from closeup_service.set_ups.lens_light import LensLight

if TYPE_CHECKING:
    from closeup_service.records import answers

NO_GAP_STOPS = 1e-9
WIDEST_MARK = 1.0
"""Wider lenses are rare (common practice, no source)."""


class Marked(TypedDict):
    """Nearest marked value, how it is written, and how far it is off."""

    nominal_value: float | None
    marked_as: str | None
    nominal_difference_stops: float | None


def power_members(
    scale: Scale, planned: Frame, lens: LensLight, most_pops: float | None
) -> tuple[answers.FlashPower, list[Remark]]:
    """Nearest power in the head's range, the light that it misses, and the ways to make up for it."""
    wanted = planned.flash_power_stops
    assert wanted is not None
    held, missing = scale.clamp(wanted), scale.shortfall(wanted)
    nearest = scale.setting(held)
    ways = ways_to_close(missing, planned, lens, most_pops) if missing else []
    members: answers.FlashPower = {
        "nearest_power": nearest,
        "missing_stops": missing,
        "below_full_stops": scale.stops_below_full(held),
        "ways": ways,
    }
    notes = exposure_remarks.missed_range(missing, power_text(scale, nearest) or decimal(nearest, 4), ways)
    if not missing and not all(map(isfinite, scale.range_stops)):
        notes.append(exposure_remarks.unknown_range())
    return members, notes


def ways_to_close(missing: float, planned: Frame, lens: LensLight, most_pops: float | None) -> list[answers.PowerWay]:
    """Each setting that alone closes a gap of so many stops, with the power at the end of its range."""
    gain = exp2(missing)
    pops = ceil(planned.pops * gain - NO_GAP_STOPS) if missing > 0 else None
    found = {
        "iso": None if planned.iso is None else planned.iso * gain,
        "f_number": lens.mark_for(planned.effective_f_number / gain**0.5),
        "flash_distance_mm": nearer(planned, gain),
        "pops": None if pops is None or (most_pops is not None and pops > most_pops) else pops,
        "transmission": planned.transmission * gain if missing < 0 else None,
    }
    rising = {"iso": missing > 0, "f_number": missing < 0}
    return [
        way(name, float(value), rising.get(name, False))
        for name, value in found.items()
        if value is not None and can_be(name, value)
    ]


def nearer(planned: Frame, gain: float) -> float | None:
    """Distance that gives so many times the light; None where none does."""
    if planned.flash_distance_mm is None:
        return None
    return flash.distance_for_light(planned.flash_distance_mm, planned.source_radius_mm, gain, POINT) or None


def can_be(name: str, value: float) -> bool:
    """Whether there is such a setting: as the vocabulary bounds it, and no wider a mark than lenses have."""
    if name == "f_number" and value < WIDEST_MARK:
        return False
    return VOCABULARY[name].holds(value)


def way(name: str, value: float, rising: bool) -> answers.PowerWay:
    """One way, with the first mark that really closes the gap where there is a series."""
    mark = next_nominal_mark(name, value, rising)
    return {"setting": name, "value": value, "nominal_value": None if mark is None else mark.nominal}


def power_text(scale: Scale, setting: float) -> str | None:
    """Power as heads show it: 1/64, or 1/64+0.3 for a third of a stop more; None on other scales."""
    if scale.kind != FRACTION:
        return None
    below = -scale.stops(setting)
    whole = ceil(below - NO_GAP_STOPS)
    more = round(whole - below, 1)
    return f"1/{2**whole}" + (f"+{more:.1f}" if more else "")


def marked_power(scale: Scale, stops: float) -> Marked:
    """Nearest click of the head."""
    clicked = scale.nearest_click(stops)
    if clicked is None:
        return {"nominal_value": None, "marked_as": None, "nominal_difference_stops": None}
    setting = scale.setting(clicked)
    return {
        "nominal_value": setting,
        "marked_as": power_text(scale, setting),
        "nominal_difference_stops": clicked - stops,
    }
