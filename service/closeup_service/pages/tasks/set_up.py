"""What a set-up gives: parts of the kit, or typed ones, or a whole document."""

from collections.abc import Callable, Sequence

from msgspec.structs import replace

from closeup_service.gear.kit import Kit, Part
from closeup_service.operations.set_up.evaluate.schemas import CameraSchema, SetUpRequest, TargetSchema
from closeup_service.operations.set_up.frame_drawing.schemas import FrameDrawingRequest
from closeup_service.pages.task import Choice, Example, Group, Input, Members, Step, Task, inputs
from closeup_service.pages.tasks.common import SENSOR, cameras
from closeup_service.pages.tasks.document_fields import groups_of
from closeup_service.pages.tasks.known_lens import document_group, known_lens_group
from closeup_service.pages.tasks.set_up_drawings import DRAWINGS, DRAWN_HEIGHT, DRAWN_WIDTH, LEADS
from closeup_service.pages.tasks.train_form import BETWEEN, LENS_NAMES, WHOLE, request
from closeup_service.schemas.fields import declared_fields
from closeup_service.schemas.train import (
    CloseUpLensSchema,
    KitPartSchema,
    LensSchema,
    SpacerSchema,
)

CAMERA = declared_fields(CameraSchema)
SET_UP = declared_fields(SetUpRequest)
FRAME = declared_fields(FrameDrawingRequest)
LENS = declared_fields(LensSchema)
SPACER = declared_fields(SpacerSchema)
CLOSE_UP = declared_fields(CloseUpLensSchema)
KIT_PART = declared_fields(KitPartSchema)
TARGET = declared_fields(TargetSchema)


def part_choices(parts: Sequence[Part]) -> list[Choice]:
    """Parts of the kit that can be used."""
    return [
        Choice(part.id, part.name if part.available else f"{part.name} (not at hand)") for part in parts if part.owned
    ]


def lenses(kit: Kit) -> list[Choice]:
    """Lenses of the kit, at each of their settings."""
    return [
        Choice(
            f"{each.id}{BETWEEN}{setting.id}" if len(each.settings) > 1 else each.id,
            f"{each.name}, {setting.id}" if len(each.settings) > 1 else each.name,
        )
        for each in kit.lenses
        if each.owned
        for setting in each.settings
    ]


def choice_field(
    name: str, words: str, choices: Callable[[Kit], Sequence[Choice]], hint: str, several: bool = False
) -> Input:
    """Field that chooses from the kit."""
    return Input(name, "use", KIT_PART["use"], words, hint, choices, several)


DRAWN = Group(
    "The subject, drawn into the frame",
    (
        Input(DRAWN_WIDTH, "subject_width_mm", FRAME["subject_width_mm"], "width of the subject"),
        Input(DRAWN_HEIGHT, "subject_height_mm", FRAME["subject_height_mm"], "height of the subject"),
    ),
    aside=True,
)
DOCUMENT = Input(
    *("document", "document", KIT_PART["use"], "set-up in JSON"),
    "As /v1/set-ups/evaluate takes it, for any order of parts, in place of camera, lens and all else: leave those blank. Once "
    "it is read, what it states can be changed in fields of its own.",
    is_document=True,
)


def document_task(document: Members, kit: Kit) -> Task:
    """Return the task for a set-up that came as a document."""
    return replace(
        TASK,
        lead="These fields are those of the set-up that was opened: what is changed here is changed in it.",
        groups=(*groups_of(document, kit, WHOLE), document_group(), DRAWN),
        carried=(DOCUMENT,),
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
                    register_mm={"own_label": "register of another camera", "own_hint": "Mount flange to sensor."},
                ),
                *inputs(CAMERA, "sensor", sensor=SENSOR),
            ),
        ),
        Group(
            "Lens",
            (
                choice_field("lens", "lens of the kit", lenses, "Or describe one below."),
                *inputs(
                    LENS,
                    "reversed",
                    "f_number",
                    reversed={"own_label": "reversed", "own_hint": "It stands back to front."},
                ),
            ),
        ),
        Group(
            "A lens that is not in the kit",
            (
                *inputs(LENS, *LENS_NAMES[:3]),
                Input("lens_register_mm", "lens_register_mm", LENS["register_mm"]),
                *inputs(LENS, *LENS_NAMES[3:], "focusing_extension_mm"),
            ),
            aside=True,
        ),
        known_lens_group(),
        Group(
            "Behind the lens: rings, tubes, bellows",
            (
                choice_field(
                    *("part", "rings and tubes of the kit"),
                    lambda kit: part_choices((*kit.rings, *kit.tubes)),
                    "Tick all that stand between lens and camera.",
                    several=True,
                ),
                choice_field(
                    "bellows",
                    "bellows of the kit",
                    lambda kit: part_choices(kit.bellows),
                    "How far they are drawn out comes next.",
                ),
                Input(
                    "bellows_mm",
                    "length_mm",
                    KIT_PART["length_mm"],
                    "bellows drawn out to",
                    "Between their two faces.",
                ),
                Input(
                    "tube_mm",
                    "length_mm",
                    SPACER["length_mm"],
                    "other tubes and rings",
                    "Their lengths, added up.",
                ),
                choice_field(
                    "converter", "converter of the kit", lambda kit: part_choices(kit.converters), "Next to the camera."
                ),
            ),
            aside=True,
        ),
        Group(
            "Before the lens: close-up lens, objective",
            (
                choice_field(
                    *("before", "close-up lens or objective of the kit"),
                    lambda kit: part_choices((*kit.close_up_lenses, *kit.objectives)),
                    "It stands in front of the lens; a finite objective stands alone.",
                ),
                Input("close_up_power_dpt", "power_dpt", CLOSE_UP["power_dpt"], "another close-up lens, power"),
                Input(
                    *("close_up_focal_length_mm", "focal_length_mm", CLOSE_UP["focal_length_mm"]),
                    *("or its focal length", "Of the close-up lens."),
                ),
            ),
            aside=True,
        ),
        Group(
            "Find the length for a target",
            tuple(
                Input(f"target_{name}", name, TARGET[name], f"{words} wanted")
                for name, words in (
                    ("magnification", "magnification"),
                    ("subject_width_mm", "subject width"),
                    ("working_distance_mm", "working distance"),
                )
            ),
            aside=True,
            lead="Give one of these and leave the bellows, or the other tubes, without a length: it is found.",
        ),
        Group(
            "What counts as sharp",
            (
                *inputs(SET_UP, *WHOLE),
                *inputs(CAMERA, "circle_of_confusion_mm", "pixel_pitch_um", "sensor_width_mm", "sensor_height_mm"),
            ),
            aside=True,
        ),
        DRAWN,
        Group("A whole set-up as a document", (DOCUMENT,), aside=True),
    ),
    of_document=document_task,
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
                "camera": "field-camera",
                "lens": "normal-50",
                "reversed": "yes",
                "f_number": "f/8",
                "part": ("reversing-49", "tube-16"),
                "subject_depth_mm": "1",
            },
            of_demo_kit=True,
        ),
        Example(
            "The 35 mm lens reversed on bellows, for a subject 12 mm wide",
            {
                "camera": "field-camera",
                "lens": "wide-35",
                "reversed": "yes",
                "f_number": "8",
                "part": ("reversing-52-house", "step-up-49-52"),
                "bellows": "table-bellows",
                "target_subject_width_mm": "12 mm",
            },
            of_demo_kit=True,
        ),
        Example(
            "A 28 mm lens reversed on 7 mm of rings, of which nothing else is known",
            {"register_mm": "44", "reversed": "yes", "focal_length_mm": "28 mm", "tube_mm": "7 mm"},
        ),
        Example(
            "A lens of 50 mm on 20 mm of tubes, typed",
            {
                "register_mm": "18",
                "sensor": "23.5x15.6",
                "focal_length_mm": "50 mm",
                "lens_register_mm": "18",
                "front_principal_plane_mm": "27",
                "f_number": "f/5.6",
                "tube_mm": "20 mm",
            },
        ),
    ),
)
