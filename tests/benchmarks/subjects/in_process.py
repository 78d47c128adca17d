"""One request within the process against a bare Flask view that answers a constant by GET.

The goals stand beside the call of the WSGI application itself, with an environment made once, for both sides; the rows of
the test client, whose own costs both sides bear, are there for comparison. `as served` has the metrics too, which the
start command turns on. `without hooks` is the same application with everything taken off that runs before and after a view.
"""

import os
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from flask import Flask

from closeup_service.web.app import create_app
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
    return measured + by_test_client(plain, effort)


def directly(plain: Flask, stripped: Flask, served: Flask, effort: Effort) -> list[Row]:
    """By calls of the WSGI applications themselves."""
    asked: list[tuple[str, Call, float | None]] = [
        ("POST effective-f-number, hooks and all", wsgi(plain, "POST", EFFECTIVE, BODY), 1.75),
        ("GET effective-f-number, hooks and all", wsgi(plain, "GET", GET_PATH), 1.8),
        ("POST effective-f-number, without hooks", wsgi(stripped, "POST", EFFECTIVE, BODY), 1.45),
        ("POST effective-f-number, as served", wsgi(served, "POST", EFFECTIVE, BODY), None),
        ("GET effective-f-number, as served", wsgi(served, "GET", GET_PATH), None),
        ("POST set-ups/evaluate, hooks and all", wsgi(plain, "POST", EVALUATE, SET_UP), None),
    ]
    calls = effort.calls(CALLS)
    floor = cpu(wsgi(bare, "GET", "/"), calls)
    return [in_turns(what, cpu(own, calls), "bare Flask view", floor, effort, goal=goal) for what, own, goal in asked]


def by_test_client(app: Flask, effort: Effort) -> list[Row]:
    """The same through the test client of either."""
    calls, client, floor_client = effort.calls(CALLS), app.test_client(), bare.test_client()

    def post() -> None:
        client.post(EFFECTIVE, data=BODY, content_type="application/json")

    def get() -> None:
        client.get(GET_PATH)

    floor = cpu(lambda: floor_client.get("/"), calls)
    return [
        in_turns(f"{what} effective-f-number, by the test client", cpu(own, calls), "the same client", floor, effort)
        for what, own in (("POST", post), ("GET", get))
    ]


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
