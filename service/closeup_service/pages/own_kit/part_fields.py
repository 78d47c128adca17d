"""Fields of a part in people's words: the schema's own, with labels and hints where those of the API say too little."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from closeup_service.language import mark
from closeup_service.pages.own_kit import joints
from closeup_service.pages.task import Choice, Fields, Group, Input, inputs
from closeup_service.pages.tasks.common import SENSOR
from closeup_service.pages.tasks.known_lens import CLASSES

NOTES = ("available", "owned", "price", "serial_number", "location", "calibrated_on")
NO = (Choice("no", mark("no")),)
Words = Mapping[str, object]
WORDS: Mapping[str, Words] = {
    "name": {"own_label": mark("name"), "own_hint": mark("As you call it, or as it is engraved.")},
    "available": {
        "own_label": mark("at hand"),
        "own_hint": mark("A search leaves out a part that is not at hand."),
        "own_choices": NO,
        "own_usual": "yes",
    },
    "owned": {
        "own_label": mark("owned"),
        "own_hint": mark("Choose no for a part that you only think of buying."),
        "own_choices": NO,
        "own_usual": "yes",
    },
    "serial_number": {"own_label": mark("serial number")},
    "location": {"own_label": mark("where you keep it")},
    "calibrated_on": {
        "own_label": mark("measured on"),
        "own_hint": mark("Day on which you measured its data: 2030-05-17."),
    },
    "sensor": SENSOR,
    "focal_length_mm": {"own_hint": mark("As it was measured, or else as it is engraved.")},
    "mount": {
        "own_label": mark("mount"),
        "own_hint": mark("By its register, the distance from flange to sensor."),
        "own_choices": joints.mount_choices,
    },
    "least_f_number": {"own_label": mark("widest aperture on the ring"), "own_hint": mark("Such as f/2.")},
    "greatest_f_number": {"own_label": mark("smallest aperture on the ring"), "own_hint": mark("Such as f/16.")},
    "aperture_series": {
        "own_label": mark("steps of the ring"),
        "own_hint": mark("Thirds of a stop where nothing is chosen."),
    },
    "front_thread": {
        "own_label": mark("filter thread"),
        "own_hint": mark("Needed for a search with the lens reversed."),
        "own_choices": joints.FILTER_THREADS,
    },
    "lens_class": {"own_choices": CLASSES, "own_hint": mark("Assumed from the mount where nothing is chosen.")},
    "barrel_length_mm": {"own_label": mark("length of the barrel")},
    "entrance_pupil_depth_mm": {"own_label": mark("depth of the iris")},
    "entrance_pupil_diameter_mm": {"own_label": mark("pupil from the front")},
    "exit_pupil_diameter_mm": {"own_label": mark("pupil from the rear")},
    "register_mm": {"own_label": mark("register"), "own_hint": mark("The distance from flange to sensor.")},
    "minimum_length_mm": {"own_label": mark("shortest length"), "own_hint": mark("Between the two faces.")},
    "maximum_length_mm": {"own_label": mark("longest length"), "own_hint": mark("Between the two faces.")},
}


class Kind(Struct, frozen=True):
    """The form of a part: its fields, those that it needs, and what is chosen in a new one."""

    groups: tuple[Group, ...]
    needed: tuple[str, ...]
    usual: Mapping[str, str] = {}

    @property
    def names(self) -> tuple[str, ...]:
        """Names of its fields."""
        return tuple(each.name for group in self.groups for each in group.inputs)


def pick(known: Fields, *names: str, **own: Words) -> tuple[Input, ...]:
    """Fields in the words of this page."""
    return inputs(known, *names, **{name: dict(own.get(name, WORDS.get(name, {}))) for name in names})


def notes(known: Fields) -> Group:
    """What an owner notes of any part."""
    return Group(mark("Your notes"), pick(known, *NOTES), aside=True)
