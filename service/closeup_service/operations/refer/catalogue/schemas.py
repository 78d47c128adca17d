"""`/v1/catalogue/…`: sensor formats, mounts and threads, each record with its source."""

from typing import Any

from marshmallow import Schema, fields, validate

from closeup_service.schemas.answers import TEXT, OpenSchema

STATUSES = ("published", "from-memory", "common-practice")
ID = (validate.Length(1, 64), validate.Regexp(r"^[0-9A-Za-z][0-9A-Za-z./-]*$"))
MOST_RECORDS = 1000


class RecordSchema(OpenSchema):
    """What every record of the catalogue says of itself."""

    id = fields.String(required=True, validate=ID, metadata={"description": "Name to use in requests."})
    names = fields.List(
        fields.String(validate=TEXT),
        required=True,
        validate=validate.Length(1, 20),
        metadata={"description": "Names in the trade."},
    )
    source = fields.String(required=True, validate=TEXT, metadata={"description": "Where the values come from."})
    source_status = fields.String(
        required=True,
        validate=validate.OneOf(STATUSES),
        metadata={"description": "Whether the source was read, cited from memory, or is common practice."},
    )


def measure_field(description: str, *, nullable: bool = False) -> fields.Float:
    """Length of a record."""
    return fields.Float(
        required=True,
        allow_none=nullable,
        metadata={"description": description, "format": "double", "x-unit": "mm"},
    )


class SensorRecord(RecordSchema):
    """Sensor or film format."""

    width_mm = measure_field("Width of the picture area.")
    height_mm = measure_field("Height of the picture area.")
    diagonal_mm = measure_field("Diagonal of the picture area.")


class MountRecord(RecordSchema):
    """Lens mount."""

    register_mm = measure_field("Register (flange focal distance).")
    kind = fields.String(
        required=True,
        validate=validate.OneOf(("thread", "bayonet")),
        metadata={"description": "How it joins."},
    )
    throat_mm = measure_field("Inner diameter of the mount, where known.", nullable=True)
    thread = fields.String(
        required=True,
        validate=ID,
        allow_none=True,
        metadata={"description": "Its thread in the catalogue, if it has one."},
    )


class ThreadRecord(RecordSchema):
    """Thread of a filter, mount or objective."""

    diameter_mm = measure_field("Major diameter.")
    pitch_mm = measure_field("Pitch.")
    use = fields.String(
        required=True,
        validate=validate.OneOf(("filter", "mount", "objective")),
        metadata={"description": "What it is used for."},
    )


def records_field(kind: type[Schema]) -> fields.List[Any]:
    """All records of a kind."""
    return fields.List(
        fields.Nested(kind),
        required=True,
        validate=validate.Length(1, MOST_RECORDS),
        metadata={"description": "All records."},
    )


class SensorsAnswer(OpenSchema):
    """All sensor formats."""

    records = records_field(SensorRecord)


class MountsAnswer(OpenSchema):
    """All mounts."""

    records = records_field(MountRecord)


class ThreadsAnswer(OpenSchema):
    """All threads."""

    records = records_field(ThreadRecord)
