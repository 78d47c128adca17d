"""Forms with files, built in memory."""

from collections.abc import Mapping, Sequence
from typing import Any

import requests
from flask.testing import FlaskClient
from werkzeug.test import TestResponse


def form(fields: Mapping[str, Any], photographs: Sequence[bytes], name: str = "photo") -> tuple[bytes, str]:
    """Body and media type of a form; a field with a list of values gets a part for each."""
    values = [(key, each) for key, value in fields.items() for each in (value if isinstance(value, list) else [value])]
    parts: list[Any] = [(key, (None, str(value))) for key, value in values]
    parts += [(name, ("photograph", content)) for content in photographs]
    prepared = requests.Request("POST", "http://form.invalid", files=parts).prepare()
    assert isinstance(prepared.body, bytes)
    return prepared.body, prepared.headers["Content-Type"]


def sent(api: FlaskClient, path: str, photographs: Sequence[bytes], accept: str = "*/*", **fields: Any) -> TestResponse:
    """Send a form to the application."""
    body, media_type = form(fields, photographs)
    return api.post(path, data=body, content_type=media_type, headers={"Accept": accept})
