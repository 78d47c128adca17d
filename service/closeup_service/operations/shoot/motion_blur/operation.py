"""`/v1/motion-blur`."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, NamedTuple, cast

from msgspec import Struct
from msgspec.structs import replace

from closeup_service.advice import cautions, motion_remarks
from closeup_service.advice.caution_texts import Caution
from closeup_service.advice.remark import Remark, undetermined_results
from closeup_service.operations.one_lens import USUAL_LENS
from closeup_service.operations.operation import Example, Operation
from closeup_service.operations.set_up.depth_of_field.depth import finite
from closeup_service.operations.shoot.motion_blur.schemas import MotionBlurAnswer, MotionBlurRequest
from closeup_service.optics import formulas, motion
from closeup_service.optics.arithmetic import POINT
from closeup_service.optics.motion import UM_PER_MM, Blurs, Motions
from closeup_service.set_ups.criterion import blur_of
from closeup_service.worked.motion import motion_blur_steps

if TYPE_CHECKING:
    from closeup_service.records import answers, requests

Notes = list[Remark]

KINDS = {
    "sideways": "sideways_speed_mm_s",
    "axial": "axial_speed_mm_s",
    "rotation": "rotation_rad_s",
    "vibration": "vibration_amplitude_um",
}
ACROSS = ("sideways", "rotation", "vibration")
LARGEST = {
    "sideways": "largest_sideways_speed_mm_s",
    "rotation": "largest_rotation_rad_s",
    "vibration": "largest_amplitude_um",
}
OF_THE_DEPTH = ("axial_verdict", "longest_axial_time_s", "largest_axial_speed_mm_s")


class Axial(NamedTuple):
    """Movement along the axis, um, and what stays within the depth: None where it is not determined."""

    movement_um: float | None
    verdict: str
    longest_time_s: float | None
    largest_speed_mm_s: float | None
    notes: Notes


class Within(NamedTuple):
    """Allowed blur, um, the longest time, and the largest motion of each kind beside the others; None where there is none."""

    allowed_um: float | None
    longest_time_s: float | None
    largest: Mapping[str, float | None]
    notes: Notes


class Light(Struct, frozen=True):
    """How long the light that draws the picture falls, s: the flash's where there is one, and that of ambient light."""

    time: float
    ambient_time: float | None
    ambient_share: float | None


def answer(asked: requests.MotionBlurRequest) -> answers.MotionBlurAnswer:
    """Blur by each motion and together, and what stays within the allowed blur."""
    assumed = assumptions(asked)
    light, motions = light_of(asked), motions_of(asked)
    by_kind = motion.blurs(motions, light.time, POINT)
    blur: float = motion.total_blur(by_kind, POINT)
    ambient = None if light.ambient_time is None else blur_in(motions, light.ambient_time)
    within = what_stays_within(asked, assumed, motions, light.time)
    axial = along_the_axis(asked, light.time)
    pitch = asked.get("pixel_pitch_um")
    pixels = motion.blur_in_pixels(blur, pitch) if pitch else None
    return {
        "blur_time_s": light.time,
        "sensor_blur_um": blur,
        "subject_blur_um": formulas.subject_size(blur, asked["magnification"]),
        "sensor_blur_px": pixels,
        "sensor_blur_pixels": pixels,
        "sideways_blur_um": by_kind.sideways if "sideways_speed_mm_s" in asked else None,
        "rotation_blur_um": by_kind.rotation if "rotation_rad_s" in asked else None,
        "vibration_blur_um": by_kind.vibration if "vibration_amplitude_um" in asked else None,
        "axial_movement_um": axial.movement_um,
        "axial_verdict": axial.verdict,
        "longest_axial_time_s": axial.longest_time_s,
        "largest_axial_speed_mm_s": axial.largest_speed_mm_s,
        "flash_share": None if light.ambient_share is None else 1 - light.ambient_share,
        "ambient_share": light.ambient_share,
        "ambient_blur_um": ambient,
        "allowed_blur_um": within.allowed_um,
        "longest_time_s": within.longest_time_s,
        "largest_sideways_speed_mm_s": within.largest.get("sideways"),
        "largest_rotation_rad_s": within.largest.get("rotation"),
        "largest_amplitude_um": within.largest.get("vibration"),
        "assumed": assumed,
        "remarks": [
            *counted_notes(asked, by_kind, blur),
            *motion_notes(asked, motions, light.time),
            *light_notes(asked, motions, light, ambient),
            *axial.notes,
            *pixel_notes(asked),
            *within.notes,
        ],
        "cautions": cautions_on(asked),
    }


def assumptions(asked: requests.MotionBlurRequest) -> dict[str, float | str]:
    """What is assumed of the lens, the point turned about and the flash where it is not given."""
    defaults: dict[str, float | str] = {}
    if "rotation_rad_s" in asked:
        defaults |= {**USUAL_LENS, "rotation_distance_mm": 0.0}
    if "flash_t05_s" in asked:
        defaults["flash_shape"] = "exponential"
    if flash_time(asked) is not None and "exposure_time_s" not in asked:
        defaults["ambient_share"] = 0.0
    return {name: value for name, value in defaults.items() if name not in asked}


def flash_time(asked: requests.MotionBlurRequest) -> float | None:
    """t0.1 of the flash, s; None without one."""
    if "flash_t05_s" in asked:
        exponential = asked.get("flash_shape", "exponential") == "exponential"
        tenth: float = motion.flash_tenth_time(asked["flash_t05_s"], exponential, POINT)
        return tenth
    return asked.get("flash_t01_s")


def light_of(asked: requests.MotionBlurRequest) -> Light:
    """Times and shares of flash and ambient light; without a flash all light is ambient."""
    flash, exposure = flash_time(asked), asked.get("exposure_time_s")
    if flash is None:
        return Light(asked["exposure_time_s"], exposure, 1.0)
    if exposure is None:
        return Light(flash, None, 0.0)
    return Light(motion.blurring_time(flash, exposure, POINT), exposure, asked.get("ambient_share"))


def motions_of(asked: requests.MotionBlurRequest) -> Motions:
    """Return the motions as they go over the sensor."""
    m = asked["magnification"]
    return Motions(
        sideways=motion.image_speed(m, asked.get("sideways_speed_mm_s", 0.0)),
        rotation=motion.image_speed(m, lever(asked) * asked["rotation_rad_s"]) if "rotation_rad_s" in asked else 0.0,
        stroke=motion.image_stroke(m, asked.get("vibration_amplitude_um", 0.0)),
        frequency=asked.get("vibration_frequency_hz", 1.0),
    )


def lever(asked: requests.MotionBlurRequest) -> float:
    """Subject to the point that the camera turns about, mm."""
    p = asked.get("pupil_magnification", 1.0)
    as_it_stands = 1 / p if asked.get("mounting") == "reversed" else p
    distance = asked.get("rotation_distance_mm", 0.0)
    found: float = motion.turning_lever(asked["focal_length_mm"], asked["magnification"], as_it_stands, distance)
    return found


def blur_in(motions: Motions, time: float) -> float:
    """Blur on the sensor by all motions in a time, um."""
    blur: float = motion.total_blur(motion.blurs(motions, time, POINT), POINT)
    return blur


def along_the_axis(asked: requests.MotionBlurRequest, time: float) -> Axial:
    """Axial movement, and what the depth makes of it."""
    speed, depth = asked.get("axial_speed_mm_s"), asked.get("depth_mm")
    if speed is None:
        return Axial(None, "undetermined", None, None, [])
    movement = motion.image_speed(1.0, speed) * time
    notes = motion_remarks.axial_movement(movement, depth)
    if depth is None:
        notes += undetermined_results(dict.fromkeys(OF_THE_DEPTH, ("/depth_mm",)))
        return Axial(movement, "undetermined", None, None, notes)
    verdict = "within-depth" if movement <= depth * UM_PER_MM else "beyond-depth"
    longest = finite(motion.longest_axial_time(depth, speed, POINT))
    return Axial(movement, verdict, longest, motion.largest_axial_speed(depth, time), notes)


def allowed_blur_um(asked: requests.MotionBlurRequest, assumed: dict[str, float | str]) -> float | None:
    """Blur allowed on the sensor, um, by whichever statement is given; None without any."""
    if "allowed_blur_um" in asked:
        return asked["allowed_blur_um"]
    if "allowed_blur_px" in asked:
        return motion.blur_of_pixels(asked["allowed_blur_px"], asked["pixel_pitch_um"])
    blur = blur_of(cast("requests.SharpnessFields", asked), assumed)
    return None if blur is None else float(motion.blur_of_criterion(blur))


def what_stays_within(
    asked: requests.MotionBlurRequest, assumed: dict[str, float | str], motions: Motions, time: float
) -> Within:
    """Longest time, and the largest of each motion beside the others, within the allowed blur."""
    moving = [kind for kind in ACROSS if KINDS[kind] in asked]
    allowed = allowed_blur_um(asked, assumed)
    if allowed is None:
        wanted = [LARGEST[kind] for kind in moving]
        return Within(
            None, None, {}, [motion_remarks.missing_allowed_blur(["allowed_blur_um", "longest_time_s", *wanted])]
        )
    longest = finite(motion.longest_time(allowed, motions, POINT))
    notes = [motion_remarks.unlimited_time(motions.stroke > 0)] if longest is None else []
    found = {kind: finite(largest(kind, asked, motions, time, allowed)) for kind in moving}
    exceeded = {LARGEST[kind] for kind in moving if found[kind] is None}
    if "rotation_rad_s" in asked and lever(asked) == 0:
        notes.append(motion_remarks.missing_lever())
        exceeded.discard(LARGEST["rotation"])
    return Within(allowed, longest, found, notes + motion_remarks.exhausted_motions(sorted(exceeded)))


def largest(kind: str, asked: requests.MotionBlurRequest, motions: Motions, time: float, allowed: float) -> float:
    """Largest motion of one kind beside the others; NaN where they leave nothing, infinite where it draws no blur."""
    still = "stroke" if kind == "vibration" else kind
    others = blur_in(replace(motions, **{still: 0.0}), time)
    left: float = motion.remaining_blur(allowed, others, POINT)
    return motion.largest_motion(left, blur_of_one(kind, asked, motions, time), POINT)


def blur_of_one(kind: str, asked: requests.MotionBlurRequest, motions: Motions, time: float) -> float:
    """Blur on the sensor by one unit of a motion, um."""
    m = asked["magnification"]
    if kind == "vibration":
        return float(motion.image_stroke(m, motion.stroke_share(motions.frequency, time, POINT)))
    return float(motion.image_speed(m, (lever(asked) if kind == "rotation" else 1.0) * time))


def cautions_on(asked: requests.MotionBlurRequest) -> list[Caution]:
    """Cautions of the light and of the lens, people first."""
    return cautions.sort_cautions(
        [*cautions.light_cautions(asked), *cautions.mounting_cautions(asked.get("mounting", "normal"))]
    )


def counted_notes(asked: requests.MotionBlurRequest, by_kind: Blurs, blur: float) -> Notes:
    """Which motions were counted, and how they add."""
    return [
        *motion_remarks.uncounted_motions([kind for kind, name in KINDS.items() if name not in asked]),
        *motion_remarks.motions_in_quadrature([getattr(by_kind, kind) for kind in ACROSS], blur),
    ]


def pixel_notes(asked: requests.MotionBlurRequest) -> Notes:
    """What is missing to tell the blur in pixels."""
    return [] if "pixel_pitch_um" in asked else undetermined_results({"sensor_blur_px": ("/pixel_pitch_um",)})


def motion_notes(asked: requests.MotionBlurRequest, motions: Motions, time: float) -> Notes:
    """What the shortcuts of the trade make of a rotation, and what a shorter time does for a vibration."""
    notes = []
    if "rotation_rad_s" in asked:
        focal_length = asked["focal_length_mm"]
        notes += motion_remarks.focal_length_rule(asked["magnification"] * lever(asked) / focal_length, focal_length)
    if motions.stroke > 0 and motions.frequency * time >= 0.5:
        notes.append(motion_remarks.whole_stroke(motions.frequency))
    return notes


def light_notes(asked: requests.MotionBlurRequest, motions: Motions, light: Light, ambient: float | None) -> Notes:
    """What was assumed of the flash, and what ambient light does beside it."""
    flash = flash_time(asked)
    if flash is None:
        return []
    notes: Notes = []
    if "flash_t05_s" in asked:
        shortcut = blur_in(motions, min(asked["flash_t05_s"], light.time))
        exponential = asked.get("flash_shape", "exponential") == "exponential"
        notes += motion_remarks.flash_half_time(
            "flash_shape" in asked, exponential, shortcut, blur_in(motions, light.time)
        )
    if light.time < flash:
        notes.append(motion_remarks.flash_cut_by_shutter())
    return notes + motion_remarks.ambient_light(light.ambient_share, ambient)


OPERATION = Operation(
    operation_id="findMotionBlur",
    path="/v1/motion-blur",
    tag="shoot",
    summary="How still, how short a flash: movement blur, and what an allowed blur admits",
    description=(
        "Sideways speed, axial speed, rotation of the camera and vibration, one or several, while a shutter is open or a flash "
        "burns (its t0.1, in which nine tenths of its light fall). Vibration is counted at its worst phase; kinds of motion "
        "add by the root of the sum of squares. Each largest motion stands beside the others as given; for a flash, "
        "longest_time_s is a t0.1."
    ),
    answer=answer,
    answer_type=MotionBlurAnswer,
    request_type=MotionBlurRequest,
    steps=motion_blur_steps,
    examples=(
        Example(
            "lichen-in-a-breeze",
            "A lichen stirred by a breeze at 2:1, shutter 1/200 s (invented kit)",
            {
                "magnification": 2,
                "sideways_speed_mm_s": 1.5,
                "axial_speed_mm_s": 4,
                "depth_mm": 0.3,
                "exposure_time_s": 0.005,
                "pixel_pitch_um": 3.9,
                "sensor": "23.5x15.6",
            },
        ),
        Example(
            "seed-by-flash",
            "A seed at 3:1 on a table that trembles, flash with a tenth of ambient light (invented kit)",
            {
                "magnification": 3,
                "vibration_amplitude_um": 20,
                "vibration_frequency_hz": 25,
                "flash_t05_s": 0.0008,
                "flash_shape": "exponential",
                "exposure_time_s": 0.004,
                "ambient_share": 0.1,
                "pixel_pitch_um": 3.9,
                "allowed_blur_px": 1.5,
            },
        ),
        Example(
            "seed-hand-held",
            "A seed at 1:1, 60 mm lens held in the hand, flash cut short (invented kit)",
            {
                "magnification": 1,
                "focal_length_mm": 60,
                "pupil_magnification": 0.8,
                "rotation_rad_s": 0.03,
                "rotation_distance_mm": 110,
                "sideways_speed_mm_s": 6,
                "flash_t05_s": 0.001,
                "flash_shape": "cut",
                "allowed_blur_um": 20,
            },
        ),
    ),
)
