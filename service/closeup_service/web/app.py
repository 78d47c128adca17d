"""The application factory."""

from flask import Flask, Response, redirect
from werkzeug.wrappers import Response as AnyResponse

from closeup_service.pages import pages
from closeup_service.web import answering, document, health, problems
from closeup_service.web.operations import OPERATIONS

MOST_CONTENT_BYTES = 1024 * 1024
SECURITY_HEADERS = {
    "X-Content-Type-Options": "nosniff",
    "Content-Security-Policy": "default-src 'none'; style-src 'self'; img-src 'self'; form-action 'self'; "
    "base-uri 'none'; frame-ancestors 'none'",
    "Referrer-Policy": "no-referrer",
}


def create_app() -> Flask:
    """Build the WSGI application; stateless, so any number of them give the same answers."""
    app = Flask("closeup_service", static_folder=None)
    app.config["MAX_CONTENT_LENGTH"] = MOST_CONTENT_BYTES
    app.config["TRAP_HTTP_EXCEPTIONS"] = False
    app.url_map.strict_slashes = False
    app.url_map.merge_slashes = False
    problems.register(app)
    answering.register(app, OPERATIONS)
    document.register(app)
    health.register(app)
    pages.register(app, document.published(), problems.PROBLEM_TYPES)
    app.add_url_rule("/", "start", lambda: redirect("/docs"))
    app.after_request(add_security_headers)
    return app


def add_security_headers(response: Response) -> AnyResponse:
    """Send the same protective headers with every answer."""
    for name, value in SECURITY_HEADERS.items():
        response.headers[name] = value
    return response
