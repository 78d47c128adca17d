"""What a set-up gives: its parts on a bench, of the kit or typed in, along the light path."""

from closeup_service.operations.set_up.evaluate.schemas import CameraSchema, SetUpRequest, SolveSchema, TargetSchema
from closeup_service.operations.set_up.frame_drawing.schemas import FrameDrawingRequest
from closeup_service.pages.task import Example, Group, Input, Step, Task, inputs
from closeup_service.pages.tasks.common import SENSOR, cameras
from closeup_service.pages.tasks.known_lens import ESTIMATE_FIELD
from closeup_service.pages.tasks.set_up_drawings import DRAWINGS, DRAWN_HEIGHT, DRAWN_WIDTH, LEADS
from closeup_service.pages.tasks.train_form import request
from closeup_service.pages.workbench.arranging import arrange
from closeup_service.pages.workbench.bench import FIND
from closeup_service.schemas.fields import declared_fields
from closeup_service.schemas.train import KitPartSchema

CAMERA = declared_fields(CameraSchema)
SET_UP = declared_fields(SetUpRequest)
FRAME = declared_fields(FrameDrawingRequest)
TARGET = declared_fields(TargetSchema)
WHOLE = (
    "subject_depth_mm",
    "depth_of_field_model",
    "wavelength_nm",
    "sensor_detail_lp_per_mm",
    "subject_detail_lp_per_mm",
)
LENGTH_TO_FIND = Input(
    *(FIND, "unknown", declared_fields(SolveSchema)["unknown"], "length to find"),
    own_hint="Only where it is not the one that is blank.",
    own_choices=(),
    own_usual="the one that is blank",
)
DRAWN = Group(
    "The subject, drawn into the frame",
    (
        Input(DRAWN_WIDTH, "subject_width_mm", FRAME["subject_width_mm"], "width of the subject"),
        Input(DRAWN_HEIGHT, "subject_height_mm", FRAME["subject_height_mm"], "height of the subject"),
    ),
    aside=True,
)
DOCUMENT = Input(
    *("document", "document", declared_fields(KitPartSchema)["use"], "open a set-up that was kept as data"),
    "In JSON, as this service gives it. It opens with its parts as cards.",
    is_document=True,
)


TASK = Task(
    slug="set-up",
    stage="set up",
    title="What a set-up gives",
    question="What do these parts give when I put them together?",
    lead=(
        "Put the set-up together from the kit, or type what stands on the parts. Everything about it follows: magnification, "
        "working distance, true aperture, depth, diffraction."
    ),
    description=(
        "Put a close-up set-up together from lens, tubes, bellows and close-up lenses, and work out magnification, working "
        "distance, effective aperture, depth of field and diffraction."
    ),
    groups=(
        Group(
            "Camera",
            (
                Input("camera", "use", CAMERA["use"], "camera of the kit", "Or describe one below.", cameras),
                *inputs(
                    CAMERA,
                    "register_mm",
                    register_mm={
                        "own_label": "register of another camera",
                        "own_hint": "Mount flange to sensor.",
                        "own_missing": "Choose a camera of the kit, or enter the register of yours.",
                    },
                ),
                *inputs(CAMERA, "sensor", sensor=SENSOR),
            ),
        ),
        Group(
            "Find a length: how far to draw out the bellows",
            (
                Input(
                    "target_subject_width_mm", "subject_width_mm", TARGET["subject_width_mm"], "subject width wanted"
                ),
                Input("target_magnification", "magnification", TARGET["magnification"], "or magnification wanted"),
                Input(
                    *("target_working_distance_mm", "working_distance_mm", TARGET["working_distance_mm"]),
                    "or working distance wanted",
                ),
                LENGTH_TO_FIND,
            ),
            aside=True,
            lead="Give one of these, and leave the length of the bellows or of one tube blank: that length is calculated.",
        ),
        Group(
            "What counts as sharp",
            (
                *inputs(SET_UP, *WHOLE),
                *inputs(CAMERA, "circle_of_confusion_mm", "pixel_pitch_um", "sensor_width_mm", "sensor_height_mm"),
            ),
            aside=True,
        ),
        Group("Lenses that are not known", (ESTIMATE_FIELD,), aside=True),
        DRAWN,
    ),
    opens=(DOCUMENT,),
    arrange=arrange,
    steps=(
        Step(
            "evaluateSetUp",
            request,
            (
                *("magnification", "working_distance_mm", "clearance_mm", "effective_f_number", "solved/value"),
                *("depth_of_field/total_mm", "depth_of_field/front_depth_mm", "depth_of_field/rear_depth_mm"),
                *("light_loss_stops", "numerical_aperture", "subject_width_mm", "subject_height_mm"),
                *("subject_to_sensor_mm", "rig_length_mm", "diffraction/subject_resolution_um"),
                *(
                    "diffraction/airy_diameter_um",
                    "optimum_f_number",
                    "stack_frames",
                    "stack_step_mm",
                    "allowed_movement_um",
                ),
            ),
        ),
    ),
    drawings=DRAWINGS,
    leads=LEADS,
    first=("solved/value", "magnification", "working_distance_mm", "effective_f_number", "depth_of_field/total_mm"),
    examples=(
        Example(
            "The kit's 50 mm lens reversed on a tube of 16 mm",
            {
                "part1": "normal-50",
                "part1_f_number": "f/8",
                "part1_reversed": "yes",
                "part2": "reversing-49",
                "part3": "tube-16",
                "camera": "field-camera",
                "subject_depth_mm": "1",
            },
            of_demo_kit=True,
        ),
        Example(
            "The 35 mm lens reversed on bellows, for a subject 12 mm wide: how far to draw them out",
            {
                "part1": "wide-35",
                "part1_f_number": "8",
                "part1_reversed": "yes",
                "part2": "step-up-49-52",
                "part3": "reversing-52-house",
                "part4": "table-bellows",
                "camera": "field-camera",
                "target_subject_width_mm": "12 mm",
            },
            of_demo_kit=True,
        ),
        Example(
            "A seed 6 mm wide with any 50 mm lens, reversed on bellows: how far to draw them out",
            {
                "part1": "typed_lens",
                "part1_focal_length_mm": "50",
                "part1_f_number": "5,6",
                "part1_reversed": "yes",
                "part2": "typed_spacer",
                "register_mm": "44",
                "sensor": "23.5x15.6",
                "target_subject_width_mm": "6 mm",
            },
        ),
        Example(
            "A 28 mm lens reversed on 7 mm of rings, of which nothing else is known",
            {
                "part1": "typed_lens",
                "part1_focal_length_mm": "28 mm",
                "part1_reversed": "yes",
                "part2": "typed_spacer",
                "part2_length_mm": "7 mm",
                "register_mm": "44",
            },
        ),
        Example(
            "A lens of 50 mm on 20 mm of tubes, typed",
            {
                "part1": "typed_lens",
                "part1_focal_length_mm": "50 mm",
                "part1_f_number": "f/5.6",
                "part1_front_principal_plane_mm": "27",
                "part1_register_mm": "18",
                "part2": "typed_spacer",
                "part2_length_mm": "20 mm",
                "register_mm": "18",
                "sensor": "23.5x15.6",
            },
        ),
    ),
)
