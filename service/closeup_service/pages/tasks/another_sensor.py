"""The same picture on another sensor: what to set there, and what happens if the aperture stays as it is."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from closeup_service.gear.kit import Kit
from closeup_service.operations.asking.strict_json import JsonDict
from closeup_service.operations.set_up.depth_of_field.schemas import DepthOfFieldRequest
from closeup_service.operations.set_up.format_equivalence.schemas import FormatEquivalenceRequest
from closeup_service.pages.task import (
    Answers,
    Choice,
    Example,
    Group,
    Members,
    Request,
    Step,
    Task,
    inputs,
    members_for,
)
from closeup_service.pages.tasks.common import SENSOR
from closeup_service.pages.tasks.known_lens import CAMERA_REGISTER, known_lens_group
from closeup_service.schemas.fields import declared_fields

if TYPE_CHECKING:
    from closeup_service.records.answers import FormatEquivalenceAnswer

EQUIVALENCE = declared_fields(FormatEquivalenceRequest)
DEPTH = declared_fields(DepthOfFieldRequest)
EQUAL = "findFormatEquivalence"
OF_ANOTHER_LENS = ("f_number", "mounting", "pupil_magnification")
OF_THE_LENS = (*OF_ANOTHER_LENS, "focal_length_mm", "lens_register_mm")
PUPILS = ("other_pupil_magnification",)
WORDS: dict[str, JsonDict] = {
    "sensor": {**SENSOR, "own_label": "sensor here"},
    "other_sensor": {**SENSOR, "own_label": "the other sensor", "own_missing": "Choose the other sensor."},
    "framing_by": {
        "own_label": "the same picture by",
        "own_hint": "Sensors of other proportions show as much of the subject along one side alone.",
        "own_choices": (
            Choice("width", "width"),
            Choice("height", "height"),
            Choice("diagonal", "diagonal"),
        ),
        "own_usual": "width",
    },
    "other_focal_length_mm": {"own_label": "focal length of another lens there"},
    "other_pupil_magnification": {"own_label": "pupil magnification of that lens"},
}


def equal(members: Members, answers: Answers, kit: Kit) -> Request:
    """Ask for the same picture; the register of a lens on its mount counts only beside that of the other camera."""
    del answers, kit
    given = members_for(EQUIVALENCE, members)
    if given.get("mounting") != "reversed":
        given.pop("lens_register_mm", None)
    return Request(given)


def depth_here(members: Members, answers: Answers, kit: Kit) -> Request:
    """Ask for the depth of the picture as it is, by the blur that the comparison takes."""
    del kit
    same: FormatEquivalenceAnswer = cast("FormatEquivalenceAnswer", answers[EQUAL])
    return Request(members_for(DEPTH, members, circle_of_confusion_mm=same["circle_of_confusion_mm"]))


def depth_unchanged(members: Members, answers: Answers, kit: Kit) -> Request:
    """Ask for the depth of the same frame on the other sensor, at the mark that is set here."""
    del kit
    same: FormatEquivalenceAnswer = cast("FormatEquivalenceAnswer", answers[EQUAL])
    another = "other_focal_length_mm" in members
    lens = members_for(OF_ANOTHER_LENS if another else OF_THE_LENS, members)
    pupils = members_for(PUPILS, members)
    return Request(
        {
            **lens,
            **{name.removeprefix("other_"): value for name, value in pupils.items()},
            "magnification": same["other_magnification"],
            "circle_of_confusion_mm": same["other_circle_of_confusion_mm"],
        }
    )


TASK = Task(
    slug="another-sensor",
    stage="set up",
    title="Same picture, another sensor",
    question="What do I set for the same picture on another sensor?",
    lead=(
        "Say what is set here and which sensor the other camera has. Magnification and aperture for the same frame with the "
        "same depth follow, and the depth if you leave the aperture as it is."
    ),
    description=(
        "Calculate magnification, aperture and exposure that give the same close-up picture on a larger or smaller sensor, and "
        "what changes if the aperture stays."
    ),
    groups=(
        Group(
            "Picture here",
            inputs(EQUIVALENCE, "magnification", "f_number", "sensor", "other_sensor", **WORDS),
        ),
        Group(
            "Lens here",
            inputs(
                EQUIVALENCE,
                *("mounting", "focal_length_mm", "pupil_magnification", "front_principal_plane_mm"),
            ),
            aside=True,
        ),
        Group(
            "Another lens there, and how the frames compare",
            inputs(EQUIVALENCE, "framing_by", "other_focal_length_mm", "other_pupil_magnification", **WORDS),
            aside=True,
        ),
        known_lens_group(inputs(EQUIVALENCE, "lens_register_mm"), register=(CAMERA_REGISTER,)),
        Group(
            "Other sizes of sensors, and the blur that you accept",
            inputs(
                EQUIVALENCE,
                *("sensor_width_mm", "sensor_height_mm", "other_sensor_width_mm", "other_sensor_height_mm"),
                "circle_of_confusion_mm",
            ),
            aside=True,
        ),
    ),
    steps=(
        Step(
            EQUAL,
            equal,
            (
                *("other_magnification", "other_f_number", "other_nominal_f_number", "other_exposure_stops"),
                *("other_effective_f_number", "other_extension_mm", "same_perspective_focal_length_mm"),
                *("format_ratio", "other_circle_of_confusion_mm", "numerical_aperture"),
            ),
            title="The same picture",
        ),
        Step(
            "findDepthOfField",
            depth_here,
            ("total_mm", "effective_f_number", "circle_of_confusion_mm"),
            title="Here, and there with the aperture changed: the same depth",
            needs=EQUAL,
            name="here",
        ),
        Step(
            "findDepthOfField",
            depth_unchanged,
            ("total_mm", "effective_f_number"),
            title="There, if you leave the aperture as it is",
            needs=EQUAL,
            name="there",
        ),
    ),
    first=("other_magnification", "other_f_number", "other_exposure_stops"),
    examples=(
        Example(
            "A lichen at 1:1 and f/8 on 23.5 × 15.6 mm, by the same 60 mm lens on 36 × 24 mm",
            {
                "magnification": "1:1",
                "f_number": "f/8",
                "sensor": "23.5x15.6",
                "other_sensor": "36x24",
                "focal_length_mm": "60 mm",
                "pupil_magnification": "0.8",
            },
        ),
        Example(
            "A seed at 2:1 and f/5.6 on 36 × 24 mm, on the smaller 17.3 × 13 mm",
            {"magnification": "2:1", "f_number": "f/5.6", "sensor": "36x24", "other_sensor": "17.3x13.0"},
        ),
    ),
)
