"""The part of the sensor that the picture was taken with, and the picture's own pixels."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypedDict

from marshmallow import ValidationError, validates_schema

from closeup_service.gear.catalogue import SENSORS
from closeup_service.language import tr
from closeup_service.optics import formulas
from closeup_service.schemas.fields import quantity
from closeup_service.schemas.sensor import SensorFields, states_sensor


class UsedWidth(TypedDict, total=False):
    """What of a loaded request states the width of the sensor that was used, and the pitch of its pixels."""

    sensor_width_mm: float
    crop_factor: float
    used_width_mm: float
    pixel_pitch_um: float


class StatedUsedSensor(TypedDict, total=False):
    """What is looked at of the members before the id of the sensor turns into its measures."""

    sensor: str
    sensor_width_mm: float
    used_width_mm: float


class UsedSensorFields(SensorFields):
    """The sensor as `SensorFields`, all of it or a part; the pixel pitch; and the picture's width in pixels."""

    crop_factor = quantity("crop_factor")
    used_width_mm = quantity("used_width_mm")
    pixel_pitch_um = quantity("pixel_pitch_um")
    image_width_px = quantity("image_width_px")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_one_statement_of_the_used_part(
        self, data: StatedUsedSensor, original: Mapping[str, object], **kwargs: object
    ) -> None:
        """Refuse two statements of the used part, one that counts for nothing, and more than the whole."""
        del kwargs
        if "crop_factor" in original and "used_width_mm" in original:
            text = tr("Give the used part of the sensor once: as crop_factor or as used_width_mm.")
            raise ValidationError({"crop_factor": [text], "used_width_mm": [text]})
        if "crop_factor" in original and not states_sensor(original):
            raise ValidationError(tr("Needed with crop_factor: the whole sensor, of which a part was used."), "sensor")
        sensor = SENSORS.get(data.get("sensor", ""))
        used, width = data.get("used_width_mm"), sensor.width_mm if sensor else data.get("sensor_width_mm")
        if used is not None and width is not None and used > width:
            raise ValidationError(
                tr("The used width cannot exceed that of the whole sensor, {width:g} mm.", width=width), "used_width_mm"
            )


def states_used_width(original: Mapping[str, object]) -> bool:
    """Whether the request states the used width of the sensor in mm."""
    return "used_width_mm" in original or states_sensor(original)


def used_width_mm(asked: UsedWidth) -> float | None:
    """Width of the sensor that the picture was taken with [mm]; None where it is not stated."""
    if "used_width_mm" in asked:
        return float(asked["used_width_mm"])
    width = asked.get("sensor_width_mm")
    return None if width is None else float(formulas.cropped_size(width, asked.get("crop_factor", 1.0)))
