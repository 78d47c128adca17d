"""The published document, the catalogue that leads to it, and the list of the resources."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache, lru_cache
from typing import TYPE_CHECKING

from flask import Flask, request
from werkzeug.wrappers import Response

from closeup_service.http.delivery import deliver
from closeup_service.http.negotiation import chosen
from closeup_service.http.prefix import place_document
from closeup_service.http.reading import single_values
from closeup_service.operations.asking import strict_json
from closeup_service.operations.asking.media_types import HTML, JSON
from closeup_service.published import document, resources

if TYPE_CHECKING:
    from closeup_service.published.document_types import Document

MOST_ROOTS = 8
"""Documents that are kept written, one for each place where the service stands."""


def register(app: Flask, written_out: Callable[[], Document]) -> None:
    """Serve the document, made when it is first asked for, the catalogue that leads to it (RFC 9727), and the resources."""
    published = cache(lambda: strict_json.dumps(document.published(written_out())))
    body = lru_cache(MOST_ROOTS)(lambda root: place_document(published(), root))

    def openapi() -> Response:
        return deliver(request, body(request.script_root), JSON)

    def api_catalog() -> Response:
        return deliver(request, catalogue(request.script_root), "application/linkset+json")

    listing = lru_cache(MOST_ROOTS)(lambda root: strict_json.dumps(resources.resources(root)))

    def list_resources() -> Response:
        chosen(request, (JSON,))
        single_values(request, frozenset())
        return deliver(request, listing(request.script_root), JSON)

    for path in (resources.PATH, f"{resources.PATH}/"):
        app.add_url_rule(path, "listResources", list_resources)
    app.add_url_rule("/openapi.json", "openapi", openapi)
    app.add_url_rule("/.well-known/api-catalog", "api_catalog", api_catalog)


def catalogue(root: str) -> bytes:
    """Catalogue of a service that stands at a root."""
    described = {
        "anchor": f"{root}/",
        "service-desc": [{"href": f"{root}/openapi.json", "type": JSON}],
        "service-doc": [{"href": f"{root}/docs", "type": HTML}],
        "status": [{"href": f"{root}/healthz", "type": JSON}],
    }
    return strict_json.dumps({"linkset": [described]})
