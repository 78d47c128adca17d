"""Scores and wishes: what makes one set-up better than another, and by how much it misses what was wished for."""

from collections.abc import Mapping

import numpy as np
from msgspec import Struct

from closeup_service.gear.search.apertures import Figures
from closeup_service.gear.search.request import Request
from closeup_service.optics.arithmetic import BoolArray, Columns, FloatArray, IntArray
from closeup_service.optics.diffraction import optimum_effective_f_number
from closeup_service.optics.sharpness import Criterion

UNKNOWN_DISTANCE = 2.0
"""What an unknown working distance costs."""

CRITERIA = ("framing", "aperture", "detail", "working_distance", "light", "frames", "parts")
FORMULA = (
    "The score is the total of seven criteria, less is better. M is the magnification that fills the frame exactly. "
    "framing = 4 |log2(M / magnification)|. aperture = |log2(N / N0)|. With subject_depth_mm above 0, and "
    "most_stack_frames absent or 1, one frame is to hold the depth: N is the effective f-number and N0 the optimum "
    "effective f-number for that depth. Otherwise N is the mark of the lens whose iris limits the light, and N0 the mark "
    "that is best for that lens: its sharp_from_f_number, or, where the kit does not state it, the mark of its own ring "
    "nearest to two stops down from its widest one (by exact f-numbers; of two as near the smaller aperture). Where a clear "
    "diameter or an objective limits the light, N is the f-number at which the iris of the lens nearest to the camera "
    "alone would limit it as much, and N0 that lens's; without an iris aperture is then 0. detail = log2(1 + "
    "subject_resolution_um / 1 um) / 2. working_distance = log2(1 + 100 mm / working distance) / 2, or 2 where that is "
    "not determined. light = light_loss_stops / 4, or 0 where that is negative or not determined. frames = "
    "log2(stack_frames) / 4, or 0 without subject_depth_mm. parts = 0.05 for each part and ring. "
)

LEAST, MOST = 1.0, -1.0
WISHES: Mapping[str, tuple[str, float]] = {
    "least_working_distance_mm": ("working_distance_mm", LEAST),
    "least_clearance_mm": ("clearance_mm", LEAST),
    "largest_subject_resolution_um": ("subject_resolution_um", MOST),
    "most_stack_frames": ("stack_frames", MOST),
    "largest_light_loss_stops": ("light_loss_stops", MOST),
    "longest_rig_mm": ("rig_length_mm", MOST),
}
"""Figure that each wish is about, and whether it is a least or a most."""


def figure(figures: Figures, name: str) -> FloatArray:
    """Column of a figure by its name in the vocabulary.

    Returns
    -------
    array, in the unit that ends the name; stack frames without unit
    """
    distances = {"working_distance_mm": "working", "clearance_mm": "clearance", "rig_length_mm": "rig"}
    if name in distances:
        return figures.of(distances[name])
    columns = {
        "subject_resolution_um": figures.resolution,
        "stack_frames": figures.frames,
        "light_loss_stops": figures.light_loss,
    }
    return columns[name]


def parts_of(figures: Figures) -> IntArray:
    """Parts and rings of each row."""
    rows = figures.distances.rows
    parts: IntArray = rows.fronts.parts[rows.front] + rows.stacks.parts[rows.stack] + len(rows.end.uses)
    return parts[figures.row]


def criteria_of(request: Request, criterion: Criterion, figures: Figures) -> dict[str, FloatArray]:
    """Every criterion of the score.

    Returns
    -------
    dict of arrays, without unit
    """
    frame = request.magnification / figures.of("magnification")
    working = figures.of("working")
    with np.errstate(all="ignore"):
        return {
            "framing": 4 * np.abs(np.log2(frame)),
            "aperture": aperture_of(request, criterion, figures),
            "detail": np.log2(1 + figures.resolution) / 2,
            "working_distance": np.where(np.isnan(working), UNKNOWN_DISTANCE, np.log2(1 + 100 / working) / 2),
            "light": np.where(figures.light_loss > 0, figures.light_loss, 0.0) / 4,
            "frames": np.where(np.isnan(figures.frames), 0.0, np.log2(figures.frames) / 4),
            "parts": 0.05 * parts_of(figures),
        }


def aperture_of(request: Request, criterion: Criterion, figures: Figures) -> FloatArray:
    """How far the aperture is from the best one, in octaves of the f-number; 0 where no ring is there to set."""
    depth = request.subject_depth_mm
    if depth and request.wishes.get("most_stack_frames", 1) == 1:
        m = figures.of("magnification")
        best = optimum_effective_f_number(depth, m, criterion.wavelength_nm, Columns(len(m)))
        off: FloatArray = np.abs(np.log2(figures.effective / best))
        return off
    off = np.abs(np.log2(figures.as_if_marked / figures.best_mark))
    return np.where(np.isnan(off), 0.0, off)


def misses_of(request: Request, figures: Figures) -> dict[str, FloatArray]:
    """By how much every row misses each wish; 0 or less where it meets it, infinite where that is not known.

    Returns
    -------
    dict of arrays, each in the unit of its wish: mm, um, frames or stops
    """
    return {wish: miss(request, wish, figure(figures, WISHES[wish][0])) for wish in request.wishes}


def miss(request: Request, wish: str, value: FloatArray) -> FloatArray:
    """By how much a figure misses a wish; one that is not known keeps a wish that nobody stated.

    Parameters
    ----------
    value : array, figure in the unit of the wish: mm, um, frames or stops

    Returns
    -------
    array, in the unit of the wish; positive where it is missed
    """
    unknown = -np.inf if wish in request.assumed_wishes else np.inf
    missed: FloatArray = np.where(np.isnan(value), unknown, WISHES[wish][1] * (request.wishes[wish] - value))
    return missed


class Scored(Struct, frozen=True):
    """Figures with their scores and misses."""

    figures: Figures
    criteria: Mapping[str, FloatArray]
    score: FloatArray
    misses: Mapping[str, FloatArray]
    parts: IntArray


def select_met(request: Request, figures: Figures) -> BoolArray:
    """Rows that meet every wish."""
    met = np.ones(len(figures.row), dtype=bool)
    for miss in misses_of(request, figures).values():
        met &= miss <= 0
    return met


def score_rows(request: Request, criterion: Criterion, figures: Figures) -> Scored:
    """Score every row."""
    criteria = criteria_of(request, criterion, figures)
    score: FloatArray = sum(criteria.values(), np.zeros(len(figures.row)))
    return Scored(figures, criteria, score, misses_of(request, figures), parts_of(figures))
