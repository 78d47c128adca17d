"""What hides a stretch of a ruler: runs of marks that are missing between stretches where they stand clear."""

import numpy as np
from numpy.typing import NDArray

from closeup_service.measuring.ruler.marks import Marks, Scale

LEAST_HIDDEN = 3
"""So many marks missing one after another are hidden by something; single ones are lost to glare or numerals."""
CLEAR = 5
LEAST_CLEAR = 4
"""Marks stand clear where of so many in a row so many are found."""
MOST_HIDDEN = 4
"""So many stretches may be hidden; a row that breaks off more often is judged by all its marks."""


def find_hidden(found: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Which marks of a row lie in a hidden stretch, between others where marks stand clear."""
    if len(found) < CLEAR:
        return np.zeros(len(found), bool)
    solid = np.convolve(found, np.ones(CLEAR), "valid") >= LEAST_CLEAR
    clear = (np.convolve(solid, np.ones(CLEAR)) > 0) & found
    edges = np.diff(np.concatenate([[0], (~clear).astype(int), [0]]))
    begins, ends = np.nonzero(edges > 0)[0].tolist(), np.nonzero(edges < 0)[0].tolist()
    between = [pair for pair in zip(begins, ends, strict=True) if pair[0] > 0 and pair[1] < len(found)]
    stretches = [(begin, end) for begin, end in between if end - begin >= LEAST_HIDDEN]
    marked = np.zeros(len(found), bool)
    for begin, end in stretches if len(stretches) <= MOST_HIDDEN else []:
        marked[begin:end] = True
    return marked


def clear_marks(marks: Marks, scale: Scale) -> NDArray[np.bool_]:
    """Marks of the scale that are not hidden, whether they are found or not.

    Returns
    -------
    array : one flag for each column of `marks`
    """
    run = marks.scale_marks(scale)
    clear = run.copy()
    clear[run] = ~find_hidden(marks.found_marks(scale)[run])
    return clear
