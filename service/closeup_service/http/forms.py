"""Forms that a page has posted: with files, or with a kit."""

from flask import Request
from msgspec.structs import replace
from werkzeug.exceptions import HTTPException

from closeup_service.http.problems import refusal_over_http
from closeup_service.http.uploads import MOST_FIELD_BYTES, content_of, parts_of
from closeup_service.operations.asking.limits import MOST_KIT_BYTES, Limits
from closeup_service.operations.asking.refusals import Refusal
from closeup_service.pages.asking import Sent, attempt
from closeup_service.schemas.upload import Upload


def read_form(request: Request, limits: Limits) -> Sent | Refusal:
    """Read the parts of a form with files, or say why it cannot be read."""
    return read_parts(request, limits, MOST_FIELD_BYTES)


def read_kit_form(request: Request, limits: Limits) -> Sent | Refusal:
    """Read the parts of a form that takes a kit along, as a text or as a file; no more than a kit and what is typed."""
    most = MOST_KIT_BYTES + MOST_FIELD_BYTES
    return read_parts(request, replace(limits, most_bytes=most), most)


def read_parts(request: Request, limits: Limits, most_field_bytes: int) -> Sent | Refusal:
    """Read the parts of a form, or say why it cannot be read."""
    try:
        return attempt(lambda: form_of(request, limits, most_field_bytes))
    except HTTPException as error:
        return refusal_over_http(error)


def form_of(request: Request, limits: Limits, most_field_bytes: int) -> Sent:
    """Parts of a form with files: texts as they were typed; a file that was left out stays out."""
    texts, files = parts_of(request, limits, most_field_bytes)
    uploads = {name: Upload(content_of(file), limits.most_pixels, limits.patience) for name, file in files.items()}
    return Sent(texts, {name: upload for name, upload in uploads.items() if upload.content})
