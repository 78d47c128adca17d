"""Every page for people, and the files that they refer to."""

from collections.abc import Mapping
from importlib.resources import files
from typing import Protocol

from flask import Blueprint, Flask, Response, abort, redirect
from werkzeug.wrappers import Response as AnyResponse

from closeup_service.drawing.svg import IN_THE_DARK
from closeup_service.pages import documentation, texts
from closeup_service.pages.asking import Studio
from closeup_service.pages.rendering import CSS, JAVASCRIPT, LIFETIME, page

JOINED = {
    "page.css": [
        f"css/{part}.css" for part in ("site", "start", "form", "result", "workbench", "kit", "narrow", "print")
    ],
    "page.js": ["js/comforts.js", "js/keeping.js"],
}
"""Files that are sent as one, in their order: style for narrow screens and paper comes last."""
DRAWING_CSS = "drawing.css"
"""Style of drawings that stand in a page itself: what those that are files of their own hold."""
STATIC = {
    "page.css": CSS,
    "text.css": CSS,
    "compare.css": CSS,
    "sheet.css": CSS,
    DRAWING_CSS: CSS,
    "icon.svg": "image/svg+xml",
    "page.js": JAVASCRIPT,
    "workbench.js": JAVASCRIPT,
    "kit.js": JAVASCRIPT,
    "icon-192.png": "image/png",
    "icon-512.png": "image/png",
    "icon-maskable.png": "image/png",
    "robots.txt": "text/plain; charset=utf-8",
}
"""Files that pages refer to, and the media type of each."""


class ProblemKind(Protocol):
    """What a problem page tells."""

    @property
    def slug(self) -> str:
        """Last part of its address."""

    @property
    def status(self) -> int:
        """HTTP status."""

    @property
    def title(self) -> str:
        """Constant title."""

    @property
    def remedy(self) -> str:
        """What to do about it."""


def register(
    app: Flask,
    told: documentation.Told,
    problems: Mapping[str, ProblemKind],
    studio: Studio,
    contact: str,
) -> None:
    """Add the pages to the application."""
    blueprint = Blueprint("pages", __name__, template_folder="templates")
    kept = {name: read_static(name) for name in STATIC}
    documentation.add_to(blueprint, told)
    texts.add_to(blueprint, studio, contact, told.running)

    @blueprint.get("/problems")
    def kinds() -> AnyResponse:
        return redirect("/docs#problems")

    @blueprint.get("/growth")
    def page_of_1_0() -> AnyResponse:
        return redirect("/running#growth", 308)

    @blueprint.get("/problems/<slug>")
    def problem(slug: str) -> Response:
        if slug not in problems:
            abort(404)
        return page("problem.html", kind=problems[slug])

    @blueprint.get("/favicon.ico")
    def icon_asked_for_unnamed() -> Response:
        return static_file("icon.svg")

    @blueprint.get("/robots.txt", defaults={"name": "robots.txt"})
    @blueprint.get("/pages/<name>")
    def static_file(name: str) -> Response:
        if name not in kept:
            abort(404)
        return Response(kept[name], content_type=STATIC[name], headers={"Cache-Control": LIFETIME})

    app.register_blueprint(blueprint)


def read_static(name: str) -> bytes:
    """Read a file that pages refer to."""
    if name == DRAWING_CSS:
        return IN_THE_DARK.encode()
    folder = files(__package__).joinpath("static")
    return b"".join(folder.joinpath(part).read_bytes() for part in JOINED.get(name, [name]))
