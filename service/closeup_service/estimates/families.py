"""Families of lenses: how each is called, and which one a lens belongs to by what stands on it."""

from collections.abc import Mapping
from typing import Final

from msgspec import Struct

from closeup_service.estimates.statistics import Branch, LensClass, statistics


class Family(Struct, frozen=True):
    """A family: its name in requests, its name in the statistics, in words, and what is taken where nothing is said."""

    name: str
    key: str
    words: str
    usual_f_number: float
    zoom: bool = False

    @property
    def register_mm(self) -> float:
        """Register that is assumed where none is given [mm]; 0 for lenses without a mount."""
        return statistics().usual_registers[self.key]

    @property
    def valid_mm(self) -> tuple[float, float]:
        """Focal lengths over which there are statistics [mm]."""
        return statistics().f_valid[self.key]

    def branches(self, focal_length: float) -> list[tuple[LensClass, float]]:
        """Classes of the family at a focal length [mm], each with its weight."""
        found: tuple[Branch, ...] = statistics().families[self.key]
        weighed = [(statistics().classes[each.lens_class], each.weight(focal_length)) for each in found]
        return [(lens_class, weight) for lens_class, weight in weighed if weight > 0]


FAMILIES: Final = (
    Family("slr-prime", "slr_prime", "prime lenses of single-lens reflex cameras", 2.8),
    Family("slr-zoom", "slr_zoom", "zooms of single-lens reflex cameras", 3.5, zoom=True),
    Family("mirrorless-prime", "mirrorless_prime", "prime lenses of mirrorless cameras", 2.0),
    Family("mirrorless-zoom", "mirrorless_zoom", "zooms of mirrorless cameras", 3.5, zoom=True),
    Family("rangefinder", "rangefinder", "lenses of rangefinder cameras", 2.0),
    Family("macro", "macro", "macro lenses", 2.8),
    Family("medium-slr", "medium_slr", "lenses of medium-format reflex cameras", 2.8),
    Family("view-enlarging", "view_enlarging", "view-camera, enlarging and copy lenses without a mount", 4.0),
)
"""Every family; the usual widest f-numbers are common practice, no source."""

BY_NAME: Mapping[str, Family] = {family.name: family for family in FAMILIES}
NAMES: Final = tuple(BY_NAME)

WITHOUT_MOUNT: Final = "view-enlarging"
"""Family of a lens that has no mount of its own."""

MIRRORLESS_BELOW_MM, RANGEFINDER_BELOW_MM, MEDIUM_FROM_MM = 24.0, 34.0, 58.0
"""Registers that tell kinds of cameras apart (common practice, no source)."""


def choose_family(register: float | None, *, zoom: bool) -> Family:
    """Family of a lens by the register of its mount [mm] and whether it is a zoom; without a register of a reflex camera.

    Parameters
    ----------
    register : float or None, flange to sensor, mm
    """
    if register is not None and register < RANGEFINDER_BELOW_MM:
        if zoom:
            return BY_NAME["mirrorless-zoom"]
        return BY_NAME["mirrorless-prime" if register < MIRRORLESS_BELOW_MM else "rangefinder"]
    if register is not None and register >= MEDIUM_FROM_MM:
        return BY_NAME["medium-slr"]
    return BY_NAME["slr-zoom" if zoom else "slr-prime"]
