"""A focus stack: how many frames, and how far to move between two of them."""

from closeup_service.operations.asking.strict_json import JsonDict
from closeup_service.operations.chart.stack_chart.schemas import StackChartRequest
from closeup_service.operations.shoot.focus_stack.schemas import FocusStackRequest
from closeup_service.pages.task import Choice, Drawing, Example, Group, Step, Table, Task, inputs, same_names
from closeup_service.pages.tasks.common import SENSOR, SUBJECT_KINDS, at_sensor
from closeup_service.pages.tasks.known_lens import CAMERA_REGISTER, known_lens_group
from closeup_service.schemas.fields import declared_fields

STACK = declared_fields(FocusStackRequest)
CHART = declared_fields(StackChartRequest)
WORDS: dict[str, JsonDict] = {
    "subject_depth_mm": {"own_hint": "From the nearest point that is to be sharp to the farthest."},
    "method": {
        "own_label": "what moves",
        "own_hint": "A rail, under camera and lens together, where nothing is chosen.",
        "own_choices": (Choice("rail", "a rail"), Choice("ring", "the focus ring, or a standard of the bellows")),
    },
    "ring_moves": {
        "own_label": "with the ring or bellows, what moves",
        "own_hint": "The focal length is needed then.",
        "own_choices": (
            Choice("lens", "the lens, before a camera that stands still"),
            Choice("rear-standard", "the camera, behind a lens that stands still"),
        ),
    },
    "overlap": {
        "own_label": "overlap of two frames",
        "own_hint": "Share of the depth of one frame that the next one shows sharp as well, such as 20 %. 20 % where left out.",
    },
    "clearance_mm": {
        "own_label": "room in front",
        "own_hint": "From the subject's nearest point to the front of lens or lamp, focused on that point.",
    },
}

TASK = Task(
    slug="focus-stack",
    stage="shoot",
    title="Focus stack",
    question="How many frames does my stack need, and how far do I move between them?",
    lead="Say how deep the subject is, how large it is taken and at which aperture.",
    description=(
        "Calculate the number of frames and the step of a focus stack for a small subject, on a rail or by the ring, with "
        "a chart of what is sharp in each frame."
    ),
    groups=(
        Group(
            "Subject and picture",
            inputs(STACK, "subject_depth_mm", "magnification", "f_number", "sensor", sensor=SENSOR, **WORDS),
        ),
        Group("How you move", inputs(STACK, "method", "ring_moves", "overlap", "rail_step_um", **WORDS), aside=True),
        Group(
            "Lens",
            inputs(STACK, "mounting", "pupil_magnification", "focal_length_mm", "lens_register_mm"),
            aside=True,
        ),
        known_lens_group(register=(CAMERA_REGISTER,)),
        Group(
            "Room and time",
            inputs(STACK, "clearance_mm", "settle_s", "exposure_time_s", "flash_recycle_s", **WORDS)
            + inputs(STACK, "subject_kind", subject_kind=SUBJECT_KINDS),
            aside=True,
        ),
        Group(
            "What counts as sharp",
            inputs(
                STACK,
                *("model", "circle_of_confusion_mm", "pixel_pitch_um", "sensor_width_mm", "sensor_height_mm"),
                *("sensor_detail_lp_per_mm", "subject_detail_lp_per_mm", "contrast", "wavelength_nm"),
            ),
            aside=True,
        ),
    ),
    steps=(
        Step(
            "findFocusStack",
            at_sensor(same_names(STACK)),
            (
                *("frames", "step_mm", "depth_of_field/total_mm", "travel_mm", "overlap", "effective_f_number"),
                *("least_clearance_mm", "total_time_s", "magnification_change", "perspective_change"),
                *("frames_end_to_end", "frames_varying_step", "circle_of_confusion_mm"),
            ),
        ),
    ),
    drawings=(
        Drawing(
            "chartFocusStack",
            same_names(CHART, needs=("subject_depth_mm", "magnification", "f_number")),
            "The stack, frame by frame",
            ("frames", "step_mm"),
            (
                Table(
                    "rows",
                    "Frames of the stack, from the subject's nearest point",
                    ("position_mm", "sharp_from_mm", "sharp_to_mm", "overlap_with_next"),
                ),
            ),
        ),
    ),
    first=("frames", "step_mm", "depth_of_field/total_mm"),
    examples=(
        Example(
            "A seed head 4 mm deep at 2:1 and f/5.6 on 23.5 × 15.6 mm",
            {"subject_depth_mm": "4 mm", "magnification": "2:1", "f_number": "f/5.6", "sensor": "23.5x15.6"},
        ),
        Example(
            "A lichen 1.5 mm deep on a rail with steps of 10 µm, by flash",
            {
                "subject_depth_mm": "1.5 mm",
                "magnification": "2:1",
                "f_number": "f/5.6",
                "sensor": "23.5x15.6",
                "rail_step_um": "10 µm",
                "mounting": "reversed",
                "pupil_magnification": "1.3",
                "focal_length_mm": "35 mm",
                "clearance_mm": "62 mm",
                "settle_s": "2 s",
                "flash_recycle_s": "3 s",
            },
        ),
    ),
)
