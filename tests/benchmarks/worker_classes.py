"""gunicorn's worker classes under slow clients and long sums: `python tests/benchmarks/worker_classes.py`.

Two processes of each class, 8 threads where it has them. Prints answers in a second to four clients, and how long /healthz
took at worst, in quiet, beside 24 clients that send a byte a second, and beside four that ask for searches. gevent is
measured where it is installed; the service does not need it.
"""

import contextlib
import http.client
import importlib.util
import json
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "support"))

from closeup_service.operations.plan.search import operation as search
from running_service import clean_environment, free_port, is_alive

CLASSES = ("gthread", "sync", "gevent")
Asked = tuple[str, str, str | None, dict[str, str]]
SMALL: Asked = ("GET", "/v1/effective-f-number?f_number=8&magnification=1", None, {})
LONG: Asked = (
    "POST",
    search.OPERATION.path,
    json.dumps(search.OPERATION.examples[0].request),
    {"Content-Type": "application/json"},
)
SLOW_CLIENTS = 24
SPELL_S = 8.0
GIVEN_UP_S = 20.0


@contextlib.contextmanager
def serving(worker_class: str) -> Iterator[int]:
    """The service under one class of worker."""
    port = free_port()
    options = [
        "-k",
        worker_class,
        "-w",
        "2",
        "--threads",
        "8",
        "--preload",
        "--keep-alive",
        "15",
        "--no-control-socket",
    ]
    command = [
        sys.executable,
        "-m",
        "gunicorn",
        *options,
        "-b",
        f"127.0.0.1:{port}",
        "closeup_service.http.app:create_app()",
    ]
    service = subprocess.Popen(command, stderr=subprocess.DEVNULL, env=clean_environment())
    try:
        for _ in range(200):
            if is_alive(port):
                break
            time.sleep(0.1)
        yield port
    finally:
        service.terminate()
        service.wait(40)


def during(work: Callable[[threading.Event], None], clients: int) -> contextlib.AbstractContextManager[None]:
    """Run so many clients meanwhile."""

    @contextlib.contextmanager
    def running() -> Iterator[None]:
        done = threading.Event()
        threads = [threading.Thread(target=work, args=(done,), daemon=True) for _ in range(clients)]
        for thread in threads:
            thread.start()
        time.sleep(0.5)
        try:
            yield
        finally:
            done.set()
            for thread in threads:
                thread.join(GIVEN_UP_S)

    return running()


def slow(port: int) -> Callable[[threading.Event], None]:
    """A client that never ends its header."""

    def work(done: threading.Event) -> None:
        while not done.is_set():
            with contextlib.suppress(OSError), socket.create_connection(("127.0.0.1", port), timeout=5) as client:
                client.sendall(b"GET / HTTP/1.1\r\nHost: localhost\r\nX-Slow: ")
                while not done.wait(1):
                    client.sendall(b"a")

    return work


def asking(port: int, request: Asked, counts: list[int]) -> Callable[[threading.Event], None]:
    """A client that asks one thing after another on a kept connection, counting answers."""

    def work(done: threading.Event) -> None:
        connection = http.client.HTTPConnection("127.0.0.1", port, timeout=GIVEN_UP_S)
        while not done.is_set():
            try:
                connection.request(*request)
                connection.getresponse().read()
                counts.append(1)
            except (OSError, http.client.HTTPException):
                connection.close()

    return work


def worst_health_ms(port: int) -> float:
    """The longest that /healthz took, on a new connection each time, or as long as was waited."""
    worst, until = 0.0, time.monotonic() + SPELL_S
    while time.monotonic() < until:
        started = time.monotonic()
        connection = http.client.HTTPConnection("127.0.0.1", port, timeout=GIVEN_UP_S)
        with contextlib.suppress(OSError, http.client.HTTPException):
            connection.request("GET", "/healthz")
            connection.getresponse().read()
        connection.close()
        worst = max(worst, time.monotonic() - started)
        time.sleep(0.1)
    return worst * 1000


def main() -> None:
    """Measure each class that is there."""
    heads = (
        "class",
        "answers/s, 4 clients",
        "worst /healthz, quiet, ms",
        "beside 24 slow, ms",
        "beside 4 long, ms",
        "long/s",
    )
    print(f"| {' | '.join(heads)} |\n{'|---' * len(heads)}|")
    for worker_class in CLASSES:
        if worker_class == "gevent" and importlib.util.find_spec("gevent") is None:
            print("| gevent | not installed |")
            continue
        with serving(worker_class) as port:
            small: list[int] = []
            sums: list[int] = []
            with during(asking(port, SMALL, small), 4):
                time.sleep(SPELL_S)
            quiet = worst_health_ms(port)
            with during(slow(port), SLOW_CLIENTS):
                beside_slow = worst_health_ms(port)
        with serving(worker_class) as port, during(asking(port, LONG, sums), 4):
            beside_long = worst_health_ms(port)
        rates = f"{len(small) / (SPELL_S + 0.5):.0f}", f"{len(sums) / (SPELL_S + 0.5):.1f}"
        print(
            f"| {worker_class} | {rates[0]} | {quiet:.0f} | {beside_slow:.0f} | {beside_long:.0f} | {rates[1]} |",
            flush=True,
        )


if __name__ == "__main__":
    main()
