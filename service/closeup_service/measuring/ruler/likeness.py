"""How much samples along a scale are like the picture of one mark, and how far they are shifted against it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from closeup_service.measuring.ruler.picture import Floats

if TYPE_CHECKING:
    from closeup_service.measuring.ruler.marks import Scale

NO_HEIGHT = 1e-6
"""A mark of less contrast than this is none."""


class Likeness(Struct, frozen=True):
    """What each run of samples has of the mark, by least squares.

    Parameters
    ----------
    height : contrast of the mark; negative where the samples show its opposite
    fit : share of the contrast above an even slope that the mark explains
    shift : of the mark in the samples [periods]
    slope : of the ground, over the period
    """

    height: Floats
    fit: Floats
    shift: Floats
    slope: Floats


def compare_with_mark(scale: Scale, values: NDArray[np.float32]) -> Likeness:
    """Compare samples over one period with the picture of one mark.

    Parameters
    ----------
    scale : knows that picture, and whether its marks are dark on light
    values : samples of the picture, the last axis over one period
    """
    samples = values.shape[-1]
    window = np.linspace(-0.5, 0.5, samples)
    mark = np.interp(window, np.linspace(-0.5, 0.5, len(scale.shape)), scale.shape)
    basis = np.stack([mark, np.gradient(mark, window), np.ones(samples), window], 1)
    flat = values - values.mean(axis=-1, keepdims=True)
    parts = flat @ np.linalg.pinv(basis).astype(np.float32).T
    rest = flat - parts @ basis.T.astype(np.float32)
    ground = np.linalg.pinv(basis[:, 2:]).astype(np.float32)
    level = flat - (flat @ ground.T) @ basis[:, 2:].T.astype(np.float32)
    sign = -1.0 if scale.start.dark else 1.0
    height = sign * parts[..., 0].astype(float)
    fit = 1 - (rest * rest).sum(axis=-1) / np.maximum((level * level).sum(axis=-1), 1e-6)
    shift = -sign * parts[..., 1] / np.where(np.abs(height) < NO_HEIGHT, NO_HEIGHT, height)
    return Likeness(height, fit, shift, parts[..., 3])
