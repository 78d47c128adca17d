"""The answer of `/v1/set-ups/evaluate` by columns: what one point gives, for every row at once."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
import numpy.typing as npt

from closeup_service.operations.one_lens import STOP_DECIMALS
from closeup_service.operations.set_up.depth_of_field.depth import FINITE, UNDETERMINED, UNLIMITED
from closeup_service.optics import formulas
from closeup_service.optics.arithmetic import Columns
from closeup_service.optics.diffraction import SAMPLING, end_defocus, nyquist_frequency, sensor_resolution_um
from closeup_service.optics.motion import UM_PER_MM
from closeup_service.optics.set_up import SetUp, evaluate
from closeup_service.optics.stack import OVERLAP, ROUNDING
from closeup_service.optics.wave import cutoff_frequency

AGREEMENT = 1e-6
BEYOND_PART = "invalid-fields"
"""Code of a row that a part of the kit does not allow: the type of problem with which a single set-up is refused."""

AnyColumn = npt.NDArray[Any]


@dataclass(frozen=True)
class Evaluated:
    """A set-up whose members are columns, evaluated: each result a column, or one value for all rows.

    None or NaN is what is not determined; `impossible` says which rows cannot be.
    """

    document: Mapping[str, Any]
    set_up: SetUp
    rows: int
    arithmetic: Columns

    @classmethod
    def of(cls, document: Mapping[str, Any], rows: int, beyond: Sequence[AnyColumn] = ()) -> "Evaluated":
        """Evaluate every row; run it under `numpy.errstate(all="ignore")`. Rows `beyond` their parts are refused already."""
        arithmetic = Columns(rows)
        for refused in beyond:
            arithmetic.note(refused, BEYOND_PART)
        set_up = evaluate(document, arithmetic)
        return cls(document, set_up, rows, arithmetic)

    @property
    def impossible(self) -> npt.NDArray[np.bool_]:
        """Which rows cannot be."""
        return self.arithmetic.impossible

    @property
    def problem(self) -> AnyColumn:
        """Code of what makes each row impossible, or ""."""
        return self.arithmetic.problem

    def result(self, name: str) -> Any:
        """One result by its dotted name."""
        if name in RESULTS:
            return RESULTS[name](self)
        return getattr(self.set_up, name)

    @cached_property
    def depth_total(self) -> Any:
        """Depth of field in all; NaN where it is not determined."""
        depth = self.set_up.depth
        return np.nan if depth is None else depth.front + depth.rear

    @cached_property
    def effective(self) -> Any:
        """Effective f-number; NaN where it is not determined."""
        return or_nan(self.set_up.effective_f_number)

    @cached_property
    def detail_contrast(self) -> tuple[Any, Any, Any] | None:
        """Contrast of the detail in focus and at the ends of the subject's depth, and whether it is still there at those."""
        criterion, m = self.set_up.criterion, self.set_up.magnification
        detail = criterion.frequency(m)
        if detail is None:
            return None
        whole, inverse = (or_nan(each) for each in (self.whole_depth, self.set_up.inverse_pupil_distance))
        in_focus = criterion.contrast_at(detail, 0.0, self.effective)
        return (in_focus, *criterion.contrast_at_ends(detail, end_defocus(whole, m, inverse), self.effective))

    @property
    def whole_depth(self) -> Any:
        """Depth of the subject; None where it is not given."""
        return self.document.get("subject_depth_mm")

    @property
    def pitch(self) -> Any:
        """Pixel pitch; NaN where it is not given."""
        return or_nan(self.set_up.criterion.pixel_pitch_um)

    @property
    def cutoff(self) -> Any:
        """Cut-off of diffraction on the sensor."""
        return cutoff_frequency(self.effective, self.set_up.criterion.wavelength_nm)

    @property
    def resolution(self) -> Any:
        """Distance that diffraction resolves on the sensor."""
        return sensor_resolution_um(self.effective, self.set_up.criterion.wavelength_nm)


def or_nan(value: Any) -> Any:
    """What is not determined is NaN in a column."""
    return np.nan if value is None else value


def light_loss(table: Evaluated) -> Any:
    """Stops lost, without the trace that rounding leaves of none at all."""
    loss = table.set_up.light_loss_stops
    return None if loss is None else np.round(loss, STOP_DECIMALS) + 0.0


def depth_side(side: str) -> Callable[[Evaluated], Any]:
    """Depth on one side, NaN where it is unlimited too."""

    def of(table: Evaluated) -> Any:
        return finite(np.nan if table.set_up.depth is None else getattr(table.set_up.depth, side))

    return of


def finite(value: Any) -> Any:
    """What is unlimited leaves as null."""
    unlimited = np.isinf(value)
    return np.where(unlimited, np.nan, value) if unlimited.any() else value


def extent(side: str) -> Callable[[Evaluated], Any]:
    """Word for one side of the depth."""

    def of(table: Evaluated) -> Any:
        depth = np.nan if table.set_up.depth is None else getattr(table.set_up.depth, side)
        return np.where(np.isnan(depth), UNDETERMINED, np.where(np.isinf(depth), UNLIMITED, FINITE))

    return of


def depth_of_focus(table: Evaluated) -> Any:
    """Depth of focus."""
    return None if table.set_up.depth is None else table.set_up.depth.depth_of_focus


def optimum_effective(table: Evaluated) -> Any:
    """Effective f-number that is best for the subject's depth; a flat subject has none."""
    optimum = table.set_up.optimum_effective_f_number
    return None if optimum is None else np.where(optimum == 0, np.nan, optimum)


def attainable_optimum(table: Evaluated) -> Any:
    """Marked f-number of the optimum, where the part whose stop governs still governs when it is set to that."""
    mark, part, wanted = table.set_up.optimum_f_number, table.set_up.aperture_stop, optimum_effective(table)
    if mark is None or part is None or wanted is None:
        return None
    train = [
        {**element, "f_number": np.where(part == index, mark, element["f_number"])}
        if "f_number" in element
        else element
        for index, element in enumerate(table.document["train"])
    ]
    again = Evaluated.of({**table.document, "train": train}, table.rows)
    reached = np.abs(again.effective / wanted - 1) < AGREEMENT
    return np.where(reached & ~again.impossible, mark, np.nan)


def stack_step(table: Evaluated) -> Any:
    """Step of a stack on a rail, where one frame is not enough."""
    whole = table.document.get("subject_depth_mm")
    return None if whole is None else np.where(table.depth_total >= whole, np.nan, (1 - OVERLAP) * table.depth_total)


def stack_frames(table: Evaluated) -> Any:
    """Frames of a stack on a rail."""
    whole = table.document.get("subject_depth_mm")
    if whole is None:
        return None
    total = table.depth_total
    moves = np.maximum(0, np.ceil((whole - total) / ((1 - OVERLAP) * total) - ROUNDING))
    return np.where(total >= whole, 1, moves + 1)


def allowed_movement(table: Evaluated) -> Any:
    """How far the subject may move."""
    blur = table.set_up.criterion.blur_mm
    return None if blur is None else blur * UM_PER_MM / table.set_up.magnification


def of_detail(place: int) -> Callable[[Evaluated], Any]:
    """One of the contrasts of the detail, where there is one."""

    def of(table: Evaluated) -> Any:
        return None if table.detail_contrast is None else table.detail_contrast[place]

    return of


def airy(table: Evaluated) -> Any:
    """Airy disk on the sensor."""
    return formulas.airy_diameter_um(table.effective, table.set_up.criterion.wavelength_nm)


def subject_resolution(table: Evaluated) -> Any:
    """Distance resolved on the subject."""
    na = formulas.numerical_aperture(table.set_up.magnification, table.effective)
    return formulas.subject_resolution_um(na, table.set_up.criterion.wavelength_nm)


def nyquist(table: Evaluated) -> Any:
    """Finest detail that the pixels can carry; null with all of diffraction where the aperture is not determined."""
    return None if table.set_up.effective_f_number is None else nyquist_frequency(table.pitch)


def nyquist_contrast(table: Evaluated) -> Any:
    """Contrast that diffraction leaves of the finest detail that the pixels can carry."""
    if table.set_up.criterion.pixel_pitch_um is None or table.set_up.effective_f_number is None:
        return None
    return table.set_up.criterion.optics_contrast(nyquist_frequency(table.pitch), 0.0, table.effective)


def filled_share(table: Evaluated) -> Any:
    """Share of the pixels that the image fills."""
    ratio = 2 * table.pitch / table.resolution
    return np.minimum(1.0, ratio * ratio)


def sampling(table: Evaluated) -> Any:
    """Which limits the detail: the pixels or diffraction."""
    undersampled, matched, oversampled = SAMPLING
    finest, resolution = nyquist_frequency(table.pitch), table.resolution
    words = np.where(finest >= table.cutoff, oversampled, matched)
    words = np.where(finest < 1000 / resolution, undersampled, words)
    return np.where(np.isnan(finest + resolution), "", words)


RESULTS: Mapping[str, Callable[[Evaluated], Any]] = {
    "light_loss_stops": light_loss,
    "depth_of_field.front_depth_mm": depth_side("front"),
    "depth_of_field.rear_depth_mm": depth_side("rear"),
    "depth_of_field.front_extent": extent("front"),
    "depth_of_field.rear_extent": extent("rear"),
    "depth_of_field.total_mm": lambda table: finite(table.depth_total),
    "depth_of_field.depth_of_focus_mm": depth_of_focus,
    "diffraction.wavelength_nm": lambda table: table.set_up.criterion.wavelength_nm,
    "diffraction.airy_diameter_um": airy,
    "diffraction.subject_airy_diameter_um": lambda table: airy(table) / table.set_up.magnification,
    "diffraction.sensor_resolution_um": lambda table: table.resolution,
    "diffraction.subject_resolution_um": subject_resolution,
    "diffraction.sensor_cutoff_lp_per_mm": lambda table: table.cutoff,
    "diffraction.subject_cutoff_lp_per_mm": lambda table: table.cutoff * table.set_up.magnification,
    "diffraction.nyquist_lp_per_mm": nyquist,
    "diffraction.nyquist_contrast": nyquist_contrast,
    "diffraction.filled_share": filled_share,
    "diffraction.sampling": sampling,
    "middle_contrast": of_detail(0),
    "end_contrast": of_detail(1),
    "ends_resolved": of_detail(2),
    "optimum_effective_f_number": optimum_effective,
    "optimum_f_number": attainable_optimum,
    "stack_frames": stack_frames,
    "stack_step_mm": stack_step,
    "allowed_movement_um": allowed_movement,
}
"""Results whose columns take more than the set-up's own."""
