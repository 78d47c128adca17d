"""Fields that several tasks ask for."""

from typing import Any

from closeup_service.gear.catalogue import SENSORS
from closeup_service.gear.kit import Kit
from closeup_service.pages.task import Choice


def sensors(kit: Kit) -> list[Choice]:
    """Every sensor format of the catalogue, by its measures and its names."""
    del kit
    return [Choice(each.id, f"{each.id.replace('x', ' × ')} mm, {each.names[0]}") for each in SENSORS.values()]


def cameras(kit: Kit) -> list[Choice]:
    """Cameras of the kit."""
    return [Choice(each.id, each.name) for each in kit.cameras]


SENSOR: dict[str, Any] = {"own_choices": sensors, "own_hint": "Width × height of the picture area."}
