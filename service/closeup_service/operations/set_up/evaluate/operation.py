"""`/v1/set-ups/evaluate`."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import TYPE_CHECKING, cast

from closeup_service.advice import uncertainty_remarks
from closeup_service.advice.kit_remarks import demo_kit, parts_not_at_hand
from closeup_service.gear.kit_parts import expand, missing_parts, place_faults_as_sent, uses_kit
from closeup_service.measuring.distributions import student_factor
from closeup_service.operations.one_lens import stops
from closeup_service.operations.operation import Example, Operation
from closeup_service.operations.set_up.depth_of_field.depth import depth_members, finite
from closeup_service.operations.set_up.diffraction.members import Diffraction
from closeup_service.operations.set_up.diffraction.schemas import DiffractionMembers
from closeup_service.operations.set_up.evaluate.estimated import Central, Evaluation, estimates, evaluate_estimated
from closeup_service.operations.set_up.evaluate.light import light_steps, with_light
from closeup_service.operations.set_up.evaluate.notes import cautions_on, remarks_on
from closeup_service.operations.set_up.evaluate.schemas import SetUpAnswer, SetUpRequest
from closeup_service.optics.arithmetic import POINT
from closeup_service.optics.depth import Depth
from closeup_service.optics.motion import movement_drawing
from closeup_service.optics.stack import OVERLAP, usual_frames, usual_step
from closeup_service.schemas.known_lens import ESTIMATE_UNKNOWN
from closeup_service.set_ups.lens_light import WholeSetUp
from closeup_service.set_ups.set_up import SetUp, evaluate
from closeup_service.set_ups.solve import OpenLength, solve
from closeup_service.set_ups.uncertainty import is_uncertain, propagate
from closeup_service.worked.board import Step
from closeup_service.worked.train import set_up_steps

if TYPE_CHECKING:
    from closeup_service.records import answers, requests


def answer(asked: requests.SetUpRequest) -> answers.SetUpAnswer:
    """Evaluate a set-up; parts of the kit are described first."""
    return evaluate_asked(asked).answer


def evaluate_asked(asked: requests.SetUpRequest) -> Evaluation:
    """Evaluate a set-up, parts of the kit described first, and keep a set-up that can be drawn."""
    if not uses_kit(asked):
        return evaluate_plain(asked)
    kit = asked["kit"]
    with place_faults_as_sent(asked):
        found = evaluate_plain(expand(asked, kit))
    found.answer["remarks"] = [
        *found.answer["remarks"],
        *demo_kit(kit.origin),
        *parts_not_at_hand(missing_parts(asked, kit)),
    ]
    found.answer["kit_revision"] = kit.revision
    return found


def evaluate_plain(asked: requests.SetUpRequest) -> Evaluation:
    """Evaluate a set-up without parts of a kit, for every lens that its own may be where lenses are to be estimated."""
    if ESTIMATE_UNKNOWN in asked and estimates(asked):
        return evaluate_estimated(asked, answer_plain)
    answered = answer_plain(asked)
    return Evaluation(answered, Central(asked, answered))


def answer_plain(asked: requests.SetUpRequest) -> answers.SetUpAnswer:
    """Evaluate a set-up, after solving its open length when one is asked for."""
    if "solve" not in asked:
        set_up = evaluate(asked)
        return with_light(asked, asked, set_up, with_uncertainty(asked, set_up))
    request = asked["solve"]
    [(target, wanted)], pointer = cast("Mapping[str, float]", request["target"]).items(), request["unknown"]
    solved = solve(asked, pointer, target, wanted, request["minimum"], request["maximum"])
    document = cast("requests.SetUpRequest", solved.document)
    told = with_uncertainty(document, solved.set_up)
    told["solved"] = {"pointer": pointer, "value": solved.value}
    if "uncertainty" in told:
        told["remarks"] = [*told["remarks"], uncertainty_remarks.held_length(pointer, solved.value)]
    return with_light(asked, document, solved.set_up, told)


def with_uncertainty(document: requests.SetUpRequest, set_up: SetUp) -> answers.SetUpAnswer:
    """Write the set-up, with its uncertainty where a lens states one."""
    told = members(document, set_up)
    if not is_uncertain(document):
        return told
    propagated = propagate(document, set_up)
    answered: dict[str, float | None] = dict(propagated.uncertainties)
    if told["optimum_f_number"] is None:
        answered["optimum_f_number"] = None
    expanded_by_name = {
        name: None if value is None else value * student_factor(propagated.degrees[name])
        for name, value in answered.items()
    }
    told["uncertainty"] = cast("answers.SetUpUncertainty", answered)
    told["expanded_uncertainty"] = cast("answers.SetUpExpandedUncertainty", expanded_by_name)
    told["remarks"] = [
        *told["remarks"],
        *uncertainty_remarks.uncertainty(
            certain_lenses(document), propagated.switching, propagated.failing, propagated.refusal
        ),
    ]
    return told


def certain_lenses(document: requests.SetUpRequest) -> list[str]:
    """Pointers of the lenses that state no uncertainty."""
    train = enumerate(document["train"])
    return [f"/train/{index}" for index, each in train if each["element"] == "lens" and "uncertainty" not in each]


def members(document: requests.SetUpRequest, set_up: SetUp) -> answers.SetUpAnswer:
    """Write the set-up as the answer's members."""
    optimum, (frames, step) = (
        attainable_optimum(document, set_up),
        rail_figures(set_up.depth, document.get("subject_depth_mm")),
    )
    return {
        "magnification": set_up.magnification,
        "subject_width_mm": set_up.subject_width_mm,
        "subject_height_mm": set_up.subject_height_mm,
        "working_distance_mm": set_up.working_distance_mm,
        "clearance_mm": set_up.clearance_mm,
        "subject_to_sensor_mm": set_up.subject_to_sensor_mm,
        "rig_length_mm": set_up.rig_length_mm,
        "effective_f_number": set_up.effective_f_number,
        "numerical_aperture": set_up.numerical_aperture,
        "light_loss_stops": None if set_up.light_loss_stops is None else stops(set_up.light_loss_stops),
        "aperture_stop": None if set_up.aperture_stop is None else int(set_up.aperture_stop),
        "depth_of_field": depth_members(set_up.depth, set_up.criterion.model),
        "diffraction": diffraction_of(set_up),
        "optimum_effective_f_number": set_up.optimum_effective_f_number,
        "optimum_f_number": optimum,
        "stack_frames": frames,
        "stack_step_mm": step,
        "allowed_movement_um": allowed_movement(set_up),
        "assumed": {**set_up.assumed, **stack_assumption(document)},
        "remarks": remarks_on(document, set_up, optimum),
        "cautions": cautions_on(document, set_up),
    }


def diffraction_of(set_up: SetUp) -> answers.DiffractionMembers:
    """What diffraction leaves, or nulls where the aperture is not determined."""
    if set_up.effective_f_number is None:
        open_members = dict.fromkeys(DiffractionMembers().fields) | {"wavelength_nm": set_up.criterion.wavelength_nm}
        return cast("answers.DiffractionMembers", open_members)
    return Diffraction(set_up.criterion, set_up.effective_f_number, set_up.magnification).members()


def attainable_optimum(document: requests.SetUpRequest, set_up: SetUp) -> float | None:
    """Marked f-number of the optimum, where the part whose stop governs still governs when it is set to that."""
    effective = set_up.optimum_effective_f_number
    if effective is None or set_up.effective_f_number is None:
        return None
    return WholeSetUp(document, set_up).mark_for(effective)


def rail_figures(depth: Depth | None, whole: float | None) -> tuple[int | None, float | None]:
    """Frames and step of a stack on a rail over the subject's depth; all of it is under /v1/focus-stack."""
    if depth is None or whole is None or math.isnan(depth.total):
        return None, None
    return int(usual_frames(depth.total, whole, POINT)), finite(usual_step(depth.total, whole, POINT))


def stack_assumption(document: requests.SetUpRequest) -> dict[str, float]:
    """Overlap of the stack's frames, where there is a stack."""
    return {"/overlap": OVERLAP} if "subject_depth_mm" in document else {}


def allowed_movement(set_up: SetUp) -> float | None:
    """How far the subject may move across the axis while light falls, for the blur criterion [um]."""
    blur = set_up.criterion.blur_mm
    return None if blur is None else float(movement_drawing(blur, set_up.magnification))


def steps(asked: requests.SetUpRequest, answer: answers.SetUpAnswer) -> list[Step]:
    """Steps of a set-up, and of what was asked of its light; parts of the kit are described, the open length is filled in."""
    document = expand(asked, asked["kit"]) if uses_kit(asked) else asked
    if ESTIMATE_UNKNOWN in document and estimates(document):
        central = evaluate_plain(document).central
        return steps(central.document, central.answer)
    length = answer["solved"]["value"] if "solved" in answer else None
    if length is not None:
        filled = OpenLength(document, answer["solved"]["pointer"]).fill(length)
        document = cast("requests.SetUpRequest", filled)
    return [*set_up_steps(document, answer), *light_steps(document, answer)]


REVERSED_35 = {
    "element": "lens",
    "reversed": True,
    "focal_length_mm": 35,
    "f_number": 8,
    "pupil_magnification": 1.3,
    "front_principal_plane_mm": 21.0,
    "principal_plane_separation_mm": 9.0,
    "register_mm": 45.46,
}
CAMERA = {"register_mm": 18.0, "sensor": "23.5x15.6", "pixel_pitch_um": 3.9, "circle_of_confusion_mm": 0.019}

OPERATION = Operation(
    operation_id="evaluateSetUp",
    path="/v1/set-ups/evaluate",
    tag="set up",
    summary="Everything about one set-up, from its parts in order; or solved for a target",
    description=(
        "The train lists what light passes, subject first. With solve, one length is left out of the train and found for a "
        "target. A train may hold parts of the kit by their ids, and the camera may be one of the kit's: of this studio's "
        "(/v1/kit), or of the one sent with the request. Results that the document does not determine are null, and a remark "
        "names the missing datum."
    ),
    answer=answer,
    answer_type=SetUpAnswer,
    request_type=SetUpRequest,
    by_query="document",
    takes_kit=True,
    steps=steps,
    examples=(
        Example(
            "reversed-on-rings",
            "A reversed 35 mm lens on 31 mm of rings (invented kit)",
            {"camera": CAMERA, "train": [REVERSED_35, {"element": "spacer", "length_mm": 31.0}]},
        ),
        Example(
            "solve-for-two-to-one",
            "How long must the bellows be for 2:1 (invented kit)",
            {
                "camera": CAMERA,
                "train": [REVERSED_35, {"element": "spacer"}],
                "solve": {
                    "unknown": "/train/1/length_mm",
                    "minimum": 30,
                    "maximum": 150,
                    "target": {"magnification": 2},
                },
            },
        ),
        Example(
            "out-of-the-kit",
            "Bellows of the kit, drawn out for a subject 12 mm wide (invented kit)",
            {
                "camera": {"use": "field-camera"},
                "train": [
                    {"element": "kit-part", "use": "wide-35", "reversed": True, "f_number": 8},
                    {"element": "kit-part", "use": "step-up-49-52"},
                    {"element": "kit-part", "use": "reversing-52-house"},
                    {"element": "kit-part", "use": "table-bellows"},
                ],
                "solve": {"unknown": "/train/3/length_mm", "target": {"subject_width_mm": 12}},
            },
        ),
        Example(
            "objective-on-tube-lens",
            "An infinity-corrected 5x objective before a 200 mm lens (invented kit)",
            {
                "camera": CAMERA,
                "train": [
                    {
                        "element": "objective",
                        "magnification": 5,
                        "numerical_aperture": 0.14,
                        "tube_lens_focal_length_mm": 200,
                        "working_distance_mm": 34,
                    },
                    {
                        "element": "lens",
                        "focal_length_mm": 200,
                        "f_number": 4,
                        "register_mm": 18.0,
                        "front_principal_plane_mm": 60,
                    },
                ],
            },
        ),
    ),
)
