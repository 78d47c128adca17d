"""`/v1/depth-of-field`."""

from collections.abc import Mapping
from typing import Any

from closeup_service.advice import cautions, remarks
from closeup_service.optics import formulas
from closeup_service.optics.arithmetic import POINT
from closeup_service.optics.depth import geometric_depth
from closeup_service.optics.set_up import WAVELENGTH_NM, default_blur
from closeup_service.schemas.depth_of_field import DepthOfFieldAnswer, DepthOfFieldRequest
from closeup_service.web.operation import Example, Operation
from closeup_service.web.operations.depth import depth_members
from closeup_service.web.operations.effective_f_number import (
    as_mounted,
    effective_f_number,
    mounting_and_pupils,
    pupil_remarks,
)


def answer(asked: Mapping[str, Any]) -> dict[str, Any]:
    """Depth of field and of focus by the model asked for."""
    assumed = mounting_and_pupils(asked)
    if "model" not in asked:
        assumed["model"] = "geometric"
    blur = asked.get("circle_of_confusion_mm")
    if blur is None:
        blur = default_blur(asked["sensor_width_mm"], asked["sensor_height_mm"])
        assumed["circle_of_confusion_mm"] = blur
    wavelength = asked.get("wavelength_nm")
    if wavelength is None:
        wavelength = assumed["wavelength_nm"] = WAVELENGTH_NM
    effective = effective_f_number(asked)
    depth = geometric_depth(effective, asked["magnification"], blur, inverse_pupil_distance(asked), POINT)
    notes = [] if "focal_length_mm" in asked else [remarks.symmetric_depth()]
    airy = formulas.airy_diameter_um(effective, wavelength)
    return {
        **depth_members(depth, asked.get("model", "geometric")),
        "effective_f_number": effective,
        "circle_of_confusion_mm": blur,
        "assumed": assumed,
        "remarks": notes + pupil_remarks(asked, effective) + remarks.diffraction_fills_blur(airy, blur),
        "cautions": cautions.in_order(cautions.for_mounting(asked.get("mounting", "normal"))),
    }


def inverse_pupil_distance(asked: Mapping[str, Any]) -> float:
    """1/z from the subject to the entrance pupil; 0, which gives the symmetric depth, without a focal length."""
    if "focal_length_mm" not in asked:
        return 0.0
    _, pupil_magnification = as_mounted(asked)
    inverse: float = formulas.inverse_entrance_pupil_distance(
        asked["focal_length_mm"], asked["magnification"], pupil_magnification
    )
    return inverse


OPERATION = Operation(
    operation_id="findDepthOfField",
    path="/v1/depth-of-field",
    tag="set up",
    summary="What is sharp before and behind the subject plane, by a named model",
    description=(
        "Geometric blur: exact near and far limits for the pupil position when focal_length_mm is given, else the symmetric "
        "c N_eff / m^2 to either side. Give the blur criterion, or the sensor to assume its diagonal / 1500."
    ),
    answer=answer,
    answer_schema=DepthOfFieldAnswer(),
    request_schema=DepthOfFieldRequest(),
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
