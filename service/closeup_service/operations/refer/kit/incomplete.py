"""`/v1/kit`: what lenses of a kit lack, what that costs at one set-up, and what to measure first."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from functools import partial
from itertools import islice
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from closeup_service.advice import incomplete_lenses as advice
from closeup_service.advice.estimate_remarks import unexpected_reading
from closeup_service.estimates.ensemble import Ensemble, estimate_lens
from closeup_service.estimates.known_lens import Frame, KnownLens
from closeup_service.estimates.ranges import Range, is_measured_first, weighted_ranges
from closeup_service.estimates.readings import MOST_FRAMES, normal_magnification, reversed_magnification
from closeup_service.gear.errors import KitRefuses
from closeup_service.gear.kit import Camera, Kit
from closeup_service.gear.kit_parts import describe_absent_part
from closeup_service.operations.estimating.kit_lenses import IncompleteLens, list_incomplete
from closeup_service.operations.refer.kit.schemas import MOST_INCOMPLETE
from closeup_service.optics.arithmetic import FloatArray
from closeup_service.optics.errors import Contradiction

if TYPE_CHECKING:
    from closeup_service.advice.remark import Remark
    from closeup_service.records import answers, requests

ASSUMED_MOUNTING, ASSUMED_EXTENSION_MM = "reversed", 0.0
"""How a lens stands where nothing is said: reversed on the camera, without rings."""
SET_UP = {"camera", "mounting", "extension_mm"}
"""Members that ask about a set-up: without them no remark says more than the listing itself, which clients of 1.0.0 skip."""

LEAST_PHOTOGRAPHED, RING_STEP_MM = 0.2, 5.0
"""A ruler is photographed at no less a magnification than this, so that the lens shows it whichever of its class it is."""

WORTH_WHILE = 0.9
"""A measurement that leaves more than this share of a range is not worth while."""


class Stand(Struct, frozen=True):
    """How every lens stands in turn; lengths in mm."""

    camera: Camera
    reversed: bool
    extension_mm: float

    def frame(self, magnification: float) -> Frame:
        """Frame of a ruler taken so."""
        return Frame(magnification, self.reversed, self.extension_mm, self.camera.register_mm)

    def magnifications(self, ensemble: Ensemble) -> FloatArray:
        """Magnification with every lens that one may be."""
        frame = self.frame(1.0)
        calculate = (
            reversed_magnification(frame) if self.reversed else normal_magnification(frame, ensemble.lens.flange_mm)
        )
        return calculate(ensemble.member)

    def range(self, ensemble: Ensemble) -> Range:
        """Range of the magnification."""
        return range_of(self.magnifications(ensemble), ensemble)

    def lengthen(self, ensemble: Ensemble) -> Stand:
        """The same with as many rings as it takes to photograph a ruler, in steps of 5 mm."""
        least = self.range(ensemble).low
        if least >= LEAST_PHOTOGRAPHED:
            return self
        missing = (LEAST_PHOTOGRAPHED - least) * ensemble.lens.focal_length_mm
        return replace(self, extension_mm=self.extension_mm + RING_STEP_MM * math.ceil(missing / RING_STEP_MM))


class Incompleteness(Struct, frozen=True):
    """Lenses of a kit that lack data, what was assumed of the set-up, and what is worth knowing."""

    lenses: list[answers.IncompleteLens]
    assumed: Mapping[str, float | str]
    remarks: list[Remark]


def range_of(column: FloatArray, ensemble: Ensemble) -> Range:
    """Range of a figure over an ensemble."""
    return weighted_ranges(np.asarray(column)[None, :], ensemble.weights)[0]


def tell_incomplete(asked: requests.KitRequest, kit: Kit) -> Incompleteness:
    """Tell of the lenses that lack data; the first so many of many.

    Raises
    ------
    KitRefuses
        Where the kit has no such camera.
    """
    stand = stand_of(asked, kit)
    register = 0.0 if stand is None else stand.camera.register_mm
    found = list(islice(list_incomplete(kit.lenses, register), MOST_INCOMPLETE + 1))
    told: list[answers.IncompleteLens] = [lens_member(each, stand) for each in found[:MOST_INCOMPLETE]]
    if not told:
        return Incompleteness([], {}, [])
    untold = [each["id"] for each in told if each["magnification"] is None] if SET_UP & {*asked} else []
    notes = advice.untold_magnifications_remark(list(dict.fromkeys(untold)))
    if len(found) > MOST_INCOMPLETE:
        notes.append(advice.cut_listing(MOST_INCOMPLETE))
    return Incompleteness(told, assumptions(asked, stand), notes)


def stand_of(asked: requests.KitRequest, kit: Kit) -> Stand | None:
    """How lenses are to stand; None in a kit without cameras."""
    if "camera" in asked and asked["camera"] not in kit.cameras_by_id:
        raise KitRefuses([("/camera", describe_absent_part(asked["camera"], kit.cameras_by_id, "camera"))])
    if not kit.cameras:
        return None
    camera = kit.cameras_by_id[asked["camera"]] if "camera" in asked else kit.cameras[0]
    is_reversed = asked.get("mounting", ASSUMED_MOUNTING) == "reversed"
    return Stand(camera, is_reversed, asked.get("extension_mm", ASSUMED_EXTENSION_MM))


def assumptions(asked: requests.KitRequest, stand: Stand | None) -> dict[str, float | str]:
    """What is assumed of the set-up."""
    if stand is None:
        return {}
    taken: dict[str, float | str] = {
        "camera": stand.camera.id,
        "mounting": ASSUMED_MOUNTING,
        "extension_mm": ASSUMED_EXTENSION_MM,
    }
    return {name: value for name, value in taken.items() if name not in asked}


def lens_member(incomplete: IncompleteLens, stand: Stand | None) -> answers.IncompleteLens:
    """One lens as it is told."""
    told, to_do = cost_of(incomplete, stand)
    return {
        "id": incomplete.lens.id,
        "setting": incomplete.setting.id,
        "missing": list(incomplete.missing),
        "lens_class": incomplete.known.family.name,
        "magnification": None if told is None else told.value,
        "low": None if told is None else told.low,
        "high": None if told is None else told.high,
        "next_measurement": to_do,
    }


def cost_of(incomplete: IncompleteLens, stand: Stand | None) -> tuple[Range | None, str]:
    """Range of the magnification, None where it says nothing, and what to measure first."""
    known = incomplete.known
    if not known.within_statistics:
        return None, advice.measure_without_statistics(known.family.words)
    try:
        ensemble = estimate_lens(known)
    except Contradiction as contradiction:
        return None, str(contradiction)
    if stand is None:
        return None, advice.measure_with_camera()
    if not stand.reversed and known.register_mm is None:
        return None, advice.measure_rear_plane()
    found = stand.range(ensemble)
    if found.is_sharp:
        return found if found.value >= 0 else None, find_next_step(incomplete)
    to_do = find_doubt(ensemble) or best_measurement(ensemble, stand, found) or find_next_step(incomplete)
    return None if is_measured_first(found) else found, to_do


def find_doubt(ensemble: Ensemble) -> str | None:
    """A reading that hardly any lens of the class would give is to be checked before anything else is measured."""
    for each in ensemble.unexpected:
        return unexpected_reading(each.name, each.value, each.usual.low, each.usual.high)["text"]
    return None


def find_next_step(incomplete: IncompleteLens) -> str:
    """What to measure of a lens for other figures than the magnification."""
    if incomplete.known.pupil_ratio is not None:
        return advice.measure_by_calibration()
    return advice.measure_missing(incomplete.missing)


def best_measurement(ensemble: Ensemble, stand: Stand, before: Range) -> str | None:
    """Which of what can be measured in minutes narrows the magnification most, and to what; None where none does."""
    tried: list[tuple[float, Range, Callable[[float, float], str]]] = []
    for lens, words in measurements(ensemble, stand):
        try:
            found = stand.range(estimate_lens(lens))
        except Contradiction:
            continue
        tried.append((found.high - found.low, found, words))
    width, found, words = min(tried, key=lambda each: each[0], default=(math.inf, before, advice.measure_barrel))
    return words(found.low, found.high) if width < WORTH_WHILE * (before.high - before.low) else None


def measurements(ensemble: Ensemble, stand: Stand) -> Iterator[tuple[KnownLens, Callable[[float, float], str]]]:
    """Yield what is not yet measured, as if it had been read as it would be of the lens in the middle; the words for each."""
    lens, member = ensemble.lens, ensemble.member
    if len(lens.frames) < MOST_FRAMES:
        there = stand.lengthen(ensemble)
        words = partial(advice.measure_ruler, there.camera.id, there.extension_mm, there.reversed)
        yield replace(lens, frames=(*lens.frames, there.frame(there.range(ensemble).value))), words
    if lens.entrance_pupil_depth_mm is None or lens.pupil_ratio is None:
        depth = range_of(member.pupil_depth, ensemble).value
        ratio = 1 / range_of(member.inverse_pupil_ratio, ensemble).value
        yield replace(lens, entrance_pupil_depth_mm=depth, pupil_ratio=ratio), advice.measure_pupils
    if lens.barrel_length_mm is None:
        length = range_of(member.barrel_length(lens.flange_mm), ensemble).value
        yield replace(lens, barrel_length_mm=length), advice.measure_barrel
