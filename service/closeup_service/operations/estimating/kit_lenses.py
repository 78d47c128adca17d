"""Lenses of a kit that lack data: what is known of each, and what is to be estimated."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, cast

from msgspec import Struct

from closeup_service.estimates.known_lens import KnownLens
from closeup_service.estimates.lens_members import ESTIMABLE
from closeup_service.gear.engravings import engravings
from closeup_service.gear.kit import Lens, Setting
from closeup_service.gear.kit_parts import LENS_MEMBERS, known_members
from closeup_service.operations.estimating.places import Place, place_in_train

if TYPE_CHECKING:
    from closeup_service.records import requests


class IncompleteLens(Struct, frozen=True):
    """A lens at a setting that lacks data, and its place in a train of itself alone."""

    lens: Lens
    setting: Setting
    train: requests.FrameSetUp
    place: Place

    @property
    def known(self) -> KnownLens:
        """What is known of it."""
        return self.place.lens

    @property
    def missing(self) -> tuple[str, ...]:
        """Data that are to be estimated."""
        return self.place.wanted

    @property
    def key(self) -> tuple[str, str]:
        """Id of the lens, and of the setting."""
        return self.lens.id, self.setting.id


def list_incomplete(lenses: Iterable[Lens], camera_register: float) -> Iterator[IncompleteLens]:
    """Yield every setting of these lenses that lacks data.

    Parameters
    ----------
    camera_register : float, flange to sensor, mm
    """
    for lens in lenses:
        for setting in lens.settings:
            wanted = tuple(name for name in ESTIMABLE if getattr(setting, name) is None)
            if wanted:
                yield incomplete_lens(lens, setting, camera_register, wanted)


def incomplete_lens(lens: Lens, setting: Setting, camera_register: float, wanted: tuple[str, ...]) -> IncompleteLens:
    """Lens at a setting that lacks data.

    Parameters
    ----------
    camera_register : float, flange to sensor, mm
    """
    members = {"element": "lens", **known_members(setting, LENS_MEMBERS), **engravings(lens, setting)}
    element = cast("requests.Lens", members)
    train = cast("requests.FrameSetUp", {"camera": {"register_mm": camera_register}, "train": [element]})
    return IncompleteLens(lens, setting, train, place_in_train(train, element, ("train", 0), wanted))
