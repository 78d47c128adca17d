"""How much room a set-up leaves before its front: working distance, what stands out, and what remains."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from closeup_service.language import mark, tr
from closeup_service.optics import formulas
from closeup_service.optics.arithmetic import Arithmetic, R
from closeup_service.optics.errors import SubjectInsideLens
from closeup_service.optics.parts import Part
from closeup_service.optics.train import Trace
from closeup_service.set_ups.criterion import Assumed

if TYPE_CHECKING:
    from closeup_service.records import requests

ROOM = {
    "spacer": mark("Shorten what stands before the lens, or use less magnification."),
    "lens": mark("Use less magnification, a longer focal length, or turn the lens round."),
}


def working_distance_of(traced: Trace[R], front: requests.Element[R], arithmetic: Arithmetic[R]) -> R | None:
    """Front face to subject, mm; refused when the subject would lie inside.

    Returns
    -------
    float or array or None, mm

    Raises
    ------
    SubjectInsideLens
        Where the subject would lie inside.
    """
    if traced.front_to_plane is None:
        return None
    distance = formulas.working_distance(traced.subject_distance, traced.front_to_plane)
    advice = tr(ROOM.get(front["element"], mark("Use less magnification.")))
    arithmetic.refuse(
        distance <= 0,
        SubjectInsideLens,
        mark(
            "The subject would have to lie {inside:.4g} mm behind the front of the set-up. {advice}",
        ),
        "/train/0",
        inside=-distance,
        advice=advice,
    )
    return distance


def clearance_of(
    working_distance: R | None,
    train: Sequence[requests.Element[R]],
    parts: Sequence[Part[R]],
    assumed: Assumed[R],
    arithmetic: Arithmetic[R],
) -> R | None:
    """Room left in front of what stands out furthest, mm; negative when that reaches past the subject plane.

    Parameters
    ----------
    working_distance : float or array or None, mm

    Returns
    -------
    float or array or None, mm
    """
    if working_distance is None:
        return None
    if train[0]["element"] == "lens" and train[0].get("front_protrusion_mm") is None:
        assumed["/train/0/front_protrusion_mm"] = 0.0
    return room_before(working_distance, protrusion_of(train, parts, arithmetic))


def room_before(working_distance: R, reach: R) -> R:
    """Room left before what reaches so far before the front of the train [mm].

    Parameters
    ----------
    working_distance, reach : float or array, mm
    """
    return working_distance - reach


def protrusion_of(train: Sequence[requests.Element[R]], parts: Sequence[Part[R]], arithmetic: Arithmetic[R]) -> R:
    """How far what stands out furthest reaches before the front of the train, mm.

    Returns
    -------
    float or array, mm
    """
    reach: R = 0.0
    before: R = 0.0
    for element, part in zip(train, parts, strict=True):
        protrusion = element.get("front_protrusion_mm") if element["element"] == "lens" else None
        if protrusion is not None:
            reach = arithmetic.where(protrusion - before > reach, protrusion - before, reach)
        if part.length is None:
            break
        before = before + part.length
    return reach
