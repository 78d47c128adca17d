"""`/v1/set-ups/search`: figures of a set-up that is listed, known or estimated."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import TYPE_CHECKING, TypedDict, cast

import numpy as np
from msgspec import Struct

from closeup_service.operations.set_up.evaluate.estimated import estimate_of, tell_estimated
from closeup_service.operations.set_up.evaluate.operation import answer_plain, diffraction_of, rail_figures
from closeup_service.optics.errors import OpticsError
from closeup_service.set_ups.set_up import evaluate

if TYPE_CHECKING:
    from closeup_service.operations.estimating.set_up import Estimated
    from closeup_service.records import answers, requests

    class Ranged(TypedDict, total=False):
        """What is told of a set-up with estimated lenses alone."""

        coverage: float
        estimated: Mapping[str, answers.EstimatedDatum]
        ranges: Mapping[str, answers.Range]
        chance: float


IN_EVALUATE: Mapping[str, tuple[str, ...]] = {
    "magnification": ("magnification",),
    "subject_width_mm": ("subject_width_mm",),
    "subject_height_mm": ("subject_height_mm",),
    "working_distance_mm": ("working_distance_mm",),
    "clearance_mm": ("clearance_mm",),
    "rig_length_mm": ("rig_length_mm",),
    "effective_f_number": ("effective_f_number",),
    "light_loss_stops": ("light_loss_stops",),
    "subject_resolution_um": ("diffraction", "subject_resolution_um"),
    "total_mm": ("depth_of_field", "total_mm"),
    "stack_frames": ("stack_frames",),
}
"""Figures that are listed, and where the answer of evaluate holds each."""


class Figures(Struct, frozen=True):
    """Figures of a set-up by name, and what is told beside them where its lenses are estimated."""

    values: Mapping[str, float | None]
    ranged: Ranged

    @property
    def least_clearance_mm(self) -> float | None:
        """Clearance of the lens that leaves least of it."""
        ranges = self.ranged.get("ranges", {})
        return ranges["clearance_mm"]["low"] if "clearance_mm" in ranges else self.values["clearance_mm"]


def known_figures(document: requests.FrameSetUp) -> Figures:
    """Figures of a set-up of which all is known, or assumed."""
    set_up = evaluate(document)
    depth = set_up.depth
    total = math.nan if depth is None else depth.total
    values: dict[str, float | None] = {
        "magnification": set_up.magnification,
        "subject_width_mm": set_up.subject_width_mm,
        "subject_height_mm": set_up.subject_height_mm,
        "working_distance_mm": set_up.working_distance_mm,
        "clearance_mm": set_up.clearance_mm,
        "rig_length_mm": set_up.rig_length_mm,
        "effective_f_number": set_up.effective_f_number,
        "light_loss_stops": set_up.light_loss_stops,
        "subject_resolution_um": diffraction_of(set_up)["subject_resolution_um"],
        "total_mm": total if math.isfinite(total) else None,
        "stack_frames": rail_figures(depth, document.get("subject_depth_mm"))[0],
    }
    return Figures(values, {})


def estimated_figures(
    document: requests.FrameSetUp, in_the_middle: requests.FrameSetUp, magnification: float, tolerance: float
) -> Figures:
    """Figures of a set-up with estimated lenses, as evaluate tells them.

    `in_the_middle` is the same set-up with the lenses by which it was found, for the rare case that it stands at the very edge
    of what can be, so that it cannot be evaluated with the others.
    """
    asked = cast("requests.SetUpRequest", document)
    estimated = estimate_of(asked)
    chance = share_that_fills(estimated, magnification, tolerance)
    try:
        told = tell_estimated(asked, estimated, answer_plain)
    except OpticsError:
        return Figures(known_figures(in_the_middle).values, {"chance": chance})
    values = {name: figure_of(told, path) for name, path in IN_EVALUATE.items()}
    ranges = {
        name: told["ranges"][".".join(path)] for name, path in IN_EVALUATE.items() if ".".join(path) in told["ranges"]
    }
    return Figures(
        values,
        {"coverage": told["coverage"], "estimated": told["estimated"], "ranges": ranges, "chance": chance},
    )


def figure_of(told: answers.SetUpAnswer, path: tuple[str, ...]) -> float | None:
    """Figure of an answer of evaluate."""
    found: object = told
    for step in path:
        found = cast("Mapping[str, object]", found)[step]
    return cast("float | None", found)


def share_that_fills(estimated: Estimated, magnification: float, tolerance: float) -> float:
    """Share of the lenses with which the set-up, as it stands, fills the frame within the tolerance."""
    with np.errstate(all="ignore"):
        off = np.abs(magnification / estimated.results["magnification"] - 1)
    fills = estimated.possible & (off <= tolerance)
    return min(float(estimated.joint.weights[fills].sum()), 1.0)
