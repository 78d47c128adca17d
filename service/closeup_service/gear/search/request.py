"""What a search looks for, and what can be allowed in it."""

from collections.abc import Mapping

from msgspec import Struct

from closeup_service.gear.kit import Camera, Kit

ARRANGEMENTS = ("normal", "reversed", "tubes", "bellows", "close-up-lens", "converter", "coupled", "objective")
"""How parts may stand; a close-up lens only before a lens mounted normally, tubes and bellows behind any."""

TOLERANCE = 0.05
BEST = 10
APERTURES = 2
"""Of one set-up so many apertures are listed where nothing else is asked."""
ASSUMED_WISHES = {"least_clearance_mm": 0.0}
"""Limits that hold where none is stated: with less clearance, what stands out in front would touch the subject."""


class Request(Struct, frozen=True):
    """One search; lengths in mm. `wishes` holds the limits that a set-up must keep, by name.

    `magnification` fills the frame exactly; the frame may be wider or narrower than the subject by the share `tolerance`.
    `assumed_wishes` are those that nobody stated: a figure that is not known keeps them.
    """

    kit: Kit
    camera: Camera
    magnification: float
    tolerance: float
    wishes: Mapping[str, float]
    subject_depth_mm: float | None
    arrangements: frozenset[str]
    best: int
    apertures: int
    light: Mapping[str, object]
    """Members of the set-up document that say what counts as sharp."""
    assumed_wishes: frozenset[str] = frozenset()

    def allows(self, *names: str) -> bool:
        """Whether all of these arrangements are allowed."""
        return self.arrangements.issuperset(names)
