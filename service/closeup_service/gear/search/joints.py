"""Joints: the best chain of rings between two faces, found once for each pair of kinds of face."""

from functools import cached_property
from typing import Required, TypedDict

from msgspec import Struct

from closeup_service.gear.kit import Face, Kit, Open, open_of
from closeup_service.gear.ring_chains import owned_chains
from closeup_service.gear.search.work import MOST_RING_STEPS, refusal_of_size
from closeup_service.language import tr


class Use(TypedDict, total=False):
    """A part of the kit and how it is used, as a train names it."""

    use: Required[str]
    reversed: bool
    f_number: float
    setting: str
    length_mm: float


"""One part as it is used: its id under `use`, and what is chosen of it."""

Opening = tuple[float, float]
"""Where a round opening stands [mm behind the face where the run begins], and its radius [mm]."""


class Joint(Struct, frozen=True, dict=True):
    """Rings between two faces: how they are used, their length, their openings."""

    ids: tuple[str, ...]
    length: float
    openings: tuple[Opening, ...]

    @cached_property
    def uses(self) -> tuple[Use, ...]:
        """Rings as they are used."""
        return tuple({"use": ring} for ring in self.ids)


NO_JOINT = Joint((), 0.0, ())
"""Two faces that join without a ring."""


class Joints:
    """The best joint of any two faces of one kit."""

    def __init__(self, kit: Kit) -> None:
        self.kit = kit
        self.steps = 0
        self.known: dict[tuple[Open, Open], Joint | None] = {}

    def seek_between(self, start: Face, end: Face) -> Joint | None:
        """Return the best chain from one open face to the other; None where no rings at hand join them."""
        kind = open_of(start), open_of(end)
        if kind not in self.known:
            self.known[kind] = self.seek(start, end)
        return self.known[kind]

    def seek(self, start: Face, end: Face) -> Joint | None:
        """Seek the best chain.

        Raises
        ------
        TooManyCandidates
            Where the chains of this kit have taken more steps than one search may.
        """
        if self.steps > MOST_RING_STEPS:
            raise refusal_of_size(tr("The rings of this kit can be joined in too many ways."))
        sought = owned_chains(self.kit, start, end, 1)
        self.steps += sought.tried + len(self.kit.rings)
        found = sought.chains
        if not found:
            return None
        length, openings = 0.0, []
        for ring in found[0].rings:
            openings += openings_of(length, ring.length_mm, ring.clear_diameter_mm)
            length += ring.length_mm
        return Joint(tuple(ring.id for ring in found[0].rings), length, tuple(openings))


def openings_of(start: float, length: float, clear_diameter: float | None) -> list[Opening]:
    """Openings of a tube or ring, one at either face, where its clear diameter is known.

    Parameters
    ----------
    start : float, place of the front face, mm
    length : float, mm
    clear_diameter : float or None, mm

    Returns
    -------
    list[Opening], lengths in mm
    """
    if clear_diameter is None:
        return []
    return [(start, clear_diameter / 2), (start + length, clear_diameter / 2)]
