"""Multipart requests (RFC 7578): every part is kept in memory, nothing is written to disk."""

from collections.abc import Mapping
from io import BytesIO
from typing import Any

from flask import Request, abort
from gunicorn.http.errors import ParseException
from marshmallow import Schema
from werkzeug.datastructures import FileStorage, MultiDict
from werkzeug.exceptions import BadRequest
from werkzeug.formparser import MultiPartParser

from closeup_service.http.negotiation import NotRead
from closeup_service.language import tr
from closeup_service.operations.asking import strict_json
from closeup_service.operations.asking.limits import Limits
from closeup_service.operations.asking.media_types import MULTIPART
from closeup_service.operations.asking.refusals import NotMultipart
from closeup_service.operations.asking.typed_values import from_parts_of

MOST_PARTS = 200
MOST_FIELD_BYTES = 256 * 1024
"""Bytes of all the parts that are no files."""


class Counted:
    """A stream that counts what was read of it."""

    def __init__(self, stream: Any) -> None:
        self._stream = stream
        self.count = 0

    def read(self, size: int = -1) -> bytes:
        """Read on."""
        piece: bytes = self._stream.read(size)
        self.count += len(piece)
        return piece


def from_parts(request: Request, schema: Schema, limits: Limits) -> Mapping[str, object]:
    """One member per part; values of fields by the rules of a query, files as `Upload`."""
    values, files = parts_of(request, limits)
    contents = [(name, content_of(file)) for name, file in files.items(multi=True)]
    return from_parts_of(schema, values.items(multi=True), contents, limits)


def parts_of(
    request: Request, limits: Limits, most_field_bytes: int = MOST_FIELD_BYTES
) -> tuple[MultiDict[str, str], MultiDict[str, FileStorage]]:
    """Read the parts of the body: texts, and files in memory."""
    if request.mimetype != MULTIPART or request.environ.get("HTTP_CONTENT_ENCODING", "identity").lower() != "identity":
        raise NotRead(MULTIPART)
    request.max_content_length = limits.most_bytes
    values, files = parsed(request, limits.most_bytes, most_field_bytes)
    refuse_long_names([*values, *files])
    return values, files


def content_of(file: FileStorage) -> bytes:
    """Bytes of a file part."""
    assert isinstance(file.stream, BytesIO)
    return file.stream.getvalue()


def parsed(
    request: Request, most_bytes: int, most_field_bytes: int
) -> tuple[MultiDict[str, str], MultiDict[str, FileStorage]]:
    """Read the parts of the body."""
    boundary = request.mimetype_params.get("boundary", "").encode("ascii", "replace")
    if not boundary:
        raise NotMultipart(tr("The Content-Type states no boundary between the parts."))
    stream = Counted(request.stream)
    parser = MultiPartParser(in_memory, most_field_bytes, max_form_parts=MOST_PARTS)
    try:
        found = parser.parse(stream, boundary, request.content_length)  # type: ignore[arg-type]
    except ParseException:
        raise BadRequest from None
    except ValueError:
        if request.content_length is None and stream.count >= most_bytes:
            abort(413)  # a chunked body is cut at the limit without a word
        raise NotMultipart(
            tr("The body is no multipart form: a part or the closing boundary is broken or missing.")
        ) from None
    return found


def in_memory(
    total_content_length: int | None, content_type: str | None, filename: str | None, content_length: int | None = None
) -> BytesIO:
    """Place for a file part, in place of the temporary file that large ones would get."""
    del total_content_length, content_type, filename, content_length
    return BytesIO()


def refuse_long_names(names: list[str]) -> None:
    """Refuse names that no pointer could hold."""
    if any(len(name) > strict_json.MOST_NAME_LENGTH for name in names):
        raise NotMultipart(
            tr("A part name of more than {most_name_length} characters.", most_name_length=strict_json.MOST_NAME_LENGTH)
        )
