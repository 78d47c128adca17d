"""Remarks on a new exposure: metering, shutter and sync, the head's range, ambient light, the finder."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from closeup_service.advice.figures import decimal, percent
from closeup_service.advice.remark import WORTH_SAYING, Remark, remark

if TYPE_CHECKING:
    from closeup_service.records import answers

LONG_TIME_S = 1.0
"""From here on film asks for more time than reckoned (common practice, no source)."""

SPOKEN = {
    "exposure_time_s": "exposure time",
    "iso": "ISO speed",
    "flash_power": "flash power",
    "flash_distance_mm": "flash distance",
    "f_number": "marked f-number",
    "pops": "number of flashes with the shutter open",
    "transmission": "transmission of the filters",
}
"""Settings in the words of people."""

MARK_NOT_ATTAINABLE = (
    "No mark of this lens gives the light asked for: air admits no aperture so wide, another stop of the set-up would govern "
    "then, or the lens bears no mark. "
    "Solve for another setting."
)

UNITS = {"exposure_time_s": " s", "flash_distance_mm": " mm"}


def metering_through_lens(loss: float | None) -> Remark:
    """Say that a meter in the camera needs none of this."""
    stops = "" if loss is None else f" ({decimal(loss, 2)} stops in the planned frame)"
    return remark(
        "metering-through-lens",
        f"A meter or flash control that measures through the lens already counts the light lost to magnification{stops}: do "
        "not correct it again. This is for manual settings and hand meters.",
    )


def unchanged_frames() -> Remark:
    """Say that both frames are the same but for the unknown."""
    return remark("nothing-changed", "Nothing changes from the reference to the planned frame: the setting stays.")


def same_mark(stands_for: float) -> Remark:
    """Say that the mark of both frames cancels."""
    return remark(
        "same-mark",
        "No f-number is given: both frames are taken at the same mark, which does not change the new setting. The effective "
        f"f-numbers are those of f/{decimal(stands_for)}.",
    )


def shutter_and_sync(within: bool | None, time_s: float | None, sync_time_s: float | None) -> list[Remark]:
    """Say that the shutter is too short for the flash, where that is known."""
    if within is not False or time_s is None or sync_time_s is None:
        return []
    return [
        remark(
            "shutter-shorter-than-sync",
            f"{exposure_time(time_s)} is shorter than the sync time of {exposure_time(sync_time_s)}: part of the frame stays "
            "dark. Set the sync time or a longer one; against ambient light use a lower ISO speed or a larger f-number "
            "instead.",
        )
    ]


def exposure_time(seconds: float) -> str:
    """Time as people say it."""
    return f"1/{decimal(1 / seconds, 4)} s" if seconds < 0.3 else f"{decimal(seconds)} s"


def long_time(seconds: float) -> list[Remark]:
    """Say what film does in long exposures."""
    if seconds < LONG_TIME_S:
        return []
    return [
        remark(
            "long-exposure",
            "Film needs more than this in long exposures (reciprocity failure: see its data sheet); sensors do not, but grow "
            "noisier. Everything must stand still that long.",
        )
    ]


def value_beyond_series(unknown: str, value: float) -> Remark:
    """Say that no ordinary camera or lens has the value."""
    return remark(
        "beyond-marked-values",
        f"This {SPOKEN[unknown]}, {decimal(value, 4)}{UNITS.get(unknown, '')}, lies beyond what lenses, cameras and "
        "flashes have: change another setting too.",
    )


def missed_range(missing_stops: float, at: str, ways: Sequence[answers.PowerWay]) -> list[Remark]:
    """Say by how much the head's range misses, and what closes the gap."""
    if missing_stops == 0:
        return []
    lack = "too weak" if missing_stops > 0 else "too strong, even at its least"
    means = "; ".join(f"{SPOKEN[way['setting']]} {way_value(way)}" for way in ways)
    return [
        remark(
            "power-out-of-range",
            f"The flash is {decimal(abs(missing_stops), 2)} stops {lack}. Set it to {at}, and "
            + (f"do one of these: {means}." if means else "change another setting, or use another flash."),
        )
    ]


def way_value(way: answers.PowerWay) -> str:
    """Value of a way, with its unit; the nearest mark where there is one."""
    value = way["nominal_value"] if way["nominal_value"] is not None else way["value"]
    return f"{decimal(value, 4)}{UNITS.get(way['setting'], '')}"


def unknown_range() -> Remark:
    """Say that the head's range was not given."""
    return remark(
        "power-range-not-known",
        "Whether the head goes so far is not known: give the range of flash_scale (least, greatest) to have it checked.",
    )


def change_of_distance(diameter: float | None, stops: float, plain_stops: float) -> list[Remark]:
    """Say that the inverse square was used for want of the source's size, or how far off it would be for this change."""
    if diameter is None:
        return [
            remark(
                "inverse-square-assumed",
                "The flash was taken as a small source, whose light falls with the square of the distance. A diffuser near the "
                "subject falls off more slowly: give source_diameter_mm.",
            )
        ]
    if abs(stops - plain_stops) < WORTH_SAYING:
        return []
    return [
        remark(
            "inverse-square-off",
            f"The change of distance counts {decimal(stops, 2)} stops for a source of this size, as an evenly bright "
            "disc on the "
            f"axis; the plain inverse square would count {decimal(plain_stops, 2)}.",
        )
    ]


def missing_viewing_mark() -> Remark:
    """Say that the finder's light is not known without a marked aperture."""
    return remark(
        "no-marked-aperture",
        "How bright the finder is while focusing is not determined: it needs a marked f-number, and magnification "
        "and pupils of the lens, or a set-up whose governing stop bears a mark.",
    )


def ambient_light(stops_under: float, black: bool, share: float) -> Remark:
    """Say what ambient light does beside the flash."""
    if black:
        return remark(
            "ambient-black",
            f"Ambient light lies {decimal(stops_under, 2)} stops under the flash, {percent(share, 2)}% of the light: a frame "
            "without flash would be black, and only the flash's duration counts for movement.",
        )
    return remark(
        "ambient-visible",
        f"Ambient light gives {percent(share, 2)}% of the picture's light, and draws movement for the whole exposure time "
        "(/v1/motion-blur takes this ambient_share). A lower ISO speed or a larger f-number, which the "
        "flash makes up for, or a shorter exposure time, though none shorter than the sync time, keeps it down; or darken the "
        "room.",
    )


def finder(loss: float, factor: float) -> list[Remark]:
    """Say how dim the finder is, and what helps."""
    return [
        remark(
            "finder-brightness",
            f"While focusing, an optical finder is {decimal(loss, 2)} stops dimmer than through the open lens at infinity: "
            f"{decimal(factor)} times the modelling light makes up for it. A live view with gain shows a bright picture but a "
            "noisier and slower one; focus at the widest mark and close down before the picture.",
        )
    ]
