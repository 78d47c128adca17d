"""Addresses of the manifest, of the service worker, and of the page that stands in for what was not kept."""

from functools import cache, partial

from flask import Blueprint, Flask, Response
from msgspec import to_builtins

from closeup_service.language import LANGUAGES, speaking, tr
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

    for language in LANGUAGES:
        address = f"/pages/{language}.webmanifest"
        blueprint.add_url_rule(address, f"manifest {language}", partial(manifest, language), methods=["GET"])

    @blueprint.get(f"/{WORKER}")
    def service_worker() -> Response:
        return Response(script(), content_type=JAVASCRIPT, headers={"Cache-Control": "no-cache"})

    @blueprint.get("/offline")
    def offline() -> Response:
        return page("offline.html")

    app.register_blueprint(blueprint)


def worker(app: Flask) -> bytes:
    """Script of the service worker, with what it is to keep before it."""
    told = strict_json.dumps(to_builtins(describe_kept(app)))
    return b"const KEPT = %s;\n%s" % (told, read_static(WORKER))


def manifest(language: str) -> Response:
    """Send the manifest of the pages in a language."""
    with speaking(language):
        described = describe(language)
    return Response(strict_json.dumps(described), content_type=MANIFEST, headers={"Cache-Control": LIFETIME})


def describe(language: str) -> dict[str, object]:
    """Manifest of the pages as an application; its addresses are relative to its own, which is that of a file."""
    return {
        "name": "closeup-optics",
        "short_name": "closeup",
        "description": tr("Calculations for close-up photography: magnification, depth of field, light and stacks."),
        "lang": language,
        "start_url": f"../{language}/",
        "scope": "../",
        "display": "standalone",
        "background_color": PAPER,
        "theme_color": ACCENT,
        "icons": [
            {"src": "icon.svg", "sizes": "any", "type": "image/svg+xml"},
            {"src": "icon-192.png", "sizes": "192x192", "type": "image/png"},
            {"src": "icon-512.png", "sizes": "512x512", "type": "image/png"},
            {"src": "icon-maskable.png", "sizes": "512x512", "type": "image/png", "purpose": "maskable"},
        ],
        "shortcuts": [
            {"name": tr(task.title), "url": f"../{language}/tasks/{task.slug}"} for task in TASKS[:MOST_SHORTCUTS]
        ],
    }
