"""Fields that several operations share: the sensor, which way round the lens stands, the steps."""

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


class StepsFields(TypedDict, total=False):
    """Whether the answer tells its steps, each with formula, numbers put in, result and source; assumed false."""

    show_steps: bool
