"""Several lenses known in part at once: members of their ensembles drawn together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property, lru_cache
from hashlib import blake2b

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from closeup_service.estimates.ensemble import MOST_KEPT, Ensemble, estimate_lens
from closeup_service.estimates.known_lens import KnownLens
from closeup_service.estimates.ranges import Range, weighted_ranges
from closeup_service.optics.arithmetic import FloatArray

DRAWS = 256
"""Members drawn of several lenses together."""

FEW_DRAWS = 64
"""Members drawn where each costs milliseconds: of contrasts, and of exposures with whole set-ups."""

DATA: Mapping[str, str] = {
    "focal_length_mm": "focal_length",
    "front_principal_plane_mm": "front_plane",
    "principal_plane_separation_mm": "separation",
    "pupil_magnification": "pupil_magnification",
}
"""Data of a lens as requests name them, and the column of each."""

Places = npt.NDArray[np.intp]


class Drawn(Struct, frozen=True):
    """One lens's members as drawn: lengths in mm, columns of shape (members,)."""

    ensemble: Ensemble
    focal_length: FloatArray
    front_plane: FloatArray
    separation: FloatArray
    pupil_magnification: FloatArray

    @property
    def data(self) -> FloatArray:
        """All of it in the order of `DATA`, shape (data, members)."""
        return np.array([self.focal_length, self.front_plane, self.separation, self.pupil_magnification])

    def datum(self, name: str) -> FloatArray:
        """Column of a datum by its name in requests.

        Returns
        -------
        array, mm; the pupil magnification as ratio
        """
        column: FloatArray = getattr(self, DATA[name])
        return column


class Joint(Struct, frozen=True, dict=True):
    """Members of all lenses together: row i of every column belongs to one possible set of lenses, of this weight."""

    weights: FloatArray
    drawn: Mapping[KnownLens, Drawn]

    @property
    def size(self) -> int:
        """How many members it has."""
        return len(self.weights)

    @cached_property
    def ranges(self) -> Mapping[KnownLens, Mapping[str, Range]]:
        """Range of every datum of every lens, by its name in requests."""
        return {
            lens: dict(zip(DATA, weighted_ranges(each.data, self.weights), strict=True))
            for lens, each in self.drawn.items()
        }


def draw_together(lenses: Sequence[KnownLens], most: int | None = None) -> Joint:
    """Draw members of all lenses, of the same lens the same; at most so many.

    One lens gives all its members with their weights. Of several each is drawn evenly over its weights, in an order that the
    lenses themselves seed: the same lenses always give the same members.

    Raises
    ------
    Contradiction
        Where what is stated and measured of a lens cannot be of one lens.
    """
    return draw(tuple(dict.fromkeys(lenses)), most)


@lru_cache(maxsize=MOST_KEPT)
def draw(lenses: tuple[KnownLens, ...], most: int | None) -> Joint:
    """Draw members of different lenses, kept for the next request."""
    ensembles = {lens: estimate_lens(lens) for lens in lenses}
    if len(ensembles) == 1:
        [only] = ensembles.values()
        if most is None or only.size <= most:
            return Joint(only.weights, {only.lens: take(only, np.arange(only.size))})
    size = DRAWS if most is None else min(DRAWS, most)
    order = np.random.default_rng(seed_of(list(ensembles)))
    drawn = {}
    for lens, each in ensembles.items():
        places = spread_evenly(each.weights, size)
        drawn[lens] = take(each, places if len(ensembles) == 1 else order.permutation(places))
    return Joint(np.full(size, 1 / size), drawn)


def seed_of(lenses: Sequence[KnownLens]) -> int:
    """Seed that the lenses themselves give, the same on every machine."""
    return int.from_bytes(blake2b(repr(lenses).encode(), digest_size=8).digest())


def spread_evenly(weights: FloatArray, size: int) -> Places:
    """Places of so many members, each as often as its weight asks for (systematic sampling)."""
    return np.searchsorted(np.cumsum(weights), (np.arange(size) + 0.5) / size).clip(0, len(weights) - 1)


def take(ensemble: Ensemble, places: Places) -> Drawn:
    """Members of an ensemble at these places."""
    return Drawn(
        ensemble,
        ensemble.focal_length[places],
        ensemble.front_plane[places],
        ensemble.separation[places],
        ensemble.pupil_magnification[places],
    )
