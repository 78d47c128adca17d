"""Liveness and readiness."""

from flask import Flask, Response

from closeup_service.operations.asking import strict_json
from closeup_service.operations.asking.media_types import JSON

_ALIVE = strict_json.dumps({"status": "pass"})


def alive() -> Response:
    """Answer that this process is alive; nothing here can be unready once the application is built."""
    return Response(_ALIVE, content_type=JSON, headers={"Cache-Control": "no-store"})


def register(app: Flask) -> None:
    """Add the two addresses."""
    app.add_url_rule("/healthz", "healthz", alive)
    app.add_url_rule("/readyz", "readyz", alive)
