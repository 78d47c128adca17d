"""What a side view shows: a set-up along its axis, with the ranges of what is estimated of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

from closeup_service.gear.outlines import Outline
from closeup_service.set_ups.along_axis import Axis

if TYPE_CHECKING:
    from closeup_service.records import answers

BODY_BACK_MM = 24.0
BODY_HALF_MM = 40.0
"""The camera's body, which is drawn by no measure: behind the sensor, and above and below the axis."""
REACH_SHARE = 0.6
"""The range of the subject plane is drawn so far before the subject plane of the rig that is drawn, in rigs."""


class Scene(Struct, frozen=True, kw_only=True):
    """What is drawn. Lengths in mm; None where not known.

    `ranges` are those of estimated lengths, by the names of answers; `note` says what they rest on, and is empty without any.
    """

    parts: Sequence[Outline]
    axis: Axis
    camera: str
    sensor_height_mm: float
    subject_height_mm: float | None
    working_distance_mm: float | None
    clearance_mm: float | None
    rig_length_mm: float | None
    subject_to_sensor_mm: float | None
    ranges: Mapping[str, answers.Range] = {}
    note: str = ""

    @property
    def subject_range_mm(self) -> tuple[float, float] | None:
        """Places between which the subject plane lies, the rig standing where it is drawn; None where it is known."""
        ends: answers.Range | None = self.ranges.get("working_distance_mm")
        if ends is None:
            return None
        return self.axis.working_distance_mm - ends["high"], self.axis.working_distance_mm - ends["low"]

    @property
    def left_mm(self) -> float:
        """Place of what is drawn furthest to the left."""
        found = self.subject_range_mm
        before = 0.0 if found is None else max(found[0], -REACH_SHARE * self.rig_mm)
        return min(0.0, self.front_mm, before)

    @property
    def rig_mm(self) -> float:
        """Length of the rig that is drawn, the camera's body included."""
        return self.back_mm - self.axis.working_distance_mm

    @property
    def front_mm(self) -> float:
        """Place of what stands out furthest in front."""
        return min(part.start_mm - part.protrusion_mm for part in self.parts)

    @property
    def back_mm(self) -> float:
        """Place of the camera's back."""
        return self.axis.sensor_mm + BODY_BACK_MM

    @property
    def body_half_mm(self) -> float:
        """Half the height of the camera's body."""
        return max(BODY_HALF_MM, self.sensor_height_mm / 2 + 18.0)

    @property
    def half_height_mm(self) -> float:
        """Greatest height above the axis, the subject aside."""
        return max(self.body_half_mm * 1.15, *(part.diameter_mm / 2 for part in self.parts))

    @property
    def pupil(self) -> tuple[float, float] | None:
        """Place and radius of the entrance pupil, where it lies within what is drawn."""
        place, radius = self.axis.entrance_pupil_mm, self.axis.entrance_pupil_radius_mm
        if place is None or radius is None:
            return None
        within = self.axis.working_distance_mm <= place <= self.back_mm and radius <= self.half_height_mm
        return (place, radius) if within else None

    @property
    def subject_half_mm(self) -> float:
        """Half the height of the subject field as it is drawn; cut where it is far higher than the rig."""
        half = 0.0 if self.subject_height_mm is None else self.subject_height_mm / 2
        return min(half, self.half_height_mm)

    @property
    def is_subject_cut(self) -> bool:
        """Whether the subject field is higher than it is drawn."""
        return self.subject_height_mm is not None and self.subject_height_mm / 2 > self.half_height_mm
