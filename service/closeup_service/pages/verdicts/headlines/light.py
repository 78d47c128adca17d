"""What to set: the light that magnification costs, a setting from a frame that was right, a flash by its guide number."""

from __future__ import annotations

from collections.abc import Mapping

from closeup_service.language import mark
from closeup_service.pages.task import number_of
from closeup_service.pages.verdicts.case import Case, Told, take_two
from closeup_service.pages.verdicts.headlines.one_lens import requested_span
from closeup_service.pages.verdicts.words import figure_at, number_at, say, span_of, text_at, words_of

APERTURE, EXPOSURE, FLASH = "findEffectiveFNumber", "findExposure", "findFlash"
LOSES = (
    mark("At {magnification} the marked {f_number} acts as {effective}: {loss} less light reaches the sensor."),
    mark("At {magnification} the marked {f_number} acts as {effective}: {gain} more light reaches the sensor."),
    mark("At {magnification} the marked {f_number} acts as {effective}."),
)
SETTINGS: Mapping[str, tuple[str, ...]] = {
    "exposure_time_s": (mark("Set the shutter to {setting} s."),),
    "iso": (mark("Set ISO {setting}."),),
    "f_number": (mark("Set {setting} on the lens."),),
    "flash_power": (mark("Set the flash to {setting} of its full power."),),
    "flash_distance_mm": (mark("Put the flash {value} from the subject."),),
}
"""What to do for each setting that can be found."""
UNMARKED: Mapping[str, tuple[str, ...]] = {
    "exposure_time_s": (mark("Expose for {value}."),),
    "iso": (mark("ISO {value} would be right, which no camera has."),),
    "f_number": (mark("{value} would be right, which no ring has."),),
    "flash_power": (mark("The flash would need {value} of its full power."),),
    "flash_distance_mm": (mark("Put the flash {value} from the subject."),),
}
BY_GUIDE_NUMBER = (
    mark("Set the flash to {power} of its full power at {flash_distance}."),
    mark("At full power put the flash {flash_distance} from the subject."),
)
TOO_WEAK = (mark("The flash is too weak by {missing}: bring it nearer, open the lens, or raise the ISO speed."),)


def case_of_light(told: Told) -> Case:
    """Figures of the light of the planned frame."""
    answer, asked = told.answer(APERTURE), told.request(APERTURE)
    return Case(
        f_number=number_of(asked, "f_number"),
        magnification=requested_span(asked, "magnification"),
        effective_f_number=span_of(answer, "effective_f_number"),
        light_loss_stops=span_of(answer, "light_loss_stops"),
        missing_stops=missing_stops(told),
    )


def missing_stops(told: Told) -> float | None:
    """Light that the flash lacks, by the frame that was right or by the guide number."""
    short = -(number_at(told.answer(FLASH), "exposure_difference_stops") or 0.0)
    found = number_at(told.answer(EXPOSURE), "flash_power/missing_stops") or short
    return found if found > 0 else None


def headline_of_light(told: Told) -> tuple[str, ...]:
    """The setting that was asked for, then what the marked aperture acts as."""
    case = case_of_light(told)
    weak = say(TOO_WEAK, case.words)
    return take_two(*([weak] if weak else [setting_sentence(told), flash_sentence(told)]), say(LOSES, case.words))


def setting_sentence(told: Told) -> str:
    """The setting that was found from a frame that was right."""
    answer = told.answer(EXPOSURE)
    unknown = text_at(answer, "unknown")
    if unknown not in SETTINGS:
        return ""
    words = {"setting": text_at(answer, "marked_as"), "value": figure_at(answer, "value", unknown)}
    return say((*SETTINGS[unknown], *UNMARKED[unknown]), words)


def flash_sentence(told: Told) -> str:
    """Power or distance of the flash by its guide number."""
    answer = told.answer(FLASH)
    power = span_of(answer, "flash_power_fraction")
    return say(
        BY_GUIDE_NUMBER,
        {
            "power": words_of(power, "flash_power_fraction") if power is not None and power.value < 1 else None,
            "flash_distance": figure_at(answer, "flash_distance_mm"),
        },
    )
