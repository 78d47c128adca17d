"""What the operations on one lens share: how it is mounted, its pupils, its effective f-number."""

from collections.abc import Mapping
from typing import Any

from closeup_service.advice import lens_remarks
from closeup_service.advice.remark import Remark
from closeup_service.optics import formulas
from closeup_service.optics.aperture import refuse_wide
from closeup_service.optics.arithmetic import POINT, Arithmetic, Real

STOP_DECIMALS = 12
USUAL_LENS: Mapping[str, float | str] = {"mounting": "normal", "pupil_magnification": 1.0}
"""What is assumed of one lens."""


def stops(value: float) -> float:
    """Return stops without the trace that rounding leaves of none at all."""
    return float(stops_in(value, POINT))


def stops_in(value: Real, arithmetic: Arithmetic) -> Real:
    """Return the same of one value or of a column."""
    return arithmetic.rounded(value, STOP_DECIMALS) + 0.0


def mounting_and_pupils(asked: Mapping[str, object]) -> dict[str, float | str]:
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
