"""Chains of rings in words."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from closeup_service.advice.figures import decimal, figure
from closeup_service.gear.kit import Kit
from closeup_service.language import mark, tr
from closeup_service.pages.task import Members

if TYPE_CHECKING:
    from closeup_service.records.answers import RingChain, RingChainsAnswer

INFINITY = {
    "kept": mark("kept"),
    "too-long": mark("given up, the rest is extension"),
    "too-short": mark("beyond infinity, the distance scale is off"),
}
DOES_NOT_APPLY = mark("does not apply")


def write_chains(answer: Members, kit: Kit) -> list[tuple[str, ...]]:
    """Each chain in words."""
    told: RingChainsAnswer = cast("RingChainsAnswer", answer)
    usual = told["assumed"]
    return [
        write_chain(each, usual.get(f"/chains/{place}/extension_mm"), kit) for place, each in enumerate(told["chains"])
    ]


def write_chain(chain: RingChain, usual_mm: object, kit: Kit) -> tuple[str, ...]:
    """One chain: its rings from the lens on, what to buy, thickness, narrowest opening and infinity focus."""
    narrowest = chain["narrowest_mm"]
    return (
        tr(", then ").join(ring_name(each, kit) for each in chain["rings"]) or tr("no ring: they join as they are"),
        ", ".join(ring_name(each, kit) for each in chain["buy"]) or tr("nothing"),
        thickness(chain["extension_mm"], usual_mm),
        tr("not known") if narrowest is None else f"{decimal(narrowest, 4)} mm",
        tr(INFINITY.get(str(chain["infinity_focus"]), DOES_NOT_APPLY)),
    )


def ring_name(ring: str, kit: Kit) -> str:
    """Name of a ring of the kit; a ring on sale is described already."""
    part = kit.by_id.get(ring)
    return ring if part is None else part.name


def thickness(length_mm: object, usual_mm: object) -> str:
    """Thickness of a chain; of rings that are not bought yet the usual one."""
    if isinstance(length_mm, float | int):
        return figure(float(length_mm), "extension_mm", "mm")
    if isinstance(usual_mm, float | int):
        return tr("about {length}, measure it", length=figure(float(usual_mm), "extension_mm", "mm"))
    return tr("not known, measure it")
