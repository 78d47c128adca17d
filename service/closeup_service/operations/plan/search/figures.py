"""`/v1/set-ups/search`: figures of a set-up that is listed, known or estimated."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import TYPE_CHECKING, TypedDict, cast

import numpy as np
from msgspec import Struct

from closeup_service.operations.estimating.figures import list_figures
from closeup_service.operations.set_up.evaluate.estimated import estimate_of, tell_estimated
from closeup_service.operations.set_up.evaluate.operation import answer_plain, diffraction_of, rail_figures
from closeup_service.optics.errors import OpticsError
from closeup_service.set_ups.set_up import evaluate

if TYPE_CHECKING:
    from closeup_service.operations.estimating.set_up import Estimated
    from closeup_service.records import answers, requests
    from closeup_service.set_ups.set_up import SetUp

    class Ranged(TypedDict, total=False):
        """What is told of a set-up with estimated lenses alone."""

        coverage: float
        estimated: Mapping[str, answers.EstimatedDatum]
        ranges: Mapping[str, answers.Range]
        chance: float


class HitFigures(TypedDict):
    """Figures of a set-up that is listed."""

    magnification: float | None
    subject_width_mm: float | None
    subject_height_mm: float | None
    working_distance_mm: float | None
    clearance_mm: float | None
    rig_length_mm: float | None
    effective_f_number: float | None
    light_loss_stops: float | None
    subject_resolution_um: float | None
    total_mm: float | None
    stack_frames: int | None


WITHIN = {"subject_resolution_um": "diffraction", "total_mm": "depth_of_field"}
"""Object of the answer of evaluate that holds a figure; the others stand in the answer itself."""

IN_EVALUATE = {name: f"{WITHIN[name]}.{name}" if name in WITHIN else name for name in HitFigures.__annotations__}
"""Dotted name in the answer of evaluate of each figure."""


class Figures(Struct, frozen=True):
    """Figures of a set-up, and what is told beside them where its lenses are estimated."""

    values: HitFigures
    ranged: Ranged

    @property
    def least_clearance_mm(self) -> float | None:
        """Clearance of the lens that leaves least of it."""
        return find_least_clearance(self.values, self.ranged)

    @property
    def has_magnification(self) -> bool:
        """Whether the magnification is told."""
        return tells_magnification(self.values)


def find_least_clearance(values: HitFigures, ranged: Ranged) -> float | None:
    """Clearance, or the lower end of its range [mm]."""
    ends = ranged["ranges"].get("clearance_mm") if "ranges" in ranged else None
    return values["clearance_mm"] if ends is None else read_low_end(ends)


def read_low_end(ends: answers.Range) -> float:
    """Lower end of a range."""
    return ends["low"]


def tells_magnification(values: HitFigures) -> bool:
    """Whether the magnification is told."""
    return values["magnification"] is not None


def known_figures(document: requests.FrameSetUp) -> Figures:
    """Figures of a set-up of which all is known, or assumed."""
    set_up = evaluate(document)
    depth = set_up.depth
    total = math.nan if depth is None else depth.total
    values: HitFigures = {
        "magnification": set_up.magnification,
        "subject_width_mm": set_up.subject_width_mm,
        "subject_height_mm": set_up.subject_height_mm,
        "working_distance_mm": set_up.working_distance_mm,
        "clearance_mm": set_up.clearance_mm,
        "rig_length_mm": set_up.rig_length_mm,
        "effective_f_number": set_up.effective_f_number,
        "light_loss_stops": set_up.light_loss_stops,
        "subject_resolution_um": resolution_of(set_up),
        "total_mm": total if math.isfinite(total) else None,
        "stack_frames": rail_figures(depth, document.get("subject_depth_mm"))[0],
    }
    return Figures(values, {})


def resolution_of(set_up: SetUp) -> float | None:
    """Finest detail that diffraction leaves on the subject [um]."""
    found: answers.DiffractionMembers = diffraction_of(set_up)
    return found["subject_resolution_um"]


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
        return take_figures(tell_estimated(asked, estimated, answer_plain).answer, chance)
    except OpticsError:
        return Figures(known_figures(in_the_middle).values, {"chance": chance})


def take_figures(told: answers.SetUpAnswer, chance: float) -> Figures:
    """Figures of an answer of evaluate, under the names that they have in a hit."""
    known = dict(list_figures(told))
    values = cast("HitFigures", {name: known.get(place) for name, place in IN_EVALUATE.items()})
    ranges = {name: told["ranges"][place] for name, place in IN_EVALUATE.items() if place in told["ranges"]}
    return Figures(
        values, {"coverage": told["coverage"], "estimated": told["estimated"], "ranges": ranges, "chance": chance}
    )


def share_that_fills(estimated: Estimated, magnification: float, tolerance: float) -> float:
    """Share of the lenses with which the set-up, as it stands, fills the frame within the tolerance."""
    with np.errstate(all="ignore"):
        off = np.abs(magnification / estimated.result("magnification") - 1)
    fills = estimated.possible & (off <= tolerance)
    return min(float(estimated.joint.weights[fills].sum()), 1.0)
