"""Forms with files that a page has posted."""

from flask import Request
from werkzeug.exceptions import HTTPException

from closeup_service.http.problems import refusal_over_http
from closeup_service.http.uploads import content_of, parts_of
from closeup_service.operations.asking.limits import Limits
from closeup_service.operations.asking.refusals import Refusal
from closeup_service.pages.asking import Sent, attempt
from closeup_service.schemas.upload import Upload


def read_form(request: Request, limits: Limits) -> Sent | Refusal:
    """Read the parts of a form with files, or say why it cannot be read."""
    try:
        return attempt(lambda: form_of(request, limits))
    except HTTPException as error:
        return refusal_over_http(error)


def form_of(request: Request, limits: Limits) -> Sent:
    """Parts of a form with files: texts as they were typed; a file that was left out stays out."""
    texts, files = parts_of(request, limits)
    uploads = {name: Upload(content_of(file), limits.most_pixels, limits.patience) for name, file in files.items()}
    return Sent(texts, {name: upload for name, upload in uploads.items() if upload.content})
