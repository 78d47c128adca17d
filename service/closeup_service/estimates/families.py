"""Families of lenses: how each is called, and which one a lens belongs to by what stands on it."""

from collections.abc import Mapping, Sequence
from math import inf
from typing import Final

from msgspec import Struct

from closeup_service.estimates.statistics import Branch, LensClass, statistics
from closeup_service.language import mark


class Registers(Struct, frozen=True):
    """Registers [mm] of the cameras of a family: from the one, to below the other; `zoom` None where zooms are not apart."""

    start: float
    end: float
    zoom: bool | None

    def hold(self, register: float, *, zoom: bool) -> bool:
        """Whether a lens with this register [mm] is of the family."""
        return self.start <= register < self.end and self.zoom in (zoom, None)


class Family(Struct, frozen=True):
    """A family: its name in requests, its name in the statistics, in words, and what is taken where nothing is said.

    `registers` says which lenses are taken to be of it where no family is named; None where it has to be named.
    """

    name: str
    key: str
    words: str
    usual_f_number: float
    registers: Registers | None = None

    @property
    def register_mm(self) -> float:
        """Register that is assumed where none is given [mm]; 0 for lenses without a mount."""
        return statistics().usual_registers[self.key]

    @property
    def valid_mm(self) -> tuple[float, float]:
        """Focal lengths over which there are statistics [mm]."""
        return statistics().f_valid[self.key]

    @property
    def all_branches(self) -> Sequence[Branch]:
        """Classes of the family, each with the focal lengths over which it blends with its neighbours."""
        return statistics().families[self.key]

    def branches(self, focal_length: float) -> list[tuple[LensClass, float]]:
        """Classes of the family at a focal length [mm], each with its weight."""
        weighed = [(statistics().classes[each.lens_class], each.weight(focal_length)) for each in self.all_branches]
        return [(lens_class, weight) for lens_class, weight in weighed if weight > 0]


MIRRORLESS_BELOW_MM, RANGEFINDER_BELOW_MM, MEDIUM_FROM_MM = 24.0, 34.0, 58.0
"""Registers that tell kinds of cameras apart (common practice, no source)."""

USUAL_REGISTER_MM = 45.0
"""Register by which a lens without one is told: that of a reflex camera."""

VIEW_ENLARGING = Family(
    "view-enlarging", "view_enlarging", mark("view-camera, enlarging and copy lenses without a mount"), 4.0
)

FAMILIES: Final = (
    Family(
        "slr-prime",
        "slr_prime",
        mark("prime lenses of single-lens reflex cameras"),
        2.8,
        Registers(RANGEFINDER_BELOW_MM, MEDIUM_FROM_MM, zoom=False),
    ),
    Family(
        "slr-zoom",
        "slr_zoom",
        mark("zooms of single-lens reflex cameras"),
        3.5,
        Registers(RANGEFINDER_BELOW_MM, MEDIUM_FROM_MM, zoom=True),
    ),
    Family(
        "mirrorless-prime",
        "mirrorless_prime",
        mark("prime lenses of mirrorless cameras"),
        2.0,
        Registers(0.0, MIRRORLESS_BELOW_MM, zoom=False),
    ),
    Family(
        "mirrorless-zoom",
        "mirrorless_zoom",
        mark("zooms of mirrorless cameras"),
        3.5,
        Registers(0.0, RANGEFINDER_BELOW_MM, zoom=True),
    ),
    Family(
        "rangefinder",
        "rangefinder",
        mark("lenses of rangefinder cameras"),
        2.0,
        Registers(MIRRORLESS_BELOW_MM, RANGEFINDER_BELOW_MM, zoom=False),
    ),
    Family("macro", "macro", mark("macro lenses"), 2.8),
    Family(
        "medium-slr",
        "medium_slr",
        mark("lenses of medium-format reflex cameras"),
        2.8,
        Registers(MEDIUM_FROM_MM, inf, zoom=None),
    ),
    VIEW_ENLARGING,
)
"""Every family; the usual widest f-numbers are common practice, no source."""

BY_NAME: Mapping[str, Family] = {family.name: family for family in FAMILIES}
NAMES: Final = tuple(BY_NAME)


def choose_family(register: float | None, *, zoom: bool) -> Family:
    """Family of a lens by the register of its mount [mm] and whether it is a zoom; without a register of a reflex camera.

    One below 0, as of a rear plane far before the flange, is that of the shortest mount.

    Parameters
    ----------
    register : float or None, flange to sensor, mm
    """
    known = USUAL_REGISTER_MM if register is None else max(register, 0.0)
    return next(
        family for family in FAMILIES if family.registers is not None and family.registers.hold(known, zoom=zoom)
    )
