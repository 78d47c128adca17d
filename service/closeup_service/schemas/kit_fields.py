"""Fields of a kit, and what is noted of every part."""

import re
from datetime import date
from typing import Unpack

from marshmallow import ValidationError, fields, post_load, validate

from closeup_service.language import later, mark
from closeup_service.schemas.fields import Flag, Id, Number, Options, Pattern, RequestSchema

DATE_PATTERN = r"^[0-9]{4}-[0-9]{2}-[0-9]{2}$"
REFERENCE = (validate.Length(1, 64), Pattern(r"^[0-9A-Za-z][0-9A-Za-z./-]*$", error=mark("This is no id.")))


class Words(fields.String):
    """A JSON string of one line."""

    def __init__(self, most: int, description: str, **kwargs: Unpack[Options]) -> None:
        refusal = later("Give 1 to {most} characters on one line.", most=most)
        super().__init__(
            validate=[validate.Length(1, most, error=refusal), Pattern(r"^[^\x00-\x1f]*$", error=refusal)],
            error_messages={"invalid": refusal, "null": refusal},
            metadata={"description": description},
            **kwargs,
        )


class Reference(fields.String):
    """Id of a mount or thread; whether there is one is checked with the whole kit."""

    def __init__(self, description: str, **kwargs: Unpack[Options]) -> None:
        super().__init__(
            validate=REFERENCE,
            error_messages={"invalid": mark("Give an id."), "null": mark("Give an id.")},
            metadata={"description": description},
            **kwargs,
        )


class Day(fields.String):
    """A date as ISO 8601 writes it, kept as text."""

    def __init__(self, description: str) -> None:
        super().__init__(
            validate=[validate.Length(10, 10), Pattern(DATE_PATTERN, flags=re.ASCII)],
            error_messages={"invalid": _DAY, "null": _DAY},
            metadata={"description": description, "format": "date"},
        )

    def _deserialize(self, value: object, attr: str | None, data: object, **kwargs: object) -> str:
        try:
            if (
                isinstance(value, str)
                and re.fullmatch(DATE_PATTERN[1:-1], value, re.ASCII)
                and date.fromisoformat(value)
            ):
                return value
        except ValueError:
            pass
        raise ValidationError(_DAY)


_DAY = mark("Give a date that exists, as year-month-day, such as 2030-05-17.")
MOUNT_BY_ID = "Mount, by its id in /v1/catalogue/mounts or among the kit's own."
THREAD_BY_ID = "Thread, by its id in /v1/catalogue/threads."


def price(description: str) -> Number:
    """Field for a price in the kit's currency."""
    return Number(
        validate=validate.Range(0, 1e7, error=mark("Give a number from 0 to 10000000.")),
        metadata={"description": description, "format": "double", "x-unit": "1"},
    )


class PartFields(RequestSchema):
    """What the studio notes of every part."""

    id = Id("Name by which a train uses it; one of its kind in the whole kit.", required=True)
    name = Words(200, "Name for people.", required=True)
    available = Flag(metadata={"description": "Whether it is at hand; assumed true."})
    owned = Flag(metadata={"description": "Whether the studio owns it; assumed true."})
    price = price("What it costs, in the kit's currency.")
    serial_number = Words(100, "Number engraved on it.")
    location = Words(200, "Where it is kept.")
    calibrated_on = Day("Day on which its data were measured.")

    @post_load
    def owned_and_at_hand(self, data: dict[str, object], **kwargs: object) -> dict[str, object]:
        """What a kit lists is the studio's and at hand, unless it says otherwise."""
        del kwargs
        return {"available": True, "owned": True} | data
