"""The answer of `/v1/set-ups/evaluate` by columns: what one point gives, for every row at once."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import cached_property
from typing import TYPE_CHECKING, TypeAlias, cast

import numpy as np
from msgspec import Struct

from closeup_service.operations.one_lens import stops_in
from closeup_service.operations.set_up.depth_of_field.depth import extent
from closeup_service.operations.set_up.diffraction.members import Diffraction
from closeup_service.operations.set_up.table.schemas import AnyColumn
from closeup_service.optics.arithmetic import BoolArray, Columns, Condition, Real, Words
from closeup_service.optics.diffraction import end_defocus
from closeup_service.optics.motion import movement_drawing
from closeup_service.optics.stack import usual_frames, usual_step
from closeup_service.set_ups.lens_light import is_wanted
from closeup_service.set_ups.set_up import SetUp, evaluate, set_mark

if TYPE_CHECKING:
    from closeup_service.records import requests

BEYOND_PART = "invalid-fields"
"""Code of a row that a part of the kit does not allow: the type of problem with which a single set-up is refused."""

CONTRASTS = ("middle_contrast", "end_contrast", "ends_resolved")
"""Results of charts that take contrast sums where a detail is given."""

DIFFRACTION = "diffraction."
"""What the names of its members begin with."""

Result: TypeAlias = Real | Words | AnyColumn | None
"""A column of numbers or words, or one value for all rows; None where it is not determined."""


class Evaluated(Struct, frozen=True, dict=True):
    """A set-up whose members are columns, evaluated: each result a column, or one value for all rows.

    None or NaN is what is not determined; `impossible` says which rows cannot be.
    """

    document: requests.FrameSetUp[Real]
    set_up: SetUp[Real]
    rows: int
    arithmetic: Columns

    @classmethod
    def of(cls, document: requests.FrameSetUp[Real], rows: int, beyond: Sequence[BoolArray] = ()) -> Evaluated:
        """Evaluate every row; run it under `numpy.errstate(all="ignore")`. Rows `beyond` their parts are refused already."""
        arithmetic = Columns(rows)
        for refused in beyond:
            arithmetic.note(refused, BEYOND_PART)
        set_up = evaluate(document, arithmetic)
        return cls(document, set_up, rows, arithmetic)

    @property
    def impossible(self) -> BoolArray:
        """Which rows cannot be."""
        return self.arithmetic.impossible

    @property
    def problem(self) -> AnyColumn:
        """Code of what makes each row impossible, or ""."""
        return self.arithmetic.problem

    def result(self, name: str) -> Result:
        """One result by its dotted name."""
        if name in RESULTS:
            return RESULTS[name](self)
        if name.startswith(DIFFRACTION):
            return None if self.diffraction is None else getattr(self.diffraction, name.removeprefix(DIFFRACTION))
        result: Result = getattr(self.set_up, name)
        return result

    @cached_property
    def depth_total(self) -> Real:
        """Depth of field in all; NaN where it is not determined."""
        return np.nan if self.set_up.depth is None else self.set_up.depth.total

    @cached_property
    def effective(self) -> Real:
        """Effective f-number; NaN where it is not determined."""
        return or_nan(self.set_up.effective_f_number)

    @cached_property
    def detail_contrast(self) -> tuple[Real, Real, Condition] | None:
        """Contrast of the detail in focus and at the ends of the subject's depth, and whether it is still there at those."""
        criterion, m = self.set_up.criterion, self.set_up.magnification
        detail = criterion.frequency(m)
        if detail is None:
            return None
        whole, inverse = (or_nan(each) for each in (self.whole_depth, self.set_up.inverse_pupil_distance))
        in_focus = criterion.contrast_at(detail, 0.0, self.effective)
        return (in_focus, *criterion.contrast_at_ends(detail, end_defocus(whole, m, inverse), self.effective))

    @property
    def whole_depth(self) -> Real | None:
        """Depth of the subject; None where it is not given."""
        return self.document.get("subject_depth_mm")

    @property
    def diffraction(self) -> Diffraction[Real] | None:
        """What diffraction leaves; None where the aperture is not determined."""
        if self.set_up.effective_f_number is None:
            return None
        return Diffraction(self.set_up.criterion, self.effective, self.set_up.magnification, self.arithmetic)


def with_numpy_numbers(document: requests.FrameSetUp[Real]) -> requests.FrameSetUp[Real]:
    """Document whose numbers are numpy's own: where a sum divides by zero, they go on as columns do."""
    return cast("requests.FrameSetUp[Real]", use_numpy_numbers(document))


def use_numpy_numbers(value: object) -> object:
    """Numbers of a part of a document as numpy's own."""
    if isinstance(value, float):
        return np.float64(value)
    if isinstance(value, Mapping):
        return {name: use_numpy_numbers(member) for name, member in value.items()}
    return [use_numpy_numbers(item) for item in value] if isinstance(value, list) else value


def or_nan(value: Real | None) -> Real:
    """What is not determined is NaN in a column."""
    return np.nan if value is None else value


def light_loss(table: Evaluated) -> Result:
    """Stops lost, without the trace that rounding leaves of none at all."""
    loss = table.set_up.light_loss_stops
    return None if loss is None else stops_in(loss, table.arithmetic)


def depth_side(side: str) -> Callable[[Evaluated], Result]:
    """Depth on one side, NaN where it is unlimited too."""

    def of(table: Evaluated) -> Result:
        return finite(np.nan if table.set_up.depth is None else getattr(table.set_up.depth, side))

    return of


def finite(value: Real) -> Real:
    """What is unlimited leaves as null."""
    unlimited = np.isinf(value)
    return np.where(unlimited, np.nan, value) if unlimited.any() else value


def extent_of(side: str) -> Callable[[Evaluated], Result]:
    """Word for one side of the depth."""

    def of(table: Evaluated) -> Result:
        return extent(np.nan if table.set_up.depth is None else getattr(table.set_up.depth, side), table.arithmetic)

    return of


def depth_of_focus(table: Evaluated) -> Result:
    """Depth of focus."""
    return None if table.set_up.depth is None else table.set_up.depth.depth_of_focus


def attainable_optimum(table: Evaluated) -> Result:
    """Marked f-number of the optimum, where the part whose stop governs still governs when it is set to that."""
    mark, stop, wanted = (
        getattr(table.set_up, name) for name in ("optimum_f_number", "aperture_stop", "optimum_effective_f_number")
    )
    if mark is None or stop is None or wanted is None:
        return None
    again = Evaluated.of(set_mark(table.document, stop, mark, table.arithmetic), table.rows)
    return np.where(is_wanted(again.effective, wanted) & ~again.impossible, mark, np.nan)


def of_stack(calculate: Callable[[Real, Real, Columns], Real]) -> Callable[[Evaluated], Result]:
    """Step or frames of a stack on a rail, where the subject's depth is given."""

    def of(table: Evaluated) -> Result:
        whole = table.whole_depth
        return None if whole is None else calculate(table.depth_total, whole, table.arithmetic)

    return of


def allowed_movement(table: Evaluated) -> Result:
    """How far the subject may move."""
    blur = table.set_up.criterion.blur_mm
    return None if blur is None else movement_drawing(blur, table.set_up.magnification)


def of_detail(place: int) -> Callable[[Evaluated], Result]:
    """One of the contrasts of the detail, where there is one."""

    def of(table: Evaluated) -> Result:
        return None if table.detail_contrast is None else table.detail_contrast[place]

    return of


def wavelength(table: Evaluated) -> Result:
    """Wavelength, which is told without an aperture too."""
    return table.set_up.criterion.wavelength_nm


RESULTS: Mapping[str, Callable[[Evaluated], Result]] = {
    "light_loss_stops": light_loss,
    "depth_of_field.front_depth_mm": depth_side("front"),
    "depth_of_field.rear_depth_mm": depth_side("rear"),
    "depth_of_field.front_extent": extent_of("front"),
    "depth_of_field.rear_extent": extent_of("rear"),
    "depth_of_field.total_mm": lambda table: finite(table.depth_total),
    "depth_of_field.depth_of_focus_mm": depth_of_focus,
    f"{DIFFRACTION}wavelength_nm": wavelength,
    "middle_contrast": of_detail(0),
    "end_contrast": of_detail(1),
    "ends_resolved": of_detail(2),
    "optimum_f_number": attainable_optimum,
    "stack_frames": of_stack(usual_frames),
    "stack_step_mm": of_stack(usual_step),
    "allowed_movement_um": allowed_movement,
}
"""Results whose columns take more than the set-up's own."""
