"""`/v1/effective-f-number`."""

from collections.abc import Mapping
from typing import Any

from closeup_service.advice import cautions, lens_remarks
from closeup_service.advice.remark import Remark
from closeup_service.operations.operation import Example, Operation
from closeup_service.operations.set_up.effective_f_number.schemas import EffectiveFNumberAnswer, EffectiveFNumberRequest
from closeup_service.optics import formulas
from closeup_service.optics.aperture import refuse_wide
from closeup_service.optics.arithmetic import POINT
from closeup_service.worked.lens import effective_f_number_steps

STOP_DECIMALS = 12
USUAL_LENS: Mapping[str, Any] = {"mounting": "normal", "pupil_magnification": 1.0}
"""What is assumed of one lens."""


def answer(asked: Mapping[str, Any]) -> dict[str, Any]:
    """Effective f-number and the light it costs."""
    assumed = mounting_and_pupils(asked)
    mounting = asked.get("mounting", "normal")
    effective = effective_f_number(asked)
    return {
        "effective_f_number": effective,
        "light_loss_stops": stops(formulas.light_loss_stops(effective, asked["f_number"], POINT)),
        "exposure_factor": formulas.exposure_factor(effective, asked["f_number"]),
        "numerical_aperture": formulas.numerical_aperture(asked["magnification"], effective),
        "assumed": assumed,
        "remarks": pupil_remarks(asked, effective),
        "cautions": cautions.in_order(cautions.for_mounting(mounting)),
    }


def stops(value: float) -> float:
    """Return stops without the trace that rounding leaves of none at all."""
    return round(value, STOP_DECIMALS) + 0.0


def mounting_and_pupils(asked: Mapping[str, Any]) -> dict[str, Any]:
    """What is assumed of the lens where it is not given."""
    return {name: value for name, value in USUAL_LENS.items() if name not in asked}


def as_mounted(asked: Mapping[str, Any]) -> tuple[float, float]:
    """f-number and pupil magnification of the lens as it stands."""
    return formulas.marked_as_mounted(
        asked["f_number"], asked.get("pupil_magnification", 1.0), asked.get("mounting") == "reversed"
    )


def effective_f_number(asked: Mapping[str, Any]) -> float:
    """Effective f-number; refused where air admits none so small, on either side."""
    f_number, pupil_magnification = as_mounted(asked)
    m = asked["magnification"]
    effective: float = formulas.effective_f_number(f_number, m, pupil_magnification)
    refuse_wide(effective, m, "Use a larger f_number.", "/f_number", "/magnification", "/pupil_magnification")
    return effective


def pupil_remarks(asked: Mapping[str, Any], effective: float) -> list[Remark]:
    """What the pupils change here, or that they were assumed."""
    return lens_remarks.pupils(
        asked["f_number"],
        asked["magnification"],
        effective,
        "pupil_magnification" in asked,
        asked.get("mounting", "normal"),
    )


OPERATION = Operation(
    operation_id="findEffectiveFNumber",
    path="/v1/effective-f-number",
    tag="set up",
    summary="What the marked aperture really is at this magnification",
    description=(
        "N_eff = N (1 + m/p) for a normal lens and N (m + 1/p) for a reversed one, with p the pupil magnification of the lens "
        "mounted normally. light_loss_stops and exposure_factor count against the marked f-number."
    ),
    answer=answer,
    answer_schema=EffectiveFNumberAnswer(),
    request_schema=EffectiveFNumberRequest(),
    steps=effective_f_number_steps,
    examples=(
        Example(
            "reversed-wide",
            "A reversed 35 mm lens marked f/8 at 1.5:1 (invented kit)",
            {"mounting": "reversed", "f_number": 8, "magnification": 1.5, "pupil_magnification": 1.3},
        ),
    ),
)
