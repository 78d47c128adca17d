"""Fields that several tasks ask for."""

from collections.abc import Mapping
from typing import Any
from urllib.parse import urlencode

from msgspec.structs import replace

from closeup_service.gear.catalogue import SENSORS, Sensor
from closeup_service.gear.kit import Kit
from closeup_service.language import later, tr
from closeup_service.pages.task import Answers, Build, Choice, Members, Request


def at_sensor(build: Build) -> Build:
    """Ask the same, and for the sensor where what counts as sharp is not known: it follows from the sensor."""

    def built(members: Members, answers: Answers, kit: Kit) -> Request | None:
        asked = build(members, answers, kit)
        if asked is None or "circle_of_confusion_mm" in members:
            return asked
        return replace(asked, places={**asked.places, "/circle_of_confusion_mm": "sensor"})

    return built


def cameras(kit: Kit) -> list[Choice]:
    """Cameras of the kit."""
    return [Choice(each.id, each.name) for each in kit.cameras]


USUAL_SENSORS = ("36x24", "23.5x15.6", "22.3x14.9", "17.3x13.0")
"""Formats that most people have; they come first in lists."""


def sensor_words(sensor: Sensor) -> str:
    """Measures of a sensor format and its usual name."""
    width, height = sensor.id.split("x")
    return later("{width} × {height} mm, {name}", width=width, height=height, name=later(sensor.names[0]))


SENSORS_BY_MEASURES = tuple(
    Choice(each.id, sensor_words(each))
    for each in sorted(SENSORS.values(), key=lambda sensor: sensor.id not in USUAL_SENSORS)
)
"""Every sensor format of the catalogue by its measures and its names, the usual ones first."""
SENSOR: dict[str, Any] = {"own_choices": SENSORS_BY_MEASURES, "own_hint": "Width × height of the picture area."}
SUBJECT_KINDS: dict[str, Any] = {
    "own_label": "kind of subject",
    "own_hint": "It changes no number; the cautions follow it.",
    "own_choices": (
        Choice("still", "still and dry"),
        Choice("living", "living"),
        Choice("person", "a person"),
        Choice("wet-specimen", "a wet specimen"),
        Choice("fluid-specimen", "a specimen in preserving fluid"),
    ),
}
"""What a subject is, for the cautions alone."""


def page_address(slug: str, fields: Mapping[str, object]) -> str:
    """Address of a task page with fields filled in; those that are None are left out."""
    given = {name: value for name, value in fields.items() if value is not None}
    return f"/tasks/{slug}?{urlencode({name: as_typed(value) for name, value in given.items()}, doseq=True)}"


def as_typed(value: object) -> object:
    """Value as a form takes it, exactly."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return repr(value).removesuffix(".0") if isinstance(value, float | int) else value


def yes_or_no(kit: Kit) -> list[Choice]:
    """Both answers; a box that is not ticked would send none."""
    del kit
    return [Choice("yes", tr("yes")), Choice("no", tr("no"))]
