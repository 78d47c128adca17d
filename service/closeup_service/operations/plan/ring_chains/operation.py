"""`/v1/ring-chains`."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from closeup_service.advice import cautions, kit_remarks
from closeup_service.advice.caution_texts import Caution
from closeup_service.advice.remark import Remark
from closeup_service.gear.catalogue import THREADS, describe_pitch
from closeup_service.gear.errors import Fault, KitRefuses
from closeup_service.gear.kit import Face, Gender, Kit, mount_face, thread_face
from closeup_service.gear.kit_faults import describe_unknown
from closeup_service.gear.ring_chains import (
    MOST_PURCHASES,
    Chain,
    chains_to_buy,
    ends_joined_otherwise,
    owned_chains,
    thread_diameter,
)
from closeup_service.language import mark, tr, tr_worded
from closeup_service.operations.operation import Example, Operation
from closeup_service.operations.plan.ring_chains.schemas import RingChainsAnswer, RingChainsRequest

if TYPE_CHECKING:
    from closeup_service.records import answers, requests

MOST = 5
INFINITY_TOLERANCE_MM = 0.05
"""A chain within this of the right thickness keeps infinity focus (common practice, no source)."""

ALIKE_MM = 0.5
"""Threads whose diameters differ by no more than this are easily taken for one another."""


def answer(asked: requests.RingChainsRequest) -> answers.RingChainsAnswer:
    """Chains out of the rings at hand, or with bought ones where these do not do."""
    kit = asked["kit"]
    start, end = ends(asked, kit)
    most = asked.get("most", MOST)
    own = owned_chains(kit, start, end, most)
    sought = own if own.chains else chains_to_buy(kit, start, end, most)
    found = sought.chains
    wanted = infinity_extension(start, end, kit)
    states = [infinity_focus(chain, wanted) for chain in found]
    return {
        "chains": [members(chain, state) for chain, state in zip(found, states, strict=True)],
        "infinity_extension_mm": wanted,
        "kit_revision": kit.revision,
        "assumed": assumed(asked, found),
        "remarks": [
            *kit_remarks.demo_kit(kit.origin),
            *(kit_remarks.cut_search() if sought.cut else []),
            *remarks(asked, (start, end), found, bought=not own.chains),
            *([] if found else on_no_chain(kit, start, end)),
            *on_infinity(wanted, states),
        ],
        "cautions": cautions_on(found),
    }


def ends(asked: requests.RingChainsRequest, kit: Kit) -> tuple[Face, Face]:
    """Both ends, their threads and mounts looked up."""
    faults: list[Fault] = []
    for name, value in asked.items():
        if name.endswith("_thread") and value not in THREADS:
            faults.append((f"/{name}", describe_unknown("thread", str(value), THREADS, "/v1/catalogue/threads")))
        if name.endswith("_mount") and value not in kit.all_mounts:
            faults.append((f"/{name}", describe_unknown("mount", str(value), kit.all_mounts, "/v1/catalogue/mounts")))
    if faults:
        raise KitRefuses(faults)
    start = mount_end(kit, asked.get("from_mount"), asked.get("from_side"))
    end = mount_end(kit, asked.get("to_mount"), asked.get("to_side"))
    return (
        start or thread_face(asked["from_thread"], asked["from_gender"]),
        end or thread_face(asked["to_thread"], asked["to_gender"]),
    )


def mount_end(kit: Kit, mount: str | None, side: Gender | None) -> Face | None:
    """Face of an end that is a mount."""
    return None if mount is None or side is None else mount_face(kit.all_mounts[mount], side)


def infinity_extension(start: Face, end: Face, kit: Kit) -> float | None:
    """Thickness between a lens's and a camera's mount that keeps infinity focus [mm]; None between other ends."""
    registers = {face.gender: kit.all_mounts[face.mount].register_mm for face in (start, end) if face.mount is not None}
    if registers.keys() != {"lens", "body"}:
        return None
    return round(registers["lens"] - registers["body"], 6)


def infinity_focus(chain: Chain, wanted: float | None) -> str | None:
    """Whether a chain keeps infinity focus; None where that is not asked or its thickness is not known."""
    if wanted is None or chain.extension_mm is None:
        return None
    over = chain.extension_mm - wanted
    if abs(over) <= INFINITY_TOLERANCE_MM:
        return "kept"
    return "too-long" if over > 0 else "too-short"


def members(chain: Chain, infinity: str | None) -> answers.RingChain:
    """Write one chain."""
    return {
        "rings": [tr_worded(ring.id) for ring in chain.rings],
        "buy": [tr_worded(ring.id) for ring in chain.buy],
        "extension_mm": chain.extension_mm,
        "steps_below": chain.steps_below,
        "narrowest_mm": chain.narrowest_mm,
        "infinity_focus": infinity,
    }


def assumed(asked: requests.RingChainsRequest, found: Sequence[Chain]) -> dict[str, float | str]:
    """What was taken for granted: how many chains, and the usual thickness of bought rings."""
    lengths: dict[str, float | str] = {
        f"/chains/{index}/extension_mm": chain.assumed_extension_mm
        for index, chain in enumerate(found)
        if chain.extension_mm is None
    }
    return lengths if "most" in asked else {"most": MOST, **lengths}


def remarks(
    asked: requests.RingChainsRequest, both: tuple[Face, Face], found: Sequence[Chain], *, bought: bool
) -> list[Remark]:
    """Everything worth saying about the chains."""
    notes: list[Remark] = []
    if found and bought:
        notes.append(kit_remarks.rings_to_buy())
    elif found and not found[0].rings:
        notes.append(kit_remarks.needless_ring())
    notes += alike(*both)
    notes += kit_remarks.assumed_thickness(all(chain.extension_mm is not None for chain in found))
    notes += kit_remarks.steps_below([number for number, chain in enumerate(found, 1) if chain.steps_below])
    return notes + on_width(asked.get("front_diameter_mm"), found)


def on_no_chain(kit: Kit, start: Face, end: Face) -> list[Remark]:
    """Say which ring to have made, and which end of another kind could be joined."""
    otherwise = kit_remarks.other_gender([in_words(turned) for turned in ends_joined_otherwise(kit, start, end)])
    wanted = (in_words(face.counterpart()) for face in (start, end))
    return [*otherwise, kit_remarks.missing_chain(MOST_PURCHASES, *wanted)]


SIDES = {"lens": mark("the lens's side of {mount}"), "body": mark("the body's side of {mount}")}
THREAD_TEXTS = {
    "external": mark("the external thread {id} ({diameter_mm:g} mm across, {pitch})"),
    "internal": mark("the internal thread {id} ({diameter_mm:g} mm across, {pitch})"),
}


def in_words(face: Face) -> str:
    """A face for people: a thread with its measures and gender, or a side of a mount."""
    side = tr(SIDES[face.gender], mount=face.mount) if face.gender in SIDES else ""
    if face.mount is not None and not face.coupling.startswith("thread "):
        return side
    thread = THREADS[face.coupling.partition(" ")[2]]
    pitch = describe_pitch(thread)
    if face.mount is not None:
        return side if face.mount == thread.id else tr("{side} (thread {id})", side=side, id=thread.id)
    return tr(THREAD_TEXTS[face.gender], id=thread.id, diameter_mm=thread.diameter_mm, pitch=pitch)


def alike(start: Face, end: Face) -> list[Remark]:
    """Say that two threads which look alike are two."""
    first, second = thread_diameter(start), thread_diameter(end)
    if first is None or second is None or start.coupling == end.coupling or abs(first - second) > ALIKE_MM:
        return []
    return [kit_remarks.other_pitch(start.coupling.partition(" ")[2], end.coupling.partition(" ")[2])]


def on_width(front: float | None, found: Sequence[Chain]) -> list[Remark]:
    """Say which chains are narrower than the lens's front."""
    if front is None:
        return []
    narrow = [
        (number, chain.narrowest_mm)
        for number, chain in enumerate(found, 1)
        if chain.narrowest_mm is not None and chain.narrowest_mm < front
    ]
    return kit_remarks.narrow_chains(narrow, front)


def on_infinity(wanted: float | None, states: Sequence[str | None]) -> list[Remark]:
    """Say which chains keep infinity focus."""
    if wanted is None or not states:
        return []
    kept, too_long, too_short = (
        [number for number, state in enumerate(states, 1) if state == name]
        for name in ("kept", "too-long", "too-short")
    )
    return [kit_remarks.infinity(wanted, kept, too_long, too_short)]


def cautions_on(found: Sequence[Chain]) -> list[Caution]:
    """Cautions of what the chains are for."""
    rings = [ring for chain in found for ring in chain.rings]
    if any(ring.kind == "reversing-ring" for ring in rings):
        return cautions.mounting_cautions("reversed")
    return cautions.lens_change_cautions() if any(ring.kind == "mount-adapter" for ring in rings) else []


OPERATION = Operation(
    operation_id="findRingChains",
    path="/v1/ring-chains",
    tag="plan",
    summary="Which rings join this thread to that mount, and how long the chain is",
    description=(
        "Chains out of the kit's own rings that are at hand: fewest parts first, then those without a step below the lens's "
        "own thread, then the shortest. Where these do not do, chains with as few bought rings of standard sizes as it takes. "
        "Threads join by diameter and pitch, external to internal; mounts lens side to body side, those that are threads by "
        "their thread. The total thickness is extension. Where nothing on sale joins the two ends, a remark names both faces "
        "of the ring to have made."
    ),
    answer=answer,
    answer_type=RingChainsAnswer,
    request_type=RingChainsRequest,
    takes_kit=True,
    examples=(
        Example(
            "reversed-on-bellows",
            "A lens with a 49 mm filter thread, reversed on the group's bellows (invented kit)",
            {
                "from_thread": "M49x0.75",
                "from_gender": "internal",
                "to_mount": "house-bayonet",
                "to_side": "body",
                "front_diameter_mm": 51,
            },
        ),
        Example(
            "what-to-buy",
            "A lens with a 58 mm filter thread, reversed on the cameras: what must be bought (invented kit)",
            {
                "from_thread": "M58x0.75",
                "from_gender": "internal",
                "to_mount": "bayonet-18.0",
                "to_side": "body",
                "most": 3,
            },
        ),
    ),
)
