"""The aperture of each frame of an exposure: by its own members, or through its set-up."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, TypeVar, cast

from closeup_service.gear.errors import KitRefuses
from closeup_service.gear.kit import Kit
from closeup_service.gear.kit_parts import expand, place_faults_as_sent, uses_kit
from closeup_service.operations.light.exposure.request_schemas import planned_lens as planned_members
from closeup_service.operations.one_lens import USUAL_LENS
from closeup_service.set_ups import pointers
from closeup_service.set_ups.lens_light import LensLight, OneLens, Stated, WholeSetUp

if TYPE_CHECKING:
    from closeup_service.records import requests

T = TypeVar("T")
Assumed = dict[str, float | str]


def reference_lens_of(asked: requests.ExposureRequest, assumed: Assumed) -> LensLight:
    """Aperture of the reference frame."""
    if "reference_set_up" in asked:
        return through_set_up(asked["reference_set_up"], asked["kit"], "/reference_set_up", assumed)
    return by_members(asked["reference"], assumed, "/reference")


def planned_lens_of(asked: requests.ExposureRequest, reference: LensLight, assumed: Assumed) -> LensLight:
    """Aperture of the planned frame: the reference's, with what the plan changes; a mark that is the unknown stays open."""
    if "planned_set_up" in asked:
        return through_set_up(asked["planned_set_up"], asked["kit"], "/planned_set_up", assumed)
    if not isinstance(reference, OneLens) and not states_lens(asked):
        return reference
    members = cast("requests.Planned", planned_members(asked))
    if asked["unknown"] == "f_number":
        members.pop("f_number", None)
    return by_members(members, assumed, "/planned")


def states_lens(asked: requests.ExposureRequest) -> bool:
    """Whether the plan says anything of the lens."""
    return any(name in asked.get("planned", {}) for name in ("effective_f_number", "magnification", *USUAL_LENS))


def by_members(settings: requests.Reference | requests.Planned, assumed: Assumed, at: str) -> Stated | OneLens:
    """Aperture by the members of a frame."""
    if "effective_f_number" in settings:
        return Stated(settings["effective_f_number"])
    assumed.update({f"{at}/{name}": value for name, value in USUAL_LENS.items() if name not in settings})
    lens = OneLens(
        settings.get("f_number"),
        settings["magnification"],
        settings.get("pupil_magnification", 1.0),
        settings.get("mounting") == "reversed",
    )
    if lens.f_number is not None:
        within(at, lambda: lens.effective_f_number)
    return lens


def through_set_up(document: requests.FrameSetUp, kit: Kit, at: str, assumed: Assumed) -> WholeSetUp:
    """Aperture through a whole set-up, with what it assumed; its refusals point into it."""
    whole = within(at, lambda: whole_set_up(document, kit))
    assumed.update({f"{at}{pointer}": value for pointer, value in whole.set_up.assumed.items()})
    return whole


def whole_set_up(document: requests.FrameSetUp, kit: Kit) -> WholeSetUp:
    """Evaluate a set-up whose aperture is determined; parts of the kit are described first."""
    if not uses_kit(document):
        return determined(document)
    with place_faults_as_sent(document):
        return determined(expand(document, kit))


def determined(document: requests.FrameSetUp) -> WholeSetUp:
    """Evaluate a set-up; refused where its aperture is not determined."""
    whole = WholeSetUp.of(document)
    _ = whole.effective_f_number
    return whole


def within(at: str, find: Callable[[], T]) -> T:
    """Let refusals of a nested object point to where it stands."""
    try:
        return pointers.place_refusal(at, find)
    except KitRefuses as error:
        raise KitRefuses([(at + pointer, text) for pointer, text in error.faults]) from None
