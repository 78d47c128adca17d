"""`/v1/flash`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closeup_service.advice import cautions
from closeup_service.advice.figures import decimal
from closeup_service.language import mark, tr
from closeup_service.operations.light.flash import notes as flash_notes
from closeup_service.operations.light.flash.schemas import APERTURES, DISTANCES, MOST_POPS, FlashAnswer, FlashRequest
from closeup_service.operations.one_lens import (
    effective_f_number,
    effective_per_mark,
    mounting_and_pupils,
    stops,
)
from closeup_service.operations.operation import Example, Operation
from closeup_service.optics import disc, flash, formulas
from closeup_service.optics.arithmetic import POINT
from closeup_service.optics.errors import NoSolution
from closeup_service.optics.flash import Head, Setting
from closeup_service.optics.formulas import refuse_wide
from closeup_service.optics.nominal_series import nominal_mark
from closeup_service.worked.flash import flash_steps

if TYPE_CHECKING:
    from closeup_service.records import answers, requests

TOO_WEAK = mark("Bring the flash nearer, raise iso, or use more power, heads or flashes.")


def answer(asked: requests.FlashRequest) -> answers.FlashAnswer:
    """The open one of aperture, distance, power and pops; with none open how far the exposure is off."""
    assumed = assumptions(asked)
    setting = setting_of(asked, open_one(asked))
    marked = marked_f_number(asked, setting.effective)
    error = setting.inverse_square_error
    sized = "source_diameter_mm" in asked
    numbers = [head.guide_number for head in setting.heads]
    return {
        "f_number": marked,
        "nominal_f_number": engraved(marked),
        "effective_f_number": setting.effective,
        "light_loss_stops": None if marked is None else stops(loss(setting.effective, marked)),
        "flash_distance_mm": None if "flash_distances_mm" in asked else setting.nearest,
        "flash_power_fraction": setting.power,
        "flash_power_stops": stops(flash.stops_below_full(setting.power, POINT)),
        "pops": setting.whole_pops,
        "pops_exact": setting.pops,
        "exposure_difference_stops": stops(setting.difference_stops),
        "guide_number_at_iso_m": flash.guide_number_at(
            flash.guide_number_of_all(numbers, POINT), asked.get("iso", flash.BASE_ISO), POINT
        ),
        "inverse_square_error": error if sized else None,
        "inverse_square_error_stops": flash.excess_stops(error, POINT) if sized else None,
        "assumed": assumed,
        "remarks": flash_notes.remarks_on(asked, setting, open_one(asked), marked, engraved(marked)),
        "cautions": cautions.sort_cautions(
            [
                *cautions.flash_cautions(asked, setting.whole_pops, heads=asked.get("heads", 1)),
                *cautions.mounting_cautions(asked.get("mounting", "normal")),
            ]
        ),
    }


def open_one(asked: requests.FlashRequest) -> str | None:
    """Which one is open: the aperture, the distance, else the power, else the number of flashes; None when all are given."""
    if not any(name in asked for name in APERTURES):
        return "effective_f_number"
    if not any(name in asked for name in DISTANCES):
        return "flash_distance_mm"
    return next((name for name in ("flash_power_fraction", "pops") if name not in asked), None)


def assumptions(asked: requests.FlashRequest) -> dict[str, float | str]:
    """What is assumed of light and lens where it is not given."""
    defaults: dict[str, float | str] = {
        "iso": flash.BASE_ISO,
        "flash_power_fraction": 1.0,
        "pops": 1.0,
        "transmission": 1.0,
        "source_diameter_mm": 0.0,
    }
    if "guide_number_m" in asked:
        defaults["heads"] = 1.0
    if open_one(asked) in defaults:
        del defaults[str(open_one(asked))]
    lens = mounting_and_pupils(asked) if "magnification" in asked else {}
    return {name: value for name, value in defaults.items() if name not in asked} | lens


def setting_of(asked: requests.FlashRequest, wanted: str | None) -> Setting:
    """Solve for what is wanted."""
    power, pops = asked.get("flash_power_fraction", 1.0), asked.get("pops", 1.0)
    other_gain = flash.gain(asked.get("iso", flash.BASE_ISO), 1.0, 1.0, asked.get("transmission", 1.0))
    gain, radius = other_gain * power * pops, disc.radius_of(asked.get("source_diameter_mm", 0.0))
    effective = None if wanted == "effective_f_number" else stated_effective(asked)
    distances = distances_of(asked, effective, gain, radius)
    heads = tuple(Head(*pair) for pair in zip(guide_numbers(asked), distances, strict=True))
    light = flash.light_of_all(heads, radius)
    if effective is None:
        effective = flash.effective_f_number(light, gain, POINT)
        refuse_wide(effective, asked.get("magnification"), tr(TOO_WEAK), first_guide_number(asked))
    if wanted == "flash_power_fraction":
        power = flash.required_factor(light, effective, other_gain * pops)
    if wanted == "pops":
        pops = flash.required_factor(light, effective, other_gain * power)
        refuse_many(pops)
    return Setting(effective, heads, radius, power, pops, other_gain)


def first_guide_number(asked: requests.FlashRequest) -> str:
    """Pointer to the guide number as given."""
    return "/guide_numbers_m" if "guide_numbers_m" in asked else "/guide_number_m"


def guide_numbers(asked: requests.FlashRequest) -> list[float]:
    """Guide number of every head."""
    several = asked.get("guide_numbers_m")
    return list(several) if several is not None else [asked["guide_number_m"]] * asked.get("heads", 1)


def distances_of(asked: requests.FlashRequest, effective: float | None, gain: float, radius: float) -> list[float]:
    """Distance of every head, given or solved for."""
    if "flash_distances_mm" in asked:
        return list(asked["flash_distances_mm"])
    numbers = guide_numbers(asked)
    distance = asked.get("flash_distance_mm")
    if distance is None:
        assert effective is not None
        distance = flash.distance(flash.guide_number_of_all(numbers, POINT), gain, effective, radius, POINT)
    return [distance] * len(numbers)


def stated_effective(asked: requests.FlashRequest) -> float:
    """Effective f-number as given, or of the marked one."""
    if "f_number" in asked:
        return effective_f_number(asked, asked["f_number"], asked["magnification"])
    effective = asked["effective_f_number"]
    refuse_wide(effective, asked.get("magnification"), tr("Give a larger effective_f_number."), "/effective_f_number")
    return effective


def refuse_many(pops: float) -> None:
    """Refuse more flashes than anyone fires."""
    if pops > MOST_POPS:
        raise NoSolution(
            tr(
                "It would take {pops} flashes. Use more power, raise iso, bring the flash nearer, or open the "
                "aperture.",
                pops=decimal(pops),
            ),
            "/flash_power_fraction",
        )


def marked_f_number(asked: requests.FlashRequest, effective: float) -> float | None:
    """Marked f-number that gives an effective one; None where the magnification is not asked."""
    if "f_number" in asked:
        return asked["f_number"]
    return effective / effective_per_mark(asked, asked["magnification"]) if "magnification" in asked else None


def engraved(marked: float | None) -> float | None:
    """Engraved f-number nearest to a marked one; None beyond every ring."""
    found = None if marked is None else nominal_mark("f_number", marked)
    return None if found is None else found[0].nominal


def loss(effective: float, marked: float) -> float:
    """Light lost against the marked f-number, in stops."""
    return float(formulas.light_loss_stops(effective, marked, POINT))


OPERATION = Operation(
    operation_id="findFlash",
    path="/v1/flash",
    tag="light",
    summary="Flash by guide number: aperture, distance, power or number of flashes",
    description=(
        "N_eff = GN sqrt(S/100) / D with the guide number GN in metres at ISO 100, times the root of power, flashes and "
        "transmission; several heads add as energies. Leave one thing open: the aperture, the distance, or with both given the "
        "power, or with the power given too the number of flashes; with all given, the answer says how far the exposure is "
        "off. A luminous disc of source_diameter_mm is counted by 1/(D^2 + r^2)."
    ),
    answer=answer,
    answer_type=FlashAnswer,
    request_type=FlashRequest,
    steps=flash_steps,
    examples=(
        Example(
            "seed-flash-power",
            "Power for a seed at 2:1, reversed lens marked f/8, small flash with a diffuser 150 mm away (invented kit)",
            {
                "guide_number_m": 28,
                "f_number": 8,
                "magnification": 2,
                "pupil_magnification": 1.3,
                "mounting": "reversed",
                "flash_distance_mm": 150,
                "transmission": 0.25,
                "source_diameter_mm": 60,
            },
        ),
        Example(
            "lichen-two-heads",
            "Aperture for a lichen at 1:1 between two unequal heads (invented kit)",
            {
                "guide_numbers_m": [20, 12],
                "flash_distances_mm": [400, 300],
                "flash_power_fraction": 0.125,
                "magnification": 1,
                "pupil_magnification": 0.9,
                "iso": 200,
            },
        ),
        Example(
            "tray-of-seeds-pops",
            "Flashes with the shutter open for a tray of seeds at an effective f/32 (invented kit)",
            {"guide_number_m": 24, "effective_f_number": 32, "flash_distance_mm": 1500, "flash_power_fraction": 1},
        ),
    ),
)
