"""Addresses of the manifest, of the service worker, and of the page that stands in for what was not kept."""

from functools import cache

from flask import Blueprint, Flask, Response
from msgspec.structs import asdict

from closeup_service.operations.asking import strict_json
from closeup_service.pages.offline.kept import WORKER, describe_kept
from closeup_service.pages.pages import read_static
from closeup_service.pages.rendering import JAVASCRIPT, LIFETIME, page
from closeup_service.pages.tasks import TASKS

MANIFEST = "application/manifest+json"
PAPER, ACCENT = "#f6f5ef", "#28563a"
"""Colours of the window while it opens, and of its frame: those of `static/css/site.css`."""
MOST_SHORTCUTS = 4
"""Tasks that the menu of an installed application names: as many as most systems show."""


def register(app: Flask) -> None:
    """Add the addresses to the application."""
    blueprint = Blueprint("offline", __name__, template_folder="../templates")
    script = cache(lambda: worker(app))

    @blueprint.get("/manifest.webmanifest")
    def manifest() -> Response:
        return Response(strict_json.dumps(describe()), content_type=MANIFEST, headers={"Cache-Control": LIFETIME})

    @blueprint.get(f"/{WORKER}")
    def service_worker() -> Response:
        return Response(script(), content_type=JAVASCRIPT, headers={"Cache-Control": "no-cache"})

    @blueprint.get("/offline")
    def offline() -> Response:
        return page("offline.html")

    app.register_blueprint(blueprint)


def worker(app: Flask) -> bytes:
    """Script of the service worker, with what it is to keep before it."""
    told = strict_json.dumps(asdict(describe_kept(app)))
    return b"const KEPT = %s;\n%s" % (told, read_static(WORKER))


def describe() -> dict[str, object]:
    """Manifest of the pages as an application; its addresses are relative to its own."""
    return {
        "name": "closeup-optics",
        "short_name": "closeup",
        "description": "Calculations for close-up photography: magnification, depth of field, light and stacks.",
        "lang": "en",
        "start_url": "./",
        "scope": "./",
        "display": "standalone",
        "background_color": PAPER,
        "theme_color": ACCENT,
        "icons": [
            {"src": "pages/icon.svg", "sizes": "any", "type": "image/svg+xml"},
            {"src": "pages/icon-192.png", "sizes": "192x192", "type": "image/png"},
            {"src": "pages/icon-512.png", "sizes": "512x512", "type": "image/png"},
            {"src": "pages/icon-maskable.png", "sizes": "512x512", "type": "image/png", "purpose": "maskable"},
        ],
        "shortcuts": [{"name": task.title, "url": f"./tasks/{task.slug}"} for task in TASKS[:MOST_SHORTCUTS]],
    }
