"""Frames that state no aperture: both are taken at the same mark, which then does not count."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from closeup_service.advice import exposure_remarks
from closeup_service.advice.remark import Remark
from closeup_service.operations.light.exposure.schemas import members_of
from closeup_service.set_ups.lens_light import LensLight, OneLens

if TYPE_CHECKING:
    from closeup_service.records import answers, requests

ANY_MARK = 8.0
"""Stands for the mark of both frames: every mark gives the same change of the light."""
POINTER = "/reference/f_number"
APERTURES = ("f_number", "effective_f_number")
UNKNOWN, NEEDED = "unknown", "magnification"
OWN_APERTURE = ("reference_set_up", "planned_set_up", "ambient", "finder")
"""Members of a request that state an aperture, or for which its value counts."""


class AnyMark(OneLens, frozen=True):
    """One lens at a mark that is not known."""

    def mark_for(self, effective: float) -> None:
        """No mark is known."""

    def refocus(self, magnification: float) -> tuple[AnyMark, None]:
        """Return the same lens at another magnification."""
        return AnyMark(self.f_number, magnification, self.pupil_magnification, self.reversed), None


def is_any_mark(sent: Mapping[str, object]) -> bool:
    """Whether no frame of a request states an aperture, and none is asked for."""
    if sent.get(UNKNOWN) == APERTURES[0] or any(name in sent for name in OWN_APERTURE):
        return False
    frames = [members_of(sent, name) for name in ("reference", "planned")]
    return NEEDED in frames[0] and not any(name in frame for frame in frames for name in APERTURES)


def assume_mark(asked: requests.ExposureRequest) -> requests.ExposureRequest:
    """Request with a mark for both frames, where it states none."""
    return {**asked, "reference": {**asked["reference"], "f_number": ANY_MARK}} if is_any_mark(asked) else asked


def drop_mark(lens: LensLight) -> LensLight:
    """Return the lens with a mark that nobody states, so that no other one is advised."""
    if not isinstance(lens, OneLens):
        return lens
    return AnyMark(lens.f_number, lens.magnification, lens.pupil_magnification, lens.reversed)


def drop_planned_mark(members: answers.ExposureMembers) -> answers.ExposureMembers:
    """Members of an answer that do not tell a mark which nobody stated."""
    planned = members["planned"].copy()
    planned.pop("f_number", None)
    return {**members, "planned": planned}


def note_on_mark(asked: requests.ExposureRequest, assumed: dict[str, float | str]) -> list[Remark]:
    """Say which mark stands for that of both frames, where the request states none."""
    if not is_any_mark(asked):
        return []
    assumed[POINTER] = ANY_MARK
    return [exposure_remarks.same_mark(ANY_MARK)]
