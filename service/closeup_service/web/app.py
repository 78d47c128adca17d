"""The application factory."""

import os
from collections.abc import Mapping
from functools import cache

from flask import Flask, Request
from flask.sessions import NullSession, SessionInterface

from closeup_service.pages import documentation, pages, task_pages
from closeup_service.pages.embedding import routes as embedding
from closeup_service.schemas.kit import demo_kit
from closeup_service.web import answering, counts_folder, delivery, document, headers, health, problems
from closeup_service.web.example_forms import forms_by_name
from closeup_service.web.operation import MOST_CONTENT_BYTES
from closeup_service.web.operations import OPERATIONS
from closeup_service.web.problem_types import PROBLEM_TYPES
from closeup_service.web.settings import Settings, read_settings, variable
from closeup_service.web.stated_limits import stated_limits
from closeup_service.web.stated_running import stated_running
from closeup_service.web.studio import studio_of


class NoSessions(SessionInterface):
    """Nothing is remembered from one request to the next, so one empty session serves them all."""

    none = NullSession()

    def open_session(self, app: Flask, request: Request) -> NullSession:
        """Return the empty session."""
        del app, request
        return self.none


def create_app(settings: Settings | None = None) -> Flask:
    """Build the WSGI application; stateless, so any number of them give the same answers.

    Without settings only the studio's kit is taken from the environment.

    Raises
    ------
    BadSettings
        Where that kit cannot be used.
    """
    settings = settings or settings_of_process(os.environ)
    app = Flask("closeup_service", static_folder=None)
    app.config["MAX_CONTENT_LENGTH"] = MOST_CONTENT_BYTES
    app.url_map.merge_slashes = False
    app.session_interface = NoSessions()
    headers.register(app, settings.allowed_origins, settings.allowed_hosts)
    if counts_folder.VARIABLE in os.environ:
        add_metrics(app)
    problems.register(app)
    kit = settings.kit or demo_kit()
    answering.register(app, OPERATIONS, settings.limits, kit)
    written_out = cache(lambda: document.written_out(settings))  # made when first asked for: its examples take a while
    document.register(app, written_out)
    health.register(app)
    told = documentation.Told(
        written_out,
        forms_by_name(settings.server_url),
        PROBLEM_TYPES,
        stated_limits(settings.limits),
        stated_running(settings),
    )
    studio = studio_of(app, kit, settings.limits)
    pages.register(app, told, PROBLEM_TYPES, studio, settings.contact_url)
    task_pages.register(app, studio)
    embedding.register(app, studio, settings.server_url)
    delivery.register(app)
    return app


def settings_of_process(environment: Mapping[str, str]) -> Settings:
    """Return the settings of an application within another process, which listens nowhere."""
    return read_settings({}, {name: value for name, value in environment.items() if name == variable("kit")})


def add_metrics(app: Flask) -> None:
    """Add metrics; imported only here, since the library reads its directory when it is imported."""
    from closeup_service.web import metrics  # noqa: PLC0415

    metrics.register(app)
