"""The remarks of `/v1/flash`."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from closeup_service.advice import flash_remarks, lens_remarks
from closeup_service.advice.figures import decimal
from closeup_service.advice.remark import Remark, undetermined_results
from closeup_service.language import tr
from closeup_service.operations.light.flash.schemas import MOST_POPS
from closeup_service.optics import flash
from closeup_service.optics.arithmetic import POINT
from closeup_service.optics.flash import ROUNDING, Setting
from closeup_service.optics.vocabulary import VOCABULARY

if TYPE_CHECKING:
    from closeup_service.records import requests

Notes = list[Remark]

OF_THE_MARKED = ("f_number", "nominal_f_number", "light_loss_stops")


def remarks_on(
    asked: requests.FlashRequest, setting: Setting, wanted: str | None, marked: float | None, nominal: float | None
) -> Notes:
    """Whether the flash can do it, how far the guide number holds, what is left open."""
    return [
        *power_notes(asked, setting, wanted),
        *flash_remarks.guide_number_error(
            setting.nearest, asked.get("source_diameter_mm"), setting.inverse_square_error
        ),
        *flash_remarks.several_flashes(setting.whole_pops),
        *aperture_notes(asked, setting, marked, nominal),
    ]


def aperture_notes(
    asked: requests.FlashRequest, setting: Setting, marked: float | None, nominal: float | None
) -> Notes:
    """What the pupils change, or what the marked aperture waits for."""
    if marked is None:
        return undetermined_results(dict.fromkeys(OF_THE_MARKED, ("/magnification",)))
    notes = lens_remarks.pupils(
        marked,
        asked["magnification"],
        setting.effective,
        "pupil_magnification" in asked,
        asked.get("mounting", "normal"),
    )
    return notes if nominal is not None else [*notes, flash_remarks.f_number_beyond_rings(marked)]


def power_notes(asked: requests.FlashRequest, setting: Setting, wanted: str | None) -> Notes:
    """Whether the power, or the number of flashes, is to be had."""
    if wanted == "flash_power_fraction" and setting.power > 1 + ROUNDING:
        return [flash_remarks.missing_light(math.log2(setting.power), ways_out(asked, setting))]
    if wanted == "flash_power_fraction":
        return flash_remarks.very_low_power(setting.power)
    if wanted == "pops" and setting.pops < 1 - ROUNDING:
        return [flash_remarks.excess_of_one_flash(-math.log2(setting.pops))]
    return []


def ways_out(asked: requests.FlashRequest, setting: Setting) -> list[str]:
    """What else than power would give the light that is missing, where it stays within bounds."""
    ways = []
    pops = math.ceil(setting.power * setting.pops * (1 - ROUNDING))
    if pops <= asked.get("duty_limit_pops", MOST_POPS):
        ways.append(tr("{pops} flashes at full power", pops=pops))
    iso = setting.power * asked.get("iso", flash.BASE_ISO)
    if VOCABULARY["iso"].holds(iso):
        ways.append(f"ISO {decimal(iso)}")
    nearer = flash.distance_for_light(setting.nearest, setting.source_radius, setting.power, POINT)
    if "flash_distances_mm" not in asked and VOCABULARY["flash_distance_mm"].holds(nearer):
        ways.append(tr("the flash at {nearer} mm", nearer=decimal(nearer)))
    return ways
