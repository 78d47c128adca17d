"""A whole set-up with lenses that are known only in part: all possible lenses at once, in columns of the same core."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, cast

import numpy as np
from msgspec import Struct

from closeup_service.estimates.joint import FEW_DRAWS, Joint
from closeup_service.estimates.ranges import Range, weighted_ranges
from closeup_service.operations.asking import effort
from closeup_service.operations.estimating.figures import MOST_MISSING, range_of
from closeup_service.operations.estimating.places import Place, draw_places, list_train, put
from closeup_service.operations.set_up.table.blocks import expected_seconds
from closeup_service.operations.set_up.table.columns import Evaluated, with_numpy_numbers
from closeup_service.operations.set_up.table.schemas import FIELDS
from closeup_service.optics.arithmetic import BoolArray, Columns, FloatArray, Real
from closeup_service.set_ups.set_up import evaluate
from closeup_service.set_ups.solve import Target
from closeup_service.set_ups.solve_columns import solve_columns

if TYPE_CHECKING:
    from closeup_service.records import requests

SOLVED = "solved.value"
OPEN_IN_LENS = "focusing_extension_mm"
"""Member of a lens that may be the open length."""

WORDS = ("depth_of_field.front_extent", "depth_of_field.rear_extent", "diffraction.sampling", "aperture_stop")
"""Results of a set-up that are no quantities."""

NUMBERS = tuple(name for name in FIELDS if name not in WORDS)


class Estimated(Struct, frozen=True):
    """A set-up for all lenses that its own may be; results of shape (names, members), their dotted names beside them."""

    places: Sequence[Place]
    joint: Joint
    document: requests.FrameSetUp[Real]
    names: Sequence[str]
    results: FloatArray
    possible: BoolArray
    problem: Sequence[str]

    def result(self, name: str) -> FloatArray:
        """One of the results."""
        column: FloatArray = self.results[self.names.index(name)]
        return column

    @property
    def impossible_share(self) -> float:
        """Share of the lenses with which the set-up cannot be."""
        return float(self.joint.weights[~self.possible].sum())

    @property
    def possible_results(self) -> tuple[FloatArray, FloatArray]:
        """Results over the lenses with which the set-up can be, and the weights of those."""
        if self.possible.all():
            return self.results, self.joint.weights
        return self.results[:, self.possible], self.joint.weights[self.possible]

    def ranges(self) -> dict[str, Range]:
        """Range of every result that is determined, over the lenses with which the set-up can be."""
        rows, weights = self.possible_results
        known = np.isfinite(rows)
        whole = known.all(axis=1)
        if not weights.size:
            return {}
        found: dict[int, Range] = dict(
            zip(np.flatnonzero(whole).tolist(), weighted_ranges(rows[whole], weights), strict=True)
        )
        for place in np.flatnonzero(known.any(axis=1) & ~whole).tolist():
            each = range_of(rows[place], weights)
            if each is not None:
                found[place] = each
        return {self.names[place]: found[place] for place in sorted(found) if not found[place].is_sharp}

    def find_scattered(self) -> list[str]:
        """Results that some of the possible lenses have and too many have not: no range holds them."""
        rows, weights = self.possible_results
        known = np.isfinite(rows)
        scattered = known.any(axis=1) & ~(known @ weights > (1 - MOST_MISSING) * weights.sum())
        return [self.names[place] for place in np.flatnonzero(scattered).tolist()]

    def element(self, step: int, index: int, sent: requests.Element) -> requests.Element:
        """Element of the train as it was sent, with the data of one of the lenses."""
        filled: requests.FrameSetUp[Real] = self.document
        data = {
            name: float(column[index])
            for name, column in filled["train"][step].items()
            if isinstance(column, np.ndarray) and name != OPEN_IN_LENS
        }
        place = next(each for each in self.places if each.path[-1] == step)
        return cast("requests.Element", {**sent, **place.lens_data, **data})


def estimate_set_up(document: requests.FrameSetUp, target: Target | None, most: int | None = None) -> Estimated:
    """Evaluate a set-up for every lens that its own may be; `target` is what an open length is solved for."""
    places = list(list_train(document))
    by_contrast = document.get("depth_of_field_model") == "contrast"
    joint = draw_places(places, FEW_DRAWS if by_contrast else most)
    filled = with_numpy_numbers(put_columns(document, places, joint))
    arithmetic = Columns(joint.size)
    effort.expect(expected_seconds(filled, joint.size))
    names = NUMBERS if target is None else (*NUMBERS, SOLVED)
    results = np.full((len(names), joint.size), np.nan)
    with np.errstate(all="ignore"):
        if target is not None:
            filled, results[-1] = solve_columns(filled, target, arithmetic, joint.size)
        table = Evaluated(filled, evaluate(filled, arithmetic), joint.size, arithmetic)
        for place, name in enumerate(NUMBERS):
            result = table.result(name)
            if result is not None:
                results[place] = result
    return Estimated(places, joint, filled, names, results, ~table.impossible, table.problem.tolist())


def put_columns(document: requests.FrameSetUp, places: Sequence[Place], joint: Joint) -> requests.FrameSetUp[Real]:
    """Document with the data of all possible lenses as columns."""
    filled: object = document
    for place in places:
        filled = put(filled, place.path, {**place.lens_data, **place.data(joint)})
    return cast("requests.FrameSetUp[Real]", filled)


def put_medians(document: requests.FrameSetUp, places: Sequence[Place], joint: Joint) -> requests.FrameSetUp:
    """Document with the medians of all data."""
    filled: object = document
    for place in places:
        filled = put(filled, place.path, {**place.lens_data, **place.medians(joint)})
    return cast("requests.FrameSetUp", filled)


def fill_with_medians(document: requests.FrameSetUp) -> requests.FrameSetUp:
    """Document with the medians of all lens data that it lacks; itself where it lacks none."""
    places = list(list_train(document))
    return put_medians(document, places, draw_places(places)) if places else document
