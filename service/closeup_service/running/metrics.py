"""Counts and times of requests for Prometheus, right under several workers, and the kit that is in use.

prometheus-client keeps one file per worker in the folder that the variable names (`counts_folder.py`). The start command makes
that folder and sets the variable before this module is imported; without it, as in process, there are no metrics. A process
whose counts cannot be written says so once, counts no more, and goes on answering.
"""

import logging
import os
from collections.abc import Callable, Iterable
from functools import cache, partial

from flask import Flask
from prometheus_client import CollectorRegistry, Counter, Gauge, Histogram, Metric, generate_latest, multiprocess
from prometheus_client.exposition import CONTENT_TYPE_LATEST
from prometheus_client.metrics_core import GaugeMetricFamily
from prometheus_client.registry import Collector
from werkzeug.wrappers import Response

from closeup_service.gear.kit import Kit
from closeup_service.running.counts_folder import VARIABLE
from closeup_service.running.logs import NAME
from closeup_service.running.observing import Seen, observing
from closeup_service.running.reserved_counts import use_reserved_counts

use_reserved_counts()

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
IN_PROGRESS = Gauge(
    "closeup_requests_in_progress",
    "Requests being answered.",
    registry=CollectorRegistry(),
    multiprocess_mode="livesum",
)
WORKERS = Gauge("closeup_workers", "Processes that answer.", registry=CollectorRegistry(), multiprocess_mode="livesum")
YOUNGEST = Gauge(
    "closeup_youngest_worker_start_seconds",
    "When the youngest process that answers began, in Unix seconds.",
    registry=CollectorRegistry(),
    multiprocess_mode="livemax",
)


class Counting:
    """Whether this process counts; it ends with the first count that cannot be written, and no request with it."""

    on = True

    def attempt(self, write: Callable[[], None]) -> None:
        """Write counts, or switch the counting off."""
        if not self.on:
            return
        try:
            write()
        except Exception as error:  # whatever the library makes of a file that it cannot write
            self.on = False
            text = "This process no longer counts requests, because the counts cannot be written (%s). It answers as before."
            logging.getLogger(NAME).error(text, error)


COUNTING = Counting()


def register(app: Flask, kit: Kit) -> None:
    """Measure every request, and serve the total over all workers, with the kit of the one that answers."""
    app.wsgi_app = observing(app.wsgi_app, begin, count)  # type: ignore[method-assign, assignment]
    app.add_url_rule("/metrics", "metrics", partial(metrics, kit))


def note_worker() -> None:
    """Say that this process answers from now on."""
    COUNTING.attempt(begin_worker)


def begin_worker() -> None:
    """Count this process."""
    WORKERS.set(1)
    YOUNGEST.set_to_current_time()


def begin() -> None:
    """Count a request that has come."""
    COUNTING.attempt(IN_PROGRESS.inc)


def count(seen: Seen) -> None:
    """Count an answer."""
    COUNTING.attempt(partial(count_answer, seen))


def count_answer(seen: Seen) -> None:
    """Count an answer under its operation; those for no operation share one label."""
    IN_PROGRESS.dec()
    counter(seen.operation, seen.status // 100).inc()
    seconds(seen.operation).observe(seen.seconds)


@cache
def counter(operation: str, hundreds: int) -> Counter:
    """Counter of one operation and class of status; a search by labels costs as much as the counting."""
    return REQUESTS.labels(operation, f"{hundreds}xx")


@cache
def seconds(operation: str) -> Histogram:
    """Histogram of one operation."""
    return SECONDS.labels(operation)


def metrics(kit: Kit) -> Response:
    """Add up the files of all workers."""
    registry = CollectorRegistry()
    multiprocess.MultiProcessCollector(registry, path=os.environ[VARIABLE])
    registry.register(KitInUse(kit))
    return Response(generate_latest(registry), content_type=CONTENT_TYPE_LATEST, headers={"Cache-Control": "no-store"})


class KitInUse(Collector):
    """The kit of this process, which no file of counts holds."""

    def __init__(self, kit: Kit) -> None:
        self._kit = kit

    def collect(self) -> Iterable[Metric]:
        """Yield a figure that is always 1, with revision and origin as its labels."""
        used = GaugeMetricFamily(
            "closeup_kit_info", "The kit in use, by its labels; always 1.", labels=("revision", "origin")
        )
        used.add_metric((self._kit.revision, self._kit.origin), 1)
        yield used
