"""`/v1/effective-f-number`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closeup_service.advice import cautions
from closeup_service.operations.one_lens import effective_f_number, mounting_and_pupils, pupil_remarks, stops
from closeup_service.operations.operation import Example, Operation
from closeup_service.operations.set_up.effective_f_number.schemas import EffectiveFNumberAnswer, EffectiveFNumberRequest
from closeup_service.optics import formulas
from closeup_service.optics.arithmetic import POINT
from closeup_service.worked.lens import effective_f_number_steps

if TYPE_CHECKING:
    from closeup_service.records import answers, requests


def answer(asked: requests.EffectiveFNumberRequest) -> answers.EffectiveFNumberAnswer:
    """Effective f-number and the light it costs."""
    assumed = mounting_and_pupils(asked)
    mounting = asked.get("mounting", "normal")
    effective = effective_f_number(asked, asked["f_number"], asked["magnification"])
    return {
        "effective_f_number": effective,
        "light_loss_stops": stops(formulas.light_loss_stops(effective, asked["f_number"], POINT)),
        "exposure_factor": formulas.exposure_factor(effective, asked["f_number"]),
        "numerical_aperture": formulas.numerical_aperture(asked["magnification"], effective),
        "assumed": assumed,
        "remarks": pupil_remarks(asked, asked["f_number"], asked["magnification"], effective),
        "cautions": cautions.sort_cautions(cautions.mounting_cautions(mounting)),
    }


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
    answer_type=EffectiveFNumberAnswer,
    request_type=EffectiveFNumberRequest,
    steps=effective_f_number_steps,
    examples=(
        Example(
            "reversed-wide",
            "A reversed 35 mm lens marked f/8 at 1.5:1 (invented kit)",
            {"mounting": "reversed", "f_number": 8, "magnification": 1.5, "pupil_magnification": 1.3},
        ),
    ),
)
