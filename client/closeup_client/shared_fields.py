"""Fields that several operations share: the sensor, and which way round the lens stands."""

from typing import Literal, TypeAlias, TypedDict

Mounting: TypeAlias = Literal["normal", "reversed"]


class MountingFields(TypedDict, total=False):
    """Which way round the lens stands; assumed normal."""

    mounting: Mounting


class SensorFields(TypedDict, total=False):
    """The sensor, by its id in the catalogue or by both its measures."""

    sensor: str
    sensor_width_mm: float
    sensor_height_mm: float
