"""Remarks on focus stacks."""

from collections.abc import Sequence

from closeup_service.advice.figures import decimal
from closeup_service.advice.remark import WORTH_SAYING, Remark, remark
from closeup_service.language import tr
from closeup_service.optics.stack import Stack

NEAR_LIFE_SIZE = 0.8
"""From this magnification on, up to its reciprocal, a focus ring moves the plane of focus by less than 1/m^2 - 1 = 0.56 of
its own travel."""


def frame_counts(stack: Stack) -> list[Remark]:
    """Say what the two numbers of frames count, or that one frame is enough."""
    if stack.frames == 1:
        return [
            remark(
                "one-frame-does",
                tr(
                    "One frame is deep enough for the whole subject, so step_mm and overlap are null. Focus it on the "
                    "plane given.",
                ),
            )
        ]
    return [
        remark(
            "frames-counted",
            tr(
                "frames ({frames}) cover the subject, its ends at the edge of the depth of the first and last frame; "
                "frames_end_to_end ({end_to_end}) have a plane of focus on either end, and are the choice where the "
                "ends must be as sharp as the rest.",
                frames=stack.frames,
                end_to_end=stack.end_to_end,
            ),
        )
    ]


def overlap(stack: Stack, asked: float, without: int) -> list[Remark]:
    """The shortcut of steps as long as the depth, and an overlap that the rail does not allow."""
    if stack.overlap is None:
        return []
    notes = []
    if without < stack.frames:
        notes.append(
            remark(
                "shortcut-no-overlap",
                tr(
                    "The shortcut of steps as long as the depth, without overlap, would take {without} frames instead of "
                    "{frames}, and leave nothing for a rail that slips or a focus that is off.",
                    without=without,
                    frames=stack.frames,
                ),
            )
        )
    if stack.overlap < asked - WORTH_SAYING / 10:
        notes.append(
            remark(
                "overlap-less-than-asked",
                tr(
                    "Even one step of the rail leaves an overlap of only {overlap}, where {asked} was asked: there is no "
                    "gap, but a finer rail or a larger f_number would be better.",
                    overlap=decimal(stack.overlap, 2),
                    asked=decimal(asked, 2),
                ),
            )
        )
    return notes


def whole_rail_steps(step_mm: float, rail_step_um: float, asked_mm: float) -> Remark:
    """Say how many steps of the rail each move is."""
    return remark(
        "rail-whole-steps",
        tr(
            "Each move is {step_mm} whole steps of the rail; the overlap asked for would allow {asked_mm}.",
            step_mm=round(step_mm * 1000 / rail_step_um),
            asked_mm=decimal(asked_mm * 1000 / rail_step_um, 4),
        ),
    )


def nominal_plane() -> Remark:
    """Say where the magnification given holds."""
    return remark(
        "magnification-of-nearest-plane",
        tr(
            "The magnification given was taken as that of the frame focused on the nearest plane of the subject.",
        ),
    )


def whole_lens(mounting: str) -> Remark:
    """Say what was taken to move the lens."""
    if mounting == "reversed":
        return remark(
            "front-standard-taken",
            tr(
                "The front standard of a bellows, or a helicoid, was taken to carry the whole lens. The focus ring "
                "of a reversed lens does not focus: it only moves glass to and from the subject. Leave it where it "
                "is.",
            ),
        )
    return remark(
        "whole-lens-taken",
        tr(
            "The ring was taken to carry the whole lens, as the front standard of a bellows does. A lens that "
            "focuses by moving glass within it changes its focal length as well: the figures are then only near.",
        ),
    )


def magnification_change(nearest: float, farthest: float) -> list[Remark]:
    """Say how much the frames differ in size."""
    change = farthest / nearest - 1
    if abs(change) < WORTH_SAYING:
        return []
    return [
        remark(
            "magnification-changes",
            tr(
                "From the nearest to the farthest plane the magnification goes from {nearest} to {farthest} "
                "({change:+.1%}): the frames must be brought to one size, and the edges of the picture are lost. A "
                "rail keeps the magnification.",
                nearest=decimal(nearest),
                farthest=decimal(farthest),
                change=change,
            ),
        )
    ]


def lens_movement_near_life_size(nearest: float, farthest: float) -> list[Remark]:
    """Say what moving the lens does near 1:1 and above it, with the camera fixed."""
    notes = []
    if max(nearest, farthest) > NEAR_LIFE_SIZE and min(nearest, farthest) < 1 / NEAR_LIFE_SIZE:
        text = tr(
            "Near 1:1 moving the lens hardly moves the plane of focus, since subject and sensor are nearest to "
            "each other there; the travel is long and the magnification changes much. A rail does better.",
        )
        notes.append(remark("ring-near-life-size", text))
    if nearest > 1:
        text = tr("Above 1:1, with the camera fixed, the lens moves out to focus farther away, not in.")
        notes.append(remark("ring-direction-turns", text))
    return notes


def perspective_change(change: float | None) -> list[Remark]:
    """Say when the movement of the entrance pupil shows."""
    if change is None or abs(change) < WORTH_SAYING:
        return []
    return [
        remark(
            "perspective-changes",
            tr(
                "As the lens moves, detail in the farthest plane changes its size by {change:+.1%} against its size "
                "in the first frame, and edges cover other parts of what is behind them: the frames need more than "
                "being brought to one size.",
                change=change,
            ),
        )
    ]


def time(given: Sequence[str], left_out: Sequence[str]) -> list[Remark]:
    """Say which waits are in the total time."""
    if not given:
        text = tr(
            "total_time_s is not determined without times: give those of {left_out} that apply.",
            left_out=", ".join(left_out),
        )
        return [remark("not-determined", text)]
    counted = tr("The total time adds {given} in every frame, one after the other", given=", ".join(given))
    missing = tr("; not given, so taken as 0: {left_out}", left_out=", ".join(left_out)) if left_out else ""
    return [
        remark(
            "time-counted",
            tr(
                "{counted}{missing}. The moves themselves, and anything that runs at once, are not counted.",
                counted=counted,
                missing=missing,
            ),
        )
    ]
