"""What to measure next of a lens: how far each reading that is not there yet would narrow the figure that matters.

For a few members of the ensemble, spread evenly over the figure, the reading that such a lens would give is taken, and the
ensemble is moved by it with its usual standard error; the median of the widths is what can be expected. The cost is bounded: at
most `MOST_TRIED` updates for each of at most six measurements.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from math import isfinite
from statistics import median
from typing import TypeAlias

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from closeup_service.estimates.ensemble import Ensemble, Prior, expect, narrow, prior
from closeup_service.estimates.known_lens import Frame, KnownLens
from closeup_service.estimates.readings import MOST_FRAMES, list_readings
from closeup_service.estimates.standing_lens import Standing, list_data
from closeup_service.optics.errors import Contradiction

MOST_TRIED = 9
"""Members whose readings are tried for each measurement."""

LEAST_MAGNIFICATION = 0.05
"""Least magnification at which a frame of a ruler is read."""

LEAST_EXTENSION_MM = 1.0
"""Least extension beyond the infinity stop for a frame on the lens's own mount [mm]."""

FURTHER_EXTENSIONS_MM = (0.0, 25.0, 50.0, 100.0)
"""Extension that is added for a reversed frame where the lens would show nothing without (common practice, no source)."""

BARREL, DEPTH, PUPILS, DEPTH_AND_PUPILS = "barrel", "iris-depth", "pupils", "iris-depth-and-pupils"
FRAME_REVERSED, FRAME_NORMAL = "frame-reversed", "frame-normal"
KINDS = (BARREL, DEPTH, PUPILS, DEPTH_AND_PUPILS, FRAME_REVERSED, FRAME_NORMAL)

Measure: TypeAlias = Callable[[KnownLens, int], KnownLens]
"""Lens as it is known after the reading that the member of this place would give."""


class Candidate(Struct, frozen=True):
    """A measurement that could be made; `standing` says how the lens stands for a frame."""

    kind: str
    measure: Measure
    standing: Standing | None = None


class NextMeasurement(Struct, frozen=True):
    """A measurement that could be made, and how wide the range of the figure would be after it."""

    kind: str
    standing: Standing | None
    width: float


def find_next(ensemble: Ensemble, standing: Standing) -> list[NextMeasurement]:
    """What could be measured of a lens that is not yet, in no order of worth; nothing where the figure is certain."""
    if standing.find_range(ensemble).is_sharp:
        return []
    places = list_typical(ensemble, standing)
    before = prior(ensemble.lens)
    return [
        NextMeasurement(each.kind, each.standing, expected_width(each, ensemble.lens, before, standing, places))
        for each in list_candidates(ensemble, standing, places)
    ]


def list_typical(ensemble: Ensemble, standing: Standing) -> list[int]:
    """Places of a few members, spread evenly over the figure by their weights."""
    order = np.argsort(standing.figures(ensemble))
    shares = np.cumsum(ensemble.weights[order])
    wanted = (np.arange(MOST_TRIED) + 0.5) / MOST_TRIED
    return [int(order[place]) for place in np.searchsorted(shares, wanted).clip(0, ensemble.size - 1)]


def list_candidates(ensemble: Ensemble, standing: Standing, places: Sequence[int]) -> Iterator[Candidate]:
    """Measurements that are not made yet and that can be made."""
    yield from list_with_rule(ensemble)
    if len(ensemble.lens.frames) < MOST_FRAMES:
        yield from list_frames(ensemble, standing, places)


def list_with_rule(ensemble: Ensemble) -> Iterator[Candidate]:
    """Measurements with a rule at the lens itself."""
    lens = ensemble.lens
    data = {name: column.tolist() for name, column in list_data(ensemble).items()}
    lengths, depths, ratios = (
        data[name] for name in ("barrel_length_mm", "entrance_pupil_depth_mm", "pupil_magnification")
    )
    depth_is_open = lens.entrance_pupil_depth_mm is None
    pupils_are_open = lens.pupil_ratio is None and lens.pupil_magnification is None
    if lens.barrel_length_mm is None:
        yield Candidate(BARREL, lambda known, i: replace(known, barrel_length_mm=lengths[i]))
    if depth_is_open:
        yield Candidate(DEPTH, lambda known, i: replace(known, entrance_pupil_depth_mm=depths[i]))
    if pupils_are_open:
        yield Candidate(PUPILS, lambda known, i: replace(known, pupil_ratio=ratios[i]))
    if depth_is_open and pupils_are_open:
        yield Candidate(
            DEPTH_AND_PUPILS,
            lambda known, i: replace(known, entrance_pupil_depth_mm=depths[i], pupil_ratio=ratios[i]),
        )


def list_frames(ensemble: Ensemble, standing: Standing, places: Sequence[int]) -> Iterator[Candidate]:
    """Frames of a ruler: with the lens reversed, and on its own mount."""
    own = standing.extension_mm if standing.reversed else 0.0
    for further in FURTHER_EXTENSIONS_MM:
        turned = Standing(True, standing.camera_register_mm, own + further)
        if (turned.magnification(ensemble)[list(places)] > LEAST_MAGNIFICATION).all():
            yield frame_candidate(FRAME_REVERSED, turned, ensemble)
            break
    flange = ensemble.lens.flange_mm
    mounted = Standing(False, standing.camera_register_mm, standing.extension_mm)
    if flange > 0 and mounted.net_extension(flange) >= LEAST_EXTENSION_MM:
        yield frame_candidate(FRAME_NORMAL, mounted, ensemble)


def frame_candidate(kind: str, standing: Standing, ensemble: Ensemble) -> Candidate:
    """One frame of a ruler, the lens standing so."""
    read = standing.magnification(ensemble).tolist()

    def measure(known: KnownLens, place: int) -> KnownLens:
        """Lens with the frame that the member of this place would show."""
        frame = Frame(read[place], standing.reversed, standing.extension_mm, standing.camera_register_mm)
        return replace(known, frames=(*known.frames, frame))

    return Candidate(kind, measure, standing)


def expected_width(
    candidate: Candidate, lens: KnownLens, before: Prior, standing: Standing, places: Sequence[int]
) -> float:
    """Width of the figure's range that can be expected after a measurement; infinite where the range stays open.

    Returns
    -------
    float, in the unit of the figure
    """
    return median(width_after(candidate.measure(lens, place), before, standing) for place in places)


def width_after(known: KnownLens, before: Prior, standing: Standing) -> float:
    """Width of the figure's range of a lens known so; infinite where it is open.

    Returns
    -------
    float, in the unit of the figure
    """
    readings = list_readings(known)
    try:
        found = standing.find_range(narrow(before, known, readings, expect(readings, before, known)))
    except Contradiction:
        return np.inf
    width = found.high - found.low
    return width if isfinite(width) else np.inf
