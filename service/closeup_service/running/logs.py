"""The log: one line of JSON for each request and for everything else that the process has to tell.

gunicorn's own access log gathers every header before it writes one line; this one takes what it needs. Lines go to the
error output in one write each, and a log that cannot be written to is no reason to refuse a request.
"""

import contextlib
import logging
import os
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from time import perf_counter
from typing import Any

import orjson
from gunicorn.glogging import Logger

from closeup_service.running.observing import REQUEST_ID, ROUTE

NAME = "closeup_service"
"""The logger of Flask's application and of our own lines."""
FULL = "full"
OUTPUT = 2
"""Descriptor of the error output."""
METHODS = frozenset({"GET", "HEAD", "POST", "OPTIONS", "PUT", "PATCH", "DELETE", "TRACE"})
MOST_TOLD = 600
"""Signs of an address that are logged, so that a line fits what a pipe takes at once."""
NOT_HTTP = "Invalid request from ip="

REQUEST_MEMBERS: Mapping[str, str] = {
    "time": "when it was answered: RFC 3339, UTC",
    "pid": "the process that answered",
    "method": "the method, or “other” for an unknown one",
    "route": "the address with names for its changing parts, as the documentation writes it; null where there is none",
    "status": "the status of the answer",
    "ms": "milliseconds in the process, from the end of the header to the last byte handed on",
    "bytes": "bytes of the answer, without its header",
    "request_id": "the id in the header of the answer; null where the server refused before the service was asked",
}
FULL_MEMBERS: Mapping[str, str] = {
    "address": "the address asked, with its values; cut after 600 signs",
    "client": "the network address that it came from: the proxy's, where there is one",
}
OTHER_MEMBERS: Mapping[str, str] = {
    "time": "when: RFC 3339, UTC",
    "pid": "the process",
    "level": "info, warning, error or critical",
    "message": "what happened",
    "request_id": "the id of the request that met a fault of the service",
    "stack": "where in the program that was",
}


def write(members: Mapping[str, object]) -> None:
    """Write one line; JSON escapes whatever would break or colour it."""
    with contextlib.suppress(OSError):
        os.write(OUTPUT, orjson.dumps(members, default=repr, option=orjson.OPT_UTC_Z | orjson.OPT_APPEND_NEWLINE))


class JsonLines(logging.Handler):
    """Writes what is logged as one line of JSON each, stack and all."""

    def emit(self, record: logging.LogRecord) -> None:
        """Write one record."""
        members = {
            "time": datetime.fromtimestamp(record.created, UTC),
            "pid": record.process,
            "level": record.levelname.lower(),
            "message": plain(record.getMessage()),
        }
        if hasattr(record, "request_id"):
            members["request_id"] = record.request_id
        if record.exc_info and record.exc_info[0]:
            members["stack"] = plain(logging.Formatter().formatException(record.exc_info))
        write(members)


def plain(text: str) -> str:
    """Text of printable signs alone: JSON leaves some that act on a terminal, and cannot hold lone surrogates."""
    return text if text.isprintable() else "".join(map(printable, text))


def printable(sign: str) -> str:
    """Return a sign, or its escape; line ends and tabs are left to JSON, which escapes them."""
    return sign if sign.isprintable() or sign in "\r\n\t" else ascii(sign)[1:-1]


def start() -> None:
    """Send everything that is logged to the one handler."""
    logging.root.handlers[:] = [JsonLines()]
    logging.getLogger(NAME).setLevel(logging.INFO)
    logging.captureWarnings(True)


class Log(Logger):  # type: ignore[misc]
    """What gunicorn logs to: its own lines, and one for each request."""

    def setup(self, cfg: Any) -> None:
        """Let gunicorn set up, then leave the writing to our handler."""
        super().setup(cfg)
        self.full = cfg.access_log_format == FULL
        self.error_log.handlers.clear()
        self.error_log.propagate = True

    def warning(self, msg: str, *args: Any, **kwargs: object) -> None:
        """Log a warning; one about what is no proper HTTP quotes it, with an address, only where that is asked for."""
        told = "Refused a request that is no proper HTTP." if msg.startswith(NOT_HTTP) and not self.full else msg
        super().warning(told, *args, **kwargs)

    def access(self, resp: Any, req: Any, environ: dict[str, Any], request_time: timedelta) -> None:
        """Log one request."""
        if not self.access_log_enabled:
            return
        method = environ["REQUEST_METHOD"]
        started = getattr(req, "started", None)
        members = {
            "time": datetime.now(UTC),
            "pid": os.getpid(),
            "method": method if method in METHODS else "other",
            "route": environ.get(ROUTE),
            "status": int(str(resp.status)[:3]),
            "ms": 0 if started is None else round((perf_counter() - started) * 1000, 2),
            "bytes": resp.sent,
            "request_id": next((value for name, value in resp.headers if name == REQUEST_ID), None),
        }
        if self.full:
            members["address"] = plain(environ["RAW_URI"][:MOST_TOLD])
            members["client"] = environ.get("REMOTE_ADDR")
        write(members)


def note_start(worker: Any, req: Any) -> None:
    """Note when a request came, by the clock that does not jump; gunicorn's own is the wall's."""
    del worker
    req.started = perf_counter()
