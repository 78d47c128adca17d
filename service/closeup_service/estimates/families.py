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


SLR_PRIME = Family("slr-prime", "slr_prime", "prime lenses of single-lens reflex cameras", 2.8)
SLR_ZOOM = Family("slr-zoom", "slr_zoom", "zooms of single-lens reflex cameras", 3.5, zoom=True)
MIRRORLESS_PRIME = Family("mirrorless-prime", "mirrorless_prime", "prime lenses of mirrorless cameras", 2.0)
MIRRORLESS_ZOOM = Family("mirrorless-zoom", "mirrorless_zoom", "zooms of mirrorless cameras", 3.5, zoom=True)
RANGEFINDER = Family("rangefinder", "rangefinder", "lenses of rangefinder cameras", 2.0)
MACRO = Family("macro", "macro", "macro lenses", 2.8)
MEDIUM_SLR = Family("medium-slr", "medium_slr", "lenses of medium-format reflex cameras", 2.8)
VIEW_ENLARGING = Family(
    "view-enlarging", "view_enlarging", "view-camera, enlarging and copy lenses without a mount", 4.0
)

FAMILIES: Final = (
    SLR_PRIME,
    SLR_ZOOM,
    MIRRORLESS_PRIME,
    MIRRORLESS_ZOOM,
    RANGEFINDER,
    MACRO,
    MEDIUM_SLR,
    VIEW_ENLARGING,
)
"""Every family; the usual widest f-numbers are common practice, no source."""

BY_NAME: Mapping[str, Family] = {family.name: family for family in FAMILIES}
NAMES: Final = tuple(BY_NAME)

MIRRORLESS_BELOW_MM, RANGEFINDER_BELOW_MM, MEDIUM_FROM_MM = 24.0, 34.0, 58.0
"""Registers that tell kinds of cameras apart (common practice, no source)."""


def choose_family(register: float | None, *, zoom: bool) -> Family:
    """Family of a lens by the register of its mount [mm] and whether it is a zoom; without a register of a reflex camera.

    Parameters
    ----------
    register : float or None, flange to sensor, mm
    """
    if register is None or RANGEFINDER_BELOW_MM <= register < MEDIUM_FROM_MM:
        return SLR_ZOOM if zoom else SLR_PRIME
    if register >= MEDIUM_FROM_MM:
        return MEDIUM_SLR
    if zoom:
        return MIRRORLESS_ZOOM
    return MIRRORLESS_PRIME if register < MIRRORLESS_BELOW_MM else RANGEFINDER
