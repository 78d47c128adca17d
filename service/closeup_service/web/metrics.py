"""Counts and times of requests for Prometheus, right under several workers.

prometheus-client keeps one file per worker in the directory that PROMETHEUS_MULTIPROC_DIR names. The start command makes
that directory and sets the variable before this module is imported; without it, as in process, there are no metrics.
"""

import os
from functools import cache

from flask import Flask
from prometheus_client import CollectorRegistry, Counter, Histogram, generate_latest, multiprocess
from prometheus_client.exposition import CONTENT_TYPE_LATEST
from werkzeug.wrappers import Response

from closeup_service.web.wsgi import Seen, observing

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


def register(app: Flask) -> None:
    """Measure every request, and serve the sum over all workers."""
    app.wsgi_app = observing(app.wsgi_app, count)  # type: ignore[method-assign, assignment]
    app.add_url_rule("/metrics", "metrics", metrics)


def count(seen: Seen) -> None:
    """Count an answer under its operation; those for no operation share one label."""
    counter(seen.operation, f"{seen.status // 100}xx").inc()
    timer(seen.operation).observe(seen.seconds)


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
