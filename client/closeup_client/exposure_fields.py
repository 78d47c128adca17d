"""What an exposure can be asked with: two frames, and the setting that is open.

Times are in s, distances in mm, light in stops; powers are in the scale of `flash_scale`.
"""

from collections.abc import Sequence
from typing import Literal, Required, TypeAlias, TypedDict

from closeup_client.shared_fields import MountingFields

FrameLightKind: TypeAlias = Literal["flash", "continuous"]
PowerKind: TypeAlias = Literal["fraction", "joules", "stops-below-full", "dial"]
Setting: TypeAlias = Literal["exposure_time_s", "iso", "flash_power", "flash_distance_mm", "f_number"]


class FrameSettings(TypedDict, total=False):
    """What is set beside the lens; filters before it by `transmission` or by `filter_stops`."""

    exposure_time_s: float
    iso: float
    flash_power: float
    flash_distance_mm: float
    source_diameter_mm: float
    flash_transmission: float
    pops: float
    transmission: float
    filter_stops: float


class Frame(FrameSettings, MountingFields, total=False):
    """One frame: its settings, with the effective f-number or the mark of one lens at a magnification."""

    effective_f_number: float
    f_number: float
    magnification: float
    pupil_magnification: float


class FlashScale(TypedDict, total=False):
    """The scale of the head's power, assumed a fraction, and its range; a dial needs all but the step."""

    kind: PowerKind
    least: float
    greatest: float
    unit_stops: float
    step_stops: float


class Ambient(TypedDict, total=False):
    """Ambient light, by an exposure value at ISO 100 or by a test frame without flash."""

    exposure_value: float
    below_mid_grey_stops: float
    exposure_time_s: float
    iso: float
    effective_f_number: float
    black_stops: float
    sideways_speed_mm_s: float


class Finder(TypedDict, total=False):
    """The lens's widest mark, and the mark at which one focuses."""

    least_f_number: Required[float]
    focusing_f_number: float


class ExposureSettings(TypedDict, total=False):
    """What every exposure is reckoned from, beside the planned frame."""

    reference: Required[Frame]
    unknown: Required[Setting]
    light: FrameLightKind
    flash_scale: FlashScale
    sync_time_s: float
    ambient: Ambient
    finder: Finder
    magnifications: Sequence[float]


class ExposureOfSetUpFields(ExposureSettings, total=False):
    """An exposure asked for with a set-up; `planned` holds what changes beside it."""

    planned: FrameSettings
