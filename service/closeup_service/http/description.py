"""The published document, and the catalogue that leads to it."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import TYPE_CHECKING

from flask import Flask, request
from werkzeug.wrappers import Response

from closeup_service.http.delivery import deliver
from closeup_service.operations.asking import strict_json
from closeup_service.operations.asking.media_types import HTML, JSON
from closeup_service.published import document

if TYPE_CHECKING:
    from closeup_service.published.document_types import Document


def register(app: Flask, written_out: Callable[[], Document]) -> None:
    """Serve the document, made when it is first asked for, and the catalogue that leads to it (RFC 9727)."""
    body = cache(lambda: strict_json.dumps(document.published(written_out())))
    catalogue = strict_json.dumps(
        {
            "linkset": [
                {
                    "anchor": "/",
                    "service-desc": [{"href": "/openapi.json", "type": JSON}],
                    "service-doc": [{"href": "/docs", "type": HTML}],
                    "status": [{"href": "/healthz", "type": JSON}],
                }
            ]
        }
    )

    def openapi() -> Response:
        return deliver(request, body(), JSON)

    def api_catalog() -> Response:
        return deliver(request, catalogue, "application/linkset+json")

    app.add_url_rule("/openapi.json", "openapi", openapi)
    app.add_url_rule("/.well-known/api-catalog", "api_catalog", api_catalog)
