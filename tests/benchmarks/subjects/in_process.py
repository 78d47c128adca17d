"""One request within the process against a bare Flask view that answers a constant by GET.

The goals stand beside calls by Flask's test client, as they were set; its own costs, which both sides bear, make them easier to
reach. The rows of the WSGI application itself, called with an environment made once, have none. `as served` has the metrics
too, which the start command turns on. `without hooks` is the same application with everything taken off that runs before and
after a view.
"""

import os
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from flask import Flask

from closeup_service.http.app import create_app
from in_process_calls import wsgi
from peers.bare_flask import app as bare
from requests_asked import BODY, EFFECTIVE, EVALUATE, GET_PATH, SET_UP
from rows import Effort, Row, cpu, in_turns, settle

CALLS = 400
DIRECTORY = "PROMETHEUS_MULTIPROC_DIR"
Call = Callable[[], object]


def rows(effort: Effort) -> list[Row]:
    """All comparisons with the bare view."""
    plain, stripped = create_app(), without_hooks(create_app())
    with as_served() as served:
        settle()
        measured = directly(plain, stripped, served, effort)
    return by_test_client(plain, stripped, effort) + measured


def directly(plain: Flask, stripped: Flask, served: Flask, effort: Effort) -> list[Row]:
    """By calls of the WSGI applications themselves."""
    asked: list[tuple[str, Call]] = [
        ("POST effective-f-number, called as WSGI", wsgi(plain, "POST", EFFECTIVE, BODY)),
        ("GET effective-f-number, called as WSGI", wsgi(plain, "GET", GET_PATH)),
        ("POST effective-f-number, as WSGI without hooks", wsgi(stripped, "POST", EFFECTIVE, BODY)),
        ("POST effective-f-number, as WSGI as served", wsgi(served, "POST", EFFECTIVE, BODY)),
        ("GET effective-f-number, as WSGI as served", wsgi(served, "GET", GET_PATH)),
        ("POST set-ups/evaluate, called as WSGI", wsgi(plain, "POST", EVALUATE, SET_UP)),
    ]
    calls = effort.calls(CALLS)
    floor = cpu(wsgi(bare, "GET", "/"), calls)
    return [in_turns(what, cpu(own, calls), "bare Flask view", floor, effort) for what, own in asked]


def by_test_client(plain: Flask, stripped: Flask, effort: Effort) -> list[Row]:
    """The same through the test client of either."""
    calls, floor_client = effort.calls(CALLS), bare.test_client()
    asked: list[tuple[str, Call, float]] = [
        ("POST effective-f-number, hooks and all", posting(plain), 1.75),
        ("GET effective-f-number, hooks and all", getting(plain), 1.8),
        ("POST effective-f-number, without hooks", posting(stripped), 1.45),
    ]
    floor = cpu(lambda: floor_client.get("/"), calls)
    return [
        in_turns(what, cpu(own, calls), "bare Flask view by GET", floor, effort, goal=goal) for what, own, goal in asked
    ]


def posting(app: Flask) -> Call:
    """Call of the test client by POST."""
    client = app.test_client()
    return lambda: client.post(EFFECTIVE, data=BODY, content_type="application/json")


def getting(app: Flask) -> Call:
    """Call of the test client by GET."""
    client = app.test_client()
    return lambda: client.get(GET_PATH)


def without_hooks(app: Flask) -> Flask:
    """The application without all that runs before and after a view, and without layers round Flask's own."""
    vars(app).pop("wsgi_app", None)
    app.before_request_funcs.clear()
    app.after_request_funcs.clear()
    app.teardown_request_funcs.clear()
    return app


@contextmanager
def as_served() -> Iterator[Flask]:
    """Yield the application with metrics, as the start command makes it; their library looks for the directory once."""
    with tempfile.TemporaryDirectory(prefix="closeup-benchmark-") as folder:
        os.environ[DIRECTORY] = folder
        try:
            yield create_app()
        finally:
            os.environ.pop(DIRECTORY)
