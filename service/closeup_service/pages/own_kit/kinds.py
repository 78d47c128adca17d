"""The form of a part of each kind: its fields, and those that it needs."""

from __future__ import annotations

from collections.abc import Mapping

from closeup_service.language import mark
from closeup_service.pages.own_kit import joints
from closeup_service.pages.own_kit.lens_kind import lens_kind
from closeup_service.pages.own_kit.part_fields import Kind, Words, notes, pick
from closeup_service.pages.task import Fields, Group, Input
from closeup_service.schemas.fields import RequestSchema, declared_fields
from closeup_service.schemas.kit import (
    BellowsSchema,
    ConverterSchema,
    KitCameraSchema,
    KitCloseUpLensSchema,
    KitObjectiveSchema,
    OwnMountSchema,
    RingSchema,
    TubeSchema,
)

FRONT, REAR = ("front_joint", "front_side"), ("rear_joint", "rear_side")
"""Fields of a form that stand for the faces of a part."""
CAMERA, MOUNT = declared_fields(KitCameraSchema), declared_fields(OwnMountSchema)
FRONT_OF_FILTER = {
    "own_label": mark("thread at its front"),
    "own_hint": mark("The same as its own where nothing is chosen."),
    "own_choices": joints.FILTER_THREADS,
}
OWN_THREAD = {
    "own_label": mark("thread"),
    "own_hint": mark("It goes into the filter thread of the lens."),
    "own_choices": joints.FILTER_THREADS,
}
SHOULDER = {"own_label": mark("thread"), "own_hint": mark("Of its shoulder."), "own_choices": joints.OBJECTIVE_THREADS}
MOUNT_THREAD = {
    "own_label": mark("thread"),
    "own_hint": mark("Of a screw mount. A bayonet has none."),
    "own_choices": joints.ALL_THREADS,
}


def spacer(schema: type[RequestSchema], title: str, *lengths: str, front: str, rear: str) -> Kind:
    """Form of a part without glass; `front` and `rear` say how such a part usually joins."""
    known = declared_fields(schema)
    faces = (
        *face(
            known,
            FRONT,
            ("front", mark("front: thread or mount"), mark("how the front joins")),
            mark("Towards the subject."),
        ),
        *face(
            known,
            REAR,
            ("rear", mark("rear: thread or mount"), mark("how the rear joins")),
            mark("Towards the camera."),
        ),
    )
    own = (*pick(known, "name"), *faces, *pick(known, *lengths, "clear_diameter_mm"))
    return Kind((Group(title, own), notes(known)), ("name", *FRONT, *REAR, *lengths), {FRONT[1]: front, REAR[1]: rear})


def face(known: Fields, names: tuple[str, str], words: tuple[str, str, str], hint: str) -> tuple[Input, Input]:
    """One face: its thread or mount, and which way it joins; `words` are its member, and both labels."""
    end, joint, side = words
    return (
        Input(names[0], names[0], known[end], joint, hint, joints.joint_choices),
        Input(names[1], names[1], known[end], side, own_choices=joints.SIDES),
    )


def with_glass(schema: type[RequestSchema], title: str, *names: str, aside: tuple[str, ...] = (), **own: Words) -> Kind:
    """Form of a part with glass that is no lens."""
    known = declared_fields(schema)
    more = (Group(mark("What else is known of it"), pick(known, *aside, **own), aside=True),) if aside else ()
    needed = tuple(name for name in ("name", *names) if known[name].required)
    return Kind((Group(title, pick(known, "name", *names, **own)), *more, notes(known)), needed)


KINDS: Mapping[str, Kind] = {
    "cameras": Kind(
        (
            Group(mark("Camera"), pick(CAMERA, "name", "mount", "sensor", "sensor_width_mm", "sensor_height_mm")),
            Group(mark("What counts as sharp"), pick(CAMERA, "pixel_pitch_um", "circle_of_confusion_mm"), aside=True),
            notes(CAMERA),
        ),
        ("name", "mount"),
    ),
    "reversing_rings": spacer(
        RingSchema, mark("Reversing ring"), "length_mm", front=joints.ENTERS, rear=joints.ENTERS
    ),
    "step_rings": spacer(RingSchema, mark("Step ring"), "length_mm", front=joints.TAKES, rear=joints.ENTERS),
    "mount_adapters": spacer(RingSchema, mark("Mount adapter"), "length_mm", front=joints.TAKES, rear=joints.ENTERS),
    "tubes": spacer(TubeSchema, mark("Extension tube"), "length_mm", front=joints.TAKES, rear=joints.ENTERS),
    "bellows": spacer(
        BellowsSchema, mark("Bellows"), "minimum_length_mm", "maximum_length_mm", front=joints.TAKES, rear=joints.ENTERS
    ),
    "close_up_lenses": with_glass(
        KitCloseUpLensSchema,
        mark("Close-up lens"),
        *("thread", "power_dpt", "focal_length_mm"),
        aside=("front_thread", "length_mm", "front_principal_plane_mm", "rear_principal_plane_mm"),
        thread=OWN_THREAD,
        front_thread=FRONT_OF_FILTER,
    ),
    "converters": with_glass(ConverterSchema, mark("Teleconverter"), "mount", "factor", "added_length_mm", "focal_length_mm"),
    "objectives": with_glass(
        KitObjectiveSchema,
        mark("Microscope objective"),
        *("thread", "magnification", "numerical_aperture", "tube_lens_focal_length_mm", "tube_length_mm"),
        aside=("focal_length_mm", "working_distance_mm", "parfocal_distance_mm", "field_number_mm"),
        thread=SHOULDER,
    ),
    "mounts": Kind(
        (Group(mark("Mount"), pick(MOUNT, "name", "register_mm", "thread", thread=MOUNT_THREAD)),), ("name", "register_mm")
    ),
}  # fmt: skip


def kind_of(group: str, settings: int) -> Kind:
    """Form of a part of this group."""
    return lens_kind(settings) if group == "lenses" else KINDS[group]
