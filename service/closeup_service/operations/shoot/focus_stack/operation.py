"""`/v1/focus-stack`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closeup_service.advice import cautions, sharpness_remarks, stack_remarks
from closeup_service.advice.caution_texts import Caution
from closeup_service.advice.remark import Remark, undetermined_results
from closeup_service.estimates.joint import FEW_DRAWS
from closeup_service.operations.one_lens import (
    as_mounted,
    effective_f_number,
    inverse_pupil_distance,
    mounting_and_pupils,
    pupil_remarks,
)
from closeup_service.operations.operation import Example, Operation
from closeup_service.operations.set_up.depth_of_field.depth import depth_members
from closeup_service.operations.shoot.focus_stack.schemas import (
    METHODS,
    RING_MOVES,
    FocusStackAnswer,
    FocusStackRequest,
)
from closeup_service.optics import formulas
from closeup_service.optics import stack as stacks
from closeup_service.optics.arithmetic import POINT
from closeup_service.optics.depth import Depth, depth_limits
from closeup_service.optics.focus_ring import Focusing, Lens, Ring, half_depth_along
from closeup_service.optics.sharpness import Criterion
from closeup_service.optics.stack import OVERLAP, Stack, rail_stack
from closeup_service.set_ups.criterion import criterion_of
from closeup_service.worked.stack import focus_stack_steps

if TYPE_CHECKING:
    from closeup_service.records import answers, requests

Notes = list[Remark]


def answer(asked: requests.FocusStackRequest) -> answers.FocusStackAnswer:
    """Frames of the stack and what changes along it."""
    return worked_out(asked)[1]


def worked_out(asked: requests.FocusStackRequest) -> tuple[Stack, answers.FocusStackAnswer]:
    """Return the stack, and the answer's members."""
    assumed = mounting_and_pupils(asked) | assumptions(asked)
    asked = {"method": METHODS[0], "overlap": OVERLAP, "ring_moves": RING_MOVES[0], **asked}
    criterion = criterion_of(asked, asked.get("model"), assumed)
    m = asked["magnification"]
    effective = effective_f_number(asked, asked["f_number"], m)
    depth = depth_of_frame(asked, criterion, effective)
    stack, farthest = stack_of(asked, criterion, depth)
    clearance, perspective = clearance_along(asked, stack), perspective_change(asked, farthest)
    return stack, {
        "frames": stack.frames,
        "frames_end_to_end": stack.end_to_end,
        "frames_varying_step": stack.varying_step,
        "step_mm": stack.step,
        "travel_mm": stack.travel,
        "overlap": stack.overlap,
        "positions_mm": stack.positions.tolist(),
        "magnification_nearest": m,
        "magnification_farthest": farthest,
        "magnification_change": stacks.magnification_change(farthest, m),
        "image_travel_mm": stack.image_travel,
        "perspective_change": perspective,
        "least_clearance_mm": clearance,
        "total_time_s": total_time(asked, stack),
        "depth_of_field": depth_members(depth, criterion.model),
        "effective_f_number": effective,
        "circle_of_confusion_mm": criterion.blur_mm,
        "assumed": assumed,
        "remarks": [
            *stack_notes(asked, depth, stack),
            *way_notes(asked, farthest, perspective),
            *undetermined_results(needs(perspective, clearance)),
            *sharpness_notes(asked, criterion, effective),
        ],
        "cautions": cautions_on(asked, stack, clearance),
    }


def assumptions(asked: requests.FocusStackRequest) -> dict[str, float | str]:
    """What is assumed of the stack where it is not given; a wait that is not given counts as none beside one that is."""
    defaults: dict[str, float | str] = {"method": METHODS[0], "overlap": OVERLAP}
    if asked.get("method") == "ring":
        defaults["ring_moves"] = RING_MOVES[0]
    given, left_out = times(asked)
    if given:
        defaults |= dict.fromkeys(left_out, 0.0)
    return {name: value for name, value in defaults.items() if name not in asked}


def depth_of_frame(asked: requests.FocusStackRequest, criterion: Criterion, effective: float) -> Depth:
    """Depth of the frame focused on the subject's nearest plane."""
    m = asked["magnification"]
    half_depth = criterion.half_depth(effective, m, POINT)
    assert half_depth is not None
    return depth_limits(half_depth, m, inverse_pupil_distance(asked, asked.get("focal_length_mm"), m), POINT)


def stack_of(asked: requests.FocusStackRequest, criterion: Criterion, depth: Depth) -> tuple[Stack, float]:
    """Return the stack, and the magnification focused on the subject's farthest plane."""
    whole, overlap = asked["subject_depth_mm"], asked["overlap"]
    if asked["method"] == "rail":
        return rail_stack(depth, whole, overlap, rail_step_mm(asked)), asked["magnification"]
    focusing = Focusing(asked["focal_length_mm"], asked["magnification"], asked["ring_moves"] == "lens")
    farthest = float(focusing.magnification(whole))
    effective_f_number(asked, asked["f_number"], farthest)
    f_number, pupils = as_mounted(asked, asked["f_number"])
    ends = (asked["magnification"], farthest)
    lens = Lens(asked["focal_length_mm"], pupils, half_depth_along(criterion, f_number, pupils, ends))
    return Ring(lens, focusing, whole, overlap).stack(), farthest


def rail_step_mm(asked: requests.FocusStackRequest) -> float | None:
    """Least step of the rail, mm; None where it is not given."""
    return asked["rail_step_um"] / 1000 if "rail_step_um" in asked else None


def clearance_along(asked: requests.FocusStackRequest, stack: Stack) -> float | None:
    """Least clearance along the stack, mm; None where that of the first frame is not given."""
    return stacks.remaining_clearance(asked["clearance_mm"], stack.advance) if "clearance_mm" in asked else None


def perspective_change(asked: requests.FocusStackRequest, farthest: float) -> float | None:
    """How far the entrance pupil moves towards the subject over its distance to the farthest plane at the end.

    A rail moves it by the subject's depth T, which gives T / z; a ring moves it with the lens, f dm; a rear standard not at
    all.
    """
    if "focal_length_mm" not in asked:
        return None
    focal_length, m = asked["focal_length_mm"], asked["magnification"]
    if asked["method"] == "rail":
        inverse = inverse_pupil_distance(asked, focal_length, m)
        return stacks.perspective_change(asked["subject_depth_mm"], inverse)
    if asked["ring_moves"] == "rear-standard":
        return 0.0
    inverse = inverse_pupil_distance(asked, focal_length, farthest)
    return stacks.perspective_change(formulas.image_extension(focal_length, farthest - m), inverse)


def times(asked: requests.FocusStackRequest) -> tuple[list[str], list[str]]:
    """Which waits of each frame are given, and which are not."""
    waits = waits_of(asked)
    return [name for name in waits if waits[name] is not None], [name for name in waits if waits[name] is None]


def waits_of(asked: requests.FocusStackRequest) -> dict[str, float | None]:
    """Each wait of a frame by its name, s; None where it is not given."""
    return {
        "settle_s": asked.get("settle_s"),
        "exposure_time_s": asked.get("exposure_time_s"),
        "flash_recycle_s": asked.get("flash_recycle_s"),
    }


def total_time(asked: requests.FocusStackRequest, stack: Stack) -> float | None:
    """Time of the whole stack, s = frames x (settling + exposure + recycling); None where no wait is given."""
    given = [wait for wait in waits_of(asked).values() if wait is not None]
    return stacks.total_time(stack.frames, sum(given)) if given else None


def stack_notes(asked: requests.FocusStackRequest, depth: Depth, stack: Stack) -> Notes:
    """What the numbers of frames count, and what the overlap and the rail's steps do."""
    notes = stack_remarks.frame_counts(stack)
    if stack.step is None or asked["method"] == "ring":
        return notes
    without = rail_stack(depth, asked["subject_depth_mm"], 0.0, rail_step_mm(asked))
    notes += stack_remarks.overlap(stack, asked["overlap"], without.frames)
    if "rail_step_um" in asked:
        allowed = stacks.allowed_step(depth.total, asked["overlap"])
        notes.append(stack_remarks.whole_rail_steps(stack.step, asked["rail_step_um"], allowed))
    return notes


def sharpness_notes(asked: requests.FocusStackRequest, criterion: Criterion, effective: float) -> Notes:
    """What the depth of a frame rests on: its pupils, and what counts as sharp."""
    f_number, m = asked["f_number"], asked["magnification"]
    return [
        *([] if "focal_length_mm" in asked else [sharpness_remarks.symmetric_depth()]),
        *pupil_remarks(asked, f_number, m, effective),
        *sharpness_remarks.sharpness(criterion, effective, m),
    ]


def way_notes(asked: requests.FocusStackRequest, farthest: float, perspective: float | None) -> Notes:
    """What focusing this way changes along the stack, and what its time is made of."""
    return [
        *(ring_notes(asked, farthest) if asked["method"] == "ring" else []),
        *stack_remarks.perspective_change(perspective),
        *stack_remarks.time(*times(asked)),
    ]


def cautions_on(asked: requests.FocusStackRequest, stack: Stack, clearance: float | None) -> list[Caution]:
    """Cautions of what moves, of the light and of the lens, people first."""
    return cautions.sort_cautions(
        [
            *cautions.stack_cautions(asked["method"], stack.frames, clearance),
            *cautions.light_cautions(asked, stack.frames, asked.get("wavelength_nm")),
            *cautions.mounting_cautions(asked.get("mounting", "normal")),
        ]
    )


def ring_notes(asked: requests.FocusStackRequest, farthest: float) -> Notes:
    """What focusing by the ring or the rear standard changes along the stack."""
    lens_moves = asked["ring_moves"] == "lens"
    nearest = asked["magnification"]
    notes = [stack_remarks.nominal_plane()]
    if lens_moves:
        notes.append(stack_remarks.whole_lens(asked.get("mounting", "normal")))
    notes += stack_remarks.magnification_change(nearest, farthest)
    return notes + (stack_remarks.lens_movement_near_life_size(nearest, farthest) if lens_moves else [])


def needs(perspective: float | None, clearance: float | None) -> dict[str, tuple[str, ...]]:
    """Results that wait for a datum, and which."""
    waiting: dict[str, tuple[str, ...]] = {}
    if perspective is None:
        waiting["perspective_change"] = ("/focal_length_mm",)
    if clearance is None:
        waiting["least_clearance_mm"] = ("/clearance_mm",)
    return waiting


OPERATION = Operation(
    operation_id="findFocusStack",
    path="/v1/focus-stack",
    tag="shoot",
    summary="Frames and step of a focus stack, on a rail or by the focus ring",
    description=(
        "Frames with planes of focus at most (1 - overlap) x depth apart, the depth by the same models as /v1/depth-of-field. "
        "A rail keeps depth and magnification; the focus ring or the front standard (whole lens moving, camera fixed) and the "
        "rear standard (sensor moving, lens fixed) change both along the stack, and magnification is then that of the frame "
        "focused on the subject's nearest plane. No gap is left, and both ends of the subject are within the depth of a frame."
    ),
    answer=answer,
    answer_type=FocusStackAnswer,
    request_type=FocusStackRequest,
    most_members=FEW_DRAWS,
    steps=focus_stack_steps,
    examples=(
        Example(
            "lichen-on-a-rail",
            "A lichen 1.5 mm deep at 2:1, reversed 35 mm lens on a rail with steps of 10 um (invented kit)",
            {
                "mounting": "reversed",
                "focal_length_mm": 35,
                "f_number": 5.6,
                "pupil_magnification": 1.3,
                "magnification": 2,
                "sensor": "23.5x15.6",
                "subject_depth_mm": 1.5,
                "rail_step_um": 10,
                "clearance_mm": 62,
                "settle_s": 2,
                "exposure_time_s": 0.005,
                "flash_recycle_s": 3,
            },
        ),
        Example(
            "seed-by-the-focus-ring",
            "A seed 8 mm deep at 1:2, 60 mm lens by its focus ring (invented kit)",
            {
                "method": "ring",
                "ring_moves": "lens",
                "focal_length_mm": 60,
                "f_number": 8,
                "pupil_magnification": 0.8,
                "magnification": 0.5,
                "circle_of_confusion_mm": 0.02,
                "model": "geometric",
                "subject_depth_mm": 8,
                "overlap": 0.3,
            },
        ),
        Example(
            "lichen-by-the-rear-standard",
            "A lichen 2 mm deep at 1.5:1, 75 mm lens on bellows, detail of 60 lp/mm on it (invented kit)",
            {
                "method": "ring",
                "ring_moves": "rear-standard",
                "focal_length_mm": 75,
                "f_number": 5.6,
                "pupil_magnification": 1.0,
                "magnification": 1.5,
                "model": "contrast",
                "subject_detail_lp_per_mm": 60,
                "contrast": 0.3,
                "subject_depth_mm": 2,
            },
        ),
    ),
)
