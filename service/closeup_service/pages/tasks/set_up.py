"""What a set-up gives: parts of the kit, or typed ones, or a whole document."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from closeup_service.gear.kit import Kit, Part
from closeup_service.pages.task import Answers, Choice, Example, Group, Input, Members, Request, Step, Task, inputs
from closeup_service.pages.tasks.common import SENSOR, cameras
from closeup_service.schemas.set_up import CameraSchema, SetUpRequest, TargetSchema
from closeup_service.schemas.train import (
    CloseUpLensSchema,
    KitPartSchema,
    LensSchema,
    SpacerSchema,
)

CAMERA = CameraSchema()
SET_UP = SetUpRequest()
LENS = LensSchema()
SPACER = SpacerSchema()
CLOSE_UP = CloseUpLensSchema()
KIT_PART = KitPartSchema()
TARGET = TargetSchema()

CAMERA_NAMES = (
    "register_mm",
    "sensor",
    "sensor_width_mm",
    "sensor_height_mm",
    "pixel_pitch_um",
    "circle_of_confusion_mm",
)
LENS_NAMES = (
    *("focal_length_mm", "pupil_magnification", "front_principal_plane_mm"),
    *("rear_principal_plane_mm", "principal_plane_separation_mm", "front_protrusion_mm"),
)
OF_ANY_LENS = ("reversed", "f_number", "focusing_extension_mm")
OF_A_KIT_LENS = (*OF_ANY_LENS, "setting")
WHOLE = (
    "subject_depth_mm",
    "depth_of_field_model",
    "wavelength_nm",
    "sensor_detail_lp_per_mm",
    "subject_detail_lp_per_mm",
)
TARGETS = ("magnification", "subject_width_mm", "working_distance_mm")
BETWEEN = ":"
"""Between a lens's id and that of its setting."""


@dataclass
class Train:
    """A train as the form describes it, and which field each of its members comes from."""

    members: Members
    elements: list[dict[str, Any]] = field(default_factory=list)
    places: dict[str, str] = field(default_factory=dict)
    open_length: str | None = None

    def add(self, kind: str, values: Mapping[str, tuple[str, Any]], place: str) -> None:
        """Add an element; `values` are its members with the field that each comes from, `place` the field of the rest."""
        start = f"/train/{len(self.elements)}"
        self.elements.append({"element": kind} | {name: value for name, (_, value) in values.items()})
        self.places[start] = place
        self.places |= {f"{start}/{name}": source for name, (source, _) in values.items()}

    def given(self, names: Mapping[str, str]) -> dict[str, tuple[str, Any]]:
        """Members that the form gives: name of the member -> field and value."""
        return {name: (source, self.members[source]) for name, source in names.items() if source in self.members}

    def part(self, source: str, names: Mapping[str, str] | None = None) -> None:
        """Add the part of the kit that a field chooses."""
        use, _, setting = str(self.members[source]).partition(BETWEEN)
        chosen = {"use": (source, use)} | ({"setting": (source, setting)} if setting else {})
        self.add("kit-part", chosen | self.given(names or {}), source)

    def leave_open(self, member: str) -> None:
        """Name the length of the last element as the one to solve for."""
        self.open_length = f"/train/{len(self.elements) - 1}/{member}"


def request(members: Members, answers: Answers, kit: Kit) -> Request:
    """Ask for the whole set-up: the document that was sent, or the parts in their order."""
    del answers, kit
    if "document" in members:
        return Request(members["document"])
    train = Train(members)
    front(train)
    lens(train)
    behind(train)
    document: dict[str, Any] = {"camera": camera(members), "train": train.elements}
    document |= {name: members[name] for name in WHOLE if name in members}
    target = {name: members[f"target_{name}"] for name in TARGETS if f"target_{name}" in members}
    if target:
        document["solve"] = {"target": target} | ({"unknown": train.open_length} if train.open_length else {})
    return Request(document, train.places | fixed_places(members))


def fixed_places(members: Members) -> dict[str, str]:
    """Fields behind what does not depend on the parts."""
    own = "camera" if "camera" in members else "register_mm"
    found = {f"/camera/{name}": name for name in CAMERA_NAMES if name != "register_mm"}
    found |= {"/camera/use": "camera", "/camera/register_mm": own, "/camera": own, "/train": "lens"}
    found |= {f"/solve/target/{name}": f"target_{name}" for name in TARGETS}
    return found | {"/solve": "tube_mm", "/solve/unknown": "tube_mm"}


def camera(members: Members) -> dict[str, Any]:
    """Camera of the kit, or what is typed of one."""
    typed = {name: members[name] for name in CAMERA_NAMES if name in members}
    return ({"use": members["camera"]} if "camera" in members else {}) | typed


def front(train: Train) -> None:
    """What stands before the lens: an objective or a close-up lens."""
    if "before" in train.members:
        train.part("before")
    typed = train.given({"power_dpt": "close_up_power_dpt", "focal_length_mm": "close_up_focal_length_mm"})
    if typed:
        train.add("close-up-lens", typed, next(iter(typed.values()))[0])


def lens(train: Train) -> None:
    """The lens, of the kit or typed."""
    if "lens" in train.members:
        train.part("lens", {name: name for name in OF_ANY_LENS})
    names = {name: name for name in LENS_NAMES} | {"register_mm": "lens_register_mm"}
    typed = train.given(names)
    if typed:
        marks = {} if "lens" in train.members else train.given({name: name for name in OF_ANY_LENS})
        train.add("lens", typed | marks, "focal_length_mm")
        train.places[f"/train/{len(train.elements) - 1}/register_mm"] = "lens_register_mm"


def behind(train: Train) -> None:
    """Rings, tubes, bellows and converter behind the lens; the bellows, or the typed tube, may be left open."""
    solving = any(f"target_{name}" in train.members for name in TARGETS)
    for use in train.members.get("part", ()):
        train.add("kit-part", {"use": ("part", use)}, "part")
    if "bellows" in train.members:
        train.part("bellows", {"length_mm": "bellows_mm"})
        if solving and "bellows_mm" not in train.members:
            train.leave_open("length_mm")
    if "tube_mm" in train.members or (solving and train.open_length is None):
        train.add("spacer", train.given({"length_mm": "tube_mm"}), "tube_mm")
        if solving and train.open_length is None and "tube_mm" not in train.members:
            train.leave_open("length_mm")
    if "converter" in train.members:
        train.part("converter")


def named(parts: Sequence[Part]) -> list[Choice]:
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


def chosen(name: str, words: str, choices: Any, hint: str, several: bool = False) -> Input:
    """Field that chooses from the kit."""
    return Input(name, "use", KIT_PART.fields["use"], words, hint, choices, several)


TASK = Task(
    slug="set-up",
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
                Input("camera", "use", CAMERA.fields["use"], "camera of the kit", "Or describe one below.", cameras),
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
                chosen("lens", "lens of the kit", lenses, "Or describe one below."),
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
                Input("lens_register_mm", "lens_register_mm", LENS.fields["register_mm"]),
                *inputs(LENS, *LENS_NAMES[3:], "focusing_extension_mm"),
            ),
            aside=True,
        ),
        Group(
            "Behind the lens: rings, tubes, bellows",
            (
                chosen(
                    *("part", "rings and tubes of the kit"),
                    lambda kit: named((*kit.rings, *kit.tubes)),
                    "Tick all that stand between lens and camera.",
                    several=True,
                ),
                chosen(
                    "bellows",
                    "bellows of the kit",
                    lambda kit: named(kit.bellows),
                    "How far they are drawn out comes next.",
                ),
                Input(
                    "bellows_mm",
                    "length_mm",
                    KIT_PART.fields["length_mm"],
                    "bellows drawn out to",
                    "Between their two faces.",
                ),
                Input(
                    "tube_mm",
                    "length_mm",
                    SPACER.fields["length_mm"],
                    "other tubes and rings",
                    "Their lengths, added up.",
                ),
                chosen("converter", "converter of the kit", lambda kit: named(kit.converters), "Next to the camera."),
            ),
            aside=True,
        ),
        Group(
            "Before the lens: close-up lens, objective",
            (
                chosen(
                    *("before", "close-up lens or objective of the kit"),
                    lambda kit: named((*kit.close_up_lenses, *kit.objectives)),
                    "It stands in front of the lens; a finite objective stands alone.",
                ),
                Input("close_up_power_dpt", "power_dpt", CLOSE_UP.fields["power_dpt"], "another close-up lens, power"),
                Input(
                    *("close_up_focal_length_mm", "focal_length_mm", CLOSE_UP.fields["focal_length_mm"]),
                    *("or its focal length", "Of the close-up lens."),
                ),
            ),
            aside=True,
        ),
        Group(
            "Find the length for a target",
            tuple(
                Input(f"target_{name}", name, TARGET.fields[name], f"{words} wanted")
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
                *inputs(SET_UP, *WHOLE, depth_of_field_model={"own_label": "model of the depth"}),
                *inputs(CAMERA, "circle_of_confusion_mm", "pixel_pitch_um", "sensor_width_mm", "sensor_height_mm"),
            ),
            aside=True,
        ),
        Group(
            "A whole set-up as a document",
            (
                Input(
                    *("document", "document", KIT_PART.fields["use"], "set-up in JSON"),
                    "As /v1/set-ups/evaluate takes it, for any order of parts; it stands in place of all the fields above.",
                    is_document=True,
                ),
            ),
            aside=True,
        ),
    ),
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
    first=("solved/value", "magnification", "working_distance_mm", "effective_f_number", "depth_of_field/total_mm"),
    examples=(
        Example(
            "The kit’s 50 mm lens reversed on a tube of 16 mm",
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
                "part": ("step-up-49-52", "reversing-52-house"),
                "bellows": "table-bellows",
                "target_subject_width_mm": "12 mm",
            },
            of_demo_kit=True,
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
