"""A scale that was proved, measured again until its marks stay where they are."""

import numpy as np
from msgspec.structs import replace

from closeup_service.measuring.ruler.checks import final_marks
from closeup_service.measuring.ruler.fit import Fit, fit_scale
from closeup_service.measuring.ruler.marks import Marks, Scale
from closeup_service.measuring.ruler.picture import Pyramid

MOST_ROUNDS = 5
STILL = 1e-4
"""Marks have settled when the model moves by less than so many marks,
or than a fifth of their scatter."""


def settle_scale(picture: Pyramid, scale: Scale, marks: Marks, fit: Fit) -> tuple[Scale, Marks, Fit]:
    """Measure and fit by turns: one step of least squares finds a displacement but for a share of it."""
    for _ in range(MOST_ROUNDS):
        finer = final_marks(picture, scale)
        use = None if finer is None else finer.points_on(scale)
        if finer is None or use is None or finer.found_marks(scale).sum() < marks.found_marks(scale).sum() - 1:
            break
        x, y, number = finer.x[use], finer.y[use], np.broadcast_to(finer.numbers, use.shape)[use]
        marks, fit = finer, fit_scale(scale.model, x, y, number)
        moved = float(np.abs(fit.model.numbers(x, y) - scale.model.numbers(x, y)).max())
        scale = replace(scale, model=fit.model, fit=fit)
        if moved < max(STILL, 0.2 * fit.scatter):
            break
    return scale, marks, fit
