"""Fields that several tasks ask for."""

from typing import Any

from closeup_service.gear.catalogue import SENSORS
from closeup_service.gear.kit import Kit
from closeup_service.pages.task import Choice


def cameras(kit: Kit) -> list[Choice]:
    """Cameras of the kit."""
    return [Choice(each.id, each.name) for each in kit.cameras]


SENSORS_BY_MEASURES = tuple(
    Choice(each.id, f"{each.id.replace('x', ' × ')} mm, {each.names[0]}") for each in SENSORS.values()
)
"""Every sensor format of the catalogue, by its measures and its names."""
SENSOR: dict[str, Any] = {"own_choices": SENSORS_BY_MEASURES, "own_hint": "Width × height of the picture area."}


def yes_or_no(kit: Kit) -> list[Choice]:
    """Both answers; a box that is not ticked would send none."""
    del kit
    return [Choice("yes", "yes"), Choice("no", "no")]
