"""Counts and times of requests for Prometheus, right under several workers.

prometheus-client keeps one file per worker in the directory that PROMETHEUS_MULTIPROC_DIR names. The start command makes
that directory and sets the variable before this module is imported; without it, as in process, there are no metrics.
"""

import os
from collections.abc import Callable, Iterable
from functools import cache
from time import perf_counter
from typing import Any

from flask import Flask, Request
from prometheus_client import CollectorRegistry, Counter, Histogram, generate_latest, multiprocess
from prometheus_client.exposition import CONTENT_TYPE_LATEST
from werkzeug.wrappers import Response

from closeup_service.web.headers import Environ, Headers, Wsgi

DIRECTORY_VARIABLE = "PROMETHEUS_MULTIPROC_DIR"

REQUESTS = Counter(
    "closeup_requests_total", "Requests answered.", ("operation", "status_class"), registry=CollectorRegistry()
)
SECONDS = Histogram(
    "closeup_request_seconds",
    "Time from request to answer within the service.",
    ("operation",),
    buckets=(0.0005, 0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5),
    registry=CollectorRegistry(),
)
UNKNOWN = "none"


def register(app: Flask) -> None:
    """Measure every request from outside the framework, and serve the sum over all workers."""
    app.wsgi_app = measuring(app.wsgi_app)  # type: ignore[method-assign, assignment]
    app.add_url_rule("/metrics", "metrics", metrics)


def measuring(inner: Wsgi) -> Wsgi:
    """Application whose every request is counted under its operation; those for no operation share one label."""

    def measured(environ: Environ, start_response: Callable[..., Any]) -> Iterable[bytes]:
        started, operation, status_class = perf_counter(), UNKNOWN, "5xx"

        def start(status: str, headers: Headers, exc_info: Any = None) -> Any:
            nonlocal operation, status_class
            operation, status_class = operation_of(environ), f"{status[0]}xx"
            return start_response(status, headers, exc_info)

        try:
            return inner(environ, start)
        finally:
            counter(operation, status_class).inc()
            timer(operation).observe(perf_counter() - started)

    return measured


def operation_of(environ: Environ) -> str:
    """Operation that answers; the framework keeps its request in the environment until it has answered."""
    asked: Request = environ["werkzeug.request"]
    return asked.endpoint or UNKNOWN


@cache
def counter(operation: str, status_class: str) -> Counter:
    """Count of one operation and class of status, looked up once: finding it costs more than counting."""
    return REQUESTS.labels(operation, status_class)


@cache
def timer(operation: str) -> Histogram:
    """Times of one operation."""
    return SECONDS.labels(operation)


def metrics() -> Response:
    """Sum the files of all workers."""
    registry = CollectorRegistry()
    multiprocess.MultiProcessCollector(registry, path=os.environ[DIRECTORY_VARIABLE])
    return Response(generate_latest(registry), content_type=CONTENT_TYPE_LATEST, headers={"Cache-Control": "no-store"})
