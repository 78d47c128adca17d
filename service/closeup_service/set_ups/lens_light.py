"""Three ways to say which aperture the light of a frame passes: a stated one, one lens, or a whole set-up."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Protocol, Self, cast

from msgspec import Struct

from closeup_service.language import tr
from closeup_service.optics import formulas
from closeup_service.optics.arithmetic import Condition, R, absolute
from closeup_service.optics.errors import ApertureImpossible, OpticsError, Undetermined
from closeup_service.optics.formulas import refuse_wide
from closeup_service.set_ups.set_up import SetUp, evaluate, set_mark
from closeup_service.set_ups.solve import solve

if TYPE_CHECKING:
    from closeup_service.records import requests

AGREEMENT = 1e-6
"""An aperture that misses what is wanted by a greater share is another stop's."""


def is_wanted(reached: R, wanted: R) -> Condition:
    """Whether an effective f-number is the one that is wanted; NaN is not.

    Parameters
    ----------
    wanted : float or array, value of the target
    """
    return absolute(reached / wanted - 1) < AGREEMENT


class LensLight(Protocol):
    """The aperture of a frame: what it is, and what other marks and magnifications would make of it."""

    @property
    def effective_f_number(self) -> float:
        """Effective f-number."""

    @property
    def f_number(self) -> float | None:
        """Mark of the stop that governs; None where there is none."""

    def mark_for(self, effective: float) -> float | None:
        """Mark that gives this effective f-number; None where none does."""

    def effective_f_number_at(self, f_number: float) -> float | None:
        """Effective f-number at another mark; None where there is no mark to set."""

    def refocus(self, magnification: float) -> tuple[Self, float | None]:
        """Return the same at another magnification, and the length [mm] that had to change for it, where there is one."""


class Stated(Struct, frozen=True):
    """An effective f-number, as it is."""

    effective_f_number: float
    f_number: None = None

    def mark_for(self, effective: float) -> None:
        """No mark is known."""

    def effective_f_number_at(self, f_number: float) -> None:
        """No mark is known."""

    def refocus(self, magnification: float) -> tuple[Self, None]:
        """Return itself: nothing is known of the lens."""
        return self, None


class OneLens(Struct, frozen=True):
    """One lens by its mark, its magnification and its pupils; without a mark one can only ask which it must be."""

    f_number: float | None
    magnification: float
    pupil_magnification: float
    reversed: bool

    @property
    def effective_f_number(self) -> float:
        """Effective f-number; refused where air admits none so small."""
        assert self.f_number is not None
        effective = self.effective_f_number_at(self.f_number)
        refuse_wide(effective, self.magnification, tr("Use a larger f_number."), "/f_number")
        return effective

    def effective_f_number_at(self, f_number: float) -> float:
        """Effective f-number at another mark."""
        return formulas.effective_as_mounted(f_number, self.magnification, self.pupil_magnification, self.reversed)

    def mark_for(self, effective: float) -> float | None:
        """Mark that gives this effective f-number: both are in proportion; None where air admits none so small."""
        try:
            refuse_wide(effective, self.magnification, "")
        except ApertureImpossible:
            return None
        return effective / self.effective_f_number_at(1.0)

    def refocus(self, magnification: float) -> tuple[OneLens, None]:
        """Return the same lens at another magnification."""
        return OneLens(self.f_number, magnification, self.pupil_magnification, self.reversed), None


class WholeSetUp(Struct, frozen=True):
    """A set-up document and what it does."""

    document: requests.FrameSetUp
    set_up: SetUp

    @classmethod
    def of(cls, document: requests.FrameSetUp) -> Self:
        """Evaluate a document, after solving its open length when one is asked for."""
        if "solve" not in document:
            return cls(document, evaluate(document))
        request = document["solve"]
        target, wanted = next(iter(cast("Mapping[str, float]", request["target"]).items()))
        solved = solve(document, request["unknown"], target, wanted, request["minimum"], request["maximum"])
        return cls({**solved.document, "solve": request}, solved.set_up)

    @property
    def effective_f_number(self) -> float:
        """Effective f-number; refused where the document does not determine it."""
        if self.set_up.effective_f_number is None:
            needs = self.set_up.needs.get("effective_f_number", ())
            raise Undetermined(
                tr("The aperture is not determined without {needs}.", needs=tr(" and ").join(needs) or tr("a stop")),
                *needs,
            )
        return float(self.set_up.effective_f_number)

    @property
    def f_number(self) -> float | None:
        """Mark of the part whose stop governs; None where it bears none."""
        part = self.set_up.aperture_stop
        governing = None if part is None else self.document["train"][int(part)]
        return governing.get("f_number") if governing is not None and governing["element"] == "lens" else None

    def mark_for(self, effective: float) -> float | None:
        """Mark of the part whose stop governs, where it still governs when it is set to that."""
        mark = self.f_number
        if mark is None:
            return None
        wanted = formulas.mark_in_proportion(effective, mark, self.effective_f_number)
        reached = self.effective_f_number_at(wanted)
        return wanted if reached is not None and is_wanted(reached, effective) else None

    def effective_f_number_at(self, f_number: float) -> float | None:
        """Effective f-number with another mark on the part whose stop governs now; None where that cannot be."""
        part = self.set_up.aperture_stop
        if self.f_number is None or part is None:
            return None
        try:
            effective: float | None = evaluate(set_mark(self.document, part, f_number)).effective_f_number
        except OpticsError:
            return None
        return effective

    def refocus(self, magnification: float) -> tuple[WholeSetUp, float]:
        """Return the set-up with its open length solved for another magnification, and that length [mm]."""
        request = self.document["solve"]
        solved = solve(
            self.document, request["unknown"], "magnification", magnification, request["minimum"], request["maximum"]
        )
        return WholeSetUp({**solved.document, "solve": request}, solved.set_up), solved.value
