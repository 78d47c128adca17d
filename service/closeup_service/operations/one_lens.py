"""What the operations on one lens share: how it is mounted, its pupils, its effective f-number."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from closeup_service.advice import lens_remarks
from closeup_service.advice.remark import Remark
from closeup_service.language import tr
from closeup_service.optics import formulas
from closeup_service.optics.arithmetic import POINT, Arithmetic, R
from closeup_service.optics.formulas import refuse_wide

if TYPE_CHECKING:
    from closeup_service.records import requests

    class MountedLens(requests.MountingField, total=False):
        """Which way round a lens stands, and its pupils."""

        pupil_magnification: float


STOP_DECIMALS = 12
USUAL_LENS: Mapping[str, float | str] = {"mounting": "normal", "pupil_magnification": 1.0}
"""What is assumed of one lens."""


def stops(value: float) -> float:
    """Return stops without the trace that rounding leaves of none at all."""
    return float(stops_in(value, POINT))


def stops_in(value: R, arithmetic: Arithmetic[R]) -> R:
    """Return the same of one value or of a column."""
    return arithmetic.rounded(value, STOP_DECIMALS) + 0.0


def mounting_and_pupils(asked: Mapping[str, object]) -> dict[str, float | str]:
    """What is assumed of the lens where it is not given."""
    return {name: value for name, value in USUAL_LENS.items() if name not in asked}


def as_mounted(lens: MountedLens, f_number: float) -> tuple[float, float]:
    """f-number and pupil magnification of the lens as it stands."""
    return formulas.marked_as_mounted(
        f_number, lens.get("pupil_magnification", 1.0), lens.get("mounting") == "reversed"
    )


def effective_per_mark(lens: MountedLens, magnification: float) -> float:
    """Effective f-number of the lens as it stands, for a marked f-number of 1."""
    return effective_at_mark(lens, 1.0, magnification)


def effective_at_mark(lens: MountedLens, f_number: float, magnification: float) -> float:
    """Effective f-number of the lens as it is mounted, for a marked f-number."""
    turned = lens.get("mounting") == "reversed"
    return formulas.effective_as_mounted(f_number, magnification, lens.get("pupil_magnification", 1.0), turned)


def effective_f_number(lens: MountedLens, f_number: float, magnification: float) -> float:
    """Effective f-number; refused where air admits none so small, on either side."""
    effective = effective_at_mark(lens, f_number, magnification)
    refuse_wide(
        effective, magnification, tr("Use a larger f_number."), "/f_number", "/magnification", "/pupil_magnification"
    )
    return effective


def inverse_pupil_distance(lens: MountedLens, focal_length_mm: float | None, magnification: float) -> float:
    """1/z from the subject to the entrance pupil; 0, which gives the symmetric depth, without a focal length."""
    if focal_length_mm is None:
        return 0.0
    _, pupil_magnification = as_mounted(lens, 1.0)
    return float(formulas.inverse_entrance_pupil_distance(focal_length_mm, magnification, pupil_magnification))


def pupil_remarks(lens: MountedLens, f_number: float, magnification: float, effective: float) -> list[Remark]:
    """What the pupils change here, or that they were assumed."""
    return lens_remarks.pupils(
        f_number, magnification, effective, "pupil_magnification" in lens, lens.get("mounting", "normal")
    )
