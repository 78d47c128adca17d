"""Files among the fields of a request."""

from typing import Any, ClassVar

from marshmallow import ValidationError, fields
from msgspec import Struct

from closeup_service.language import mark, tr
from closeup_service.schemas.fields import Flag, Messages

MOST_FILE_BYTES = 40_000_000
"""Size of an upload unless the operator sets another, published as the longest."""


class Patience(Struct, frozen=True):
    """How long a request may wait for its turn, and how many may wait at once in a process."""

    longest_s: float
    most_waiting: int


AT_ONCE = Patience(0.0, 0)
"""For who does not wait."""


class Upload(Struct, frozen=True):
    """A file part of a request, held in memory.

    Parameters
    ----------
    content : what was sent
    most_pixels : how large a picture may be decoded from it
    patience : how it waits for its turn
    """

    content: bytes
    most_pixels: int
    patience: Patience = AT_ONCE


class PhotographFile(fields.Field[Any]):
    """A photograph, sent as a file part."""

    default_error_messages: ClassVar[Messages] = {  # type: ignore[misc]
        "required": mark("This part is required: send the photograph as a file.")
    }

    def _deserialize(self, value: object, attr: str | None, data: object, **kwargs: object) -> Upload:
        del attr, data, kwargs
        if not isinstance(value, Upload):
            raise ValidationError(tr("Send the photograph itself as a file part, with a file name."))
        return value


class PictureWanted(Flag):
    """Whether the member of the answer with the same name is wanted: a picture, which costs time and bytes."""


class EncodedPicture(fields.String):
    """A picture within an answer, in base64 (RFC 4648, section 4)."""
