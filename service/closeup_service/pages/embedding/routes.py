"""Addresses of the calculator for other people's pages."""

import json
from collections.abc import Callable, Mapping
from urllib.parse import urlsplit

from flask import Blueprint, Flask, Response, abort, render_template, request

from closeup_service.gear.catalogue import sensor_id
from closeup_service.language import spoken, tr
from closeup_service.pages.asking import Studio
from closeup_service.pages.embedding.description import description, field
from closeup_service.pages.embedding.messages import LANGUAGES, SOURCE, best_language, message
from closeup_service.pages.embedding.reading import outcome
from closeup_service.pages.embedding.scripts import current_version, folder, released_versions, script
from closeup_service.pages.embedding.snippets import RUNGS, address, snippet
from closeup_service.pages.embedding.sums import SUMS, Sum
from closeup_service.pages.rendering import CSS, HTML, JAVASCRIPT, LIFETIME
from closeup_service.schemas.fields import declared_fields
from closeup_service.schemas.sensor import SensorId

FOREVER = "public, max-age=31536000, immutable"
SHORT = "public, max-age=300"
JSON = "application/json"
OWN_FILES = {"frame.js": JAVASCRIPT, "frame.css": CSS}
SCHEMES = ("light", "dark")
NOT_FIELDS = ("lang", "scheme")
MOST_TYPED = 200
FRAME_POLICY = "frame-ancestors *"
"""Only the framed calculator may stand within other pages."""


def register(app: Flask, studio: Studio, home: Callable[[], str]) -> None:
    """Add the addresses; `home` tells where the service stands, for whichever language."""
    blueprint = Blueprint("embedding", __name__, template_folder="../templates")

    @blueprint.get("/embed/<name>")
    def floating(name: str) -> Response:
        if name in OWN_FILES:
            return send_cacheable(folder().joinpath(name).read_bytes(), OWN_FILES[name], LIFETIME)
        return send_script(name, None, SHORT)

    @blueprint.get("/embed/<version>/<name>")
    def versioned(version: str, name: str) -> Response:
        return send_script(name, version, FOREVER)

    @blueprint.get("/embed/<version>/<language>/<name>.json")
    def described(version: str, language: str, name: str) -> Response:
        if version not in (current_version(), *released_versions()) or language not in LANGUAGES:
            abort(404)
        told = description(find_sum(name), language, version)
        return send_cacheable(json.dumps(told, ensure_ascii=False).encode(), JSON, LIFETIME)

    @blueprint.get("/embed/frame/<name>")
    def frame(name: str) -> Response:
        return render_frame(find_sum(name), studio)

    @blueprint.get("/put-it-on-your-site")
    def put_it_on_your_site() -> Response:
        return render_offer(home())

    app.register_blueprint(blueprint)


def find_sum(name: str) -> Sum:
    """Sum of this name."""
    if name not in SUMS:
        abort(404, f"There is no such sum to embed; there are {', '.join(SUMS)}.")
    return SUMS[name]


def send_script(name: str, version: str | None, lifetime: str) -> Response:
    """Send a script."""
    content = script(name, version)
    if content is None:
        abort(404)
    return send_cacheable(content, JAVASCRIPT, lifetime)


def send_cacheable(content: bytes, content_type: str, lifetime: str) -> Response:
    """Answer with what caches may keep for so long."""
    return Response(content, content_type=content_type, headers={"Cache-Control": lifetime})


def given_texts(asked: Sum) -> dict[str, str]:
    """What was typed, without what was left blank; sensors as the catalogue spells them."""
    stripped = {name: text.strip()[:MOST_TYPED] for name, text in request.args.items() if name not in NOT_FIELDS}
    sensors = [name for name, field_ in declared_fields(asked.request).items() if isinstance(field_, SensorId)]
    return {name: sensor_id(text) if name in sensors else text for name, text in stripped.items() if text}


def render_frame(asked: Sum, studio: Studio) -> Response:
    """The calculator as a page of its own, which may stand in a frame."""
    language = best_language(request.args.get("lang", SOURCE))
    scheme = request.args.get("scheme", "")
    typed = given_texts(asked)
    page = render_template(
        "frame.html",
        sum=asked,
        language=language,
        scheme=scheme if scheme in SCHEMES else "",
        say=lambda key, **values: message(language, key, **values),
        fields=[field(asked, name, language) for name in asked.members],
        typed=typed,
        outcome=outcome(asked, typed, language, studio),
    )
    response = send_cacheable(page.encode(), HTML, LIFETIME)
    response.headers["Content-Security-Policy"] = FRAME_POLICY
    return response


def render_offer(home: str) -> Response:
    """The page that makes what is to be pasted."""
    chosen = choices(request.args)
    asked = SUMS[chosen["sum"]]
    page = render_template(
        "put_it_on_your_site.html",
        sums={name: message(spoken(), f"sum.{name}") for name in SUMS},
        languages={language: message(language, "language") for language in LANGUAGES},
        rungs={name: tr(words) for name, words in RUNGS.items()},
        chosen=chosen,
        snippet=snippet(chosen["rung"], asked, chosen["lang"], home),
        address=address(asked, chosen["lang"], home),
        home=home,
        source=source_of(home),
    )
    return send_cacheable(page.encode(), HTML, SHORT)


def source_of(home: str) -> str:
    """Source of a content security policy for this service: its origin, since a path there would mean that address alone."""
    parts = urlsplit(home)
    return f"{parts.scheme}://{parts.netloc}"


def choices(given: Mapping[str, str]) -> dict[str, str]:
    """What is to be embedded, in which language and how; the language of the page and the first of the others unless chosen."""
    known_choices = {"sum": tuple(SUMS), "lang": (spoken(), *LANGUAGES), "rung": tuple(RUNGS)}
    return {name: given.get(name, "") if given.get(name) in of else of[0] for name, of in known_choices.items()}
