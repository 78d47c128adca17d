"""Solving one open length for a target for many lenses at once: what `solve` does, in columns."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from closeup_service.optics.arithmetic import Columns, FloatArray, Real
from closeup_service.optics.errors import NoSolution
from closeup_service.optics.matrices import first_powered_part, sensor_matrix
from closeup_service.optics.train import front_to_plane_distance
from closeup_service.set_ups.set_up import SetUp, build_parts, evaluate, put_member
from closeup_service.set_ups.solve import AGREEMENT, PROBE_MM, ROUNDING_MM, Target

if TYPE_CHECKING:
    from closeup_service.records import requests


def fill(document: requests.FrameSetUp[Real], pointer: str, value: Real) -> requests.FrameSetUp[Real]:
    """Document with the open length set to so many mm."""
    _, index, member = pointer.lstrip("/").split("/")
    train = list(document["train"])
    train[int(index)] = put_member(train[int(index)], member, value)
    return {**document, "train": train}


def solve_columns(
    document: requests.FrameSetUp[Real], target: Target, arithmetic: Columns, rows: int
) -> tuple[requests.FrameSetUp[Real], FloatArray]:
    """Return the document with the open length solved row by row, and that length; run it under `numpy.errstate`.

    Rows that no length in the range brings to the target are noted as impossible.

    Returns
    -------
    the document, and the lengths in mm, shape (rows,)
    """
    lengths = np.full(rows, np.nan)
    for candidate in candidates(document, target, rows):
        open_rows = np.isnan(lengths)
        if not open_rows.any():
            break
        value = np.clip(candidate, target.minimum, target.maximum)
        reached = reaches(document, target, value, candidate, rows)
        lengths = np.where(open_rows & reached, value, lengths)
    unsolved = np.isnan(lengths)
    arithmetic.note(unsolved, NoSolution.code)
    lengths = np.where(unsolved, target.minimum, lengths)
    return fill(document, target.pointer, lengths), lengths


def reaches(
    document: requests.FrameSetUp[Real], target: Target, value: FloatArray, candidate: FloatArray, rows: int
) -> FloatArray:
    """Whether each row can be at this length [mm] and reaches the target."""
    trial = Columns(rows)
    set_up: SetUp[Real] = evaluate(fill(document, target.pointer, value), trial)
    found = getattr(set_up, target.name)
    near = np.abs(found - target.wanted) <= AGREEMENT * target.wanted
    within: FloatArray = ~trial.impossible & near & (np.abs(value - candidate) <= ROUNDING_MM)
    return within


def candidates(document: requests.FrameSetUp[Real], target: Target, rows: int) -> list[FloatArray]:
    """Lengths [mm] that reach the target by the affine equations, the inverted image first."""
    (a, a_slope), (b, b_slope), (front, front_slope) = affine_members(document, target.pointer, rows)
    if target.name == "working_distance_mm":
        reach = target.wanted + front
        return [-(b + reach * a) / (b_slope + reach * a_slope + front_slope * a)]
    magnification: Real = target.wanted
    if target.name == "subject_width_mm":
        magnification = document["camera"]["sensor_width_mm"] / target.wanted
    return [-(a + sign * magnification) / a_slope for sign in (1, -1)]


def affine_members(document: requests.FrameSetUp[Real], pointer: str, rows: int) -> list[tuple[FloatArray, FloatArray]]:
    """Matrix members a and b to the sensor, and the front face's distance to the first plane: each at no length, and per mm."""
    ends = [matrix_members(fill(document, pointer, length), rows) for length in (0.0, PROBE_MM)]
    return [(low, (high - low) / PROBE_MM) for low, high in zip(*ends, strict=True)]


def matrix_members(document: requests.FrameSetUp[Real], rows: int) -> list[FloatArray]:
    """Matrix members a and b to the sensor, and the distance of the front face to the first plane, which may be unknown."""
    arithmetic = Columns(rows)
    parts = build_parts(document, arithmetic, {})
    sensor = sensor_matrix(parts, document["camera"]["register_mm"], arithmetic)
    front = front_to_plane_distance(parts, first_powered_part(parts))
    return [np.broadcast_to(np.nan if each is None else each, rows) for each in (sensor.a, sensor.b, front)]
