"""`/v1/lens-estimate`."""

from __future__ import annotations

from math import isfinite
from typing import TYPE_CHECKING, Literal, cast

import numpy as np
from msgspec.structs import replace

from closeup_service.advice import cautions
from closeup_service.advice.measuring_texts import WITH_RULE, way_with_frame
from closeup_service.estimates.ensemble import Ensemble
from closeup_service.estimates.joint import draw_together
from closeup_service.estimates.known_lens import KnownLens
from closeup_service.estimates.lens_members import read_known_lens, stated_data
from closeup_service.estimates.next_measurements import NextMeasurement, find_next
from closeup_service.estimates.ranges import COVERAGE, Range, weighted_ranges
from closeup_service.estimates.standing_lens import DISTANCES, MAGNIFICATION, Standing, list_data
from closeup_service.language import tr
from closeup_service.operations.estimating import telling
from closeup_service.operations.estimating.figures import MOST_MISSING
from closeup_service.operations.measure.lens_estimate.examples import EXAMPLES
from closeup_service.operations.measure.lens_estimate.schemas import LensEstimateAnswer, LensEstimateRequest
from closeup_service.operations.operation import Example, Operation
from closeup_service.optics.errors import FocusedAtInfinity

if TYPE_CHECKING:
    from closeup_service.records import answers, requests

USUAL_CAMERA_REGISTER_MM = 44.0
STATED: Literal["stated"] = "stated"


def answer(asked: requests.LensEstimateRequest) -> answers.LensEstimateAnswer:
    """What is known of one lens, the figure that matters, and what to measure next."""
    turned = asked.get("mounting", "reversed") == "reversed"
    lens = known_lens(asked, turned=turned)
    standing = standing_of(asked, lens, turned=turned)
    refuse_no_extension(standing, lens)
    joint = draw_together([lens])
    ensemble = joint.drawn[lens].ensemble
    figure, untold = find_figure(ensemble, standing)
    is_open = not isfinite(figure.low + figure.high)
    ranked = replace(standing, figure=MAGNIFICATION) if is_open else standing
    return {
        "lens_class": lens.family.name,
        "members": ensemble.size,
        "designs": lens.designs,
        "coverage": COVERAGE,
        "lens": cast("answers.KnownData", tell_data(ensemble)),
        "figure": tell_figure(standing.figure, figure, untold=untold),
        "narrows": ranked.figure,
        "next_measurements": tell_next(ensemble, ranked),
        "assumed": list_assumed(asked, lens, standing),
        "remarks": telling.remarks_on([lens], joint, [standing.figure] if untold else []),
        "cautions": cautions.sort_cautions(cautions.mounting_cautions("reversed" if turned else "normal")),
    }


def known_lens(asked: requests.LensEstimateRequest, *, turned: bool) -> KnownLens:
    """Lens of a request; one on its mount without a register is taken to be made for the camera."""
    register = asked.get("lens_register_mm")
    if register is None and not turned and "lens_class" not in asked:
        register = asked.get("camera_register_mm")
    return read_known_lens(asked, asked["focal_length_mm"], register, stated_data(asked))


def standing_of(asked: requests.LensEstimateRequest, lens: KnownLens, *, turned: bool) -> Standing:
    """How the lens is to stand, and the figure that matters."""
    return Standing(
        reversed=turned,
        camera_register_mm=asked.get("camera_register_mm", USUAL_CAMERA_REGISTER_MM if turned else lens.flange_mm),
        extension_mm=asked.get("extension_mm", 0.0),
        figure=asked.get("figure", MAGNIFICATION),
        f_number=asked.get("f_number"),
    )


def refuse_no_extension(standing: Standing, lens: KnownLens) -> None:
    """Refuse a lens on its mount that nothing carries out of infinity focus."""
    if not standing.reversed and standing.net_extension(lens.flange_mm) <= 0:
        raise FocusedAtInfinity(
            tr(
                "On its own mount at the infinity stop the lens has no near subject: give extension_mm, or turn it "
                "round.",
            ),
            "extension_mm",
        )


def find_figure(ensemble: Ensemble, standing: Standing) -> tuple[Range, bool]:
    """Range of the figure that matters, and whether no single figure should be told."""
    magnifications = standing.magnification(ensemble)
    [magnification] = weighted_ranges(magnifications[None], ensemble.weights)
    figure = standing.find_range(ensemble)
    without_subject = float(ensemble.weights[magnifications <= 0].sum())
    impossible = standing.figure in DISTANCES and without_subject > MOST_MISSING
    known = {standing.figure: figure, MAGNIFICATION: magnification}
    return figure, standing.figure in telling.untold_figures(known, [ensemble.lens], impossible=impossible)


def tell_figure(name: str, figure: Range, *, untold: bool) -> answers.EstimatedFigure:
    """The figure that matters; an end that it has not is null."""
    return {
        "name": name,
        "value": None if untold else figure.value,
        "low": figure.low if isfinite(figure.low) else None,
        "high": figure.high if isfinite(figure.high) else None,
    }


def tell_data(ensemble: Ensemble) -> dict[str, answers.LensDatum]:
    """Everything that is known of the lens itself."""
    data = list_data(ensemble)
    ranges = weighted_ranges(np.array(list(data.values())), ensemble.weights)
    based = telling.source_of(ensemble.lens)
    return {
        name: {
            "value": each.value,
            "low": each.low,
            "high": each.high,
            "based_on": STATED if each.is_sharp else based,
        }
        for name, each in zip(data, ranges, strict=True)
    }


def tell_next(ensemble: Ensemble, standing: Standing) -> list[answers.NextMeasurement]:
    """What to measure next, best first."""
    now = standing.find_range(ensemble)
    found = sorted(find_next(ensemble, standing), key=lambda each: each.width)
    return [tell_measurement(each, now.high - now.low) for each in found]


def tell_measurement(found: NextMeasurement, width: float) -> answers.NextMeasurement:
    """One measurement, in words; `width` is the present one of the figure's range."""
    stands, is_open = found.standing, not isfinite(found.width)
    if stands is None:
        way = WITH_RULE[found.kind]
    else:
        way = way_with_frame(turned=stands.reversed, register=stands.camera_register_mm, extension=stands.extension_mm)
    told: answers.NextMeasurement = {
        "kind": found.kind,
        "members": [*way.members],
        "how": tr(way.words),
        "minutes": way.minutes,
        "expected_width": None if is_open else found.width,
        "remaining_share": 1.0 if is_open else min(found.width / width, 1.0),
    }
    if stands is not None:
        told["mounting"] = "reversed" if stands.reversed else "normal"
        told["extension_mm"] = stands.extension_mm
        told["camera_register_mm"] = stands.camera_register_mm
    return told


def list_assumed(asked: requests.LensEstimateRequest, lens: KnownLens, standing: Standing) -> dict[str, float | str]:
    """What was taken because it was not given."""
    taken: dict[str, float | str] = {
        "lens_class": lens.family.name,
        "lens_register_mm": lens.flange_mm,
        "widest_f_number": lens.f_number,
        "mounting": "reversed" if standing.reversed else "normal",
        "camera_register_mm": standing.camera_register_mm,
        "extension_mm": standing.extension_mm,
        "figure": standing.figure,
    }
    return {name: value for name, value in taken.items() if name not in asked}


OPERATION = Operation(
    operation_id="estimateLens",
    path="/v1/lens-estimate",
    tag="measure",
    summary="What is known of a lens by its engravings, and what to measure next",
    description=(
        "Each datum of the lens with its range over published designs of its class, narrowed by what was measured of it; the "
        "figure of the set-up that matters, with its range; and next_measurements, best first, each with how it is done and "
        "how far the range of that figure can be expected to shrink. That share is worked out from the designs: for nine of "
        "them, spread evenly, the reading that such a lens would give is taken, and the median of the resulting widths counts. "
        "Without a set-up the lens stands reversed on a camera of register 44 mm without rings. Two readings that cannot be "
        "of one lens are refused with both figures. Published designs are not the lens in the hand."
    ),
    answer=answer,
    answer_type=LensEstimateAnswer,
    request_type=LensEstimateRequest,
    examples=tuple(Example(*each) for each in EXAMPLES),
)
