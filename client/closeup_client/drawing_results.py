"""What stands beside the drawings of a set-up; lengths in mm, along the axis from the subject plane towards the sensor."""

from dataclasses import dataclass

from closeup_client.answer import Answer
from closeup_client.exposure_results import Exposure
from closeup_client.results import DepthOfField
from closeup_client.set_up_results import Solved


@dataclass(frozen=True, kw_only=True)
class DrawnPart:
    """One part as drawn: its faces along the axis, and diameters; where one is not known it was chosen for the drawing."""

    pointer: str
    kind: str
    name: str
    settings: str
    start_mm: float
    end_mm: float
    length_known: bool
    diameter_mm: float
    diameter_known: bool
    clear_diameter_mm: float | None


@dataclass(frozen=True, kw_only=True)
class PlacesAnswer(Answer):
    """Where everything stands along the axis; the subject's width and height are those that fill the frame."""

    magnification: float
    subject_width_mm: float | None
    subject_height_mm: float | None
    working_distance_mm: float | None
    clearance_mm: float | None
    rig_length_mm: float | None
    subject_to_sensor_mm: float | None
    flange_mm: float
    sensor_mm: float
    entrance_pupil_mm: float | None
    entrance_pupil_diameter_mm: float | None
    parts: tuple[DrawnPart, ...]
    solved: Solved | None = None
    kit_revision: str | None = None


@dataclass(frozen=True, kw_only=True)
class DrawingAnswer(PlacesAnswer):
    """The data beside the side view; `scale_broken` where a piece of the way to the subject is left out."""

    scale_broken: bool


@dataclass(frozen=True, kw_only=True)
class FrameDrawingAnswer(Answer):
    """How the subject fills the frame, as shares of its width, height and area, and how much of its depth is sharp."""

    magnification: float
    frame_width_mm: float
    frame_height_mm: float
    subject_width_mm: float
    subject_height_mm: float
    filled_width_share: float
    filled_height_share: float
    filled_area_share: float
    overflows: bool
    depth_of_field: DepthOfField
    sharp_depth_share: float | None
    solved: Solved | None = None
    kit_revision: str | None = None


@dataclass(frozen=True, kw_only=True)
class SheetAnswer(PlacesAnswer):
    """What the sheet tells; `link` asks for it again, from the service's own address."""

    heading: str
    effective_f_number: float | None
    light_loss_stops: float | None
    optimum_f_number: float | None
    depth_of_field: DepthOfField
    stack_frames: int | None
    stack_step_mm: float | None
    exposure: Exposure | None = None
    link: str | None
