"""What the service answers of an exposure: light in stops, lengths in mm; times, speeds and powers as they are set."""

from dataclasses import dataclass

from closeup_client.answer import WorkedAnswer


@dataclass(frozen=True, kw_only=True)
class FrameLight:
    """The aperture of a frame, and the light it costs against its mark."""

    effective_f_number: float
    light_loss_stops: float | None


@dataclass(frozen=True, kw_only=True)
class PlannedFrame(FrameLight):
    """The planned frame with the setting that was solved; None for a setting that no frame states."""

    f_number: float | None = None
    exposure_time_s: float | None = None
    iso: float | None = None
    flash_power: float | None = None
    flash_distance_mm: float | None = None


@dataclass(frozen=True, kw_only=True)
class StopsBySetting:
    """Light gained by each setting; None where no frame states it."""

    aperture_stops: float
    transmission_stops: float
    iso_stops: float | None = None
    exposure_time_stops: float | None = None
    power_stops: float | None = None
    flash_distance_stops: float | None = None
    pops_stops: float | None = None


@dataclass(frozen=True, kw_only=True)
class PowerWay:
    """One way to close the gap that the head's range leaves."""

    setting: str
    value: float
    nominal_value: float | None


@dataclass(frozen=True, kw_only=True)
class FlashPower:
    """The power against the head's range; `missing_stops` is positive where the head is too weak."""

    nearest_power: float
    missing_stops: float
    below_full_stops: float | None
    ways: tuple[PowerWay, ...]


@dataclass(frozen=True, kw_only=True)
class AmbientLight:
    """Ambient light under the flash, and what it draws of movement."""

    under_flash_stops: float | None
    black_without_flash: bool | None
    ambient_share: float | None
    flash_share: float | None
    ambient_blur_um: float | None = None


@dataclass(frozen=True, kw_only=True)
class FinderLight:
    """How much dimmer the finder is than through the same lens open, normal and at infinity."""

    focusing_loss_stops: float | None
    taking_loss_stops: float | None
    modelling_light_factor: float | None


@dataclass(frozen=True, kw_only=True)
class ExposureRow:
    """The planned frame at one magnification; `problem` is the code of why there is none."""

    magnification: float
    length_mm: float | None
    effective_f_number: float | None
    light_loss_stops: float | None
    difference_stops: float | None
    value: float | None
    nominal_value: float | None
    missing_stops: float | None
    problem: str | None


@dataclass(frozen=True, kw_only=True)
class Exposure:
    """The new setting, the nearest mark, and what each change does to the light."""

    unknown: str
    value: float
    nominal_value: float | None
    marked_as: str | None
    nominal_difference_stops: float | None
    difference_stops: float | None
    light: str
    stops: StopsBySetting
    reference: FrameLight
    planned: PlannedFrame
    rows: tuple[ExposureRow, ...]
    within_sync_time: bool | None = None
    flash_power: FlashPower | None = None
    ambient: AmbientLight | None = None
    finder: FinderLight | None = None


@dataclass(frozen=True, kw_only=True)
class ExposureAnswer(Exposure, WorkedAnswer):
    """The exposure, with what was assumed and what is worth knowing."""

    kit_revision: str | None = None
