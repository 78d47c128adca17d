"""The sensor, by a catalogue id or by its measures."""

from collections.abc import Mapping, Sequence
from typing import ClassVar

from marshmallow import ValidationError, post_load, validates_schema

from closeup_service.gear.catalogue import SENSORS, sensor_id, turned_sensor
from closeup_service.language import later, tr
from closeup_service.schemas.fields import Loaded, RequestSchema, Text, quantity


class SensorId(Text):
    """Id of a sensor format in the catalogue; `of` begins the names of another sensor than this one."""

    def __init__(self, description: str, of: str = "", known: Sequence[str] = tuple(SENSORS)) -> None:
        super().__init__(
            known,
            beside=later("Or give {of}sensor_width_mm and {of}sensor_height_mm.", of=of),
            metadata={
                "description": f"{description} by its id in /v1/catalogue/sensors, width x height in mm; zeros at the end of a "
                "measure may be left out or added."
            },
        )

    def _deserialize(self, value: object, attr: str | None, data: Mapping[str, object] | None, **kwargs: object) -> str:
        """Read the measures, not how they are written; say so where they are exchanged."""
        known = sensor_id(value) if isinstance(value, str) else value
        turned = turned_sensor(known) if isinstance(known, str) and known not in SENSORS else None
        if turned is not None:
            raise ValidationError(
                tr(
                    "Sensors are named width x height: {turned} is one. For a frame that stands the other way give its "
                    "measures.",
                    turned=turned,
                )
            )
        return super()._deserialize(known, attr, data, **kwargs)


class SensorFields(RequestSchema):
    """`sensor`, or `sensor_width_mm` and `sensor_height_mm`; loading turns the id into the measures."""

    loaded: ClassVar[Loaded] = {"sensor": None}

    sensor = SensorId("Sensor format")
    sensor_width_mm = quantity("sensor_width_mm")
    sensor_height_mm = quantity("sensor_height_mm")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_one_statement_of_the_sensor(
        self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object
    ) -> None:
        """Refuse two statements of the sensor, or half of one."""
        del data, kwargs
        refuse_two_statements(original)

    @post_load
    def measures_of_the_sensor(self, data: dict[str, object], **kwargs: object) -> dict[str, object]:
        """Replace the id by width and height."""
        del kwargs
        return with_measures(data)


def names_of_the_sensor(of: str = "") -> tuple[str, str, str]:
    """Members that state a sensor: its id, its width and its height; `of` begins the names of another than this one."""
    return f"{of}sensor", f"{of}sensor_width_mm", f"{of}sensor_height_mm"


def states_sensor(members: Mapping[str, object]) -> bool:
    """Whether the members state the sensor, by its id or by a measure."""
    return any(name in members for name in names_of_the_sensor())


def refuse_two_statements(original: Mapping[str, object], of: str = "") -> None:
    """Refuse a sensor stated twice, or by half of its measures."""
    sensor, *sides = names_of_the_sensor(of)
    measures = [name for name in sides if name in original]
    if sensor in original and measures:
        text = tr("Give the sensor by its id or by its width and height, not both.")
        raise ValidationError({name: [text] for name in (sensor, *measures)})
    if len(measures) == 1:
        missing = set(sides).difference(measures).pop()
        raise ValidationError({missing: [tr("Give the sensor's width and height together.")]})


def with_measures(data: dict[str, object], of: str = "") -> dict[str, object]:
    """Replace the id of a sensor by its width and height."""
    name, width, height = names_of_the_sensor(of)
    sensor = SENSORS.get(str(data.pop(name, "")))
    if sensor is not None:
        data[width], data[height] = sensor.width_mm, sensor.height_mm
    return data
