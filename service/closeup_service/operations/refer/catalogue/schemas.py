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


def _measure(description: str, *, nullable: bool = False) -> fields.Float:
    return fields.Float(
        required=True,
        allow_none=nullable,
        metadata={"description": description, "format": "double", "x-unit": "mm"},
    )


class SensorRecord(RecordSchema):
    """Sensor or film format."""

    width_mm = _measure("Width of the picture area.")
    height_mm = _measure("Height of the picture area.")
    diagonal_mm = _measure("Diagonal of the picture area.")


class MountRecord(RecordSchema):
    """Lens mount."""

    register_mm = _measure("Register (flange focal distance).")
    kind = fields.String(
        required=True,
        validate=validate.OneOf(("thread", "bayonet")),
        metadata={"description": "How it joins."},
    )
    throat_mm = _measure("Inner diameter of the mount, where known.", nullable=True)
    thread = fields.String(
        required=True,
        validate=ID,
        allow_none=True,
        metadata={"description": "Its thread in the catalogue, if it has one."},
    )


class ThreadRecord(RecordSchema):
    """Thread of a filter, mount or objective."""

    diameter_mm = _measure("Major diameter.")
    pitch_mm = _measure("Pitch.")
    use = fields.String(
        required=True,
        validate=validate.OneOf(("filter", "mount", "objective")),
        metadata={"description": "What it is used for."},
    )


def _records(kind: type[Schema]) -> fields.List[Any]:
    return fields.List(
        fields.Nested(kind),
        required=True,
        validate=validate.Length(1, MOST_RECORDS),
        metadata={"description": "All records."},
    )


class SensorsAnswer(OpenSchema):
    """All sensor formats."""

    records = _records(SensorRecord)


class MountsAnswer(OpenSchema):
    """All mounts."""

    records = _records(MountRecord)


class ThreadsAnswer(OpenSchema):
    """All threads."""

    records = _records(ThreadRecord)
