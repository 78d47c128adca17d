"""`/v1/set-ups/evaluate`."""

from collections.abc import Mapping
from math import hypot
from typing import Any

from closeup_service.advice import cautions, lens_remarks, sharpness_remarks
from closeup_service.advice.remark import Remark, not_determined
from closeup_service.optics.set_up import SetUp, evaluate
from closeup_service.optics.solve import solve
from closeup_service.optics.stack import OVERLAP, steps_over
from closeup_service.schemas.diffraction import DiffractionMembers
from closeup_service.schemas.set_up import SetUpAnswer, SetUpRequest
from closeup_service.web.operation import Example, Operation
from closeup_service.web.operations.depth import depth_members, finite
from closeup_service.web.operations.diffraction import diffraction_members

FOCUS_CAUTION_MM = 0.5


def answer(asked: Mapping[str, Any]) -> dict[str, Any]:
    """Evaluate a set-up, after solving its open length when one is asked for."""
    if "solve" not in asked:
        return members(asked, evaluate(asked))
    request = asked["solve"]
    (target, wanted), pointer = next(iter(request["target"].items())), request["unknown"]
    solved = solve(asked, pointer, target, wanted, request["minimum"], request["maximum"])
    return members(solved.document, solved.set_up) | {"solved": {"pointer": pointer, "value": solved.value}}


def members(document: Mapping[str, Any], set_up: SetUp) -> dict[str, Any]:
    """Write the set-up as the answer's members."""
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
        "light_loss_stops": set_up.light_loss_stops,
        "aperture_stop": set_up.aperture_stop,
        "depth_of_field": depth_members(set_up.depth, set_up.criterion.model),
        "diffraction": diffraction_of(set_up),
        "optimum_effective_f_number": set_up.optimum_effective_f_number,
        "optimum_f_number": set_up.optimum_f_number,
        **rail_figures(document, set_up),
        "allowed_movement_um": allowed_movement(set_up),
        "assumed": {**set_up.assumed, **stack_assumption(document)},
        "remarks": remarks_on(document, set_up),
        "cautions": cautions_on(document, set_up),
    }


def diffraction_of(set_up: SetUp) -> dict[str, Any]:
    """What diffraction leaves, or nulls where the aperture is not determined."""
    if set_up.effective_f_number is None:
        return dict.fromkeys(DiffractionMembers().fields) | {"wavelength_nm": set_up.criterion.wavelength_nm}
    return diffraction_members(set_up.criterion, set_up.effective_f_number, set_up.magnification)


def rail_figures(document: Mapping[str, Any], set_up: SetUp) -> dict[str, Any]:
    """Frames and step of a stack on a rail over the subject's depth; all of it is under /v1/focus-stack."""
    depth, whole = set_up.depth, document.get("subject_depth_mm")
    total = None if depth is None else finite(depth.front + depth.rear)
    if whole is None or total is None:
        return {"stack_frames": None, "stack_step_mm": None}
    step = (1 - OVERLAP) * total
    return {"stack_frames": steps_over(whole - total, step) + 1, "stack_step_mm": step}


def stack_assumption(document: Mapping[str, Any]) -> dict[str, float]:
    """Overlap of the stack's frames, where there is a stack."""
    return {"/overlap": OVERLAP} if "subject_depth_mm" in document else {}


def allowed_movement(set_up: SetUp) -> float | None:
    """How far the subject may move across the axis while light falls, for the blur criterion [um]."""
    blur = set_up.criterion.blur_mm
    return None if blur is None else float(blur * 1000 / set_up.magnification)


def remarks_on(document: Mapping[str, Any], set_up: SetUp) -> list[Remark]:
    """Everything worth saying about this set-up."""
    notes = not_determined({**set_up.needs, **open_members(document, set_up)})
    if set_up.erect:
        notes.append(lens_remarks.image_erect())
    if set_up.aperture_stop is not None and set_up.light_loss_stops is None:
        notes.append(lens_remarks.no_marked_f_number())
    notes += lens_remarks.perspective(set_up.inverse_pupil_distance)
    if set_up.effective_f_number is not None:
        notes += sharpness_remarks.sharpness(set_up.criterion, set_up.effective_f_number, set_up.magnification)
    notes += lens_remarks.objective_focus(set_up.focus_error_mm)
    notes += remarks_on_lenses(document, set_up)
    return notes + remarks_on_field(document, set_up)


def open_members(document: Mapping[str, Any], set_up: SetUp) -> dict[str, tuple[str, ...]]:
    """What the document leaves open beside the train itself."""
    needs: dict[str, tuple[str, ...]] = {}
    if "subject_depth_mm" not in document:
        needs |= dict.fromkeys(
            ("optimum_effective_f_number", "optimum_f_number", "stack_frames", "stack_step_mm"), ("/subject_depth_mm",)
        )
    elif "depth_of_field" in set_up.needs:
        needs |= dict.fromkeys(("stack_frames", "stack_step_mm"), set_up.needs["depth_of_field"])
    if set_up.criterion.blur_mm is None:
        needs["allowed_movement_um"] = ("/camera/circle_of_confusion_mm",)
    if "pixel_pitch_um" not in document["camera"]:
        names = ("nyquist_lp_per_mm", "nyquist_contrast", "filled_share", "sampling")
        needs |= dict.fromkeys((f"diffraction.{name}" for name in names), ("/camera/pixel_pitch_um",))
    return needs


def remarks_on_lenses(document: Mapping[str, Any], set_up: SetUp) -> list[Remark]:
    """Shortcuts of the trade measured against a train with one lens, and contradictions in a lens's data."""
    notes: list[Remark] = []
    lenses = [element for element in document["train"] if element["element"] == "lens"]
    for lens in lenses:
        if "front_diameter_mm" in lens and "f_number" in lens:
            notes += lens_remarks.narrow_front(lens["front_diameter_mm"], lens["focal_length_mm"] / lens["f_number"])
    if len(lenses) != 1 or any(e["element"] not in ("lens", "spacer") for e in document["train"]):
        return notes
    lens, m = lenses[0], set_up.magnification
    mounting = "reversed" if lens.get("reversed") else "normal"
    if set_up.effective_f_number is not None and "f_number" in lens:
        given = "pupil_magnification" in lens
        notes += lens_remarks.pupils(lens["f_number"], m, set_up.effective_f_number, given, mounting)
    if mounting == "reversed":
        behind = document["train"][document["train"].index(lens) + 1 :]
        outside = document["camera"]["register_mm"] + sum(part["length_mm"] for part in behind)
        notes += lens_remarks.reversed_register(outside / lens["focal_length_mm"] - 1, m)
    return notes


def remarks_on_field(document: Mapping[str, Any], set_up: SetUp) -> list[Remark]:
    """Whether the image reaches the corners of the sensor."""
    camera, train = document["camera"], document["train"]
    if "sensor_width_mm" not in camera:
        return []
    diagonal = hypot(camera["sensor_width_mm"], camera["sensor_height_mm"])
    notes: list[Remark] = []
    powered = [element for element in train if element["element"] != "spacer"]
    lens = powered[0]
    if len(powered) == 1 and "image_circle_mm" in lens and not lens.get("reversed"):
        grown = 1 + set_up.magnification / lens.get("pupil_magnification", 1.0)
        notes += lens_remarks.corners(lens["image_circle_mm"] * grown, diagonal)
    for element in powered:
        if "field_number_mm" in element:
            notes += lens_remarks.objective_field(
                element["field_number_mm"], element["magnification"], set_up.magnification, diagonal
            )
    return notes


def cautions_on(document: Mapping[str, Any], set_up: SetUp) -> list[cautions.Caution]:
    """Cautions that apply to this set-up, people first."""
    notes = cautions.near_glass(set_up.clearance_mm, document.get("subject_depth_mm"))
    if set_up.focus_error_mm is not None and abs(set_up.focus_error_mm) > FOCUS_CAUTION_MM:
        notes.append(cautions.FOCUS_ERROR.note(error=abs(set_up.focus_error_mm)))
    return cautions.in_order(notes + cautions.for_train(document["train"]))


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
        "target. Results that the document does not determine are null, and a remark names the missing datum."
    ),
    answer=answer,
    answer_schema=SetUpAnswer(),
    request_schema=SetUpRequest(),
    by_query="document",
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
