"""`/v1/optimum-aperture`."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any, Literal, TypedDict, TypeVar, cast

import numpy as np

from closeup_service.advice import cautions, sharpness_remarks
from closeup_service.advice.remark import Remark, undetermined_results
from closeup_service.estimates.joint import FEW_DRAWS
from closeup_service.operations.one_lens import (
    effective_f_number,
    effective_per_mark,
    inverse_pupil_distance,
    mounting_and_pupils,
)
from closeup_service.operations.operation import Example, Operation
from closeup_service.operations.set_up.optimum_aperture.cover import cover_members
from closeup_service.operations.set_up.optimum_aperture.schemas import (
    RING_ENDS,
    OptimumApertureAnswer,
    OptimumApertureRequest,
    ends_of,
)
from closeup_service.optics.aperture_series import Mark, list_marks, marks_of_ring, nearest_mark
from closeup_service.optics.arithmetic import POINT
from closeup_service.optics.diffraction import end_defocus, optimum_effective_f_number
from closeup_service.optics.sharpness import Criterion
from closeup_service.set_ups.criterion import criterion_of
from closeup_service.worked.sharpness import optimum_aperture_steps

if TYPE_CHECKING:
    from closeup_service.records import answers, requests

SERIES: Literal["third"] = "third"
Row = TypeVar("Row", bound=Mapping[str, Any])
"""One mark with the contrast at the ends of the depth, here or in a chart."""


class Best(TypedDict, total=False):
    """The best mark, where there is one."""

    best: answers.ApertureContrast


def answer(asked: requests.OptimumApertureRequest) -> answers.OptimumApertureAnswer:
    """Best aperture by the closed form, and the ring's best for the detail by the wave sums."""
    assumed = mounting_and_pupils(asked)
    criterion = criterion_of(cast("requests.SharpnessFields", asked), "contrast", assumed)
    marks = marks_of(asked, assumed)
    m, per_mark = asked["magnification"], effective_per_mark(asked, asked["magnification"])
    refuse_impossible(asked, marks)
    best_effective = optimum_effective_f_number(asked["subject_depth_mm"], m, criterion.wavelength_nm, POINT)
    detail = criterion.frequency(m)
    rows = [] if detail is None else curve(asked, criterion, marks, detail)
    best = best_of(rows)
    advice = advice_for(rows, best, criterion) if rows else None
    found: Best = {} if best is None else {"best": best}
    covered, notes = cover_members(asked, criterion, marks, assumed)
    return {
        "effective_f_number": best_effective,
        "f_number": best_effective / per_mark,
        "nominal_f_number": nearest_mark(marks, best_effective / per_mark).nominal,
        **covered,
        "sensor_detail_lp_per_mm": detail,
        **found,
        "curve": rows,
        "advice": advice,
        "assumed": assumed,
        "remarks": remarks_on(criterion, marks, best_effective / per_mark, rows, advice) + notes,
        "cautions": cautions.sort_cautions(
            cautions.one_lens_cautions(asked.get("mounting", "normal"), asked.get("wavelength_nm"))
        ),
    }


def marks_of(asked: requests.RingFields, assumed: dict[str, float | str]) -> tuple[Mark, ...]:
    """Marks of the lens's own ring."""
    if "f_numbers" in asked:
        return list_marks(asked["f_numbers"])
    defaults: dict[str, float | str] = {"aperture_series": SERIES, **RING_ENDS}
    assumed |= {name: value for name, value in defaults.items() if name not in asked}
    ends = ends_of(asked)
    return marks_of_ring(asked.get("aperture_series", SERIES), *ends) or list_marks(ends)


def refuse_impossible(asked: requests.OptimumApertureRequest, marks: tuple[Mark, ...]) -> None:
    """Refuse a ring whose widest mark air does not admit here."""
    effective_f_number(asked, marks[0].exact, asked["magnification"])


def curve(
    asked: requests.OptimumApertureRequest, criterion: Criterion, marks: tuple[Mark, ...], detail: float
) -> list[answers.ApertureContrast]:
    """Contrast of the detail in the middle and at the ends of the depth, one row a mark."""
    m = asked["magnification"]
    effective = np.array([mark.exact for mark in marks]) * effective_per_mark(asked, m)
    inverse = inverse_pupil_distance(asked, asked.get("focal_length_mm"), m)
    defocus = end_defocus(asked["subject_depth_mm"], m, inverse)
    middle = np.asarray(criterion.contrast_at(detail, 0.0, effective))
    ends, resolved = map(np.asarray, criterion.contrast_at_ends(detail, defocus, effective))
    return [
        {
            "nominal_f_number": mark.nominal,
            "f_number": mark.exact,
            "effective_f_number": float(n),
            "middle_contrast": float(at_middle),
            "end_contrast": float(at_ends),
            "ends_resolved": bool(still_there),
        }
        for mark, n, at_middle, at_ends, still_there in zip(marks, effective, middle, ends, resolved, strict=True)
    ]


def best_of(rows: Sequence[Row]) -> Row | None:
    """Mark that leaves the most contrast at the ends, of those where the detail is still there; None where it nowhere is."""
    return max((row for row in rows if row["ends_resolved"]), key=lambda row: row["end_contrast"], default=None)


def advice_for(
    rows: Sequence[answers.ApertureContrast], best: answers.ApertureContrast | None, criterion: Criterion
) -> str:
    """One frame where the best mark reaches the contrast asked for; a stack where the plane of focus does; else neither."""
    if best is not None and best["end_contrast"] >= criterion.contrast:
        return "one-frame"
    return "stack" if most_in_focus(rows) >= criterion.contrast else "coarser-detail"


def most_in_focus(rows: Sequence[answers.ApertureContrast]) -> float:
    """Greatest contrast of the detail in the plane of focus."""
    return max(row["middle_contrast"] for row in rows)


def remarks_on(
    criterion: Criterion,
    marks: tuple[Mark, ...],
    f_number: float,
    rows: Sequence[answers.ApertureContrast],
    advice: str | None,
) -> list[Remark]:
    """What limits the choice."""
    notes = []
    if not marks[0].exact <= f_number <= marks[-1].exact:
        notes.append(sharpness_remarks.aperture_beyond_ring(f_number, marks[0].nominal, marks[-1].nominal))
    if not rows:
        return notes + undetermined_results(dict.fromkeys(("best", "advice"), ("/sensor_detail_lp_per_mm",)))
    if advice == "stack":
        ends = max((row["end_contrast"] for row in rows if row["ends_resolved"]), default=0.0)
        notes.append(sharpness_remarks.stack_as_alternative(ends, criterion.contrast))
    if advice == "coarser-detail":
        notes.append(sharpness_remarks.unresolved_detail(most_in_focus(rows), criterion.contrast))
    return notes


OPERATION = Operation(
    operation_id="findOptimumAperture",
    path="/v1/optimum-aperture",
    tag="set up",
    summary="Which aperture to set for a subject this deep",
    description=(
        "Closed form: N_eff = m sqrt(T / (4.87868 lambda)), where defocus and diffraction blur alike at both ends of the depth "
        "T. With a detail: the mark of the ring that leaves it the most contrast at the ends, by diffraction and defocus "
        "together, and whether one frame reaches the contrast asked for. For fine detail that is wider open than the form. "
        "With the blur that is accepted, or a sensor: the mark whose depth of field, by a named model, is the subject's depth."
    ),
    answer=answer,
    answer_type=OptimumApertureAnswer,
    request_type=OptimumApertureRequest,
    most_members=FEW_DRAWS,
    steps=optimum_aperture_steps,
    examples=(
        Example(
            "lichen-cup",
            "A lichen cup 2 mm deep at 1:1, detail of 20 line pairs per mm (invented kit)",
            {
                "mounting": "reversed",
                "magnification": 1,
                "pupil_magnification": 1.3,
                "subject_depth_mm": 2,
                "subject_detail_lp_per_mm": 20,
                "contrast": 0.2,
                "aperture_series": "half",
                "greatest_f_number": 16,
            },
        ),
    ),
)
