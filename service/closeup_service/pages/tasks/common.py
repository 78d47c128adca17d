"""Fields that several tasks ask for."""

from typing import Any

from closeup_service.gear.catalogue import SENSORS
from closeup_service.gear.kit import Kit
from closeup_service.pages.task import Choice


def cameras(kit: Kit) -> list[Choice]:
    """Cameras of the kit."""
    return [Choice(each.id, each.name) for each in kit.cameras]


USUAL_SENSORS = ("36x24", "23.5x15.6", "22.3x14.9", "17.3x13.0")
"""Formats that most people have; they come first in lists."""
SENSORS_BY_MEASURES = tuple(
    Choice(each.id, f"{each.id.replace('x', ' × ')} mm, {each.names[0]}")
    for each in sorted(SENSORS.values(), key=lambda sensor: sensor.id not in USUAL_SENSORS)
)
"""Every sensor format of the catalogue by its measures and its names, the usual ones first."""
SENSOR: dict[str, Any] = {"own_choices": SENSORS_BY_MEASURES, "own_hint": "Width × height of the picture area."}
