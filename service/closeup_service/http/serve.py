"""`closeup-service`: check the settings, then hand the application to gunicorn."""

import argparse
import contextlib
import errno
import gc
import logging
import os
import socket
import sys
from collections.abc import Callable, Mapping, Sequence
from typing import Any, NoReturn

from flask import Flask
from gunicorn.app.base import BaseApplication

from closeup_service.operations.asking.limits import LONGEST_LINE
from closeup_service.running import logs
from closeup_service.running.counts_folder import VARIABLE, counts_folder
from closeup_service.running.exit_codes import EXIT_BAD_SETTINGS, EXIT_CANNOT_LISTEN, EXIT_CODES, EXIT_NO_PLACE
from closeup_service.running.settings import HELP, BadSettings, Settings, default_of, option, read_settings, variable


class Server(BaseApplication):  # type: ignore[misc]
    """gunicorn with our settings and a preloaded application."""

    def __init__(self, build: Callable[[], Flask], chosen: Mapping[str, object]) -> None:
        self._build = build
        self._chosen = chosen
        super().__init__()

    def load_config(self) -> None:
        """Hand our options to gunicorn."""
        for name, value in self._chosen.items():
            self.cfg.set(name, value)

    def load(self) -> Flask:
        """Return the application, built once before the workers fork, its memory left alone so that they share it.

        It is not searched for garbage before: there is little, and the search takes a tenth of the start.
        """
        built = self._build()
        gc.freeze()
        gc.enable()
        return built

    def reload(self) -> None:
        """Build the application anew for new workers; with a fault in the kit the former one stays."""
        super().reload()
        gc.unfreeze()
        gc.collect()
        try:
            self.callable = self.load()
        except BadSettings as error:
            for line in error.lines:
                logging.getLogger(logs.NAME).error("%s The former kit stays.", line)
            gc.freeze()


def gunicorn_options(settings: Settings, folder: str) -> dict[str, object]:
    """Threaded workers, the application preloaded, what is written in one folder."""
    return {
        "bind": settings.address,
        "workers": settings.workers,
        "threads": settings.threads,
        "worker_class": "gthread",
        "preload_app": True,
        "limit_request_line": LONGEST_LINE,
        "keepalive": 15,
        "graceful_timeout": 20,
        "control_socket_disable": True,
        "forwarder_headers": "",  # where the service stands is the operator's to say
        "proc_name": "closeup-service",
        "worker_tmp_dir": folder,
        "logger_class": logs.Log,
        "accesslog": None if settings.access_log == "off" else "-",
        "access_log_format": settings.access_log,
        "pre_request": logs.note_start,
        "post_fork": note_worker,
        "child_exit": forget_worker,
    }


def note_worker(server: Any, worker: Any) -> None:
    """Count a worker that begins."""
    from closeup_service.running import metrics  # noqa: PLC0415

    del server, worker
    metrics.note_worker()


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
        f"Exit codes: {', '.join(f'{code} {meaning}' for code, meaning in EXIT_CODES.items() if code)}.",
    )
    for name in Settings.__struct_fields__:
        text = f"{HELP[name]} (default {default_of(name)}, or {variable(name)})"
        built.add_argument(option(name), help=text)
    return built


def cannot_listen(settings: Settings) -> str | None:
    """Why the address cannot be listened on, in one line, or None when it can."""
    try:
        found = socket.getaddrinfo(settings.host, settings.port, type=socket.SOCK_STREAM)
        family, kind, protocol, _, address = found[0]
        with socket.socket(family, kind, protocol) as probe:
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            probe.bind(address)
            probe.listen(1)
    except OSError as error:
        if error.errno == errno.EADDRINUSE:
            return "already in use by another program: choose another --port."
        return f"{error.strerror or error}."
    return None


def serve(settings: Settings, given: Mapping[str, str | None], folder: str) -> None:
    """Run until told to stop; the application is imported after the folder of the counts is named."""
    os.environ[VARIABLE] = folder
    gc.disable()  # nothing that is imported is garbage: looking through it takes an eighth of the start
    from closeup_service.http.app import create_app  # noqa: PLC0415
    from closeup_service.http.server_refusals import answer_with_problems  # noqa: PLC0415
    from closeup_service.operations.photographs.memory import keep_little  # noqa: PLC0415

    keep_little()
    answer_with_problems(settings.prefix.rstrip("/"))
    first = iter([settings])

    def build() -> Flask:
        current = next(first, None) or read_settings(given, os.environ)
        built = create_app(current)
        tell_kit(current, given["kit"] or os.environ.get(variable("kit")))
        return built

    Server(build, gunicorn_options(settings, folder)).run()


def tell_kit(settings: Settings, path: str | None) -> None:
    """Log which kit the workers that are started now use."""
    from closeup_service.running.kit_file import described  # noqa: PLC0415
    from closeup_service.schemas.kit import demo_kit  # noqa: PLC0415

    logging.getLogger(logs.NAME).info(described(settings.kit or demo_kit(), path or None))


def say(line: str) -> None:
    """Tell the operator; an error output that is full or gone is no reason to end."""
    with contextlib.suppress(OSError):
        print(f"closeup-service: {line}", file=sys.stderr, flush=True)


def refuse(error: BadSettings) -> NoReturn:
    """Say what is wrong with the settings, and end."""
    for line in error.lines:
        say(line)
    sys.exit(EXIT_BAD_SETTINGS)


def announce(address: str) -> None:
    """Name the start page: in words in a terminal, as the log's first line elsewhere."""
    logs.start()
    if sys.stderr.isatty():
        say(address)
    else:
        logging.getLogger(logs.NAME).info("Serving at %s", address)


def main(arguments: Sequence[str] | None = None) -> None:
    """Start the service, or say in one line for each mistake why not."""
    given = vars(parser().parse_args(arguments))
    try:
        settings = read_settings(given, os.environ)
    except BadSettings as error:
        refuse(error)
    refusal = cannot_listen(settings)
    if refusal is not None:
        say(f"{settings.host} port {settings.port}: {refusal}")
        sys.exit(EXIT_CANNOT_LISTEN)
    with contextlib.ExitStack() as stack:
        try:
            folder = stack.enter_context(counts_folder())
        except OSError as error:
            say(
                f"no place for the counts, neither in /dev/shm nor in the temporary directory: {error.strerror or error}."
            )
            sys.exit(EXIT_NO_PLACE)
        announce(f"http://{settings.address}{settings.prefix.rstrip('/')}/")
        try:
            serve(settings, given, folder)
        except BadSettings as error:
            refuse(error)


if __name__ == "__main__":
    main()
