"""The application factory."""

import os
from functools import cache, partial

from flask import Flask

from closeup_service.gear.kit import Kit
from closeup_service.http import answering, delivery, description, headers, health, languages, prefix, problems
from closeup_service.http.forms import read_form, read_kit_form
from closeup_service.language import ENGLISH
from closeup_service.operations.asking.limits import MEGABYTE
from closeup_service.operations.asking.problem_types import PROBLEM_TYPES
from closeup_service.operations.operation import MOST_CONTENT_BYTES
from closeup_service.operations.registry import operations
from closeup_service.pages import documentation, pages, task_pages, translated
from closeup_service.pages.asking import Studio
from closeup_service.pages.comparing import routes as comparing
from closeup_service.pages.embedding import routes as embedding
from closeup_service.pages.offline import routes as offline
from closeup_service.pages.own_kit import routes as own_kit
from closeup_service.pages.stated_limits import describe_limits
from closeup_service.pages.stated_running import describe_running
from closeup_service.published import document
from closeup_service.published.example_forms import forms_by_name
from closeup_service.running import counts_folder
from closeup_service.running.settings import Settings, settings_of_process
from closeup_service.schemas.kit import studio_kit


def create_app(settings: Settings | None = None) -> Flask:
    """Build the WSGI application; stateless, so any number of them give the same answers.

    Without settings only the studio's kit is taken from the environment.

    Raises
    ------
    BadSettings
        Where that kit cannot be used, or the prefix is an address of the service itself.
    """
    settings = settings or settings_of_process(os.environ)
    app = Flask("closeup_service", static_folder=None)
    app.config["MAX_CONTENT_LENGTH"] = MOST_CONTENT_BYTES
    app.url_map.merge_slashes = False
    headers.register(app, settings.allowed_origins, settings.allowed_hosts, settings.limits.patience)
    kit_in = studio_kit(settings.kit)
    kit = kit_in(ENGLISH)  # read at the start, not by the first request that needs it
    if counts_folder.VARIABLE in os.environ:
        add_metrics(app, kit)
    problems.register(app)
    answering.register(app, operations(), settings.limits, kit_in)
    written_out = cache(lambda: document.written_out(settings))  # made when first asked for: its examples take a while
    description.register(app, written_out)
    health.register(app)
    told = documentation.Told(
        written_out,
        forms_by_name(settings.server_url),
        PROBLEM_TYPES,
        describe_limits(settings.limits),
        describe_running(settings),
    )
    studio = Studio(
        kit_in,
        partial(read_form, limits=settings.limits),
        settings.limits.most_bytes // MEGABYTE,
        partial(read_kit_form, limits=settings.limits),
    )
    translated.register(app, languages.is_translated, settings.server_url)
    pages.register(app, told, PROBLEM_TYPES, studio, settings.contact_url)
    task_pages.register(app, studio)
    comparing.register(app, studio)
    own_kit.register(app, studio)
    embedding.register(app, studio, partial(languages.home_of_all, settings.server_url))
    offline.register(app)
    delivery.register(app)
    languages.register(app)
    prefix.register(app, settings.prefix)
    return app


def add_metrics(app: Flask, kit: Kit) -> None:
    """Add metrics; imported only here, since the library reads its directory when it is imported."""
    from closeup_service.running import metrics  # noqa: PLC0415

    metrics.register(app, kit)
