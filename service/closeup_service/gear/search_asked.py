"""What a search is asked, and what can be allowed in it."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from closeup_service.gear.kit import Camera, Kit

ARRANGEMENTS = ("normal", "reversed", "tubes", "bellows", "close-up-lens", "converter", "coupled", "objective")
"""How parts may stand; a close-up lens only before a lens mounted normally, tubes and bellows behind any."""

TOLERANCE = 0.05
BEST = 10
MOST_CANDIDATES = 20_000_000
"""Arrangements that one search frames at most: some seconds."""


@dataclass(frozen=True, slots=True)
class Asked:
    """One search; lengths in mm. `wishes` holds those that were stated, by name.

    `magnification` fills the frame exactly; the frame may be wider or narrower than the subject by the share `tolerance`.
    """

    kit: Kit
    camera: Camera
    magnification: float
    tolerance: float
    wishes: Mapping[str, float]
    subject_depth_mm: float | None
    arrangements: frozenset[str]
    best: int
    light: Mapping[str, Any]
    """Members of the set-up document that say what counts as sharp."""

    def allows(self, *names: str) -> bool:
        """Whether all of these arrangements are allowed."""
        return self.arrangements.issuperset(names)
