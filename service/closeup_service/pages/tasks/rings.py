"""Rings: which of them lead from a lens to a camera, out of the kit or on sale, and how thick they are together."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from closeup_service.gear.kit import Kit
from closeup_service.operations.plan.ring_chains.schemas import RingChainsRequest
from closeup_service.pages.task import (
    Answers,
    Choice,
    Example,
    Group,
    Input,
    Members,
    PageLead,
    Request,
    Step,
    Task,
    WrittenTable,
    inputs,
)
from closeup_service.pages.tasks.common import page_address
from closeup_service.pages.tasks.gear_choices import ALL_THREADS, FILTER_THREADS, kit_lenses, lens_of, mounts
from closeup_service.pages.tasks.ring_ends import (
    ENDS,
    STARTS,
    RingForm,
    cameras_and_bellows,
    end_members,
    sole_field,
    start_members,
)
from closeup_service.pages.tasks.ring_words import write_chains
from closeup_service.schemas.fields import declared_fields

if TYPE_CHECKING:
    from closeup_service.records.answers import RingChainsAnswer

CHAINS = declared_fields(RingChainsRequest)
STEP = "findRingChains"
GENDERS = (Choice("internal", "internal (female)"), Choice("external", "external (male)"))


def chains(members: Members, answers: Answers, kit: Kit) -> Request:
    """Ask for the rings between the two ends, each of which is given once."""
    del answers
    start, end = (sole_field(members, names) for names in (STARTS, ENDS))
    asked = start_members(members, start, kit) | end_members(members, end, kit)
    more = {name: members[name] for name in ("front_diameter_mm", "most") if name in members}
    places = {f"/from_{part}": start for part in ("thread", "gender", "mount", "side")}
    places |= {f"/to_{part}": end for part in ("thread", "gender", "mount", "side")}
    return Request({**asked, **more}, places)


def set_up_address(members: Members, answers: Answers, kit: Kit) -> str:
    """Page of the set-up of a lens and a camera of the kit with the best chain, where all of it is at hand."""
    told: RingChainsAnswer = cast("RingChainsAnswer", answers[STEP])
    form: RingForm = cast("RingForm", members)
    lens, best = lens_of(kit, form.get("lens")), next(iter(told["chains"]), None)
    if (
        kit.origin == "request"
        or lens is None
        or form.get("onto") not in kit.cameras_by_id
        or best is None
        or best["buy"]
    ):
        return ""
    chosen = f"{lens.id}:{lens.settings[0].id}" if len(lens.settings) > 1 else lens.id
    turned = {} if form.get("mounting") == "normal" else {"reversed": "yes"}
    return page_address("set-up", {"camera": form["onto"], "lens": chosen, **turned, "part": best["rings"]})


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
                    "Reversed, its filter thread looks to the camera.",
                    own_choices=(Choice("normal", "on its mount"),),
                    own_usual="reversed",
                ),
                *inputs(
                    CHAINS,
                    *("from_thread", "from_mount"),
                    from_thread={
                        "own_label": "filter thread of a reversed lens",
                        "own_hint": "The number on the front ring, such as 49.",
                        "own_choices": FILTER_THREADS,
                    },
                    from_mount={
                        "own_label": "mount of the lens",
                        "own_hint": "For a lens that stands on its mount.",
                        "own_choices": mounts,
                    },
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
                    to_mount={
                        "own_label": "mount of the camera",
                        "own_hint": "By its name or its register.",
                        "own_choices": mounts,
                    },
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
            ("chains/0/extension_mm", "chains/0/narrowest_mm", "infinity_extension_mm"),
            (
                WrittenTable(
                    "Ways to join them, best first",
                    ("Rings, from the lens", "To buy", "Thickness", "Narrowest opening", "Infinity focus"),
                    write_chains,
                ),
            ),
        ),
    ),
    first=("chains/0/extension_mm", "chains/0/narrowest_mm"),
    leads=(PageLead(set_up_address, "What this lens gives on this camera with these rings"),),
    examples=(
        Example(
            "The kit's 35 mm lens, reversed on the bellows",
            {"lens": "wide-35", "onto": "table-bellows"},
            of_demo_kit=True,
        ),
        Example(
            "The same lens, reversed on the field camera",
            {"lens": "wide-35", "onto": "field-camera"},
            of_demo_kit=True,
        ),
        Example(
            "A lens with a 58 mm filter thread, reversed on a bayonet of 18 mm register: what to buy",
            {"from_thread": "M58x0.75", "to_mount": "bayonet-18.0"},
        ),
    ),
)
