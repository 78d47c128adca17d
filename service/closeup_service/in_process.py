"""The service within another process: what its entry point leads the client and the command line to."""

from collections.abc import Sequence
from io import BytesIO
from typing import NamedTuple

from werkzeug.datastructures import MultiDict
from werkzeug.test import TestResponse

from closeup_service.web.app import create_app
from closeup_service.web.negotiation import JSON


class Reply(NamedTuple):
    """What is answered; a refusal is a problem in JSON with its status."""

    status: int
    media_type: str
    body: bytes


class Service:
    """Every operation, with the kit that the environment names.

    Raises
    ------
    ValueError
        Where that kit cannot be used.
    """

    def __init__(self) -> None:
        self._client = create_app().test_client()

    def ask(self, path: str, body: bytes, accept: str) -> Reply:
        """Answer a JSON text; an empty one where there is nothing to ask."""
        headers = {"Accept": accept}
        if not body:
            return reply_of(self._client.get(path, headers=headers))
        return reply_of(self._client.post(path, data=body, content_type=JSON, headers=headers))

    def ask_form(
        self, path: str, values: Sequence[tuple[str, str]], files: Sequence[tuple[str, bytes]], accept: str
    ) -> Reply:
        """Answer a form with files."""
        parts: MultiDict[str, object] = MultiDict(values)
        for place, (name, content) in enumerate(files, 1):
            parts.add(name, (BytesIO(content), f"{name}-{place}"))
        headers = {"Accept": accept}
        return reply_of(self._client.post(path, data=parts, content_type="multipart/form-data", headers=headers))


def reply_of(response: TestResponse) -> Reply:
    """Return an answer without the framework's own type."""
    return Reply(response.status_code, response.content_type, response.data)
