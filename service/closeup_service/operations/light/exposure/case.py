"""An exposure asked for, made ready for the sums: both frames, their apertures, the flash's scale."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, TypeAlias, cast

from msgspec import Struct
from msgspec.structs import replace

from closeup_service.operations.light.exposure.schemas import light_of
from closeup_service.optics import disc, exposure
from closeup_service.optics.exposure import Frame
from closeup_service.optics.flash_power import Scale
from closeup_service.schemas.flash_scale import scale_of
from closeup_service.set_ups.lens_light import LensLight

if TYPE_CHECKING:
    from closeup_service.records import requests

Asked: TypeAlias = "requests.ExposureRequest | requests.ExposureOfSetUp"
"""Whichever object asks for an exposure."""

IN_FRAME = {"flash_power": "flash_power_stops", "f_number": "effective_f_number"}
"""Members of a frame in which an unknown counts, where they are not its own name."""

CAUSES = {
    "exposure_time_s": "exposure_time_stops",
    "iso": "iso_stops",
    "flash_power": "power_stops",
    "flash_distance_mm": "flash_distance_stops",
    "f_number": "aperture_stops",
}
"""Which share of the light each unknown sets."""


class Case(Struct, frozen=True):
    """What is known before the sums."""

    unknown: str
    light: str
    scale: Scale | None
    reference: Frame
    reference_lens: LensLight
    settings: requests.Reference


class Solution(Struct, frozen=True):
    """The new setting, the planned frame with it, and the light of the frame before the change, in stops."""

    value: float
    planned: Frame
    mark: float | None
    difference: float | None
    stops: Mapping[str, float | None]


def case_of(asked: Asked, reference_lens: LensLight, assumed: dict[str, float | str], at: str = "") -> Case:
    """Put both frames together; `at` is the pointer of the object that asks."""
    settings = settings_of(asked)
    light = light_of(asked, asked) or exposure.CONTINUOUS
    uses_scale = "flash_power" in settings or asked["unknown"] == "flash_power"
    scale = scale_of(asked.get("flash_scale", {}), assumed, f"{at}/flash_scale") if uses_scale else None
    reference = frame_of(asked["reference"], reference_lens.effective_f_number, scale)
    return Case(asked["unknown"], light, scale, reference, reference_lens, settings)


def settings_of(asked: Asked) -> requests.Reference:
    """Settings of the planned frame: those of the reference, unless the plan says else."""
    planned, kept = cast("requests.Planned", asked.get("planned", {})), asked["reference"].copy()
    if "transmission" in planned or "filter_stops" in planned:
        kept.pop("transmission", None)
        kept.pop("filter_stops", None)
    return {**kept, **planned}


def frame_of(settings: requests.Reference, effective: float, scale: Scale | None) -> Frame:
    """Frame of these settings."""
    power = settings.get("flash_power")
    return Frame(
        effective_f_number=effective,
        transmission=settings.get("transmission", exposure.filter_transmission(settings.get("filter_stops", 0.0))),
        exposure_time_s=settings.get("exposure_time_s"),
        iso=settings.get("iso"),
        flash_power_stops=None if power is None or scale is None else scale.stops(power),
        flash_distance_mm=settings.get("flash_distance_mm"),
        source_radius_mm=disc.radius_of(settings.get("source_diameter_mm", 0.0)),
        flash_transmission=settings.get("flash_transmission", 1.0),
        pops=settings.get("pops", 1.0),
    )


def solved(case: Case, lens: LensLight) -> Solution | None:
    """Find the open setting with the planned frame's lens; None where no mark of it gives the light."""
    mark = mark_before(case, lens)
    before = frame_of(case.settings, effective_before(case, lens, mark), case.scale)
    changes = exposure.difference(before, case.reference, case.light)
    own = changes.pop(CAUSES[case.unknown]) or 0.0
    rest = sum(change for change in changes.values() if change is not None)
    member = IN_FRAME.get(case.unknown, case.unknown)
    found = exposure.open_setting(member, case.reference, before, -rest)
    planned = replace(before, **{member: found})
    value = found
    if case.unknown == "f_number":
        marked = lens.mark_for(found)
        if marked is None:
            return None
        value = marked
    elif case.unknown == "flash_power" and case.scale is not None:
        value = case.scale.setting(found)
    unmarked = case.unknown == "f_number" and mark is None
    return Solution(
        value=value,
        planned=planned,
        mark=value if case.unknown == "f_number" else mark,
        difference=None if unmarked else rest + own,
        stops=exposure.difference(planned, case.reference, case.light),
    )


def mark_before(case: Case, lens: LensLight) -> float | None:
    """Mark of the planned lens; where it is the unknown, the reference's until it is found."""
    if lens.f_number is None and case.unknown == "f_number":
        return case.reference_lens.f_number
    return lens.f_number


def effective_before(case: Case, lens: LensLight, mark: float | None) -> float:
    """Effective f-number before the change; where no mark says it, the reference's stands in."""
    if case.unknown != "f_number":
        return lens.effective_f_number
    effective = None if mark is None else lens.effective_f_number_at(mark)
    return case.reference.effective_f_number if effective is None else effective
