"""The members of a depth of field, for every answer that carries one."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from closeup_service.operations.set_up.depth_of_field.schemas import EXTENTS
from closeup_service.optics.arithmetic import POINT, Arithmetic, R, Words, absolute
from closeup_service.optics.depth import Depth

if TYPE_CHECKING:
    from closeup_service.records import answers

FINITE, UNLIMITED, UNDETERMINED = EXTENTS


def depth_members(depth: Depth | None, model: str) -> answers.Depth:
    """Depth as the answer's members; what is unlimited or not determined is null and says so in its extent."""
    front, rear = (math.nan, math.nan) if depth is None else (depth.front, depth.rear)
    total = front + rear
    return {
        "model": model,
        "front_depth_mm": finite(front),
        "rear_depth_mm": finite(rear),
        "front_extent": str(extent(front, POINT)),
        "rear_extent": str(extent(rear, POINT)),
        "total_mm": finite(total),
        "depth_of_focus_mm": None if depth is None else depth.depth_of_focus,
    }


def extent(side: R, arithmetic: Arithmetic[R]) -> Words:
    """Word for one side of the depth."""
    where_known = arithmetic.where(absolute(side) == math.inf, UNLIMITED, FINITE)
    return arithmetic.where(side == side, where_known, UNDETERMINED)  # noqa: PLR0124  # only NaN is not itself


def finite(value: float) -> float | None:
    """What is unlimited or not determined leaves the service as null."""
    return value if math.isfinite(value) else None
