"""Ambient light under the flash, and the finder, for an exposure."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closeup_service.advice import exposure_remarks
from closeup_service.advice.remark import Remark, undetermined_results
from closeup_service.optics import exposure, motion
from closeup_service.optics.arithmetic import POINT
from closeup_service.optics.exposure import Frame
from closeup_service.set_ups.lens_light import LensLight

if TYPE_CHECKING:
    from closeup_service.records import answers, requests

BLACK_STOPS = 5.0
"""Stops below mid-grey at which hardly anything is left to see (common practice, no source)."""

AMBIENT = ("under_flash_stops", "black_without_flash", "ambient_share", "flash_share")


def ambient_members(
    asked: requests.Ambient,
    planned: Frame,
    missing_stops: float,
    magnification: float | None,
    assumed: dict[str, float | str],
    at: str,
) -> tuple[answers.AmbientLight, list[Remark]]:
    """How far ambient light lies under the flash, which may miss so many stops, and what it draws."""
    if "black_stops" not in asked:
        assumed[f"{at}/ambient/black_stops"] = BLACK_STOPS
    members, notes = ambient_shares(asked, planned, missing_stops, at)
    if "sideways_speed_mm_s" in asked:
        members["ambient_blur_um"], lacking = ambient_blur(asked["sideways_speed_mm_s"], planned, magnification, at)
        notes = [*lacking, *notes]
    return members, notes


def ambient_shares(
    asked: requests.Ambient, planned: Frame, missing_stops: float, at: str
) -> tuple[answers.AmbientLight, list[Remark]]:
    """Shares of ambient light and flash, and whether the frame would be black without the flash."""
    below, missing = stops_below_mid_grey(asked, planned)
    if below is None:
        needs = tuple(f"{at}/reference/{name}" for name in missing)
        unknown: answers.AmbientLight = {
            "under_flash_stops": None,
            "black_without_flash": None,
            "ambient_share": None,
            "flash_share": None,
        }
        return unknown, undetermined_results(dict.fromkeys(AMBIENT, needs))
    under = below - missing_stops
    black = below >= asked.get("black_stops", BLACK_STOPS)
    share = exposure.ambient_share(under)
    members: answers.AmbientLight = {
        "under_flash_stops": under,
        "black_without_flash": black,
        "ambient_share": share,
        "flash_share": 1 - share,
    }
    return members, [exposure_remarks.ambient_light(under, black, share)]


def ambient_blur(
    speed: float, planned: Frame, magnification: float | None, at: str
) -> tuple[float | None, list[Remark]]:
    """What ambient light draws of a sideways movement."""
    time = planned.exposure_time_s
    if time is None or magnification is None:
        lacking = f"{at}/reference/exposure_time_s" if time is None else f"{at}/planned/magnification"
        return None, undetermined_results({"ambient_blur_um": (lacking,)})
    return motion.image_speed(magnification, speed) * time, []


def stops_below_mid_grey(asked: requests.Ambient, planned: Frame) -> tuple[float | None, list[str]]:
    """How far ambient light alone leaves the planned frame below mid-grey, or the settings that are missing to know."""
    missing = [name for name in ("exposure_time_s", "iso") if getattr(planned, name) is None]
    if "exposure_value" in asked:
        return (None, missing) if missing else (exposure_value_of(planned) - asked["exposure_value"], [])
    own = [name for name in ("exposure_time_s", "iso", "effective_f_number") if name in asked]
    if not own:
        return asked["below_mid_grey_stops"], []
    if missing:
        return None, missing
    test = Frame(
        effective_f_number=asked.get("effective_f_number", planned.effective_f_number),
        transmission=planned.transmission,
        exposure_time_s=asked.get("exposure_time_s", planned.exposure_time_s),
        iso=asked.get("iso", planned.iso),
    )
    return asked["below_mid_grey_stops"] + exposure_value_of(planned) - exposure_value_of(test), []


def exposure_value_of(frame: Frame) -> float:
    """Exposure value at ISO 100 for which the settings are right."""
    assert frame.exposure_time_s is not None
    assert frame.iso is not None
    return exposure.setting_exposure_value(
        frame.effective_f_number, frame.transmission, frame.exposure_time_s, frame.iso
    )


def finder_members(
    asked: requests.Finder, lens: LensLight, planned: Frame, assumed: dict[str, float | str], at: str
) -> tuple[answers.FinderLight, list[Remark]]:
    """How much dimmer the finder is than through the same lens open, normal, at infinity and without filters."""
    widest = asked["least_f_number"]
    focusing_mark = asked.get("focusing_f_number", widest)
    if "focusing_f_number" not in asked:
        assumed[f"{at}/finder/focusing_f_number"] = widest
    taking = exposure.finder_loss(planned.effective_f_number, widest, planned.transmission, POINT)
    effective = lens.effective_f_number_at(focusing_mark)
    if effective is None:
        dark: answers.FinderLight = {
            "focusing_loss_stops": None,
            "taking_loss_stops": taking,
            "modelling_light_factor": None,
        }
        return dark, [exposure_remarks.missing_viewing_mark()]
    loss = exposure.finder_loss(effective, widest, planned.transmission, POINT)
    factor = exposure.factor_of(loss)
    members: answers.FinderLight = {
        "focusing_loss_stops": loss,
        "taking_loss_stops": taking,
        "modelling_light_factor": factor,
    }
    return members, exposure_remarks.finder(loss, factor)
