"""What is known of a lens from its engravings and a rule: the range of each datum, and what to measure next."""

from collections.abc import Mapping, Sequence
from typing import cast

from closeup_service.advice.figures import figure, figure_in_range, percent
from closeup_service.gear.kit import Kit
from closeup_service.operations.measure.lens_estimate.schemas import LensEstimateRequest
from closeup_service.operations.plan.magnification.schemas import MagnificationRequest
from closeup_service.operations.plan.ring_chains.schemas import RingChainsRequest
from closeup_service.optics.vocabulary import VOCABULARY
from closeup_service.pages.task import (
    Answers,
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
from closeup_service.pages.tasks.known_lens import FRAME_FIELDS, KNOWN, RULER_FIELDS, known_fields, known_lens
from closeup_service.schemas.describing import label
from closeup_service.schemas.fields import declared_fields

ESTIMATE = declared_fields(LensEstimateRequest)
FRAMING = declared_fields(MagnificationRequest)
STEP = "estimateLens"
BY_RULE = KNOWN[KNOWN.index("barrel_length_mm") :]
ENGRAVED = KNOWN[: KNOWN.index("barrel_length_mm")]
OF_THE_SET_UP = ("camera_register_mm", "extension_mm", "lens_register_mm", "front_principal_plane_mm")
BASES = {
    "lens-class": "published designs",
    "measured": "published designs and what is known of this lens",
    "stated": "given",
}
TOLD = {
    "magnification": "magnification",
    "effective_f_number": "effective f-number",
    "working_distance_mm": "working distance",
    "subject_to_sensor_mm": "distance from subject to sensor",
}
KINDS = {
    "barrel": "length of the barrel",
    "iris-depth": "depth of the iris",
    "pupils": "both pupils",
    "iris-depth-and-pupils": "depth of the iris, and both pupils",
    "frame-reversed": "a photograph of a ruler, the lens reversed",
    "frame-normal": "a photograph of a ruler, the lens on its mount",
}


WORTH_MAKING = 0.99
"""Share of the range below which a measurement that leaves it is listed: others bring nothing."""


def lens(members: Members, answers: Answers, kit: Kit) -> Request:
    """Ask what is known of the lens, and what its set-up gives."""
    del answers
    given = members_for(ESTIMATE, members) | register_of_mount(members, kit)
    known = known_lens(members, mounting(members), members.get("camera_register_mm"), "camera_register_mm")
    return Request({**given, **known.members}, {"/lens_register_mm": register_field(members), **known.places})


def mounting(members: Members) -> object:
    """Which way round the lens is to stand: reversed unless it is said otherwise."""
    return members.get("mounting", "reversed")


def register_of_mount(members: Members, kit: Kit) -> dict[str, float]:
    """Register of the mount that was chosen; nothing where none was."""
    if "mount" not in members:
        return {}
    if "lens_register_mm" in members:
        raise NotReady("Choose the mount of the lens, or give its register: one is enough.", "lens_register_mm")
    held = kit.all_mounts.get(str(members["mount"]))
    if held is None:
        raise NotReady("Choose one of the mounts of the list.", "mount")
    return {"lens_register_mm": held.register_mm}


def register_field(members: Members) -> str:
    """Field that the register of the lens comes from."""
    return "mount" if "mount" in members else "lens_register_mm"


def magnification(members: Members, answers: Answers, kit: Kit) -> Request:
    """Ask for the magnification of the lens as it is to stand, with what the estimate assumed of the camera."""
    assumed = cast("Members", answers[STEP]["assumed"])
    given = members_for(FRAMING, members) | register_of_mount(members, kit)
    asked: dict[str, object] = {"mounting": mounting(members), "focal_length_mm": members["focal_length_mm"]}
    asked |= {name: given.get(name, assumed.get(name)) for name in OF_THE_SET_UP if name in given or name in assumed}
    return Request(asked, {"/lens_register_mm": register_field(members)})


def write_data(answer: Members, kit: Kit) -> list[tuple[str, ...]]:
    """Each datum of the lens with its range, and what it is based on."""
    del kit
    data = cast("Mapping[str, Members]", answer["lens"])
    return [write_datum(name, datum) for name, datum in data.items()]


def write_datum(name: str, datum: Members) -> tuple[str, ...]:
    """One datum."""
    value, low, high = (cast("float", datum[each]) for each in ("value", "low", "high"))
    unit = VOCABULARY[name].unit
    if low == high:
        return (label(name), figure(value, name, unit), "", BASES[str(datum["based_on"])])
    told = figure_in_range(value, low, high, name, unit)
    return (label(name), told.about, told.between, BASES[str(datum["based_on"])])


def write_next(answer: Members, kit: Kit) -> list[tuple[str, ...]]:
    """What could be measured, best first."""
    del kit
    return [
        (
            KINDS[str(each["kind"])],
            "{minutes} min".format(minutes=each["minutes"]),
            "{share} %".format(share=percent(cast("float", each["remaining_share"]), 2)),
            str(each["how"]),
        )
        for each in cast("Sequence[Members]", answer["next_measurements"])
        if cast("float", each["remaining_share"]) < WORTH_MAKING
    ]


def write_figure(answer: Members, kit: Kit) -> list[tuple[str, ...]]:
    """The figure that matters, where it is another one than the magnification, which stands above."""
    del kit
    told = cast("Members", answer["figure"])
    name, value, low, high = str(told["name"]), told["value"], told["low"], told["high"]
    if name == "magnification":
        return []
    if not (isinstance(value, float) and isinstance(low, float) and isinstance(high, float)):
        return [(TOLD[name], "not known yet: measure first", "")]
    found = figure_in_range(value, low, high, name, VOCABULARY[name].unit)
    return [(TOLD[name], found.about, found.between)]


def set_up_address(members: Members, answers: Answers, kit: Kit) -> str:
    """Page of a set-up with this lens, and with what is known of it."""
    assumed = cast("Members", answers[STEP]["assumed"])
    given = {**members, **register_of_mount(members, kit)}
    same = (*KNOWN, *FRAME_FIELDS.values(), "focal_length_mm", "f_number", "lens_register_mm")
    data = ("front_principal_plane_mm", "principal_plane_separation_mm", "pupil_magnification")
    fields = {
        "register_mm": members.get("camera_register_mm", assumed.get("camera_register_mm")),
        "reversed": "yes" if mounting(members) == "reversed" else None,
        **{name: given.get(name) for name in (*same, *data)},
        "tube_mm": members.get("extension_mm") or None,
    }
    return page_address("set-up", fields)


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
            inputs(ESTIMATE, "mounting", "camera_register_mm", "extension_mm", "figure", "f_number"),
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
                WrittenTable(
                    "What you can measure, best first",
                    ("Measurement", "Takes about", "Leaves of the range", "How"),
                    write_next,
                ),
                WrittenTable("What is known of the lens", ("Datum", "Figure", "Range", "Based on"), write_data),
            ),
        ),
        Step("findMagnification", magnification, ("magnification",), needs=STEP),
    ),
    first=("magnification",),
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
