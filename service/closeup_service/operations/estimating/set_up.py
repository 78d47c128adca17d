"""A whole set-up with lenses that are known only in part: all possible lenses at once, in columns of the same core."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, cast

import numpy as np
from msgspec import Struct

from closeup_service.estimates.joint import FEW_DRAWS, Joint
from closeup_service.estimates.ranges import Range, weighted_ranges
from closeup_service.operations.estimating.figures import is_scattered, range_of
from closeup_service.operations.estimating.places import Place, draw_places, list_train, put
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
    """A set-up for all lenses that its own may be: results by dotted name, columns of shape (members,)."""

    places: Sequence[Place]
    joint: Joint
    document: requests.FrameSetUp[Real]
    results: Mapping[str, FloatArray]
    possible: BoolArray
    problem: Sequence[str]

    @property
    def impossible_share(self) -> float:
        """Share of the lenses with which the set-up cannot be."""
        return float(self.joint.weights[~self.possible].sum())

    def ranges(self) -> dict[str, Range]:
        """Range of every result that is determined, over the lenses with which the set-up can be."""
        weights = self.joint.weights[self.possible]
        rows = {name: column[self.possible] for name, column in self.results.items()}
        known = {name: row for name, row in rows.items() if np.isfinite(row).all()}
        if not known or not weights.size:
            return {}
        found = weighted_ranges(np.array(list(known.values())), weights)
        whole = {name: each for name, each in zip(known, found, strict=True) if not each.is_sharp}
        partial = {name: each for name in rows.keys() - known.keys() if (each := range_of(rows[name], weights))}
        return whole | {name: partial[name] for name in rows if name in partial}

    def find_scattered(self) -> list[str]:
        """Results that some of the possible lenses have and too many have not: no range holds them."""
        weights = self.joint.weights[self.possible]
        return [name for name, column in self.results.items() if is_scattered(column[self.possible], weights)]

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
    lengths: dict[str, FloatArray] = {}
    with np.errstate(all="ignore"):
        if target is not None:
            filled, lengths[SOLVED] = solve_columns(filled, target, arithmetic, joint.size)
        table = Evaluated(filled, evaluate(filled, arithmetic), joint.size, arithmetic)
        results = {name: column_of(table.result(name), joint.size) for name in NUMBERS} | lengths
    return Estimated(places, joint, filled, results, ~table.impossible, table.problem.tolist())


def put_columns(document: requests.FrameSetUp, places: Sequence[Place], joint: Joint) -> requests.FrameSetUp[Real]:
    """Document with the data of all possible lenses as columns."""
    filled: object = document
    for place in places:
        filled = put(filled, place.path, {**place.lens_data, **place.data(joint.drawn[place.lens])})
    return cast("requests.FrameSetUp[Real]", filled)


def put_medians(document: requests.FrameSetUp, places: Sequence[Place], joint: Joint) -> requests.FrameSetUp:
    """Document with the medians of all data."""
    filled: object = document
    for place in places:
        data = place.data(joint.drawn[place.lens])
        found = weighted_ranges(np.array(list(data.values()), dtype=float), joint.weights)
        medians = {name: each.value for name, each in zip(data, found, strict=True)}
        filled = put(filled, place.path, {**place.lens_data, **medians})
    return cast("requests.FrameSetUp", filled)


def fill_with_medians(document: requests.FrameSetUp) -> requests.FrameSetUp:
    """Document with the medians of all lens data that it lacks; itself where it lacks none."""
    places = list(list_train(document))
    return put_medians(document, places, draw_places(places)) if places else document


def column_of(result: object, rows: int) -> FloatArray:
    """Result as a column; NaN where it is not determined."""
    return np.broadcast_to(np.nan if result is None else np.asarray(result, dtype=float), rows)
