"""Which stop of a train limits the light, and where its image stands."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Generic

from msgspec import Struct

from closeup_service.language import mark
from closeup_service.optics.arithmetic import Arithmetic, R, absolute
from closeup_service.optics.errors import ApertureImpossible
from closeup_service.optics.matrices import Chain, Matrix, require_gap
from closeup_service.optics.parts import Part

TELECENTRIC = 1e-12
"""1/z below this [1/mm], to either side, is that of an entrance pupil infinitely far away: rounding alone leaves it."""


class Aperture(Struct, Generic[R], frozen=True):
    """The stop that limits the axial cone, seen from the subject.

    `inverse_pupil_distance` is 1/z [1/mm], z from the subject to the entrance pupil, NaN where a gap that is unknown
    leaves it open; `part` is the stop's index in the train.
    """

    numerical_aperture: R
    inverse_pupil_distance: R
    part: R


def visible_stops(
    parts: Sequence[Part[R]], first: int, matrices: Sequence[Matrix[R]]
) -> list[tuple[int, Matrix[R], R]]:
    """Every stop as (part, matrix from the first principal plane to its plane, radius mm)."""
    seen = []
    for index, part in enumerate(parts[first:], first):
        for stop in part.stops:
            seen.append((index, matrices[index - first].cross_gap(stop.offset), stop.radius))
    to_plane = require_gap(parts[first], "front_gap") if any(part.stops for part in parts[:first]) else 0.0
    for index in range(first - 1, -1, -1):
        to_plane = to_plane + require_gap(parts[index], "rear_gap")
        for stop in parts[index].stops:
            seen.append((index, Matrix(1.0, stop.offset - to_plane, 0.0, 1.0), stop.radius))
    return seen


def find_aperture_stop(
    parts: Sequence[Part[R]], first: int, chained: Chain[R], distance: R, arithmetic: Arithmetic[R]
) -> Aperture[R]:
    """Return the stop that limits the cone from the axial subject point.

    A ray that leaves the axis at slope u meets a stop at height B u, B = b + a s. The stop with the greatest |B|/r
    governs, u = r/|B| is the sine of the cone's half angle, and its image lies z = B/a from the subject.

    Parameters
    ----------
    distance : float or array, subject to first principal plane, mm

    Returns
    -------
    Aperture, lengths in mm
    """
    governing: R = 0.0
    inverse_distance: R = 0.0
    governing_part: R = -1
    for index, to_stop, radius in visible_stops(parts, first, chained.matrices):
        height = to_stop.height(distance)
        reach = absolute(height) / radius
        limits = reach > governing
        governing = arithmetic.where(limits, reach, governing)
        safe_height = arithmetic.where(height == 0, 1.0, height)
        inverse_distance = arithmetic.where(limits, to_stop.a / safe_height, inverse_distance)
        governing_part = arithmetic.where(limits, index, governing_part)
    refuse_wide_aperture(parts, governing, arithmetic)
    if chained.loose is not None:
        inverse_distance = arithmetic.where(governing_part >= chained.loose, math.nan, inverse_distance)
    return Aperture(1 / governing, inverse_distance, governing_part)


def refuse_wide_aperture(parts: Sequence[Part[R]], inverse_aperture: R, arithmetic: Arithmetic[R]) -> None:
    """Refuse a numerical aperture of 1 or more: air admits none.

    Parameters
    ----------
    inverse_aperture : float or array, 1 / NA

    Raises
    ------
    ApertureImpossible
        Where the numerical aperture is 1 or more.
    """
    arithmetic.refuse(
        inverse_aperture <= 1,
        ApertureImpossible,
        mark(
            "The numerical aperture on the subject's side would be 1 or more, which air does not admit. Use a "
            "larger f-number, or check the focal length.",
        ),
        *(part.label for part in parts if part.stops),
    )
