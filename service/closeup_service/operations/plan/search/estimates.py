"""`/v1/set-ups/search` with `estimate_unknown`: the kit with the medians of what its lenses lack.

The search goes through lenses in the middle of their class; what is listed is then evaluated for every lens that they may be.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import cast

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from closeup_service.estimates.ensemble import estimate_lens
from closeup_service.estimates.joint import draw_together
from closeup_service.estimates.ranges import Range, is_measured_first, weighted_ranges
from closeup_service.gear.kit import Kit, Lens, Setting
from closeup_service.gear.search.joints import Use
from closeup_service.gear.search.left_out import lens_name
from closeup_service.gear.search.request import Request
from closeup_service.gear.search.work import refusal_of_size
from closeup_service.language import tr
from closeup_service.operations.estimating.kit_lenses import IncompleteLens, list_incomplete
from closeup_service.operations.estimating.places import FOCAL_LENGTH
from closeup_service.operations.estimating.set_up import put_medians
from closeup_service.optics.errors import Contradiction

MOST_ESTIMATED = 2000
"""Settings of lenses that one search estimates, half a millisecond each."""

FRONT_PLANE = "front_principal_plane_mm"

Key = tuple[str, str]
"""Id of a lens, and of its setting."""


class Estimates(Struct, frozen=True):
    """The lenses of a kit that are estimated, by id and setting, with their medians, and what cannot be told of others."""

    lenses: Mapping[str, Lens]
    """Lenses as the kit states them, by id."""
    medians: Mapping[Key, Mapping[str, float]]
    names: tuple[str, ...] = ()
    measure_first: tuple[str, ...] = ()
    """Lenses that are not tried reversed, since their magnification could be almost any."""
    no_statistics: tuple[str, ...] = ()
    contradictory: tuple[str, ...] = ()

    def fill_in(self, kit: Kit) -> Kit:
        """Kit with the medians of its lenses."""
        return replace(kit, lenses=tuple(self.fill_lens(lens) for lens in kit.lenses))

    def fill_lens(self, lens: Lens) -> Lens:
        """Lens with the medians of its settings."""
        return replace(lens, settings=tuple(self.fill_setting(lens, each) for each in lens.settings))

    def fill_setting(self, lens: Lens, setting: Setting) -> Setting:
        """Setting with its medians; one whose data contradict each other without marks, so that it is not tried."""
        if lens_name(lens, setting) in self.contradictory:
            return replace(setting, marks=())
        return replace(setting, **self.medians.get((lens.id, setting.id), {}))

    def take_out(self, kit: Kit) -> Kit:
        """Kit with its lenses as it states them."""
        return replace(kit, lenses=tuple(self.lenses.get(lens.id, lens) for lens in kit.lenses))

    def holds_any(self, uses: Sequence[Use]) -> bool:
        """Whether a lens among these parts is estimated."""
        return bool(self.list_names(uses))

    def list_names(self, uses: Sequence[Use]) -> list[str]:
        """Names of the lenses among these parts that are estimated."""
        used = [(lens, lens.setting(setting)) for lens, setting in self.list_lenses(uses)]
        return [
            lens_name(lens, setting)
            for lens, setting in used
            if setting is not None and (lens.id, setting.id) in self.medians
        ]

    def list_lenses(self, uses: Sequence[Use]) -> list[tuple[Lens, str]]:
        """Lenses among these parts, each with the id of its setting."""
        found = [(self.lenses[use["use"]], use.get("setting")) for use in uses if use["use"] in self.lenses]
        return [(lens, setting or lens.settings[0].id) for lens, setting in found]


NOTHING_ESTIMATED = Estimates({}, {})


def estimate_kit(request: Request) -> Estimates:
    """Estimate what the lenses of a kit lack, those on sale too.

    Raises
    ------
    TooManyCandidates
        Before anything is estimated.
    """
    lenses = [lens for lens in request.kit.lenses if lens.available or not lens.owned]
    incomplete = [each for each in list_incomplete(lenses, request.camera.register_mm) if each.setting.marks]
    if len(incomplete) > MOST_ESTIMATED:
        raise refusal_of_size(
            tr(
                "{incomplete} lenses lack data, and one search estimates {most_estimated}.",
                incomplete=len(incomplete),
                most_estimated=MOST_ESTIMATED,
            )
        )
    within = [each for each in incomplete if each.known.within_statistics]
    consistent = [each for each in within if is_consistent(each)]
    doubtful = {each.key for each in consistent if is_useless_reversed(each, request.magnification)}
    return Estimates(
        {lens.id: lens for lens in request.kit.lenses},
        {each.key: medians_of(each, reversed_=each.key not in doubtful) for each in consistent},
        names_of(consistent),
        names_of(each for each in consistent if each.key in doubtful and each.lens.front is not None),
        names_of(each for each in incomplete if not each.known.within_statistics),
        names_of(each for each in within if each not in consistent),
    )


def names_of(lenses: Iterable[IncompleteLens]) -> tuple[str, ...]:
    """Names of those that are owned, each with its setting where there are several."""
    return tuple(lens_name(each.lens, each.setting) for each in lenses if each.lens.owned)


def is_consistent(incomplete: IncompleteLens) -> bool:
    """Whether what is stated and measured can be of one lens."""
    try:
        estimate_lens(incomplete.known)
    except Contradiction:
        return False
    return True


def medians_of(incomplete: IncompleteLens, *, reversed_: bool) -> dict[str, float]:
    """Medians of what a lens lacks; without its front plane where it is not to be reversed."""
    place = incomplete.place
    filled = put_medians(incomplete.train, [place], draw_together([incomplete.known]))["train"][0]
    members = cast("Mapping[str, float]", filled)
    names = [*incomplete.missing, *([FOCAL_LENGTH] if incomplete.known.front_plane_mm is None else [])]
    return {name: members[name] for name in names if reversed_ or name != FRONT_PLANE}


def is_useless_reversed(incomplete: IncompleteLens, magnification: float) -> bool:
    """Whether lenses reversed so that the middle one gives a magnification differ too much to tell one."""
    if incomplete.known.front_plane_mm is not None:
        return False
    return is_measured_first(calculate_range(incomplete, magnification))


def calculate_range(incomplete: IncompleteLens, magnification: float) -> Range:
    """Range of the magnification where a lens stands reversed so that the middle one gives this magnification."""
    ensemble = estimate_lens(incomplete.known)
    focal_length, front_plane = weighted_ranges(
        np.array([ensemble.focal_length, ensemble.front_plane]), ensemble.weights
    )
    to_rim = focal_length.value * (1 + magnification) - front_plane.value
    column = (to_rim + ensemble.front_plane) / ensemble.focal_length - 1
    return weighted_ranges(column[None, :], ensemble.weights)[0]
