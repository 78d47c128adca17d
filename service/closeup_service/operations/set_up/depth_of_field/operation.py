"""`/v1/depth-of-field`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closeup_service.advice import cautions, sharpness_remarks
from closeup_service.estimates.joint import FEW_DRAWS
from closeup_service.operations.one_lens import (
    effective_f_number,
    inverse_pupil_distance,
    mounting_and_pupils,
    pupil_remarks,
)
from closeup_service.operations.operation import Example, Operation
from closeup_service.operations.set_up.depth_of_field.depth import depth_members
from closeup_service.operations.set_up.depth_of_field.schemas import DepthOfFieldAnswer, DepthOfFieldRequest
from closeup_service.optics.arithmetic import POINT
from closeup_service.optics.depth import depth_limits
from closeup_service.set_ups.criterion import criterion_of
from closeup_service.worked.sharpness import depth_of_field_steps

if TYPE_CHECKING:
    from closeup_service.records import answers, requests


def answer(asked: requests.DepthOfFieldRequest) -> answers.DepthOfFieldAnswer:
    """Depth of field and of focus by the model asked for."""
    assumed = mounting_and_pupils(asked)
    criterion = criterion_of(asked, asked.get("model"), assumed)
    f_number, m = asked["f_number"], asked["magnification"]
    effective = effective_f_number(asked, f_number, m)
    inverse = inverse_pupil_distance(asked, asked.get("focal_length_mm"), m)
    half_depth = criterion.half_depth(effective, m, POINT)
    assert half_depth is not None
    depth = depth_limits(half_depth, m, inverse, POINT)
    notes = [] if "focal_length_mm" in asked else [sharpness_remarks.symmetric_depth()]
    notes += pupil_remarks(asked, f_number, m, effective) + sharpness_remarks.sharpness(criterion, effective, m)
    return {
        **depth_members(depth, criterion.model),
        "effective_f_number": effective,
        "circle_of_confusion_mm": criterion.blur_mm,
        "assumed": assumed,
        "remarks": notes,
        "cautions": cautions.sort_cautions(
            cautions.one_lens_cautions(asked.get("mounting", "normal"), asked.get("wavelength_nm"))
        ),
    }


OPERATION = Operation(
    operation_id="findDepthOfField",
    path="/v1/depth-of-field",
    tag="set up",
    summary="What is sharp before and behind the subject plane, by a named model",
    description=(
        "Models: geometric (half depth c N_eff / m^2), wave (2 lambda N_eff^2 / m^2, a quarter wave of defocus), combined "
        "(their sum, assumed), contrast (as far as a detail keeps a contrast, by diffraction and defocus together). Near and "
        "far limits follow exactly from the pupil's position when focal_length_mm is given; else they are symmetric."
    ),
    answer=answer,
    answer_type=DepthOfFieldAnswer,
    request_type=DepthOfFieldRequest,
    most_members=FEW_DRAWS,
    steps=depth_of_field_steps,
    examples=(
        Example(
            "lichen-at-two-to-one",
            "A lichen at 2:1, reversed 35 mm lens marked f/5.6 (invented kit)",
            {
                "mounting": "reversed",
                "focal_length_mm": 35,
                "f_number": 5.6,
                "pupil_magnification": 1.3,
                "magnification": 2,
                "sensor": "23.5x15.6",
            },
        ),
    ),
)
