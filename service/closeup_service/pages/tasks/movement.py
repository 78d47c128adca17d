"""Movement: how far the picture smears while light falls, and how short a flash or how still a table is enough."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from closeup_service.gear.kit import Kit
from closeup_service.language import mark, tr
from closeup_service.operations.asking.strict_json import JsonDict
from closeup_service.operations.shoot.motion_blur.schemas import MOTIONS, MotionBlurRequest
from closeup_service.pages.task import (
    Answers,
    Choice,
    Example,
    Group,
    Members,
    NotReady,
    Request,
    Step,
    Task,
    WrittenTable,
    inputs,
    members_for,
)
from closeup_service.pages.tasks.common import SENSOR, SUBJECT_KINDS
from closeup_service.pages.tasks.known_lens import ESTIMATE_FIELD
from closeup_service.schemas.fields import declared_fields

if TYPE_CHECKING:
    from closeup_service.records.answers import MotionBlurAnswer

MOTION = declared_fields(MotionBlurRequest)
WORDS: dict[str, JsonDict] = {
    "sideways_speed_mm_s": {
        "own_label": "speed across the picture",
        "own_hint": "How fast the subject moves sideways against the camera: a plant in a light breeze, 1 to 10 mm/s.",
    },
    "axial_speed_mm_s": {
        "own_label": "speed towards or away from the lens",
        "own_hint": "It does not smear the picture; it carries the subject out of the sharp zone.",
    },
    "depth_mm": {"own_label": "depth of field", "own_hint": "As the page on sharpness gives it."},
    "vibration_amplitude_um": {
        "own_label": "tremble of the table",
        "own_hint": "Half of the way from end to end, at the subject.",
    },
    "flash_t01_s": {
        "own_label": "flash duration t0.1",
        "own_hint": "Such as 1/2000: the flash is above a tenth of its peak.",
    },
    "flash_t05_s": {
        "own_label": "flash duration t0.5",
        "own_hint": "Such as 1/5000: the flash is above half of its peak. Most makers state this one.",
    },
    "flash_shape": {
        "own_label": "how the flash ends",
        "own_hint": "Counts for t0.5. It is taken to fade out where nothing is chosen.",
        "own_choices": (Choice("exponential", "it fades out"), Choice("cut", "it is cut off electronically")),
    },
    "ambient_share": {
        "own_label": "share of other light",
        "own_hint": "Part of the exposure that does not come from the flash, such as 10 %.",
    },
    "allowed_blur_um": {"own_label": "accepted blur on the sensor"},
    "allowed_blur_px": {"own_label": "accepted blur in pixels", "own_hint": "The pixel pitch is needed then."},
    "rotation_rad_s": {"own_label": "speed at which the camera turns"},
    "rotation_distance_mm": {"own_label": "pivot, behind the entrance pupil"},
}


def movement(members: Members, answers: Answers, kit: Kit) -> Request:
    """Ask for the blur, once something moves."""
    del answers, kit
    given = members_for(MOTION, members)
    if not any(name in given for name in MOTIONS):
        text = tr(
            "Say what moves: the speed across the picture, the tremble of the table, or one of the movements below."
        )
        raise NotReady(text, MOTIONS[0], Request({**given, MOTIONS[0]: 0.0}))
    return Request(given)


VERDICTS = {
    "within-depth": mark("yes, its way is no longer than the depth"),
    "beyond-depth": mark("no, its way is longer than the depth"),
}


def stays_sharp(answer: Members, kit: Kit) -> list[tuple[str, str]]:
    """Say whether movement along the axis stays within the depth, where both are given."""
    del kit
    told: MotionBlurAnswer = cast("MotionBlurAnswer", answer)
    verdict = VERDICTS.get(told["axial_verdict"])
    return [(tr("Does the subject stay in the sharp zone while light falls?"), tr(verdict))] if verdict else []


TASK = Task(
    slug="movement",
    stage="shoot",
    title="Movement and flash duration",
    question="Is my flash short enough, and is my table still enough?",
    lead="Say what moves and how long light falls. With the blur that you accept, the longest time follows.",
    description=(
        "Calculate how far a moving or trembling subject smears at a given magnification, and which shutter time or flash "
        "duration is short enough."
    ),
    groups=(
        Group(
            "Picture and movement",
            inputs(
                MOTION,
                *("magnification", "sideways_speed_mm_s", "vibration_amplitude_um", "vibration_frequency_hz"),
                **WORDS,
            ),
        ),
        Group(
            "How long light falls",
            inputs(MOTION, "exposure_time_s", "flash_t01_s", "flash_t05_s", "flash_shape", "ambient_share", **WORDS),
            lead="Give the shutter time, or one duration of the flash; both where other light falls beside the flash.",
        ),
        Group(
            "Blur that you accept",
            inputs(
                MOTION,
                *("pixel_pitch_um", "allowed_blur_px", "allowed_blur_um", "sensor", "subject_kind"),
                sensor=SENSOR,
                subject_kind=SUBJECT_KINDS,
                **WORDS,
            ),
        ),
        Group("Towards the lens", inputs(MOTION, "axial_speed_mm_s", "depth_mm", **WORDS), aside=True),
        Group(
            "A camera in the hand, which turns",
            (
                *inputs(
                    MOTION,
                    *("rotation_rad_s", "rotation_distance_mm", "focal_length_mm", "mounting", "pupil_magnification"),
                    **WORDS,
                ),
                ESTIMATE_FIELD,
            ),
            aside=True,
        ),
    ),
    steps=(
        Step(
            "findMotionBlur",
            movement,
            (
                *("sensor_blur_px", "sensor_blur_um", "longest_time_s", "blur_time_s", "subject_blur_um"),
                *("allowed_blur_um", "largest_sideways_speed_mm_s", "largest_amplitude_um", "largest_rotation_rad_s"),
                *("sideways_blur_um", "vibration_blur_um", "rotation_blur_um", "ambient_blur_um", "flash_share"),
                *("axial_movement_um", "longest_axial_time_s", "largest_axial_speed_mm_s"),
            ),
            (WrittenTable("Towards the lens", ("Question", "Answer"), stays_sharp),),
        ),
    ),
    first=("sensor_blur_px", "sensor_blur_um", "longest_time_s"),
    examples=(
        Example(
            "A lichen in a breeze at 2:1, 1/200 s, pixels of 3.9 µm",
            {
                "magnification": "2:1",
                "sideways_speed_mm_s": "1.5",
                "exposure_time_s": "1/200",
                "pixel_pitch_um": "3.9 µm",
                "sensor": "23.5x15.6",
            },
        ),
        Example(
            "A seed at 3:1 on a table that trembles, by flash with a tenth of other light",
            {
                "magnification": "3:1",
                "vibration_amplitude_um": "20",
                "vibration_frequency_hz": "25",
                "flash_t05_s": "1/1250",
                "exposure_time_s": "1/250",
                "ambient_share": "10 %",
                "pixel_pitch_um": "3.9",
                "allowed_blur_px": "1.5",
            },
        ),
    ),
)
