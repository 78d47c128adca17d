"""Where everything stands along the axis of a set-up, in mm from the subject plane towards the sensor, and the axial cone.

A length that the document leaves open, and that no result depends on, is given one for a drawing; `drawn` names it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

from closeup_service.optics.arithmetic import POINT
from closeup_service.optics.matrices import first_powered_part, take_unknown_as_zero
from closeup_service.optics.parts import Part
from closeup_service.optics.train import Trace, trace
from closeup_service.set_ups.set_up import SetUp, build_parts

if TYPE_CHECKING:
    from closeup_service.records import requests

USUAL_GAP_MM = 30.0
LEAST_LENGTH_MM = 8.0
"""A part of unknown length is drawn at least this long, and with its planes at most the usual gap from its faces."""


class Gaps(Struct, frozen=True):
    """Front face to first principal plane, first to second plane, second plane to rear face [mm]."""

    front: float
    separation: float
    rear: float

    @property
    def length(self) -> float:
        """Face to face."""
        return self.front + self.separation + self.rear


class Placed(Struct, frozen=True):
    """One part: its faces and its principal planes, mm from the subject plane, and the height of the ray there."""

    pointer: str
    start_mm: float
    end_mm: float
    first_plane_mm: float
    second_plane_mm: float
    ray_height_mm: float | None
    powered: bool
    length_known: bool


class Axis(Struct, frozen=True):
    """A set-up along its axis; `drawn` holds, by JSON pointer, the lengths that were chosen for the drawing alone."""

    parts: tuple[Placed, ...]
    working_distance_mm: float
    flange_mm: float
    sensor_mm: float
    entrance_pupil_mm: float | None
    entrance_pupil_radius_mm: float | None
    drawn: Mapping[str, float]

    @property
    def ray(self) -> tuple[tuple[float, float], ...]:
        """Marginal ray as points (mm from the subject, mm from the axis); none where the aperture is not determined."""
        bent = [part for part in self.parts if part.powered]
        points = [(0.0, 0.0)]
        for part in bent:
            if part.ray_height_mm is None:
                return ()
            points = trace_forwards(points, (part.first_plane_mm, part.ray_height_mm))
            points = trace_forwards(points, (part.second_plane_mm, part.ray_height_mm))
        return (*points, (self.sensor_mm, 0.0))


def trace_forwards(points: list[tuple[float, float]], point: tuple[float, float]) -> list[tuple[float, float]]:
    """Go on to a point; where that lies before the last one, as with crossed planes, both become the one between them."""
    x, height = points[-1]
    if len(points) == 1 or point[0] >= x:
        return [*points, point]
    return [*points[:-1], ((x + point[0]) / 2, (height + point[1]) / 2)]


def lay_out_axis(document: requests.FrameSetUp, set_up: SetUp) -> Axis:
    """Place the parts of an evaluated document, whose lengths are all given."""
    parts = build_parts(document, POINT, {})
    register = float(document["camera"]["register_mm"])
    traced = trace(parts, register, POINT)
    first = first_powered_part(parts)
    room = traced.subject_distance - sum(part.length or 0.0 for part in parts[:first])
    gaps = [gaps_of(part, room if index == first else None) for index, part in enumerate(parts)]
    working = set_up.working_distance_mm
    start = drawn_working_distance(room, gaps[first]) if working is None else float(working)
    heights = ray_heights(parts, first, traced)
    placed, place = [], start
    for part, gap, height in zip(parts, gaps, heights, strict=True):
        placed.append(place_part(part, gap, place, height))
        place += gap.length
    return Axis(
        parts=tuple(placed),
        working_distance_mm=start,
        flange_mm=place,
        sensor_mm=place + register,
        **pupil_of(set_up),
        drawn=drawn_lengths(placed, None if working is not None else start),
    )


def gaps_of(part: Part, room: float | None) -> Gaps:
    """Gaps of a part; unknown ones as usual, so that it has a length and keeps before the subject (`room` mm to its plane).

    Parameters
    ----------
    room : float or None, subject to first principal plane, mm

    Returns
    -------
    Gaps, mm
    """
    if part.front_gap is not None and part.separation is not None and part.rear_gap is not None:
        return Gaps(part.front_gap, part.separation, part.rear_gap)
    usual = min(abs(1 / part.power) / 2, USUAL_GAP_MM)
    before = usual if room is None else min(usual, max(room, 0.0) / 2)
    front = before if part.front_gap is None else part.front_gap
    rear = usual if part.rear_gap is None else part.rear_gap
    separation = take_unknown_as_zero(part.separation)
    short = LEAST_LENGTH_MM - (front + separation + rear)
    if short <= 0:
        return Gaps(front, separation, rear)
    if part.separation is None:
        return Gaps(front, separation + short, rear)
    return Gaps(front + short, separation, rear) if part.front_gap is None else Gaps(front, separation, rear + short)


def drawn_working_distance(room: float, gaps: Gaps) -> float:
    """Working distance for a drawing, where the front principal plane of the first lens is not known.

    Parameters
    ----------
    room : float, subject to first principal plane, mm

    Returns
    -------
    float, mm
    """
    return room - gaps.front if room > gaps.front else LEAST_LENGTH_MM


def ray_heights(parts: Sequence[Part], first: int, traced: Trace) -> list[float | None]:
    """Height of the marginal ray at each part [mm]; None for all where the aperture is not determined.

    Returns
    -------
    floats or None, mm
    """
    if traced.aperture is None:
        return [None] * len(parts)
    slope = float(traced.aperture.numerical_aperture)
    height = slope * float(traced.subject_distance)
    heights: list[float | None] = [height] * first
    for index, part in enumerate(parts[first:], first):
        if index > first:
            height += slope * (take_unknown_as_zero(parts[index - 1].rear_gap) + take_unknown_as_zero(part.front_gap))
        heights.append(height)
        slope -= part.power * height
    return heights


def place_part(part: Part, gaps: Gaps, start: float, height: float | None) -> Placed:
    """Part with its front face at a place.

    Parameters
    ----------
    start : float, place of the front face, mm from the subject
    height : float or None, of the marginal ray, mm

    Returns
    -------
    Placed, lengths in mm
    """
    plane = start + gaps.front
    return Placed(
        pointer=part.label,
        start_mm=start,
        end_mm=start + gaps.length,
        first_plane_mm=plane,
        second_plane_mm=plane + gaps.separation,
        ray_height_mm=height,
        powered=part.powered,
        length_known=part.length is not None,
    )


def pupil_of(set_up: SetUp) -> dict[str, float | None]:
    """Place and radius of the entrance pupil; none where it is not determined, or lies at infinity.

    Returns
    -------
    dict of floats or None, mm
    """
    inverse, aperture = set_up.inverse_pupil_distance, set_up.numerical_aperture
    if inverse is None or aperture is None or inverse == 0:
        return {"entrance_pupil_mm": None, "entrance_pupil_radius_mm": None}
    return {"entrance_pupil_mm": 1 / inverse, "entrance_pupil_radius_mm": abs(aperture / inverse)}


def drawn_lengths(placed: Sequence[Placed], working_distance: float | None) -> dict[str, float]:
    """Lengths that the document leaves open.

    Parameters
    ----------
    working_distance : float or None, mm

    Returns
    -------
    dict of floats, mm, by JSON pointer
    """
    drawn = {f"{part.pointer}/drawn_length_mm": part.end_mm - part.start_mm for part in placed if not part.length_known}
    if working_distance is not None:
        drawn["/drawn_working_distance_mm"] = working_distance
    return drawn
