"""Ambient light under the flash, and the finder, for an exposure."""

from collections.abc import Mapping
from math import exp2
from typing import Any

from closeup_service.advice import exposure_remarks
from closeup_service.advice.remark import Remark, not_determined
from closeup_service.optics import exposure, motion
from closeup_service.optics.exposure import Frame
from closeup_service.optics.lens_light import LensLight

Asked = Mapping[str, Any]
Members = dict[str, Any]

BLACK_STOPS = 5.0
"""Stops below mid-grey at which hardly anything is left to see (common practice, no source)."""

AMBIENT = ("under_flash_stops", "black_without_flash", "ambient_share", "flash_share", "ambient_blur_um")


def ambient_members(
    asked: Asked, planned: Frame, magnification: float | None, assumed: dict[str, Any], at: str
) -> tuple[Members, list[Remark]]:
    """How far ambient light lies under the flash, and what it draws."""
    if "black_stops" not in asked:
        assumed[f"{at}/ambient/black_stops"] = BLACK_STOPS
    under, missing = stops_under(asked, planned)
    if under is None:
        needs = tuple(f"{at}/reference/{name}" for name in missing)
        return dict.fromkeys(AMBIENT), not_determined(dict.fromkeys(AMBIENT[:4], needs))
    black = under >= asked.get("black_stops", BLACK_STOPS)
    share = exposure.ambient_share(under)
    speed = asked.get("sideways_speed_mm_s")
    drawn = None
    if speed is not None and magnification is not None and planned.exposure_time_s is not None:
        drawn = motion.image_speed(magnification, speed) * planned.exposure_time_s
    members = dict(zip(AMBIENT, (under, black, share, 1 - share, drawn), strict=True))
    return members, [exposure_remarks.ambient_light(under, black, share)]


def stops_under(asked: Asked, planned: Frame) -> tuple[float | None, list[str]]:
    """Stops of ambient light under the flash, or the settings that are missing to know."""
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
    asked: Asked, lens: LensLight, planned: Frame, assumed: dict[str, Any], at: str
) -> tuple[Members, list[Remark]]:
    """How much dimmer the finder is than through the same lens open, normal and at infinity."""
    widest = asked["least_f_number"]
    focusing_mark = asked.get("focusing_f_number", widest)
    if "focusing_f_number" not in asked:
        assumed[f"{at}/finder/focusing_f_number"] = widest
    effective = lens.effective_at(focusing_mark)
    taking = exposure.finder_loss_stops(planned.effective_f_number, widest)
    if effective is None:
        members = {"focusing_loss_stops": None, "taking_loss_stops": taking, "modelling_light_factor": None}
        open_members = ("focusing_loss_stops", "modelling_light_factor")
        return members, not_determined(dict.fromkeys(open_members, (f"{at}/planned/magnification",)))
    loss = exposure.finder_loss_stops(effective, widest)
    factor = exp2(loss)
    members = {"focusing_loss_stops": loss, "taking_loss_stops": taking, "modelling_light_factor": factor}
    return members, exposure_remarks.finder(loss, factor)
