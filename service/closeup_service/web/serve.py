"""`closeup-service`: check the settings, then hand the application to gunicorn."""

import argparse
import contextlib
import errno
import os
import shutil
import socket
import sys
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import fields
from typing import Any

from flask import Flask
from gunicorn.app.base import BaseApplication

from closeup_service.web.settings import HELP, NO_DEFAULT, BadSettings, Settings, option, read_settings, variable

EXIT_BAD_SETTINGS = 78
EXIT_CANNOT_LISTEN = 69
LONGEST_LINE = 8190
"""gunicorn's own maximum for the request line."""


class Server(BaseApplication):  # type: ignore[misc]
    """gunicorn with our settings and a preloaded application."""

    def __init__(self, app: Flask, chosen: Mapping[str, Any]) -> None:
        self._app = app
        self._chosen = chosen
        super().__init__()

    def load_config(self) -> None:
        """Hand our options to gunicorn."""
        for name, value in self._chosen.items():
            self.cfg.set(name, value)

    def load(self) -> Flask:
        """Return the application, built once before the workers fork."""
        return self._app


def gunicorn_options(settings: Settings) -> dict[str, Any]:
    """Threaded workers, the application preloaded."""
    host = f"[{settings.host}]" if ":" in settings.host else settings.host
    return {
        "bind": f"{host}:{settings.port}",
        "workers": settings.workers,
        "threads": settings.threads,
        "worker_class": "gthread",
        "preload_app": True,
        "limit_request_line": LONGEST_LINE,
        "keepalive": 15,
        "graceful_timeout": 20,
        "control_socket_disable": True,
        "proc_name": "closeup-service",
        "child_exit": forget_worker,
    }


def forget_worker(server: Any, worker: Any) -> None:
    """Let go of the gauges of a worker that has ended; its counts remain in the sum."""
    from prometheus_client import multiprocess  # noqa: PLC0415

    del server
    multiprocess.mark_process_dead(worker.pid)


def parser() -> argparse.ArgumentParser:
    """Command line of the service."""
    built = argparse.ArgumentParser(
        prog="closeup-service",
        description="Serve the sums of close-up photography over HTTP. Documentation is at /docs once it runs.",
        epilog="Each option may also be given as a variable; an option wins over its variable. "
        "Exit codes: 78 a setting is wrong, 69 the address cannot be listened on.",
    )
    for field in fields(Settings):
        default = NO_DEFAULT.get(field.name, field.default)
        default = ",".join(default) if isinstance(default, tuple) else default
        text = f"{HELP[field.name]} (default {default}, or {variable(field.name)})"
        built.add_argument(option(field.name), help=text)
    return built


def cannot_listen(settings: Settings) -> str | None:
    """Why the address cannot be listened on, in one line, or None when it can."""
    try:
        family, kind, protocol, _, address = socket.getaddrinfo(settings.host, settings.port, type=socket.SOCK_STREAM)[
            0
        ]
        with socket.socket(family, kind, protocol) as probe:
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            probe.bind(address)
            probe.listen(1)
    except OSError as error:
        if error.errno == errno.EADDRINUSE:
            return "already in use by another program: choose another --port."
        return f"{error.strerror or error}."
    return None


def shared_memory() -> str | None:
    """Directory in memory for the metrics files, where there is one that can be written to."""
    return "/dev/shm" if os.access("/dev/shm", os.W_OK) else None


@contextlib.contextmanager
def metrics_directory() -> Iterator[str]:
    """Make the directory for the metrics files; a worker that ends passes here too, and leaves it to the others."""
    owner = os.getpid()
    directory = tempfile.mkdtemp(prefix=f"closeup-metrics-{owner}-", dir=shared_memory())
    try:
        yield directory
    finally:
        if os.getpid() == owner:
            shutil.rmtree(directory, ignore_errors=True)


def serve(settings: Settings) -> None:
    """Run until told to stop; the application is imported after the metrics directory is named."""
    from closeup_service.web.app import create_app  # noqa: PLC0415

    Server(create_app(settings), gunicorn_options(settings)).run()


def main(arguments: Sequence[str] | None = None) -> None:
    """Start the service, or say in one line for each mistake why not."""
    given = vars(parser().parse_args(arguments))
    try:
        settings = read_settings(given, os.environ)
    except BadSettings as error:
        for line in error.lines:
            print(f"closeup-service: {line}", file=sys.stderr)
        sys.exit(EXIT_BAD_SETTINGS)
    refusal = cannot_listen(settings)
    if refusal is not None:
        print(f"closeup-service: {settings.host} port {settings.port}: {refusal}", file=sys.stderr)
        sys.exit(EXIT_CANNOT_LISTEN)
    print(f"closeup-service: http://{settings.host}:{settings.port}/", file=sys.stderr)
    with metrics_directory() as directory:
        os.environ["PROMETHEUS_MULTIPROC_DIR"] = directory
        serve(settings)


if __name__ == "__main__":
    main()
