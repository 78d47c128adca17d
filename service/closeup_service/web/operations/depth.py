"""The members of a depth of field, for every answer that carries one."""

from typing import Any

from closeup_service.advice.remarks import finite
from closeup_service.optics.depth import Depth


def depth_members(depth: Depth | None, model: str) -> dict[str, Any]:
    """Depth as the answer's members; unlimited depths are null and say so in their extent."""
    front = None if depth is None else finite(depth.front)
    rear = None if depth is None else finite(depth.rear)
    return {
        "model": model,
        "front_depth_mm": front,
        "rear_depth_mm": rear,
        "front_extent": extent(depth, front),
        "rear_extent": extent(depth, rear),
        "total_mm": None if front is None or rear is None else front + rear,
        "depth_of_focus_mm": None if depth is None else depth.depth_of_focus,
    }


def extent(depth: Depth | None, side: float | None) -> str:
    """Word for one side of the depth."""
    if depth is None:
        return "undetermined"
    return "unlimited" if side is None else "finite"
