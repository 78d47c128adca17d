"""Focus stacks: what every stack has, and the stack on a rail.

A position [mm] is that of a frame's plane of focus, from the nearest point of the subject, positive away from the lens. A
frame with the depths a before and b behind its plane is sharp from position - a to position + b. Neighbours i and k are at
most (1 - o) (b_i + a_k) apart, o being the overlap: with o = 0 their depths just touch. Common practice, no source; the
sums follow by algebra from the depth of field.
"""

from __future__ import annotations

from math import floor, isinf, nan
from typing import Any

import numpy as np
from msgspec import Struct

from closeup_service.language import tr
from closeup_service.optics.arithmetic import POINT, Arithmetic, FloatArray, R
from closeup_service.optics.depth import Depth
from closeup_service.optics.errors import StepTooLong, TooManyFrames

OVERLAP = 0.2
"""Overlap when none is stated (common practice, no source)."""

MOST_FRAMES = 10_000
"""Frames that one answer lists at most."""

ROUNDING = 1e-9
"""Share of a step that counts as none, so that a subject of exactly nine steps takes nine and not ten."""


class Stack(Struct, frozen=True):
    """Frames that cover a subject's depth without a gap.

    Parameters
    ----------
    positions : planes of focus from the nearest point of the subject, away from the lens [mm]
    front, rear : depth of each frame before and behind its plane of focus [mm]; infinite where unlimited
    step : between frames, of what is moved: the rail, the lens or the rear standard [mm]; None with a single frame
    travel : of the same, from the first frame to the last [mm]
    overlap : least share of the depth between two neighbours that both are sharp over; None with a single frame
    end_to_end : frames with one plane of focus on either end of the subject, by the same rule
    varying_step : frames if each step were as long as the depths beside it allow
    image_travel : of the image from the subject's nearest to its farthest plane, along the axis against the lens [mm]
    advance : how much nearer the lens comes to the subject than where it stands focused on the nearest plane [mm]
    """

    positions: FloatArray
    front: FloatArray
    rear: FloatArray
    step: float | None
    travel: float
    overlap: float | None
    end_to_end: int
    varying_step: int
    image_travel: float
    advance: float

    @property
    def frames(self) -> int:
        """Frames that cover the subject."""
        return len(self.positions)

    @property
    def overlaps(self) -> FloatArray:
        """Share of the depth between each frame and the next that both are sharp over."""
        return np.maximum(0.0, overlaps_of(self.positions, self.front, self.rear))


def count_steps(length: R, step: R, arithmetic: Arithmetic[R]) -> R:
    """Fewest steps that reach over a length; 0 where there is none to reach over.

    Parameters
    ----------
    length : float or array, to reach over, mm
    step : float or array, mm

    Returns
    -------
    float or array, steps
    """
    return arithmetic.whole_steps(length / step)


def usual_step(total: R, subject_depth: R, arithmetic: Arithmetic[R]) -> R:
    """Step on a rail [mm] with the usual overlap, by the depth of one frame; NaN where one is deep enough, or not known.

    Parameters
    ----------
    total : float or array, depth of field, mm
    subject_depth : float or array, mm
    """
    return arithmetic.where(total >= subject_depth, nan, allowed_step(total, OVERLAP))


def usual_frames(total: R, subject_depth: R, arithmetic: Arithmetic[R]) -> R:
    """Frames on a rail with the usual overlap, by the depth of one frame; in a column NaN where that is not known.

    Parameters
    ----------
    total : float or array, depth of field, mm
    subject_depth : float or array, mm
    """
    steps = (subject_depth - total) / allowed_step(total, OVERLAP)
    return arithmetic.whole_steps(arithmetic.where(total >= subject_depth, 0.0, steps)) + 1


def travel_over(frames: R, step: R) -> R:
    """Travel from the first frame to the last [mm].

    Parameters
    ----------
    frames : float or array, number of frames
    step : float or array, mm
    """
    return (frames - 1) * step


def step_over(travel: R, frames: R) -> R:
    """Step [mm] of so many frames, more than one.

    Parameters
    ----------
    travel : float or array, from the first frame to the last, mm
    frames : float or array, number of frames
    """
    return travel / (frames - 1)


def reached_overlap(step: R, total: R, arithmetic: Arithmetic[R]) -> R:
    """Share of the depth that neighbours in such steps share.

    Parameters
    ----------
    step : float or array, mm
    total : float or array, depth of field, mm
    """
    return arithmetic.greatest(0.0, 1 - step / total)


def spare_depth(travel: R, total: R, subject_depth: R, arithmetic: Arithmetic[R]) -> R:
    """Depth [mm] that the frames cover beyond the subject.

    Parameters
    ----------
    travel : float or array, from the first frame to the last, mm
    total : float or array, depth of field of one frame, mm
    subject_depth : float or array, mm
    """
    return arithmetic.greatest(0.0, travel + total - subject_depth)


def first_plane(front: R, spare: R, total: R) -> R:
    """First plane of focus behind the subject's nearest point [mm]; what is spare is shared out as the depth is.

    Parameters
    ----------
    front : float or array, depth before a plane of focus, mm
    spare : float or array, depth covered beyond the subject, mm
    total : float or array, depth of field of one frame, mm
    """
    return front * (1 - spare / total)


def single_plane(front: R, subject_depth: R, total: R, arithmetic: Arithmetic[R]) -> R:
    """Plane of focus of a single frame [mm]: it divides the subject as it divides the depth.

    Parameters
    ----------
    front : float or array, depth before the plane of focus, mm
    subject_depth : float or array, mm
    total : float or array, depth of field, mm
    """
    return front * arithmetic.least(1.0, subject_depth / total)


def magnification_change(farthest: R, nearest: R) -> R:
    """Change of the magnification along the stack, over that of the nearest plane.

    Parameters
    ----------
    farthest, nearest : float or array, magnifications focused on the two planes, sensor/subject

    Returns
    -------
    float or array, ratio
    """
    return farthest / nearest - 1


def perspective_change(approach: R, inverse_pupil_distance: R) -> R:
    """How far the entrance pupil moves towards the subject, over its distance to the farthest plane at the end.

    Parameters
    ----------
    approach : float or array, of the entrance pupil along the stack, mm
    inverse_pupil_distance : float or array, 1/z at the farthest plane, 1/mm, z from subject to entrance pupil
    """
    return approach * inverse_pupil_distance


def remaining_clearance(clearance: R, advance: R) -> R:
    """Clearance [mm] where the front of the lens comes nearest to the subject.

    Parameters
    ----------
    clearance : float or array, focused on the nearest plane, mm
    advance : float or array, of the lens from there, mm
    """
    return clearance - advance


def total_time(frames: R, time_of_one: R) -> R:
    """Time of the whole stack [s].

    Parameters
    ----------
    frames : float or array, number of frames
    time_of_one : float or array, settling, exposure and recycling, s
    """
    return frames * time_of_one


def refuse_too_many(frames: float) -> None:
    """Refuse a stack too long to be listed.

    Parameters
    ----------
    frames : float, number of frames

    Raises
    ------
    TooManyFrames
        Where the stack is too long.
    """
    if frames > MOST_FRAMES:
        raise TooManyFrames(
            tr(
                "This stack takes {frames:.0f} frames, and at most {most_frames} are listed. Use a larger f_number, "
                "less overlap, a larger blur or a smaller magnification, or take the subject in several parts.",
                frames=frames,
                most_frames=MOST_FRAMES,
            ),
            "subject_depth_mm",
        )


def rail_stack(depth: Depth, subject_depth: float, overlap: float, rail_step: float | None) -> Stack:
    """Stack by moving camera and lens together: depth and magnification are the same in every frame.

    Parameters
    ----------
    depth : of one frame, mm; either side may be infinite
    subject_depth : T, mm
    overlap : o, least share of the depth that neighbours share
    rail_step : least step of the rail [mm], of which the step used is a whole multiple; None where any step can be set

    Notes
    -----
    step = (1 - o) (a + b); frames that cover the subject: ceil((T - a - b) / step) + 1, at least 1; with planes of focus
    on both ends: ceil(T / step) + 1. What the frames cover beyond the subject is shared out at both ends as a is to b, so
    that every plane of focus lies within the subject.
    """
    total = depth.total
    if subject_depth <= total * (1 + ROUNDING):
        return single_rail_frame(depth, subject_depth, overlap)
    step = step_on_a_rail(total, overlap, rail_step)
    moves = int(count_steps(subject_depth - total, step, POINT))
    refuse_too_many(moves + 1)
    travel = travel_over(moves + 1, step)
    first = first_plane(depth.front, spare_depth(travel, total, subject_depth, POINT), total)
    positions: FloatArray = first + step * np.arange(moves + 1, dtype=float)
    return Stack(
        positions=positions,
        front=np.full(moves + 1, depth.front),
        rear=np.full(moves + 1, depth.rear),
        step=step,
        travel=travel,
        overlap=reached_overlap(step, total, POINT),
        end_to_end=int(count_steps(subject_depth, step, POINT)) + 1,
        varying_step=moves + 1,
        image_travel=0.0,
        advance=float(positions[-1]),
    )


def single_rail_frame(depth: Depth, subject_depth: float, overlap: float) -> Stack:
    """Single frame that is deep enough; its plane of focus divides the subject as it divides the depth.

    Parameters
    ----------
    subject_depth : float, mm
    overlap : float, share of the depth that neighbours share

    Returns
    -------
    Stack, lengths in mm
    """
    total = depth.total
    position = single_plane(depth.front, subject_depth, total, POINT)
    end_to_end = 2 if isinf(total) else int(count_steps(subject_depth, allowed_step(total, overlap), POINT)) + 1
    ends = np.array([depth.front]), np.array([depth.rear])
    return Stack(np.array([position]), *ends, None, 0.0, None, end_to_end, 1, 0.0, position)


def allowed_step(total: R, overlap: R) -> R:
    """Longest step [mm] between frames of this depth that overlap so.

    Parameters
    ----------
    total : float or array, depth of field, mm
    overlap : float or array, share of the depth that neighbours share
    """
    return (1 - overlap) * total


def step_on_a_rail(total: float, overlap: float, rail_step: float | None) -> float:
    """Step that the overlap allows [mm], rounded down to whole steps of the rail.

    Where even one step of the rail is longer than that, it is taken: the overlap is then less than asked, and a gap would
    open only beyond the depth itself, which is refused.

    Parameters
    ----------
    total : float, depth of field, mm
    overlap : float, share of the depth that neighbours share
    rail_step : float or None, least step of the rail, mm; None where any can be set

    Returns
    -------
    float, mm

    Raises
    ------
    StepTooLong
        Where a step of the rail exceeds the depth.
    """
    asked: float = allowed_step(total, overlap)
    if rail_step is None:
        return asked
    if rail_step > total * (1 + ROUNDING):
        raise StepTooLong(
            tr(
                "The rail's least step of {rail_step:.4g} um is longer than the depth of one frame, {total:.4g} um: "
                "every step would leave a gap. Use a finer rail, a larger f_number or a smaller magnification.",
                rail_step=rail_step * 1000,
                total=total * 1000,
            ),
            "rail_step_um",
        )
    return max(1, floor(asked / rail_step + ROUNDING)) * rail_step


def least_overlap(positions: FloatArray, front: FloatArray, rear: FloatArray) -> float:
    """Least share of the depth between two neighbours that both are sharp over; negative where a gap is left.

    Parameters
    ----------
    positions : array, planes of focus, mm
    front : array, depth before each plane of focus, mm
    rear : array, depth behind each plane of focus, mm

    Returns
    -------
    float, share of the depth
    """
    return float(np.min(overlaps_of(positions, front, rear)))


def overlaps_of(positions: FloatArray, front: FloatArray, rear: FloatArray) -> FloatArray:
    """Share of the depth between each two neighbours that both are sharp over; negative where a gap is left.

    Parameters
    ----------
    positions : array, planes of focus, mm
    front : array, depth before each plane of focus, mm
    rear : array, depth behind each plane of focus, mm

    Returns
    -------
    array, shares of the depth, one fewer than planes
    """
    between: Any = np.diff(positions) / (rear[:-1] + front[1:])
    return np.asarray(1 - between)
