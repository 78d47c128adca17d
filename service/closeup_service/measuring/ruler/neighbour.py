"""A scale that touches another one of nearly its pitch, as a vernier does: which of them was read.

On a line through the other scale the wave of one's own period turns from mark to mark: by 1/r - 1 of a turn, where r is the
other period over one's own. A vernier's divisions are shorter than those of its scale by a tenth, a twentieth or a fiftieth
(common practice, no source), so of the two the scale is the one with the longer period.
"""

import numpy as np
from numpy.typing import NDArray

from closeup_service.measuring.ruler.marks import Marks, Scale

MOST_TURN = 0.13
LEAST_TURN = 0.006
STEPS = 521
"""Turns per mark that are tried, to both sides; less than the least is the same pitch, drawn a little askew."""
OUTSIDE = 1.15
FEWEST = 8
"""So many marks in a row must swing beside the scale for another one."""
LEAST_SWING = 0.3
LEAST_TOGETHER = 0.9
FEWEST_LINES = 2
VERNIERS = (0.9, 0.95, 0.98)
MOST_OFF = 0.2
"""Share of what a vernier's division lacks of its scale's by which a measured one may differ."""


def neighbour(scale: Scale, marks: Marks) -> float | None:
    """Period of a scale that touches this one over its own, where both are nearly the same; None where there is none.

    Returns
    -------
    float or None : ratio of the periods
    """
    run = marks.scale_marks(scale)
    samples = marks.values.shape[-1]
    window = np.linspace(-0.5, 0.5, samples)
    even = np.stack([np.ones(samples), window], 1)
    wave = (np.eye(samples) - even @ np.linalg.pinv(even)).T @ np.exp(-2j * np.pi * window)
    swings = np.where(marks.inside, marks.values @ wave, 0)[:, run]
    own = float(np.median(np.abs(swings[marks.inner_lines][:, marks.is_found[run]])))
    beside = swings[np.abs(marks.lines) > OUTSIDE]
    found = [turn for turn in (phase_turns(row, own) for row in beside) if turn is not None]
    if len(found) < FEWEST_LINES:
        return None
    turn = float(np.median(found))
    return 1 / (1 + turn) if np.ptp(found) < 2 * LEAST_TURN else None


def phase_turns(swings: NDArray[np.complex128], own: float) -> float | None:
    """Turns per mark of the wave on one line, over the longest row of marks that swing; None where they don't turn alike.

    Parameters
    ----------
    swings : wave at each mark on the line [grey steps], shape (marks,)
    own : usual size of the wave at the scale's own marks [grey steps]

    Returns
    -------
    float or None : turns per mark
    """
    edges = np.diff(np.concatenate([[0], (np.abs(swings) > LEAST_SWING * own).astype(int), [0]]))
    begins, ends = np.nonzero(edges > 0)[0], np.nonzero(edges < 0)[0]
    if not len(begins) or (ends - begins).max() < FEWEST:
        return None
    longest = int((ends - begins).argmax())
    row = swings[begins[longest] : ends[longest]]
    turns = np.linspace(-MOST_TURN, MOST_TURN, STEPS)
    together = np.abs(np.exp(-2j * np.pi * np.outer(turns, np.arange(len(row)))) @ row) / np.abs(row).sum()
    best = int(together.argmax())
    if together[best] < LEAST_TOGETHER or abs(turns[best]) < max(LEAST_TURN, 0.1 / len(row)):
        return None
    return float(turns[best])


def vernier(ratio: float) -> float | None:
    """Which vernier's period over that of its scale this is; None for none."""
    return next((one for one in VERNIERS if abs(ratio - one) < MOST_OFF * (1 - one)), None)
