"""What was measured of a lens, as functions of the four things that an ensemble knows of each member."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import TypeAlias

import numpy as np
from msgspec import Struct

from closeup_service.estimates.known_lens import Frame, KnownLens
from closeup_service.estimates.ranges import Range
from closeup_service.estimates.statistics import statistics
from closeup_service.optics.arithmetic import FloatArray

BARREL, DEPTH, PUPILS, FRAMES = 1, 2, 3, 4
"""Sequences that perturb readings; each further frame takes the next, what the lens states those after all frames."""

MOST_FRAMES = 20
STATED = FRAMES + MOST_FRAMES
STATED_ERROR = 1e-3
"""Standard error of what the lens itself states [mm, or a ratio]: small against every spread, large against rounding."""


class Member(Struct, frozen=True):
    """Columns of an ensemble [mm]: front rim to front principal plane and to entrance pupil, separation, focal length."""

    front_plane: FloatArray
    pupil_depth: FloatArray
    separation: FloatArray
    focal_length: FloatArray

    @property
    def inverse_pupil_ratio(self) -> FloatArray:
        """Entrance over exit pupil: pupil and principal plane are conjugate."""
        return 1 + (self.pupil_depth - self.front_plane) / self.focal_length

    def barrel_length(self, register: float) -> FloatArray:
        """Front rim to mount flange [mm]; `register` is the lens's [mm], 0 of a lens that has no mount."""
        length: FloatArray = self.front_plane + self.separation + self.focal_length - register
        return length


Calculate: TypeAlias = Callable[[Member], FloatArray]


class Reading(Struct, frozen=True):
    """One measured value with its standard error, the member that holds it, and what it would be for each lens."""

    name: str
    value: float
    error: float
    turn: int
    """Which of the fixed sequences of normal numbers perturbs it, the same whatever else was read."""
    calculate: Calculate
    inverted: bool = False
    """Whether people know the value by its reciprocal."""

    @property
    def is_stated(self) -> bool:
        """Whether it is a datum that the lens itself states, and not measured at its barrel."""
        return self.turn >= STATED

    def show(self, value: float) -> float:
        """Value as people know it.

        Parameters
        ----------
        value : float, in the unit of the reading

        Returns
        -------
        float, in the unit of the reading; where that is inverted, its reciprocal, a ratio as well
        """
        return 1 / value if self.inverted else value

    def compare(self, usual: Range) -> tuple[float, Range]:
        """What was read and what is usual, as people know them.

        Returns
        -------
        float and Range, in the unit of the reading
        """
        ends = sorted((self.show(usual.low), self.show(usual.high)))
        return self.show(self.value), Range(self.show(usual.value), *ends)


def list_readings(lens: KnownLens) -> list[Reading]:
    """List everything that was measured or stated of a lens, in the order of the perturbations."""
    return [
        *barrel_readings(lens),
        *pupil_readings(lens),
        *frame_readings(lens.frames, lens.flange_mm),
        *stated_readings(lens),
    ]


def barrel_readings(lens: KnownLens) -> Iterator[Reading]:
    """Length of the barrel from rim to flange, and how deep the iris seems to lie."""
    errors, register = statistics().conditioning.sigma, lens.flange_mm
    if lens.barrel_length_mm is not None:
        yield Reading(
            "barrel_length_mm",
            lens.barrel_length_mm,
            lens.barrel_length_error_mm or errors.barrel_length_mm,
            BARREL,
            lambda member: member.barrel_length(register),
        )
    if lens.entrance_pupil_depth_mm is not None:
        yield Reading(
            "entrance_pupil_depth_mm",
            lens.entrance_pupil_depth_mm,
            lens.entrance_pupil_depth_error_mm or errors.entrance_pupil_depth_mm,
            DEPTH,
            lambda member: member.pupil_depth,
        )


def pupil_readings(lens: KnownLens) -> Iterator[Reading]:
    """Entrance over exit pupil, both measured with a rule."""
    if lens.pupil_ratio is not None:
        error = lens.pupil_ratio_error or statistics().conditioning.sigma.pupil_ratio
        yield Reading(
            "exit_pupil_diameter_mm",
            1 / lens.pupil_ratio,
            error / lens.pupil_ratio,
            PUPILS,
            lambda member: member.inverse_pupil_ratio,
            inverted=True,
        )


def frame_readings(frames: Sequence[Frame], register: float) -> Iterator[Reading]:
    """Magnifications read from photographs of a ruler; `register` is the lens's [mm]."""
    errors = statistics().conditioning.sigma
    for index, frame in enumerate(frames):
        usual = float(np.hypot(errors.magnification_share * frame.magnification, errors.magnification))
        yield Reading(
            f"measured/{index}",
            frame.magnification,
            frame.standard_error or usual,
            FRAMES + index,
            reversed_magnification(frame) if frame.reversed else normal_magnification(frame, register),
        )


def reversed_magnification(frame: Frame) -> Calculate:
    """Magnification of each lens reversed as it stood for the frame."""
    to_rim = frame.camera_register_mm + frame.extension_mm
    return lambda member: (to_rim + member.front_plane) / member.focal_length - 1


def normal_magnification(frame: Frame, register: float) -> Calculate:
    """Magnification of each lens on its mount, as it stood for the frame; `register` is the lens's [mm]."""
    extension = frame.extension_mm + frame.camera_register_mm - register
    return lambda member: extension / member.focal_length


def stated_readings(lens: KnownLens) -> Iterator[Reading]:
    """Data of the lens itself, from which what it leaves open is estimated."""
    if lens.front_plane_mm is not None:
        yield Reading(
            "front_principal_plane_mm", lens.front_plane_mm, STATED_ERROR, STATED, lambda member: member.front_plane
        )
    if lens.separation_mm is not None:
        yield Reading(
            "principal_plane_separation_mm",
            lens.separation_mm,
            STATED_ERROR,
            STATED + 1,
            lambda member: member.separation,
        )
    if lens.pupil_magnification is not None:
        yield Reading(
            "pupil_magnification",
            1 / lens.pupil_magnification,
            STATED_ERROR,
            STATED + 2,
            lambda member: member.inverse_pupil_ratio,
            inverted=True,
        )
