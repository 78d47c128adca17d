"""What the service answers of whole set-ups, one at a time or in tables; names and units are those of `results`."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from closeup_client.answer import Answer, WorkedAnswer
from closeup_client.exposure_results import Exposure
from closeup_client.results import ClearOpening, DepthOfField, Diffraction


@dataclass(frozen=True, kw_only=True)
class SetUpResults:
    """What a set-up comes to, or the uncertainty of that; lengths in mm."""

    subject_width_mm: float | None
    subject_height_mm: float | None
    working_distance_mm: float | None
    clearance_mm: float | None
    subject_to_sensor_mm: float | None
    rig_length_mm: float | None
    effective_f_number: float | None
    numerical_aperture: float | None
    light_loss_stops: float | None
    optimum_effective_f_number: float | None
    optimum_f_number: float | None


@dataclass(frozen=True, kw_only=True)
class SetUpUncertainty(SetUpResults):
    """Standard uncertainty of each result of a set-up, or half its 95 % interval; None where it has none.

    The depths are of the depth of field.
    """

    magnification: float | None
    front_depth_mm: float | None
    rear_depth_mm: float | None
    total_mm: float | None
    depth_of_focus_mm: float | None


@dataclass(frozen=True, kw_only=True)
class Solved:
    """The open length: its JSON pointer in the document, and its value in mm."""

    pointer: str
    value: float


@dataclass(frozen=True, kw_only=True)
class SetUpAnswer(SetUpResults, WorkedAnswer):
    """Everything about one set-up; `aperture_stop` is the index in the train of the part whose stop governs."""

    magnification: float
    aperture_stop: int | None
    depth_of_field: DepthOfField
    diffraction: Diffraction
    stack_frames: int | None
    stack_step_mm: float | None
    allowed_movement_um: float | None
    solved: Solved | None = None
    exposure: Exposure | None = None
    clear_opening: ClearOpening | None = None
    uncertainty: SetUpUncertainty | None = None
    expanded_uncertainty: SetUpUncertainty | None = None
    kit_revision: str | None = None


@dataclass(frozen=True, kw_only=True)
class TableAnswer(Answer):
    """Results by columns, under the names asked for; None where a row is impossible or the set-up leaves it open.

    `problem` has the code of what makes each row impossible, or None.
    """

    rows: int
    columns: Mapping[str, Any] = field(hash=False)
    problem: tuple[str | None, ...]
    kit_revision: str | None = None
