"""Remarks on a new exposure: metering, shutter and sync, the head's range, ambient light, the finder."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from closeup_service.advice.figures import decimal, percent
from closeup_service.advice.remark import WORTH_SAYING, Remark, remark
from closeup_service.language import mark, tr

if TYPE_CHECKING:
    from closeup_service.records import answers

LONG_TIME_S = 1.0
"""From here on film asks for more time than reckoned (common practice, no source)."""

SPOKEN = {
    "exposure_time_s": mark("exposure time"),
    "iso": mark("ISO speed"),
    "flash_power": mark("flash power"),
    "flash_distance_mm": mark("flash distance"),
    "f_number": mark("marked f-number"),
    "pops": mark("number of flashes with the shutter open"),
    "transmission": mark("transmission of the filters"),
}
"""Settings in the words of people."""

MARK_NOT_ATTAINABLE = mark(
    "No mark of this lens gives the light asked for: air admits no aperture so wide, another stop of the "
    "set-up would govern then, or the lens bears no mark. Solve for another setting.",
)

UNITS = {"exposure_time_s": " s", "flash_distance_mm": " mm"}


def metering_through_lens(loss: float | None) -> Remark:
    """Say that a meter in the camera needs none of this."""
    stops = "" if loss is None else tr(" ({loss} stops in the planned frame)", loss=decimal(loss, 2))
    return remark(
        "metering-through-lens",
        tr(
            "A meter or flash control that measures through the lens already counts the light lost to "
            "magnification{stops}: do not correct it again. This is for manual settings and hand meters.",
            stops=stops,
        ),
    )


def unchanged_frames() -> Remark:
    """Say that both frames are the same but for the unknown."""
    return remark("nothing-changed", tr("Nothing changes from the reference to the planned frame: the setting stays."))


def same_mark(stands_for: float) -> Remark:
    """Say that the mark of both frames cancels."""
    return remark(
        "same-mark",
        tr(
            "No f-number is given: both frames are taken at the same mark, which does not change the new "
            "setting. The effective f-numbers are those of f/{stands_for}.",
            stands_for=decimal(stands_for),
        ),
    )


def shutter_and_sync(within: bool | None, time_s: float | None, sync_time_s: float | None) -> list[Remark]:
    """Say that the shutter is too short for the flash, where that is known."""
    if within is not False or time_s is None or sync_time_s is None:
        return []
    return [
        remark(
            "shutter-shorter-than-sync",
            tr(
                "{time_s} is shorter than the sync time of {sync_time_s}: part of the frame stays dark. Set the sync "
                "time or a longer one; against ambient light use a lower ISO speed or a larger f-number instead.",
                time_s=exposure_time(time_s),
                sync_time_s=exposure_time(sync_time_s),
            ),
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
            tr(
                "Film needs more than this in long exposures (reciprocity failure: see its data sheet); sensors do "
                "not, but grow noisier. Everything must stand still that long.",
            ),
        )
    ]


def value_beyond_series(unknown: str, value: float) -> Remark:
    """Say that no ordinary camera or lens has the value."""
    return remark(
        "beyond-marked-values",
        tr(
            "This {spoken}, {value}{unit}, lies beyond what lenses, cameras and flashes have: change another "
            "setting too.",
            spoken=tr(SPOKEN[unknown]),
            value=decimal(value, 4),
            unit=UNITS.get(unknown, ""),
        ),
    )


def missed_range(missing_stops: float, at: str, ways: Sequence[answers.PowerWay]) -> list[Remark]:
    """Say by how much the head's range misses, and what closes the gap."""
    if missing_stops == 0:
        return []
    lack = tr("too weak") if missing_stops > 0 else tr("too strong, even at its least")
    means = "; ".join(f"{tr(SPOKEN[way['setting']])} {way_value(way)}" for way in ways)
    return [
        remark(
            "power-out-of-range",
            tr(
                "The flash is {missing_stops} stops {lack}. Set it to {at}, and ",
                missing_stops=decimal(abs(missing_stops), 2),
                lack=lack,
                at=at,
            )
            + (
                tr("do one of these: {means}.", means=means)
                if means
                else tr("change another setting, or use another flash.")
            ),
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
        tr(
            "Whether the head goes so far is not known: give the range of flash_scale (least, greatest) to have "
            "it checked.",
        ),
    )


def change_of_distance(diameter: float | None, stops: float, plain_stops: float) -> list[Remark]:
    """Say that the inverse square was used for want of the source's size, or how far off it would be for this change."""
    if diameter is None:
        return [
            remark(
                "inverse-square-assumed",
                tr(
                    "The flash was taken as a small source, whose light falls with the square of the distance. A "
                    "diffuser near the subject falls off more slowly: give source_diameter_mm.",
                ),
            )
        ]
    if abs(stops - plain_stops) < WORTH_SAYING:
        return []
    return [
        remark(
            "inverse-square-off",
            tr(
                "The change of distance counts {stops} stops for a source of this size, as an evenly bright disc on "
                "the axis; the plain inverse square would count {plain_stops}.",
                stops=decimal(stops, 2),
                plain_stops=decimal(plain_stops, 2),
            ),
        )
    ]


def missing_viewing_mark() -> Remark:
    """Say that the finder's light is not known without a marked aperture."""
    return remark(
        "no-marked-aperture",
        tr(
            "How bright the finder is while focusing is not determined: it needs a marked f-number, and "
            "magnification and pupils of the lens, or a set-up whose governing stop bears a mark.",
        ),
    )


def ambient_light(stops_under: float, black: bool, share: float) -> Remark:
    """Say what ambient light does beside the flash."""
    if black:
        return remark(
            "ambient-black",
            tr(
                "Ambient light lies {stops_under} stops under the flash, {share}% of the light: a frame without "
                "flash would be black, and only the flash's duration counts for movement.",
                stops_under=decimal(stops_under, 2),
                share=percent(share, 2),
            ),
        )
    return remark(
        "ambient-visible",
        tr(
            "Ambient light gives {share}% of the picture's light, and draws movement for the whole exposure time "
            "(/v1/motion-blur takes this ambient_share). A lower ISO speed or a larger f-number, which the flash "
            "makes up for, or a shorter exposure time, though none shorter than the sync time, keeps it down; or "
            "darken the room.",
            share=percent(share, 2),
        ),
    )


def finder(loss: float, factor: float) -> list[Remark]:
    """Say how dim the finder is, and what helps."""
    return [
        remark(
            "finder-brightness",
            tr(
                "While focusing, an optical finder is {loss} stops dimmer than through the open lens at infinity: "
                "{factor} times the modelling light makes up for it. A live view with gain shows a bright picture "
                "but a noisier and slower one; focus at the widest mark and close down before the picture.",
                loss=decimal(loss, 2),
                factor=decimal(factor),
            ),
        )
    ]
