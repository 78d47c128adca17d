"""The application factory."""

import os

from flask import Flask, redirect

from closeup_service.pages import pages
from closeup_service.web import answering, document, headers, health, problems
from closeup_service.web.operations import OPERATIONS
from closeup_service.web.problem_types import PROBLEM_TYPES
from closeup_service.web.reading import MOST_CONTENT_BYTES
from closeup_service.web.settings import Settings


def create_app(settings: Settings | None = None) -> Flask:
    """Build the WSGI application; stateless, so any number of them give the same answers."""
    settings = settings or Settings()
    app = Flask("closeup_service", static_folder=None)
    app.config["MAX_CONTENT_LENGTH"] = MOST_CONTENT_BYTES
    app.url_map.merge_slashes = False
    headers.register(app, settings.allowed_origins)
    if "PROMETHEUS_MULTIPROC_DIR" in os.environ:
        add_metrics(app)
    problems.register(app)
    answering.register(app, OPERATIONS, settings.limits)
    published = document.published(settings)
    document.register(app, published)
    health.register(app)
    pages.register(app, published, PROBLEM_TYPES)
    app.add_url_rule("/", "start", lambda: redirect("/docs"))
    return app


def add_metrics(app: Flask) -> None:
    """Add metrics; imported only here, since the library reads its directory when it is imported."""
    from closeup_service.web import metrics  # noqa: PLC0415

    metrics.register(app)
