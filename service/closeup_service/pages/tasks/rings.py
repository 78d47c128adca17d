"""Rings: which of them lead from a lens to a camera, out of the kit or on sale, and how thick they are together."""

from collections.abc import Mapping, Sequence
from typing import cast

from closeup_service.advice.figures import decimal, figure
from closeup_service.gear.kit import Face, Kit
from closeup_service.operations.plan.ring_chains.schemas import RingChainsRequest
from closeup_service.pages.task import (
    Answers,
    Choice,
    Example,
    Group,
    Input,
    Members,
    NotReady,
    PageLead,
    Request,
    Step,
    Task,
    WrittenTable,
    inputs,
)
from closeup_service.pages.tasks.common import page_address
from closeup_service.pages.tasks.gear_choices import ALL_THREADS, FILTER_THREADS, kit_lenses, lens_of, mounts
from closeup_service.schemas.fields import declared_fields

CHAINS = declared_fields(RingChainsRequest)
STEP = "findRingChains"
STARTS = ("lens", "from_thread", "from_mount")
ENDS = ("onto", "to_mount", "to_thread")
USUAL = {"from_gender": "internal", "from_side": "lens", "to_gender": "internal", "to_side": "body"}
"""A filter thread is internal; a lens meets a camera's side."""
GENDERS = (Choice("internal", "internal (female)"), Choice("external", "external (male)"))
INFINITY = {
    "kept": "kept",
    "too-long": "given up, the rest is extension",
    "too-short": "beyond infinity, the distance scale is off",
}


def chains(members: Members, answers: Answers, kit: Kit) -> Request:
    """Ask for the rings between the two ends, each of which is given once."""
    del answers
    start, end = (sole_field(members, names) for names in (STARTS, ENDS))
    asked = start_members(members, start, kit) | end_members(members, end, kit)
    more = {name: members[name] for name in ("front_diameter_mm", "most") if name in members}
    places = {f"/from_{part}": start for part in ("thread", "gender", "mount", "side")}
    places |= {f"/to_{part}": end for part in ("thread", "gender", "mount", "side")}
    return Request({**asked, **more}, places)


def sole_field(members: Members, names: Sequence[str]) -> str:
    """The one of these fields that is given."""
    given = [name for name in names if name in members]
    if len(given) == 1:
        return given[0]
    where = names[0] if not given else given[1]
    if names is STARTS:
        raise NotReady("Choose one start: a lens of the kit, the filter thread, or the mount of the lens.", where)
    raise NotReady("Choose one end: a camera or bellows of the kit, the mount of the camera, or a thread.", where)


def start_members(members: Members, field: str, kit: Kit) -> dict[str, object]:
    """The lens's end: its filter thread where it stands reversed, else its mount."""
    if field != "lens":
        return stated_end(members, field, "from_")
    lens = lens_of(kit, members["lens"])
    if lens is None:
        raise NotReady("The kit has no such lens.", "lens")
    face = lens.rear if members.get("mounting") == "normal" else lens.front
    if face is None:
        raise NotReady("The kit does not state this lens's filter thread: choose the thread itself.", "lens")
    return face_members(face, "from_")


def end_members(members: Members, field: str, kit: Kit) -> dict[str, object]:
    """The camera's end, or that of the bellows."""
    if field != "onto":
        return stated_end(members, field, "to_")
    face = {**faces_of_cameras(kit), **faces_of_bellows(kit)}.get(str(members["onto"]))
    if face is None:
        raise NotReady("The kit has no such camera or bellows.", "onto")
    return face_members(face, "to_")


def stated_end(members: Members, field: str, end: str) -> dict[str, object]:
    """A thread with its gender, or a mount with its side."""
    other = f"{end}gender" if field.endswith("thread") else f"{end}side"
    return {field: members[field], other: members.get(other, USUAL[other])}


def face_members(face: Face, end: str) -> dict[str, object]:
    """A face of a part of the kit, as a request names it."""
    if face.mount is not None:
        return {f"{end}mount": face.mount, f"{end}side": face.gender}
    return {f"{end}thread": face.thread, f"{end}gender": face.gender}


def faces_of_cameras(kit: Kit) -> dict[str, Face]:
    """Face of each camera of the kit."""
    return {each.id: each.flange for each in kit.cameras}


def faces_of_bellows(kit: Kit) -> dict[str, Face]:
    """Front of each bellows of the kit."""
    return {each.id: each.front for each in kit.bellows}


def cameras_and_bellows(kit: Kit) -> list[Choice]:
    """What a lens can be joined to."""
    return [Choice(each.id, each.name) for each in (*kit.cameras, *(each for each in kit.bellows if each.owned))]


def write_chains(answer: Members, kit: Kit) -> list[tuple[str, ...]]:
    """Each chain in words."""
    assumed = cast("Mapping[str, object]", answer["assumed"])
    found = cast("Sequence[Members]", answer["chains"])
    return [write_chain(each, assumed.get(f"/chains/{place}/extension_mm"), kit) for place, each in enumerate(found)]


def write_chain(chain: Members, usual_mm: object, kit: Kit) -> tuple[str, ...]:
    """One chain: its rings from the lens on, what to buy, thickness, narrowest opening and infinity focus."""
    rings, buy = (cast("Sequence[str]", chain[name]) for name in ("rings", "buy"))
    return (
        ", then ".join(ring_name(each, kit) for each in rings) or "no ring: they join as they are",
        ", ".join(ring_name(each, kit) for each in buy) or "nothing",
        thickness(chain["extension_mm"], usual_mm),
        "not known" if chain["narrowest_mm"] is None else f"{decimal(cast('float', chain['narrowest_mm']), 4)} mm",
        INFINITY.get(str(chain["infinity_focus"]), "does not apply"),
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
        return "about {length}, measure it".format(length=figure(float(usual_mm), "extension_mm", "mm"))
    return "not known, measure it"


def set_up_address(members: Members, answers: Answers, kit: Kit) -> str:
    """Page of the set-up of a lens and a camera of the kit with the best chain, where all of it is at hand."""
    found = cast("Sequence[Members]", answers[STEP]["chains"])
    lens = lens_of(kit, members.get("lens"))
    if lens is None or members.get("onto") not in kit.cameras_by_id or not found or found[0]["buy"]:
        return ""
    chosen = f"{lens.id}:{lens.settings[0].id}" if len(lens.settings) > 1 else lens.id
    turned = {} if members.get("mounting") == "normal" else {"reversed": "yes"}
    return page_address("set-up", {"camera": members["onto"], "lens": chosen, **turned, "part": found[0]["rings"]})


TASK = Task(
    slug="rings",
    stage="plan",
    title="Rings from lens to camera",
    question="Which rings join this lens to my camera?",
    lead="Choose the two ends. The rings of the kit are tried first; if they do not fit, you see what to buy.",
    description=(
        "Find the adapter, step and reversing rings that join the filter thread or mount of a lens to a camera or bellows, and "
        "their thickness."
    ),
    groups=(
        Group(
            "From the lens",
            (
                Input(
                    "lens", "use", CHAINS["from_mount"], "lens of the kit", "Or choose its thread or mount.", kit_lenses
                ),
                Input(
                    "mounting",
                    "from_side",
                    CHAINS["from_side"],
                    "this lens stands",
                    own_choices=(Choice("normal", "on its mount"),),
                    usual="reversed",
                ),
                *inputs(
                    CHAINS,
                    *("from_thread", "from_mount"),
                    from_thread={
                        "own_label": "filter thread of a reversed lens",
                        "own_hint": "",
                        "own_choices": FILTER_THREADS,
                    },
                    from_mount={"own_label": "mount of the lens", "own_hint": "", "own_choices": mounts},
                ),
            ),
        ),
        Group(
            "To the camera",
            (
                Input(
                    *("onto", "use", CHAINS["to_mount"], "camera or bellows of the kit", "Or choose the mount."),
                    own_choices=cameras_and_bellows,
                ),
                *inputs(
                    CHAINS,
                    "to_mount",
                    to_mount={"own_label": "mount of the camera", "own_hint": "", "own_choices": mounts},
                ),
            ),
        ),
        Group(
            "Other ends, and how wide the lens is",
            inputs(
                CHAINS,
                *("from_gender", "to_thread", "to_gender", "front_diameter_mm", "most"),
                from_gender={
                    "own_label": "thread of the lens",
                    "own_hint": "A filter thread is internal.",
                    "own_choices": GENDERS,
                },
                to_thread={
                    "own_label": "thread in place of the camera",
                    "own_hint": "Such as the filter thread of another lens.",
                    "own_choices": ALL_THREADS,
                },
                to_gender={
                    "own_label": "that thread is",
                    "own_hint": "Internal where nothing is chosen.",
                    "own_choices": GENDERS,
                },
                front_diameter_mm={"own_hint": "Outer diameter of the lens's front: rings narrower than it are told."},
                most={"own_label": "ways to list", "own_hint": "5 where nothing is given."},
            ),
            aside=True,
        ),
    ),
    steps=(
        Step(
            STEP,
            chains,
            ("chains/0/extension_mm", "infinity_extension_mm"),
            (
                WrittenTable(
                    "Ways to join them, best first",
                    ("Rings, from the lens", "To buy", "Thickness", "Narrowest opening", "Infinity focus"),
                    write_chains,
                ),
            ),
        ),
    ),
    first=("chains/0/extension_mm",),
    leads=(PageLead(set_up_address, "What this lens gives on this camera with these rings"),),
    examples=(
        Example(
            "The kit's 35 mm lens, reversed on the bellows",
            {"lens": "wide-35", "onto": "table-bellows"},
            of_demo_kit=True,
        ),
        Example(
            "The kit's 50 mm lens, reversed on the field camera",
            {"lens": "normal-50", "onto": "field-camera"},
            of_demo_kit=True,
        ),
        Example(
            "A lens with a 58 mm filter thread, reversed on a bayonet of 18 mm register: what to buy",
            {"from_thread": "M58x0.75", "to_mount": "bayonet-18.0"},
        ),
    ),
)
