"""What is known of a lens from its engravings and a rule: the range of each datum, and what to measure next."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypedDict, cast

from closeup_service.gear.kit import Kit
from closeup_service.language import tr
from closeup_service.operations.asking.strict_json import JsonDict
from closeup_service.operations.measure.lens_estimate.schemas import LensEstimateRequest
from closeup_service.operations.plan.magnification.schemas import MagnificationRequest
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
    members_for,
)
from closeup_service.pages.tasks.common import page_address
from closeup_service.pages.tasks.gear_choices import mounts
from closeup_service.pages.tasks.known_lens import (
    FRAME_FIELDS,
    KNOWN,
    RULER_FIELDS,
    known_fields,
    known_lens,
    members_for_kit,
)
from closeup_service.pages.tasks.lens_words import TOLD, write_data, write_figure, write_next
from closeup_service.schemas.fields import declared_fields

if TYPE_CHECKING:
    from closeup_service.records.answers import LensEstimateAnswer

ESTIMATE = declared_fields(LensEstimateRequest)
FRAMING = declared_fields(MagnificationRequest)
STEP = "estimateLens"
BY_RULE = KNOWN[KNOWN.index("barrel_length_mm") :]
ENGRAVED = KNOWN[: KNOWN.index("barrel_length_mm")]
OF_THE_SET_UP = (
    "mounting",
    "focal_length_mm",
    "camera_register_mm",
    "extension_mm",
    "lens_register_mm",
    "front_principal_plane_mm",
)
WORDS: dict[str, JsonDict] = {
    "mounting": {
        "own_label": "the lens stands",
        "own_hint": "How you want to use it.",
        "own_choices": (Choice("normal", "on its mount"),),
        "own_usual": "reversed",
    },
    "camera_register_mm": {"own_hint": "44 mm is assumed where nothing is given."},
    "extension_mm": {"own_label": "rings and tubes", "own_hint": "All that stands between lens and camera."},
    "figure": {
        "own_label": "what matters to you",
        "own_hint": "The measurements are ranked by it.",
        "own_choices": tuple(Choice(name, words) for name, words in TOLD.items() if name != "magnification"),
        "own_usual": "magnification",
    },
}


def lens(members: Members, answers: Answers, kit: Kit) -> Request:
    """Ask what is known of the lens, and what its set-up gives."""
    del answers
    given = members_for(ESTIMATE, members) | register_of_mount(members, kit)
    form: LensForm = cast("LensForm", members)
    known = known_lens(members, mounting(members), form.get("camera_register_mm"), "camera_register_mm")
    return Request({**given, **known.members}, {"/lens_register_mm": register_field(members), **known.places})


class LensForm(TypedDict, total=False):
    """Fields of the form that other requests than that of the estimate need."""

    focal_length_mm: float
    mounting: str
    mount: str
    camera_register_mm: float
    extension_mm: float


def mounting(members: Members) -> str:
    """Which way round the lens is to stand: reversed unless it is said otherwise."""
    form: LensForm = cast("LensForm", members)
    return form.get("mounting", "reversed")


def register_of_mount(members: Members, kit: Kit) -> dict[str, float]:
    """Register of the mount that was chosen; nothing where none was."""
    if "mount" not in members:
        return {}
    if "lens_register_mm" in members:
        text = tr("Choose the mount of the lens, or give its register: one is enough.")
        raise NotReady(text, "lens_register_mm")
    form: LensForm = cast("LensForm", members)
    held = kit.all_mounts.get(form["mount"])
    if held is None:
        raise NotReady(tr("Choose one of the mounts of the list."), "mount")
    return {"lens_register_mm": held.register_mm}


def register_field(members: Members) -> str:
    """Field that the register of the lens comes from."""
    return "mount" if "mount" in members else "lens_register_mm"


def magnification(members: Members, answers: Answers, kit: Kit) -> Request:
    """Ask for the magnification of the lens as it is to stand, with what the estimate assumed of the camera."""
    told: LensEstimateAnswer = cast("LensEstimateAnswer", answers[STEP])
    known = {**told["assumed"], **members_for(FRAMING, members), **register_of_mount(members, kit)}
    asked = {name: known[name] for name in OF_THE_SET_UP if name in known}
    return Request(asked, {"/lens_register_mm": register_field(members)})


def set_up_address(members: Members, answers: Answers, kit: Kit) -> str:
    """Page of a set-up with this lens, and with what is known of it."""
    told: LensEstimateAnswer = cast("LensEstimateAnswer", answers[STEP])
    given, form = {**members, **register_of_mount(members, kit)}, cast("LensForm", members)
    same = (*KNOWN, *FRAME_FIELDS.values(), "focal_length_mm", "f_number", "lens_register_mm")
    data = ("front_principal_plane_mm", "principal_plane_separation_mm", "pupil_magnification")
    fields = {
        "register_mm": form.get("camera_register_mm", told["assumed"].get("camera_register_mm")),
        "reversed": "yes" if mounting(members) == "reversed" else None,
        **{name: given.get(name) for name in (*same, *data)},
        "tube_mm": form.get("extension_mm") or None,
    }
    return page_address("set-up", fields)


def kept_lens(members: Members, answers: Answers, kit: Kit) -> Members:
    """What is known of this lens, as a kit states a lens."""
    known = lens(members, answers, kit).members
    return members_for_kit(known) | members_for(("mount",), members)


TASK = Task(
    slug="my-lens",
    stage="measure",
    title="What I know of my lens",
    question="How well do I know my lens, and what should I measure next?",
    lead=(
        "Give what stands on the lens. Its data follow from published designs of such lenses, as ranges, with the measurement "
        "that narrows them most."
    ),
    description=(
        "Estimate the data of an old lens from its engravings and what a rule tells, each as a range, and learn which "
        "measurement to make next."
    ),
    groups=(
        Group(
            "What stands on the lens",
            (
                *inputs(
                    ESTIMATE,
                    "focal_length_mm",
                    focal_length_mm={"own_hint": "Of a zoom the one it is set to."},
                ),
                Input(
                    *("mount", "from_mount", declared_fields(RingChainsRequest)["from_mount"], "mount of the lens"),
                    *("It tells the register, and what kind of lens it is.", mounts),
                ),
                *known_fields(*ENGRAVED),
            ),
        ),
        Group(
            "What a rule tells",
            known_fields(*BY_RULE),
            lead="Each of these makes the ranges narrower.",
        ),
        Group(
            "A photograph of a ruler with this lens",
            RULER_FIELDS,
            aside=True,
            lead="At infinity focus. Give the register of the camera below as well.",
        ),
        Group(
            "How the lens is to stand",
            inputs(ESTIMATE, "mounting", "camera_register_mm", "extension_mm", "figure", "f_number", **WORDS),
        ),
        Group(
            "Data that are known from elsewhere",
            inputs(
                ESTIMATE,
                *(
                    "lens_register_mm",
                    "front_principal_plane_mm",
                    "principal_plane_separation_mm",
                    "pupil_magnification",
                ),
            ),
            aside=True,
        ),
    ),
    steps=(
        Step(
            STEP,
            lens,
            (),
            (
                WrittenTable("What matters to you", ("What", "Figure", "Range"), write_figure),
                WrittenTable("What is known of the lens", ("Datum", "Figure", "Range", "Based on"), write_data),
                WrittenTable(
                    "What you can measure, best first",
                    ("Measurement", "Takes about", "Leaves of the range", "How"),
                    write_next,
                ),
            ),
        ),
        Step("findMagnification", magnification, ("magnification",), needs=STEP),
    ),
    first=("magnification",),
    keeps=kept_lens,
    leads=(PageLead(set_up_address, "Everything about a set-up with this lens"),),
    examples=(
        Example(
            "A 28 mm f/2.8 of the old 42 mm screw mount, reversed on 7 mm of rings",
            {
                "focal_length_mm": "28 mm",
                "widest_f_number": "f/2.8",
                "mount": "M42x1",
                "camera_register_mm": "44",
                "extension_mm": "7 mm",
            },
        ),
        Example(
            "The same lens, its barrel and the depth of its iris measured",
            {
                "focal_length_mm": "28 mm",
                "widest_f_number": "f/2.8",
                "mount": "M42x1",
                "barrel_length_mm": "47 mm",
                "entrance_pupil_depth_mm": "23 mm",
                "camera_register_mm": "44",
                "extension_mm": "7 mm",
            },
        ),
    ),
)
